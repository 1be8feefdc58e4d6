"""The stock in words: amounts, groups, what runs out, the account."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.exports.account import stock_reports_of
from planner.files.reading import read_project
from planner.plan import Plan
from planner.planning import plan_project
from planner.quantity import AREA, COUNT, LENGTH
from planner.stock_report import StockReport
from screens.amounts_told import in_unit, unit_for, worded_amount
from screens.stock_account import account
from screens.stock_told import (
    amounts,
    by_when,
    coming_told,
    delivery_example,
    groups,
    headline,
    sentences,
    then_of,
)
from tests.planner.little import BALL, NOW, ensemble, garment, project


def uses(amount: str, stock: str = "tape") -> str:
    """Keys of a step that takes so much."""
    return f'uses=[{{ stock = "{stock}", amount = [{amount}] }}]'


def told(
    folder: Path, stock: str, *steps: str, keys: str = ""
) -> tuple[Plan, tuple[StockReport, ...]]:
    """A plan with what is said of its stock."""
    it = project(folder, ensemble(garment(*steps), BALL, stock), keys=keys)
    plan = plan_project(it, NOW)
    return plan, stock_reports_of(it, plan)


def one(folder: Path, stock: str, *steps: str, keys: str = "") -> tuple[Plan, StockReport]:
    """The same of a single stock."""
    plan, (report,) = told(folder, stock, *steps, keys=keys)
    return plan, report


BRAID = '{ id = "tape", name = "braid", have = "3.4 m", again = false }'
ROWS = (
    f'one 60 name="first row", optional=true, missed=4, {uses(chr(34) + "1.2 m" + chr(34))}',
    f'two 60 name="second row", optional=true, missed=1, {uses(chr(34) + "1.2 m" + chr(34))}',
    f'cuffs 60 name="both cuffs", optional=true, missed=3, {uses(chr(34) + "1.7 m" + chr(34))}',
)


@pytest.mark.parametrize(
    ("value", "dimension", "units", "said"),
    [
        (2.4, LENGTH, "metric", "2.4 m"),
        (0.3, AREA, "metric", "0.3 m2"),
        (12, COUNT, "metric", "12"),
        (0.5, LENGTH, "imperial", "19.69 in"),
        (2.4, LENGTH, "imperial", "2.62 yd"),
        (0.3, AREA, "imperial", "465 in2"),
        (2.0, AREA, "imperial", "2.39 yd2"),
        (0.0, LENGTH, "metric", "0 m"),
        (0.004, LENGTH, "metric", "0.004 m"),
    ],
)
def test_amounts_carry_the_unit_that_suits_them(
    value: float, dimension: int, units: str, said: str
) -> None:
    """Metres and yards, inches up to two yards; what is there is never told as nothing."""
    assert worded_amount(value, dimension, units) == said


def test_a_stock_keeps_one_unit(tmp_path: Path) -> None:
    """Nothing there of three yards wanted is 0 yd, not 0 in."""
    stock = '{ id = "tape", have = "5 in", coming = [{ amount = "3 yd" }] }'
    plan, report = one(tmp_path, stock, f'a 60 {uses(chr(34) + "3 yd" + chr(34))}',
                       keys='units = "imperial"')  # fmt: skip
    assert amounts(plan, report) == (
        "3 yd wanted, 0.14 yd there, 3 yd coming with no day known."
    )
    assert in_unit(0.0, LENGTH, unit_for(2.8, LENGTH, "imperial")) == "0 yd"


def test_the_sentence_before_trimming(tmp_path: Path) -> None:
    """How much there is and is wanted, what would do, and to decide before the first row."""
    plan, report = one(tmp_path, BRAID, *ROWS)
    said = " ".join(sentences(plan, report))
    assert said.startswith("4.1 m wanted, 3.4 m there. 0.7 m short: it runs out at “")
    assert "It can't be bought again. Without “second row” (g), the rest takes 2.9 m." in said
    assert "Decide before " in said


def test_another_way_is_named_in_its_place(tmp_path: Path) -> None:
    """One row instead of two."""
    way = 'instead=[{ name="one row", missed=1, uses=[{ stock="tape", amount=["2 m"] }] }]'
    row = f'rows 60 name="two rows", {way}, {uses(chr(34) + "4 m" + chr(34))}'
    plan, report = one(tmp_path, BRAID, row)
    said = " ".join(sentences(plan, report))
    assert "With “one row” in its place, it takes 2 m. Decide before that step." in said


def test_nothing_could_go(tmp_path: Path) -> None:
    """A step that must be there, of what can't be bought again."""
    plan, report = one(tmp_path, BRAID, f'a 60 {uses(chr(34) + "4 m" + chr(34))}')
    assert "It can't be left off, nor done with less." in sentences(plan, report)


@pytest.mark.parametrize(
    ("keys", "said", "ends"),
    [
        ('lead = "2 days"', "Order on Wednesday 5 May at the latest.", "order Wed  5 May"),
        ('lead = "3 days"', "Order tomorrow at the latest.", "order tomorrow"),
        (
            'lead = "9 days"',
            "An order takes 9 days and would come on Wednesday 12 May, too late for it.",
            "too late to order",
        ),
        ("", "How long an order takes isn't written down.", "by Fri  7 May"),
        (
            'lead = "2 days", coming = [{ amount = "9 m" }]',
            "What is coming would be enough, but has no day: unless it is ordered, order on"
            " Wednesday 5 May at the latest.",
            "order Wed  5 May",
        ),
        (
            'lead = "2 days", coming = [{ amount = "0.5 m" }]',
            "0.5 m is coming, but has no day: unless it is ordered, order on Wednesday 5 May at"
            " the latest.",
            "order Wed  5 May",
        ),
    ],
)
def test_by_when_to_order(tmp_path: Path, keys: str, said: str, ends: str) -> None:
    """The lead before the step that goes without; what is too late is said."""
    stock = f'{{ id = "tape", have = "1 m"{", " if keys else ""}{keys} }}'
    plan, report = one(tmp_path, stock, f'a 60 on=2027-05-07, {uses(chr(34) + "3 m" + chr(34))}')
    assert said in sentences(plan, report)
    assert by_when(plan, report) == ends


def test_groups_stand_in_the_order_of_what_is_to_be_done(tmp_path: Path) -> None:
    """Short first, what can't be bought again apart, what nobody wants last."""
    stock = ", ".join(
        (
            '{ id = "idle", have = 3 }',
            '{ id = "enough", have = 3 }',
            '{ id = "dear", have = 3, again = false }',
            '{ id = "comes", have = 0, coming = [{ amount = 3, arrives = 2027-05-06 }] }',
            '{ id = "late", have = 0, lead = "2 days" }',
            '{ id = "soon", have = 0, lead = "4 days" }',
            '{ id = "gone", have = 0, again = false }',
        )
    )
    names = ("enough", "dear", "comes", "late", "soon", "gone")
    steps = [f"{name} 10 on=2027-05-07, {uses('2', name)}" for name in names]
    plan, reports = told(tmp_path, stock, *steps)
    made = groups(reports, plan.now.date())
    assert [(group.title, [one.stock.id for one in group.reports]) for group in made] == [
        ("Runs out, can't be bought again", ["gone"]),
        ("Runs out", ["soon", "late"]),
        ("Enough once it comes", ["comes"]),
        ("Enough, can't be bought again", ["dear"]),
        ("Enough", ["enough"]),
        ("No step wants it", ["idle"]),
    ]
    assert headline(plan, reports) == (
        "3 of 7 run out: “gone” by 2, “soon” by 2 and “late” by 2."
    )


def test_the_headline_of_nothing_short(tmp_path: Path) -> None:
    """It says so, also where nothing is written down or wanted."""
    plan, reports = told(tmp_path, '{ id = "tape", have = 3 }', f"a 10 {uses('2')}")
    assert headline(plan, reports) == "Nothing runs out."
    assert headline(plan, ()).startswith("No cloth, trim or notions are written down")
    plan, reports = told(tmp_path / "b", '{ id = "tape", have = 3 }', "a 10")
    assert headline(plan, reports) == "Nothing runs out: no step wants any of it."


def test_the_account_tells_what_is_left_after_each(tmp_path: Path) -> None:
    """What is there, a step, a delivery, a step, and a delivery that nobody waits for."""
    coming = '[{ amount = 4, arrives = 2027-05-06 }, { amount = 9 }]'
    stock = f'{{ id = "tape", have = 3, counted = 2027-05-02, coming = {coming} }}'
    steps = (f"a 10 on=2027-05-04, {uses('2')}", f"b 10 on=2027-05-07, {uses('4')}")
    plan, report = one(tmp_path, stock, *steps)
    found = [(entry.told, entry.amount, entry.left) for entry in account(plan, report)]
    assert found == [
        ("counted yesterday", "", "3"),
        ("a (g)", "-2", "1"),
        ("comes", "+4", "5"),
        ("b (g)", "-4", "1"),
        ("comes, nobody knows when", "+9", "not counted on"),
    ]
    assert coming_told(plan, report) == "13 ?"


def test_the_account_marks_where_it_runs_out(tmp_path: Path) -> None:
    """In words, by how much; those served after it are served without it."""
    steps = (f"a 10 on=2027-05-04, {uses('5')}", f"b 10 on=2027-05-07, {uses('2')}")
    plan, report = one(tmp_path, '{ id = "tape", have = 3 }', *steps)
    out, after = account(plan, report)[1:]
    assert (out.left, out.out) == ("runs out: 2 short", True)
    assert (after.left, after.out) == ("1 without it", False)
    assert "4 short: it runs out by 2 at “a” (g), tomorrow." in sentences(plan, report)


def test_what_was_due_counts_as_come_and_is_asked_after(tmp_path: Path) -> None:
    """A delivery of yesterday that is still written down as coming."""
    stock = '{ id = "tape", have = 0, coming = [{ amount = 4, arrives = 2027-05-02 }] }'
    plan, report = one(tmp_path, stock, f"a 10 {uses('2')}")
    assert "4 was due yesterday, and counts as come." in sentences(plan, report)
    assert [entry.told for entry in account(plan, report)][1] == "due: has it come?"
    (group,) = groups((report,), plan.now.date())
    assert group.title == "Enough"


def test_what_an_edit_makes_of_a_stock_stands_before_the_plan(tmp_path: Path) -> None:
    """Enough with what is left over, or short at its step."""
    plan, reports = told(tmp_path, '{ id = "tape", have = 3 }', f"a 10 {uses('2')}")
    assert then_of(plan, reports, "e/tape", "then: fits") == (
        "then: it is enough, 1 is left over; fits"
    )
    plan, reports = told(tmp_path / "b", '{ id = "tape", have = 1 }', f"a 10 {uses('2')}")
    assert then_of(plan, reports, "e/tape", "then: fits") == "then: 1 short, at “a”; fits"


def test_how_a_delivery_is_typed_is_shown_by_an_example(tmp_path: Path) -> None:
    """In the stock's unit, on the day an order of today would come."""
    plan, report = one(
        tmp_path, '{ id = "tape", have = "3 m", lead = "12 days" }',
        f'a 10 {uses(chr(34) + "2 m" + chr(34))}',
    )  # fmt: skip
    assert delivery_example(plan, report) == "3 m on 15 May"


def test_the_samples_short_things_are_told_first() -> None:
    """The largest sample runs out of its brass braid, and one row would do."""
    it = read_project(Path("sample_projects/hallow_skerry"))
    plan = plan_project(it, datetime(2027, 8, 30), thorough=False)
    reports = stock_reports_of(it, plan)
    assert headline(plan, reports) == "1 of 17 runs out: “flat brass braid, 12 mm” by 0.57 m."
    (report,) = groups(reports, plan.now.date())[0].reports
    assert "With “One row” in its place, it takes 4.78 m." in sentences(plan, report)
