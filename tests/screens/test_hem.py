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
from screens.hem import CHALKED, EDGES, SEWN, WEAVE, as_text, drawn
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
    """How deep the hem is at a column, in thirds of a row; 0 where it is closed."""
    for row, line in enumerate(lines[1:-1]):
        char = line.ljust(200)[column]
        if char in EDGES:
            return 3 * row + EDGES.index(char) + 1
    return 0


def test_it_narrows_as_hours_go() -> None:
    """The depth follows the hours in hand, sewn behind today and chalked ahead."""
    lines = text(with_hours([20, 18, 12, 12], [12, 9, 6, 3, 0]))
    assert len(lines) == 5
    assert lines[0].startswith(SEWN)
    assert lines[0].rstrip().endswith("┬")
    today = lines[-1].index("today")
    depths = [depth(lines, column) for column in range(78)]
    seen = [d for d in depths if d]
    assert seen == sorted(seen, reverse=True)
    assert depths[0] == 9
    assert WEAVE in lines[1][:today]
    assert WEAVE not in lines[1][today:]
    assert SEWN not in lines[0][today + 1 :]
    assert CHALKED in lines[0][today + 1 :]


def test_today_and_the_occasion_are_named_beneath() -> None:
    """Names stand under their columns; of the occasion with its date where there is room."""
    lines = text()
    assert lines[-1].startswith("begun 18 May")
    assert lines[0][lines[-1].index("today")] == "┬"
    assert lines[-1].rstrip().endswith("event Sat 26 Jun")


def test_how_much_is_in_hand_is_said_on_it() -> None:
    """In words, at the beginning and today."""
    lines = text(with_hours([20] * 9, [12, 9, 6, 3, 0] * 2))
    assert any("20 h in hand" in line for line in lines)
    assert any("12 h in hand" in line for line in lines)


def test_where_it_closes_at_this_pace_is_said() -> None:
    """A dashed edge that comes up to the stitching, and how much is short, in words."""
    going = with_hours([20] * 9, [12, 12, 9, 9, 6, 6, 3, 0], [6, 5, 3, 1, -1, -2, -3, -4])
    going = replace(going, by=(replace(going.by[0], at_pace=-240),))
    lines = text(going)
    assert any("at this pace 4 h short" in line for line in lines)
    styles = {piece.style for line in drawn(PLAN, going, 78, 3)[1:-1] for piece in line}
    assert "accent" in styles


def test_a_pace_has_gaps_where_the_plan_has_none() -> None:
    """Without colour its edge is told from the plan's by its gaps."""
    going = with_hours([30] * 9, [30] * 8, [10] * 8)
    lines = drawn(PLAN, going, 78, 3)
    edges = [
        piece
        for line in lines[1:-1]
        for piece in line
        if piece.style == "accent" and set(piece.text) & set(EDGES)
    ]
    assert len(edges) > 5
    assert all(len(piece.text) == 1 for piece in edges)


def test_closed_all_along_there_is_only_its_stitching() -> None:
    """With nothing in hand from today on, no cloth hangs there, and that is said."""
    lines = text(with_hours([5, 2, -3], [-3, -3, -3]))
    today = lines[-1].index("today")
    assert all(depth(lines, column) == 0 for column in range(today + 1, 78))
    assert any("3 h short" in line for line in lines)


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
    """Every line has the width, there are two more than rows, today is named, and a column is
    closed exactly where nothing is in hand."""
    ahead = [behind[-1], *ahead]
    going = with_hours(behind, ahead, [h - 5 for h in ahead] if paced else None)
    lines = drawn(PLAN, going, width, rows)
    assert len(lines) == rows + 2
    assert all(sum(cells(piece.text) for piece in line) == width for line in lines)
    assert "today" in as_text(lines)[-1]
    if behind[0] > 0 and len(behind) > 1:
        assert depth(as_text(lines), 0) > 0


def test_pictures_in_text() -> None:
    """The hem looks as it did when somebody last looked at it."""
    same("hem.txt", "\n".join([*text(), *text(width=118, rows=5)]) + "\n")
