"""The hem: the hours in hand as its depth, in cells."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.reading import read_project
from planner.going import Going, how_it_goes
from planner.in_hand import InHand
from planner.plan import Plan
from planner.planning import plan_project
from screens.going_told import in_hand, sentences
from screens.hem import CHALK, FOLD, HUNG, OPEN, STEEP, STITCHES, WOVEN, as_text, drawn
from screens.wording import cells
from tests.screens.test_pictures import same

SAMPLE = read_project(Path("sample_projects/oldmere_regatta"))
NOW = datetime(2027, 6, 7)
PLAN = plan_project(SAMPLE, NOW)
GOING = how_it_goes(SAMPLE, PLAN, NOW)


def text(going: Going = GOING, plan: Plan = PLAN, width: int = 78, rows: int = 3) -> list[str]:
    """The drawing without styles."""
    return as_text(drawn(plan, going, width, rows))


def with_hours(behind: list[int], ahead: list[int], pace: list[int] | None = None) -> Going:
    """As it goes with so many hours in hand, day by day, up to today and from today on."""

    def moments(first: int, hours: list[int]) -> tuple[InHand, ...]:
        return tuple(
            InHand(at=NOW + timedelta(days=first + n), hours=max(0, 60 * h), left=max(0, -60 * h))
            for n, h in enumerate(hours)
        )

    return replace(
        GOING,
        behind=moments(1 - len(behind), behind),
        ahead=moments(0, ahead),
        at_pace=moments(0, pace or []),
        by=(replace(GOING.by[-1], in_hand=60 * ahead[0], at_pace=60 * (pace or ahead)[0]),),
    )


def depth(lines: list[str], column: int) -> int:
    """How deep the hem is at a column, in half rows; 0 where it is closed."""
    for row, line in enumerate(reversed(lines[:-2])):
        char = line.ljust(200)[column]
        if char in STITCHES:
            return 2 * row + STITCHES.index(char) + 1
    return 0


def test_it_narrows_as_hours_go() -> None:
    """The depth follows the hours in hand, above a straight fold: close woven behind today, open
    ahead; the stitching comes down to the right and has no hole."""
    lines = text(with_hours([20, 18, 12, 12], [12, 9, 6, 3, 0]))
    assert len(lines) == 5
    assert set(lines[-2]) == {FOLD, HUNG}
    assert len(lines[-2]) == 78
    today = lines[-1].index("today")
    depths = [depth(lines, column) for column in range(78)]
    assert depths == sorted(depths, reverse=True)
    assert depths[0] == 6
    assert all(depths[:-1])
    assert WOVEN in lines[2][:today]
    assert WOVEN not in "".join(line[today:] for line in lines)
    assert OPEN in lines[2][today:]
    assert OPEN not in "".join(line[:today] for line in lines)


def test_today_and_the_occasion_are_named_beneath() -> None:
    """Names stand under their columns; of the occasion with its date where there is room."""
    lines = text()
    assert lines[-1].startswith("begun 18 May")
    assert lines[-2][lines[-1].index("today")] == HUNG
    assert lines[-1].rstrip().endswith("event Sat 26 Jun")


def test_how_much_is_in_hand_is_said_on_it() -> None:
    """At the beginning, today and at the end."""
    lines = text(with_hours([20] * 9, [12, 11, 10, 9, 8, 7, 6, 5, 4, 2, 0]))
    assert any(" 20 h " in line for line in lines)
    assert any(" 12 h in hand " in line for line in lines)
    assert any(line.endswith("  2 h") for line in lines)


def test_where_it_closes_at_this_pace_is_said() -> None:
    """What the pace would not leave is dotted, and how much is short is said in words."""
    going = with_hours([20] * 9, [12, 12, 9, 9, 6, 6, 3, 0], [6, 5, 3, 1, -1, -2, -3, -4])
    going = replace(going, by=(replace(going.by[0], at_pace=-240),))
    lines = text(going, width=118, rows=5)
    assert any("at this pace 4 h short by the Oldmere" in line for line in lines)
    today = lines[-1].index("today")
    assert OPEN in lines[-3][today : today + 20]
    assert CHALK in lines[3][today:]
    assert CHALK in lines[-3][today:]
    assert any("at this pace 4 h short" in line for line in text(going))


def test_short_there_is_no_cloth_and_the_figure_is_said_once() -> None:
    """Where hours are short from today on the stitching lies on the fold, which goes on to the
    end; by how much the sentence above says, and it alone."""
    lines = text(with_hours([5, 2, -3], [-3, -3, -3]))
    today = lines[-1].index("today")
    assert all(depth(lines, column) == 0 for column in range(today + 1, 78))
    assert any("nothing in hand" in line for line in lines)
    assert not any("short" in line for line in lines)
    assert len(lines[-2]) == 78
    assert in_hand(PLAN, GOING) in sentences(PLAN, GOING)[0]
    assert not any("short" in line for line in text())
    alone = text(with_hours([-3], [-3, -3]), rows=5)
    assert len(alone) == 3


def test_short_by_a_fitting_alone_it_is_closed_till_then() -> None:
    """What is in hand after it is drawn after it."""
    going = with_hours([20] * 9, [12] * 20)
    first = GOING.by[0]
    going = replace(going, by=(replace(first, in_hand=-60), *going.by))
    lines = text(going)
    at = next(one.at for one in PLAN.occasions if one.id == first.occasion)
    share = (at - going.behind[0].at) / (going.ahead[-1].at - going.behind[0].at)
    column, today = round(share * 77), lines[-1].index("today")
    assert not any(depth(lines, c) for c in range(today, column + 1))
    assert all(depth(lines, c) for c in range(column + 2, 77))
    assert any("1 h short by" in line for line in lines)


def test_no_piece_lies_about_alone() -> None:
    """An hour in hand for a moment, after it had closed, is no cloth of its own."""
    lines = text(with_hours([20, 10] + [-2] * 20 + [1] + [-2] * 40, [-2, -2, -2]))
    depths = [depth(lines, column) for column in range(78)]
    closed = depths.index(0)
    assert closed > 0
    assert not any(depths[closed:])


def test_without_an_occasion_nothing_is_drawn() -> None:
    """Nothing to be ready for, no hem; nor where there is no room at all."""
    assert drawn(PLAN, replace(GOING, occasion=None), 78, 3) == []
    assert drawn(PLAN, GOING, 78, 0) == []
    assert drawn(PLAN, GOING, 12, 3) == []


hours = st.lists(st.integers(-20, 60), min_size=1, max_size=40)


@settings(max_examples=60, deadline=None)
@given(hours, hours, st.integers(20, 130), st.integers(1, 8), st.booleans())
def test_it_fits_any_size(
    behind: list[int], ahead: list[int], width: int, rows: int, paced: bool
) -> None:
    """Every line has the width, there are two more than rows (or one row of words), today is
    named, and the stitching has no hole: from column to column it comes down or goes up along
    itself."""
    ahead = [behind[-1], *ahead]
    going = with_hours(behind, ahead, [h - 5 for h in ahead] if paced else None)
    lines = drawn(PLAN, going, width, rows)
    assert len(lines) in (rows + 2, 3)
    assert all(sum(cells(piece.text) for piece in line) == width for line in lines)
    assert "today" in as_text(lines)[-1]
    shown = as_text(lines)
    today = shown[-1].index("today")
    for column in range(1, today):
        before, here = depth(shown, column - 1), depth(shown, column)
        if before and here and abs(before - here) > 2:
            assert any(STEEP in line[column - 1 : column + 1] for line in shown)
    if behind[0] > 0 and today > 0:
        assert depth(shown, 0) > 0


def test_pictures_in_text() -> None:
    """The hem looks as it did when somebody last looked at it."""
    same("hem.txt", "\n".join([*text(), *text(width=118, rows=5)]) + "\n")
