"""The days behind: what the diary says was done, and which hours were lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from planner.day_hours import DaySpans
from planner.editing.hours import away, present
from planner.files.reading import read_project
from planner.looking_back import (
    days_done,
    days_lost,
    days_that_differ,
    done_on,
    minutes_of,
)
from planner.model import Diary, Entry, Span

NOW = datetime(2027, 6, 7, 9)
BEHIND = read_project(Path("sample_projects/oldmere_regatta"))

entries = st.builds(
    Entry,
    at=st.datetimes(min_value=datetime(2027, 5, 1), max_value=datetime(2027, 6, 20)),
    step=st.sampled_from(["a/b/c", "a/b/d", "e/f/g"]),
    minutes=st.integers(min_value=0, max_value=300),
)


@given(st.lists(entries, max_size=30), st.integers(1, 20), st.integers(1, 6))
def test_days_done_are_the_last_ones_before_today(
    found: list[Entry], days: int, most: int
) -> None:
    """Every entry of the days named, none of today or later, at the most so many days."""
    done = days_done(Diary(entries=tuple(found)), NOW, days=days, most=most)
    assert len(done) <= most
    assert [one.date for one in done] == sorted({one.date for one in done})
    for one in done:
        assert NOW.date() - timedelta(days=days) <= one.date < NOW.date()
        same = [entry for entry in found if entry.at.date() == one.date]
        assert sorted(one.entries, key=repr) == sorted(same, key=repr)
        assert one.minutes == sum(entry.minutes for entry in same)
    if len(done) == most:
        left_out = [e for e in found if done[0].date > e.at.date()]
        assert all(e.at.date() < done[0].date for e in left_out)


def test_what_was_done_on_a_day_is_in_order_of_time() -> None:
    """Entries of one day by the clock, whatever their order in the file."""
    done = done_on(replace(BEHIND.diary, entries=BEHIND.diary.entries[::-1]), date(2027, 6, 6))
    assert [entry.at.hour for entry in done.entries] == [16, 17, 18]
    assert done.minutes == 100


def test_lost_days_are_those_a_change_took() -> None:
    """The fever took three days' hours; what recurs isn't lost, nor what is longer ago."""
    lost = days_lost(BEHIND, NOW)
    assert [one.date.day for one in lost] == [1, 2, 3]
    assert {one.reason for one in lost} == {"fever, in bed"}
    # Tuesday: the evening and half an hour on the train
    assert lost[0].minutes == 150 + 30
    assert days_lost(BEHIND, NOW + timedelta(days=10)) == ()


def test_hours_at_two_places_at_once_count_once() -> None:
    """Minutes of a day are those of the clock."""
    spans = DaySpans(
        workroom=(Span(start=600, end=720),),
        sofa=(Span(start=660, end=780),),
        take_along=(Span(start=900, end=930), Span(start=610, end=620)),
    )
    assert minutes_of(spans) == 180 + 30


def test_a_day_marked_away_differs_until_it_is_taken_back() -> None:
    """Away and its reason are known of the day, and of no other."""
    day = date(2027, 6, 10)
    gone = away(BEHIND, day, day, "to the mill")
    found = days_that_differ(gone, date(2027, 6, 8), date(2027, 6, 12))
    assert found[day].away and found[day].reason == "to the mill"
    assert [one for one, how in found.items() if how.away] == [day]
    back = days_that_differ(present(gone, day), date(2027, 6, 8), date(2027, 6, 12))
    assert day not in back


def test_other_hours_with_a_reason_differ_without_being_away() -> None:
    """The last evening starts early: a reason, and hours."""
    found = days_that_differ(BEHIND, date(2027, 6, 24), date(2027, 6, 24))
    (differs,) = found.values()
    assert differs.reason and not differs.away
    assert days_that_differ(BEHIND, date(2027, 6, 2), date(2027, 6, 1)) == {}
