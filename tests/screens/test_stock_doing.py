"""Edits of a stock typed in its row: counted, coming, come, removed."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.model import Project, Stock
from planner.quantity import AREA, COUNT, LENGTH, Quantity
from screens.forms import lookups
from screens.stock_doing import Typed, come, coming_now, counted, delivered, removed
from tests.planner.little import BALL, ensemble, garment, project

TODAY = date(2027, 5, 3)
COMING = 'coming = [{ amount = "3 m", arrives = 2027-05-03 }, { amount = "1 m" }]'


def shelf(folder: Path, have: str = '"2 m"', more: str = "", keys: str = "") -> Project:
    """A project with a stock "tape"."""
    stock = f'{{ id = "tape", name = "wide tape", have = {have}{", " if more else ""}{more} }}'
    return project(folder, ensemble(garment("a 60"), BALL, stock), keys=keys)


def done(it: Project, typed: Typed) -> Stock:
    """The stock after an edit."""
    assert typed.doing is not None, typed.wrong
    found = lookups.stock_of(typed.doing.change(it), "e/tape")
    assert found is not None
    return found


def test_a_count_is_kept_with_its_day(tmp_path: Path) -> None:
    """What is typed is there, counted today."""
    it = shelf(tmp_path)
    typed = counted(it, "e/tape", "3.2 m", TODAY, "m", LENGTH)
    found = done(it, typed)
    assert (found.have, found.counted) == (Quantity(value=3.2, dimension=LENGTH), TODAY)
    assert typed.doing is not None and typed.doing.label == "wide tape counted: 3.2 m"
    assert typed.doing.cursor == "e/tape"


@pytest.mark.parametrize(
    ("text", "unit", "dimension", "value"),
    [
        ("3.2", "m", LENGTH, 3.2),
        ("3,2", "m", LENGTH, 3.2),
        ("2", "yd", LENGTH, 1.8288),
        ("0", "m", LENGTH, 0.0),
        ("0.3", "m", AREA, 0.3),
        ("40 cm2", "m", AREA, 0.004),
        ("5", "", COUNT, 5.0),
    ],
)
def test_a_bare_number_has_the_unit_of_the_row(
    tmp_path: Path, text: str, unit: str, dimension: int, value: float
) -> None:
    """Metres, yards, square metres or pieces; a unit that is typed wins."""
    it = shelf(tmp_path)
    found = done(it, counted(it, "e/tape", text, TODAY, unit, dimension))
    assert found.have.dimension == dimension
    assert found.have.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("", LENGTH, "Type how much there is"),
        ("much", LENGTH, "much"),
        ("3 m2", LENGTH, "It is kept in m: write the amount so."),
        ("3 m", COUNT, "It is kept in pieces: write the amount so."),
        ("-3 m", LENGTH, "-3 m"),
    ],
)
def test_what_is_no_amount_is_said(tmp_path: Path, text: str, dimension: int, said: str) -> None:
    """With what would be one."""
    unit = "m" if dimension else ""
    typed = counted(shelf(tmp_path), "e/tape", text, TODAY, unit, dimension)
    assert typed.doing is None and said in typed.wrong


def test_what_was_due_by_today_is_in_the_count(tmp_path: Path) -> None:
    """It is no longer coming, and that is told; what has no day stays."""
    it = shelf(tmp_path, more=COMING)
    typed = counted(it, "e/tape", "5 m", TODAY, "m", LENGTH)
    assert [one.arrives for one in done(it, typed).coming] == [None]
    assert typed.told == "The 3 m due today counts as in it: if it hasn't come, d gives it a day."


def test_deliveries_are_typed_as_in_the_form(tmp_path: Path) -> None:
    """Amounts with their days; nothing typed: nothing is coming."""
    it = shelf(tmp_path, more=COMING)
    assert coming_now(it, "e/tape") == "3 m on 2027-05-03, 1 m"
    found = done(it, delivered(it, "e/tape", "4 m on 6 May, 2 m", TODAY))
    assert [(one.amount.value, one.arrives) for one in found.coming] == [
        (4, date(2027, 5, 6)),
        (2, None),
    ]
    assert done(it, delivered(it, "e/tape", " ", TODAY)).coming == ()


def test_a_delivery_that_is_none_is_said(tmp_path: Path) -> None:
    """As the files would say it."""
    typed = delivered(shelf(tmp_path), "e/tape", "some on 6 May", TODAY)
    assert typed.doing is None and "some" in typed.wrong


def test_what_has_come_is_there(tmp_path: Path) -> None:
    """The one due first is added to what there is, and no longer coming; the count's day stays."""
    it = shelf(tmp_path, more=f"counted = 2027-05-01, {COMING}")
    typed = come(it, "e/tape")
    found = done(it, typed)
    assert (found.have.value, found.counted) == (5, date(2027, 5, 1))
    assert [one.arrives for one in found.coming] == [None]
    assert typed.doing is not None and typed.doing.label == "3 m of wide tape has come"


def test_one_of_several_has_come(tmp_path: Path) -> None:
    """That which was chosen."""
    it = shelf(tmp_path, more=COMING)
    found = done(it, come(it, "e/tape", 1))
    assert found.have.value == 3
    assert [one.arrives for one in found.coming] == [TODAY]


def test_what_the_last_count_holds_is_not_added_again(tmp_path: Path) -> None:
    """It was due by the day of the count: it only stops coming."""
    it = shelf(tmp_path, more=f"counted = 2027-05-04, {COMING}")
    typed = come(it, "e/tape")
    assert done(it, typed).have.value == 2
    assert typed.told == "It was in the last count already, and adds nothing."


def test_nothing_is_coming(tmp_path: Path) -> None:
    """What to do instead."""
    typed = come(shelf(tmp_path), "e/tape")
    assert typed.doing is None
    assert typed.wrong == "No wide tape is coming; d writes down what is."


def test_what_comes_to_nothing_brings_its_own_measure(tmp_path: Path) -> None:
    """Of a bare 0 the delivery says what it is measured in."""
    it = shelf(tmp_path, "0", 'coming = [{ amount = "3 m" }]')
    assert done(it, come(it, "e/tape")).have == Quantity(value=3, dimension=LENGTH)


def test_yards_stay_yards(tmp_path: Path) -> None:
    """Added amounts are round in their unit, so that the file reads as it was written."""
    it = shelf(tmp_path, '"1.5 yd"', 'coming = [{ amount = "2.25 yd" }]', 'units = "imperial"')
    assert done(it, come(it, "e/tape")).have.value == 3.75 * 0.9144


def test_what_has_gone_meanwhile_is_said_and_changes_nothing(tmp_path: Path) -> None:
    """An editor removed it."""
    it = shelf(tmp_path, more=COMING)
    gone = removed(it, "e/tape").change(it)
    assert lookups.stock_of(gone, "e/tape") is None
    for typed in (
        counted(gone, "e/tape", "1 m", TODAY, "m", LENGTH),
        delivered(gone, "e/tape", "1 m", TODAY),
        come(gone, "e/tape"),
    ):
        assert typed.doing is None and "no longer" in typed.wrong
    doing = counted(it, "e/tape", "1 m", TODAY, "m", LENGTH).doing
    assert doing is not None and doing.change(gone) == gone
    assert removed(gone, "e/tape").change(gone) == gone
