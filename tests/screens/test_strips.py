"""A day as a strip of stitches."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from screens.strips import as_text, strips
from tests.screens.a_plan import a_plan


def test_cells_carry_letters_and_hours_end_at_a_mark() -> None:
    """Work is letters, free time dots, the end of hours a mark, what is over comes after it."""
    made = strips(a_plan(), 30)
    assert made.slice == 15
    assert as_text(made.of(date(2027, 5, 5))) == "ccccmmm╵mm"
    assert as_text(made.of(date(2027, 5, 8))) == "mmmpphhmmmm╵mmm ddd····╵"
    assert [cell.over for cell in made.of(date(2027, 5, 5))] == [False] * 8 + [True] * 2


def test_the_slice_grows_until_the_fullest_day_fits() -> None:
    """The slice is the same for all days: the smallest of four at which the fullest fits."""
    found = {width: strips(a_plan(), width).slice for width in (60, 30, 22, 16)}
    assert found == {60: 10, 30: 15, 22: 20, 16: 30}


def test_where_nothing_fits_the_slice_is_the_largest() -> None:
    """There is none larger, however narrow the room."""
    assert strips(a_plan(), 5).slice == 30


@pytest.mark.parametrize("crumbs", [1, 3, 8, 15])
def test_crumbs_beyond_the_hours_are_as_many_cells_as_they_make_together(crumbs: int) -> None:
    """Several short sittings beyond the hours don't look longer than they are."""
    plan = a_plan()
    first = next(one for one in plan.sittings if one.over)
    rest = tuple(one for one in plan.sittings if not one.over)
    small = tuple(replace(first, minutes=4, over=4) for _ in range(crumbs))
    made = strips(replace(plan, sittings=(*rest, *small)), 30)
    over = sum(cell.over for cell in made.of(first.date))
    assert over == max(1, round(4 * crumbs / made.slice))


def test_a_day_without_hours_has_no_strip() -> None:
    """Nothing is drawn where there are no hours."""
    assert strips(a_plan(), 30).of(date(2027, 5, 14)) == ()
