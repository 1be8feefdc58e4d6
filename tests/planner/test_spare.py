"""Minutes to spare, worked out by hand on little workrooms."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.plan import NoteKind, Plan
from tests.planner.little import BALL, EVENINGS, ensemble, every, garment, notes, plan, step


def spare(found: Plan, *names: str) -> list[int | None]:
    """Minutes to spare; all must be exact."""
    assert all(step(found, n).to_spare_exact for n in names)
    return [step(found, n).to_spare for n in names]


def test_a_single_step_has_the_rest_of_its_evening(tmp_path: Path) -> None:
    """As late as it goes: 19:00 to 20:00 of the last evening, with an hour behind it."""
    assert spare(plan(tmp_path, ensemble(garment("a 60"))), "a") == [60]


def test_an_evening_filled_to_the_brim_leaves_nothing(tmp_path: Path) -> None:
    """a and b fill the last evening in order: 0, and only then it is said."""
    found = plan(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]')))
    assert spare(found, "a", "b") == [0, 0]
    assert len(notes(found, "a", NoteKind.NOTHING_TO_SPARE)) == 1
    assert len(notes(found, "b", NoteKind.NOTHING_TO_SPARE)) == 1


def test_one_minute_is_something(tmp_path: Path) -> None:
    """119 of 120 minutes: one to spare each, and nothing is said."""
    found = plan(tmp_path, ensemble(garment("a 60", 'b 59 after=["a"]')))
    assert spare(found, "a", "b") == [1, 1]
    assert notes(found, "a", NoteKind.NOTHING_TO_SPARE) == []


def test_spare_counts_full_hours_though_days_are_filled_less(tmp_path: Path) -> None:
    """Filled to half: a on the 6th, b on the 7th, 60 each.

    b could end at 21:00, 60 minutes later; a at 20:00 on the 7th: the other 60 minutes of
    the 6th and 60 of the 7th.
    """
    found = plan(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]')), fill="50%")
    assert step(found, "a").last_day != step(found, "b").last_day
    assert spare(found, "a", "b") == [120, 60]


def test_others_are_free_to_move(tmp_path: Path) -> None:
    """Two steps free of each other fill the last evening; each could be the last one."""
    found = plan(tmp_path, ensemble(garment("a 60", "b 60")))
    assert sorted(x or 0 for x in spare(found, "a", "b")) == [0, 60]


def test_a_night_takes_the_evening_away(tmp_path: Path) -> None:
    """b (60) on the 7th; a waits a night, so the 6th 21:00 is its latest: 60 minutes."""
    found = plan(tmp_path, ensemble(garment('a 60 wait="1 night"', 'b 60 after=["a"]')))
    assert spare(found, "a", "b") == [60, 60]


def test_spare_counts_minutes_of_the_steps_own_hours(tmp_path: Path) -> None:
    """A sofa step has the sofa's hours to spare too.

    Filled to a quarter, the last evening's 120 minutes at the table hold 30. b (workroom,
    30) is there at its beginning: 90 minutes could follow it.
    """
    hours = EVENINGS + every("sofa", "21:00-22:00")
    found = plan(tmp_path, ensemble(garment('a 60 place="sofa", work="hand"', "b 30")), hours,
                 fill="25%")
    assert spare(found, "b") == [90]
    # a fills the sofa's hour of the last evening
    assert spare(found, "a") == [0]


@pytest.mark.parametrize("minutes", [660, 720])
def test_over_full_days_leave_nothing_at_the_end_of_the_chain(
    minutes: int, tmp_path: Path
) -> None:
    """More work than hours in one step: at the peak there is nothing behind it."""
    found = plan(tmp_path, ensemble(garment(f"a {minutes}")))
    assert found.peak_load == minutes / 600
    assert spare(found, "a") == [0]


def test_an_earlier_occasion_is_the_limit(tmp_path: Path) -> None:
    """Wanted by the fitting of the 6th, at 18:00: the 5th is the last evening."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 100"), f"{pins}, {BALL}"))
    assert spare(found, "a") == [20]


def test_done_steps_have_no_figure(tmp_path: Path) -> None:
    """What is done has nothing to spare and says nothing."""
    found = plan(tmp_path, ensemble(garment("a 60 done=true", "b 60")))
    assert step(found, "a").to_spare is None
