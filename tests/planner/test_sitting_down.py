"""The clock: what a sitting comes to, when it was too long to be true, and its file."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from planner.editing import rename_garment, rename_step
from planner.files.clock_running import clock_file, read_clock, stop_clock, write_clock
from planner.files.reading import read_project
from planner.model import Diary, Project
from planner.problems import InputError
from planner.sitting_down import (
    SatDown,
    TooLong,
    end_of_hours,
    entry_of,
    minutes_sat,
    renamed,
    too_long,
    was_logged,
)
from tests.planner.little import ensemble, garment, project

HEM = "e/g/a"
TUESDAY = datetime(2027, 5, 4)


@pytest.fixture
def evenings(tmp_path: Path) -> Project:
    """Evenings from 19:00 to 21:00."""
    return project(tmp_path, ensemble(garment("a 60")))


def at(hour: int, minute: int = 0, day: int = 4) -> datetime:
    """A moment of May."""
    return datetime(2027, 5, day, hour, minute)


def test_minutes_are_whole_and_never_less_than_none() -> None:
    """A begun minute doesn't count, and a clock set back gives none."""
    sat = SatDown(step=HEM, since=at(19, 42))
    assert minutes_sat(sat, at(20, 5) + timedelta(seconds=59)) == 23
    assert minutes_sat(sat, at(19, 30)) == 0


def test_hours_end_where_those_end_that_touch(evenings: Project) -> None:
    """Before them and within them it is their end; behind them there is none."""
    assert end_of_hours(evenings, at(18)) == at(21)
    assert end_of_hours(evenings, at(20, 30)) == at(21)
    assert end_of_hours(evenings, at(21)) is None


@pytest.mark.parametrize(
    ("since", "now", "expected"),
    [
        (at(19, 42), at(20, 5), None),
        (at(19, 42), at(23, 0), None),
        # more than two hours beyond the evening
        (at(19, 42), at(23, 1), TooLong(minutes=78)),
        # over midnight, however short
        (at(22, 30), at(0, 5, 5), TooLong(minutes=None)),
        (at(20, 0), at(9, 0, 6), TooLong(minutes=60)),
        # outside of hours: two hours are believed
        (at(10), at(12), None),
        (at(21, 30), at(23, 30), None),
        (at(21, 30), at(23, 31), TooLong(minutes=None)),
        # the clock was set back
        (at(19, 42), at(12), None),
    ],
)
def test_what_is_too_long(
    evenings: Project, since: datetime, now: datetime, expected: TooLong | None
) -> None:
    """Beyond the hours by more than two, or over midnight; to the end of its hours is proposed."""
    assert too_long(evenings, SatDown(step=HEM, since=since), now) == expected


def test_hours_over_midnight_are_believed(tmp_path: Path) -> None:
    """Who has hours until 01:00 may sit until then."""
    found = project(tmp_path, ensemble(garment("a 60")))
    late = replace(found.workroom, workroom_hours=(_spans(20 * 60, 25 * 60),) * 7)
    owl = replace(found, workroom=late)
    sat = SatDown(step=HEM, since=at(23))
    assert too_long(owl, sat, at(0, 45, 5)) is None
    assert too_long(owl, sat, at(3, 1, 5)) == TooLong(minutes=120)
    assert end_of_hours(owl, at(0, 30)) == at(1)


def _spans(start: int, end: int) -> tuple:  # type: ignore[type-arg]  # one span
    from planner.model import Span

    return (Span(start=start, end=end),)


def test_an_entry_ends_when_it_was_put_down_or_when_it_must_have_been() -> None:
    """Now, to the minute; earlier where it was shorter than the clock says."""
    sat = SatDown(step=HEM, since=at(19, 42))
    now = at(20, 5) + timedelta(seconds=40)
    entry = entry_of(sat, 23, now, left=30)
    assert (entry.at, entry.minutes, entry.left, entry.done) == (at(20, 5), 23, 30, False)
    assert entry_of(sat, 60, at(9, 0, 6), done=True, left=30).at == at(20, 42)
    assert entry_of(sat, 60, at(9, 0, 6), done=True, left=30).left is None


@given(some.integers(0, 5000), some.integers(0, 5000), some.booleans())
def test_an_entry_is_never_of_the_future_and_keeps_its_minutes(
    ran: int, minutes: int, done: bool
) -> None:
    """Whatever is said, the entry lies no later than now and holds the minutes said."""
    sat = SatDown(step=HEM, since=at(19, 42))
    now = sat.since + timedelta(minutes=ran)
    entry = entry_of(sat, minutes, now, done=done)
    assert entry.at <= now and entry.minutes == minutes and entry.done is done


def test_what_was_logged_just_before_the_end_is_known_to_be(tmp_path: Path) -> None:
    """Killed between the diary and the clock's file: logged once, not twice."""
    sat = SatDown(step=HEM, since=at(19, 42))
    entry = entry_of(sat, 23, at(20, 5))
    written = replace(sat, logging=entry.at)
    assert not was_logged(written, Diary())
    assert was_logged(written, Diary(entries=(entry,)))
    # another entry of the same step, logged by hand meanwhile, is not this one
    assert not was_logged(sat, Diary(entries=(entry,)))


def test_a_renamed_step_is_followed(evenings: Project) -> None:
    """By its place; a step that was removed, or is there still, has no other name."""
    sat = SatDown(step="e/g/a", since=at(19))
    after = rename_step(evenings, "e/g/a", "b")
    assert renamed(sat, evenings, after) == replace(sat, step="e/g/b")
    assert renamed(replace(sat, step="e/g/b"), after, evenings) == sat
    assert renamed(sat, evenings, evenings) is None
    assert renamed(sat, evenings, rename_garment(evenings, "e/g", "h")) == replace(
        sat, step="e/h/a"
    )


def test_the_file_says_what_was_written(tmp_path: Path) -> None:
    """There, changed, gone; and a workroom with it can be read."""
    assert read_clock(tmp_path) is None
    sat = SatDown(step=HEM, since=at(19, 42))
    project(tmp_path, ensemble(garment("a 60")))
    write_clock(tmp_path, sat)
    assert read_clock(tmp_path) == sat
    write_clock(tmp_path, replace(sat, logging=at(20)))
    assert read_clock(tmp_path) == replace(sat, logging=at(20))
    assert not read_project(tmp_path).warnings
    stop_clock(tmp_path)
    stop_clock(tmp_path)
    assert read_clock(tmp_path) is None


def test_a_file_that_says_nothing_is_a_clear_sentence(tmp_path: Path) -> None:
    """Broken or empty: which file, and what to do."""
    clock_file(tmp_path).parent.mkdir()
    for text in ("step = ", 'step = "a/b/c"\n', "since = 7\nstep = 3\n"):
        clock_file(tmp_path).write_text(text)
        with pytest.raises(InputError) as error:
            read_clock(tmp_path)
        assert error.value.problems[0].file.endswith("clock.toml")


def test_where_no_folder_can_be_made_nothing_runs(tmp_path: Path) -> None:
    """A file in the folder's place: a clear sentence."""
    (tmp_path / ".wearby").write_text("")
    with pytest.raises(InputError, match=r"can't be made|is no folder"):
        write_clock(tmp_path, SatDown(step=HEM, since=at(19, 42)))
