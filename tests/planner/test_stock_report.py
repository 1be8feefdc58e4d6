"""What a plan says of the stock: to hand by, running out, order by, and what could go."""

from __future__ import annotations

from datetime import date
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.exports.account import stock_reports_of
from planner.model import Coming, Place, Stock, Wait, Work
from planner.other_ways import OtherWay
from planner.plan import Because, PlannedStep, Reason
from planner.planning import plan_project
from planner.quantity import AREA, COUNT, LENGTH, Quantity
from planner.stock import GRAIN, Served, StockLine
from planner.stock_report import StockReport, Sufficing, has_come, sufficing
from tests.planner.little import BALL, NOW, ensemble, garment, project

ON_THE_6TH = '{ amount = "4 m", arrives = 2027-05-06 }'


def tape(have: str = '"1 m"', coming: str = "", keys: str = "") -> str:
    """A stock "tape"."""
    more = f", coming = [{coming}]" if coming else ""
    return f'{{ id = "tape", have = {have}{more}{", " if keys else ""}{keys} }}'


def uses(metres: str) -> str:
    """Keys of a step that takes so many metres."""
    return f'uses=[{{ stock = "tape", amount = ["{metres} m"] }}]'


def report(folder: Path, stock: str, *steps: str, diary: str = "") -> StockReport:
    """What is said of the one stock."""
    it = project(folder, ensemble(garment(*steps), BALL, stock), diary=diary)
    (one,) = stock_reports_of(it, plan_project(it, NOW))
    return one


def test_enough_is_to_hand_by_its_first_step(tmp_path: Path) -> None:
    """Two steps on the 4th and the 6th: it must be there on the 4th; nothing is short."""
    steps = (f"a 60 on=2027-05-06, {uses('1')}", f"b 60 on=2027-05-04, {uses('1')}")
    found = report(tmp_path, tape('"3 m"'), *steps)
    assert (found.first, found.to_hand_by) == ("e/g/b", date(2027, 5, 4))
    assert (found.short, found.runs_out_at, found.order_by, found.suffices) == (0, None, None, None)
    assert [round(use.left, 6) for use in found.uses] == [2, 1]


def test_short_is_what_is_wanted_more_than_there_is_and_comes(tmp_path: Path) -> None:
    """Seven wanted, one there and four coming: two short, though one of three goes without."""
    steps = (
        f"a 60 on=2027-05-06, {uses('3')}",
        f"b 60 on=2027-05-07, {uses('3')}",
        f"c 60 on=2027-05-07, {uses('1')}",
    )
    found = report(tmp_path, tape(coming=ON_THE_6TH), *steps)
    assert (found.wanted, found.there, found.coming, found.short) == (7, 1, 4, 2)
    (lacking,) = (use for use in found.uses if use.lacking)
    assert (found.runs_out_at, found.runs_out_on) == (lacking.step, lacking.day)
    assert lacking.lacking == 1


def test_an_order_must_go_out_its_lead_before_the_step_that_lacks(tmp_path: Path) -> None:
    """The step is on the 7th, an order takes three days: the 4th."""
    found = report(tmp_path, tape(keys='lead = "3 days"'), f"a 60 on=2027-05-07, {uses('3')}")
    assert (found.runs_out_on, found.order_by) == (date(2027, 5, 7), date(2027, 5, 4))


@pytest.mark.parametrize("keys", ["", 'lead = "3 days", again = false'])
def test_no_order_by_without_lead_or_where_there_is_none_to_be_had(
    tmp_path: Path, keys: str
) -> None:
    """Nobody said how long it takes, or it can't be bought again."""
    found = report(tmp_path, tape(keys=keys), f"a 60 {uses('3')}")
    assert found.short == 2 and found.order_by is None


def test_what_comes_nobody_knows_when_is_not_counted_on(tmp_path: Path) -> None:
    """Nine metres without a day: still two short, and told apart."""
    found = report(tmp_path, tape(coming='{ amount = "9 m" }'), f"a 60 {uses('3')}")
    assert (found.undated, found.coming, found.short) == (9, 0, 2)
    assert [one.arrives for one in found.arrivals] == [None]


def test_more_used_than_counted_is_missing(tmp_path: Path) -> None:
    """Two metres of the one are used up by a done step: count again."""
    found = report(tmp_path, tape(), f"a 60 done=true, {uses('2')}", f"b 60 {uses('1')}")
    assert (found.there, found.missing, found.short) == (0, 1, 1)


def test_a_stock_of_which_nothing_is_there_is_measured_as_it_is_used(tmp_path: Path) -> None:
    """A bare 0 says nothing of its kind; the step that wants 3 m does."""
    assert report(tmp_path, tape("0"), f"a 60 {uses('3')}").dimension == LENGTH
    assert report(tmp_path / "b", tape('"0.2 m2"'), "a 60").dimension == AREA
    assert report(tmp_path / "c", tape("3"), "a 60").dimension == COUNT


def test_what_no_step_wants_has_no_days(tmp_path: Path) -> None:
    """Nothing to hand by, nothing short."""
    found = report(tmp_path, tape(), "a 60")
    assert (found.uses, found.first, found.to_hand_by, found.short) == ((), None, None, 0)


def test_left_after_each_counts_what_has_come_by_then(tmp_path: Path) -> None:
    """One is there, four come on the 6th: 0.5 left after the first, 1.5 after the second."""
    steps = (f"a 60 on=2027-05-04, {uses('0.5')}", f"b 60 on=2027-05-07, {uses('3')}")
    found = report(tmp_path, tape(coming=ON_THE_6TH), *steps)
    assert [(use.step, use.left) for use in found.uses] == [("e/g/a", 0.5), ("e/g/b", 1.5)]
    assert found.uses[1].until == date(2027, 5, 6)


def test_a_delivery_has_come_by_the_day_of_a_step() -> None:
    """On its day, or on that for which the step waits; without any day all dated ones have."""
    sixth = Coming(amount=Quantity(value=1), arrives=date(2027, 5, 6))
    assert has_come(sixth, date(2027, 5, 6), None)
    assert has_come(sixth, date(2027, 5, 4), date(2027, 5, 6))
    assert not has_come(sixth, date(2027, 5, 5), None)
    assert has_come(sixth, None, None)
    assert not has_come(Coming(amount=Quantity(value=1)), None, None)


# what could go


def test_two_rows_want_more_and_one_row_and_both_cuffs_would_do(tmp_path: Path) -> None:
    """3.4 m, and two rows and the cuffs want 4.1: without the second row 2.9 m suffice."""
    steps = (
        f"one 60 optional=true, missed=4, {uses('1.2')}",
        f"two 60 optional=true, missed=1, {uses('1.2')}",
        f"cuffs 60 optional=true, missed=3, {uses('1.7')}",
    )
    found = report(tmp_path, tape('"3.4 m"', keys="again = false"), *steps)
    assert found.short == pytest.approx(0.7)
    assert found.suffices is not None
    assert [(one.step, one.way) for one in found.suffices.givings] == [("e/g/two", None)]
    assert found.suffices.wanted == pytest.approx(2.9)


def test_another_way_that_takes_less_is_tried_too(tmp_path: Path) -> None:
    """One row instead of two is missed less than none at all."""
    one_row = (
        'instead=[{ name="One row", missed=1, uses=[{ stock="tape", amount=["1.5 m"] }] }]'
    )
    steps = (f"rows 60 optional=true, missed=4, {one_row}, {uses('3')}",)
    found = report(tmp_path, tape('"2 m"'), *steps)
    assert found.suffices is not None
    (giving,) = found.suffices.givings
    assert giving.way is not None and giving.way.index == 0
    assert (giving.amount, giving.missed, found.suffices.wanted) == (1.5, 1, 1.5)


def test_what_is_required_is_not_given_up(tmp_path: Path) -> None:
    """Nothing optional, and no other way: nothing makes it enough."""
    assert report(tmp_path, tape(), f"a 60 {uses('3')}").suffices is None
    stage = f'a 60 optional=true, stage="wearable", {uses("3")}'
    assert report(tmp_path / "b", tape(), stage).suffices is None


LESS = st.lists(st.integers(1, 8), max_size=2)


@st.composite
def shelves(draw: st.DrawFn) -> tuple[StockLine, dict[str, PlannedStep], dict[str, list[OtherWay]]]:
    """Up to five users, some optional, some with ways that take less."""
    users, steps, ways = [], {}, {}
    for k in range(draw(st.integers(1, 5))):
        name, amount = f"e/g/s{k}", draw(st.integers(1, 9))
        users.append(
            Served(step=name, stock="e/tape", amount=amount, until=None, lacking=0.0)
        )
        steps[name] = a_step(name, draw(st.booleans()), draw(st.integers(1, 5)))
        ways[name] = [
            a_way(name, index, takes, draw(st.integers(1, 5)))
            for index, takes in enumerate(draw(LESS))
        ]
    there = draw(st.integers(0, sum(int(user.amount) for user in users) - 1))
    stock = Stock(id="tape", have=Quantity(value=there))
    wanted = sum(user.amount for user in users)
    line = StockLine(
        id="e/tape", stock=stock, there=there, coming=0, wanted=wanted, users=tuple(users)
    )
    return line, steps, ways


def a_step(name: str, optional: bool, missed: int) -> PlannedStep:
    """A step that says nothing but how much it would be missed."""
    return PlannedStep(
        id=name, name=name, garment="g", work=Work.HAND, place=Place.SOFA, hands=1,
        one_sitting=False, wait=Wait(), during=None, minutes=60, low=60, high=60, left=60,
        after=(), released=None, due=None, due_for=None, earliest=None, latest=None,
        first_day=None, last_day=None, to_spare=None, to_spare_exact=True,
        reason=Reason(because=Because.FULL), notes=(), done=False, wanted=True,
        optional=optional, left_off=False, stage=None, technique=None, missed=missed,
    )  # fmt: skip


def a_way(name: str, index: int, takes: int, missed: int) -> OtherWay:
    """A way that takes so much of the tape."""
    return OtherWay(
        step=name, index=index, way=None, offered=True, name="less", technique=None,
        work=Work.HAND, minutes=30, left=30, saved=30, missed=missed,
        uses=(("e/tape", float(takes)),),
    )  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(shelves())
def test_the_cheapest_changes_are_found(
    shelf: tuple[StockLine, dict[str, PlannedStep], dict[str, list[OtherWay]]],
) -> None:
    """No other set of changes suffices and is missed less, nor as little with fewer changes."""
    line, steps, ways = shelf
    short = line.wanted - line.there
    found = sufficing(steps, line, short, ways)
    choices = []
    for user in line.users:
        mine = [(0.0, 0, 0)]
        if steps[user.step].optional:
            mine.append((user.amount, steps[user.step].missed, 1))
        for way in ways[user.step]:
            if (takes := dict(way.uses)["e/tape"]) < user.amount:
                mine.append((user.amount - takes, way.missed or 3, 1))
        choices.append(mine)
    costs = [
        (sum(one[1] for one in chosen), sum(one[2] for one in chosen))
        for chosen in product(*choices)
        if sum(one[0] for one in chosen) >= short - GRAIN
    ]
    assert (found is None) == (not costs)
    if found is not None:
        assert cost_of(found) == min(costs)
        assert found.wanted <= line.there + GRAIN
        assert found.wanted == pytest.approx(
            line.wanted - sum(giving.saved for giving in found.givings)
        )


def cost_of(found: Sufficing) -> tuple[int, int]:
    """How much is missed in all, and by how many changes."""
    return sum(giving.missed for giving in found.givings), len(found.givings)
