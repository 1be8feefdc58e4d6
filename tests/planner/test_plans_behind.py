"""Plans of days gone by: which are kept, which is compared with, what was planned and not done."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.diary_days import diary_days
from planner.files.plans_behind import (
    PLANS,
    outgrown,
    plan_of_day,
    planned_behind,
    planned_of,
    plans_known,
    remember_plan,
)
from planner.looking_back import days_lost
from planner.model import Diary, Entry, Kept, KeptHours, Place
from planner.planned_behind import PlannedDay, not_done, planned_days
from tests.planner.little import EVENINGS, ensemble, garment, project


def may(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment of May 2027."""
    return datetime(2027, 5, day, hour, minute)


def evening(day: int, *planned: tuple[str, int], start: datetime | None = None) -> KeptHours:
    """Seven to nine on a day of May, and what is planned in it."""
    return KeptHours(
        start=start or may(day, 19),
        end=may(day, 21),
        day=date(2027, 5, day),
        place=Place.WORKROOM,
        planned=planned,
    )


def kept(as_of: datetime, *hours: KeptHours) -> Kept:
    """A plan of a moment."""
    return Kept(as_of=as_of, hours=hours, verdict="fits")


def test_the_first_plan_of_a_day_stays(tmp_path: Path) -> None:
    """What one set out with in the morning, whatever is planned later that day."""
    morning, noon = kept(may(3, 8), evening(3, ("e/g/a", 60))), kept(may(3, 12))
    remember_plan(tmp_path, morning, may(3, 8))
    remember_plan(tmp_path, noon, may(3, 12))
    found = plan_of_day(tmp_path, date(2027, 5, 3))
    assert found is not None and found.kept.hours == morning.hours
    assert plans_known(tmp_path) == [date(2027, 5, 3)]


def test_the_nearest_plan_before_is_taken_and_says_its_day(tmp_path: Path) -> None:
    """Of a day without one that of the day before it that has one; none of later days."""
    for day in (3, 5):
        remember_plan(tmp_path, kept(may(day)), may(day))
    found = plan_of_day(tmp_path, date(2027, 5, 4))
    assert found is not None and found.day == date(2027, 5, 3)
    assert plan_of_day(tmp_path, date(2027, 5, 2)) is None
    (tmp_path / PLANS / "2027-05-05.toml").write_text("half a pl")
    found = plan_of_day(tmp_path, date(2027, 5, 9))
    assert found is not None and found.day == date(2027, 5, 3)


def test_what_is_no_plan_of_a_day_is_passed_over(tmp_path: Path) -> None:
    """Other files, folders, plans without a moment."""
    assert plans_known(tmp_path) == [] and plan_of_day(tmp_path, date(2027, 5, 3)) is None
    remember_plan(tmp_path, Kept(), may(3))
    assert not (tmp_path / PLANS).exists()
    (tmp_path / PLANS / "2027-05-04.toml").mkdir(parents=True)
    for name in ("notes.toml", "2027-5-3.toml", "20270503.toml", "2027-13-01.toml"):
        (tmp_path / PLANS / name).write_text("format = 1\n")
    assert plans_known(tmp_path) == [date(2027, 5, 4)]
    assert plan_of_day(tmp_path, date(2027, 5, 4)) is None
    assert planned_behind(tmp_path, date(2027, 5, 1), may(6)) == ()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_disturbs_nobody(tmp_path: Path) -> None:
    """Nothing happens, and nothing is raised."""
    tmp_path.chmod(0o500)
    remember_plan(tmp_path, kept(may(3)), may(3))
    assert plans_known(tmp_path) == []


def test_a_file_in_the_folders_place_disturbs_nobody(tmp_path: Path) -> None:
    """Where the program's folder can't be made, there is no plan, and no error."""
    (tmp_path / ".wearby").write_text("a file")
    remember_plan(tmp_path, kept(may(3)), may(3))
    assert plans_known(tmp_path) == []


def test_plans_grow_fewer_with_age(tmp_path: Path) -> None:
    """A plan a day for a year: all of two weeks, one a week of three months, then one a month."""
    first, today = date(2026, 5, 3), date(2027, 5, 3)
    for k in range((today - first).days + 1):
        day = datetime.combine(first, datetime.min.time()) + timedelta(days=k)
        remember_plan(tmp_path, kept(day), day)
    known = plans_known(tmp_path)
    ages = [(today - day).days for day in known]
    assert sorted(age for age in ages if age < 14) == list(range(14))
    weeks = [day for day, age in zip(known, ages, strict=True) if 14 <= age < 92]
    assert len({day.isocalendar()[:2] for day in weeks}) == len(weeks) in (11, 12)
    months = [day for day, age in zip(known, ages, strict=True) if age >= 92]
    assert len({(day.year, day.month) for day in months}) == len(months) in (9, 10)


@given(st.sets(st.dates(date(2026, 1, 1), date(2027, 6, 1)), max_size=60))
def test_thinning_twice_takes_nothing_more(days: set[date]) -> None:
    """What stays stays, and the oldest and the last two weeks' always do."""
    today = date(2027, 5, 3)
    gone = set(outgrown(days, today))
    assert outgrown(days - gone, today) == []
    assert all((today - day).days >= 14 for day in gone)
    if days:
        assert min(days) not in gone


def test_each_hour_is_told_by_the_plan_of_then() -> None:
    """A plan counts until the next was made; of an evening in progress the minutes up to then."""
    plans = [
        kept(may(3), evening(3, ("a", 60)), evening(4, ("b", 100)), evening(5, ("c", 10))),
        kept(may(4, 20), evening(4, ("d", 20), start=may(4, 20)), evening(5, ("e", 30))),
    ]
    found = planned_days(plans, date(2027, 5, 1), may(6))
    assert {one.date.day: dict(one.steps) for one in found} == {
        3: {"a": 60},
        4: {"b": 60, "d": 20},
        5: {"e": 30},
    }
    # today isn't over, and no more is told than there were hours for
    assert planned_days([kept(may(3), evening(3, ("a", 150)))], date(2027, 5, 3), may(3, 22)) == ()
    (one,) = planned_days([kept(may(3), evening(3, ("a", 150)))], date(2027, 5, 3), may(4))
    assert one.minutes == 120


def test_files_tell_the_same_as_the_plans(tmp_path: Path) -> None:
    """Only as much of each file is read as counts; what came of it is the same."""
    plans = [
        kept(may(d, 7), *(evening(k, (f"e/g/s{d}", 10 * d)) for k in range(d, 9)))
        for d in (2, 4, 7)
    ]
    for plan in plans:
        assert plan.as_of is not None
        remember_plan(tmp_path, plan, plan.as_of)
    for since in (1, 3, 4, 6, 8):
        found = planned_behind(tmp_path, date(2027, 5, since), may(8, 12))
        assert found == planned_days(plans, date(2027, 5, since), may(8, 12))
    assert [one.date.day for one in found] == []


BEGUN = Entry(at=may(3, 20), step="a", minutes=20)


@pytest.mark.parametrize(
    ("entries", "lost"),
    [
        ((), 90),
        ((Entry(at=may(3, 20), step="a", minutes=60, done=True),), 30),
        ((Entry(at=may(3, 20), step="a", done=True),), 30),
        ((Entry(at=may(3, 20), step="x", minutes=45),), 45),
        ((Entry(at=may(3, 20), step="a", minutes=200, done=True),), 0),
        ((Entry(at=may(3, 20), step="a", minutes=40, done=True),), 30),
        ((BEGUN, Entry(at=may(3, 21), step="a", done=True)), 30),
        ((BEGUN, Entry(at=may(3, 21), step="a", left=30)), 70),
    ],
)
def test_what_was_planned_and_not_done(entries: tuple[Entry, ...], lost: int) -> None:
    """Whatever was worked at counts; what was done counts at least as planned."""
    planned = PlannedDay(date=date(2027, 5, 3), steps={"a": 60, "b": 30})
    assert not_done(planned, entries) == lost


def test_lost_hours_are_those_planned_where_that_is_known(tmp_path: Path) -> None:
    """A day with a plan loses what wasn't done of it; one without what a change took."""
    changes = "".join(
        f'\n[[change]]\non = 2027-05-0{day}\nworkroom = []\nreason = "choir"\n' for day in (3, 5)
    )
    read = project(tmp_path, ensemble(garment("a 60")), EVENINGS + changes)
    entry = Entry(at=may(4, 20), step="e/g/a", minutes=20)
    read = replace(read, diary=Diary(entries=(entry,)))
    planned = [
        PlannedDay(date=date(2027, 5, 3), steps={"e/g/a": 40}),
        PlannedDay(date=date(2027, 5, 4), steps={"e/g/a": 50}),
    ]
    found = days_lost(read, may(6), planned=planned)
    told = [(one.date.day, one.minutes, one.reason, one.planned) for one in found]
    assert told == [(3, 40, "choir", True), (4, 30, "", True), (5, 120, "choir", False)]
    assert [one.date.day for one in days_lost(read, may(6))] == [3, 5]


def test_what_was_done_before_its_day_is_not_lost(tmp_path: Path) -> None:
    """A step of Wednesday logged on Monday: of Wednesday's plan only the rest is lost. What its
    own plan of that day says is taken as it is."""
    monday = kept(may(3, 18), evening(4, ("e/g/a", 30)), evening(5, ("e/g/a", 30), ("e/g/b", 60)))
    read = project(tmp_path, ensemble(garment("a 60", "b 60")), EVENINGS)

    def lost(*entries: Entry, plans: Sequence[Kept] = (monday,)) -> dict[int, int]:
        it = replace(read, diary=Diary(entries=entries))
        planned = planned_days(plans, date(2027, 5, 3), may(6))
        told = {one.date: one for one in diary_days(it, may(6), planned)}
        found = {one.date.day: one.minutes for one in days_lost(it, may(6), planned=planned)}
        # the diary says the same: what was planned then, and what of it was lost
        for day, minutes in found.items():
            mine = told[date(2027, 5, day)]
            assert mine.planned == minutes + mine.minutes
            assert mine.lost is not None and mine.lost.minutes == minutes
        return found

    assert lost() == {4: 30, 5: 90}
    # as of the very moment the plan was made, and after it
    for hour in (18, 21):
        at = may(3, hour)
        assert lost(Entry(at=at, step="e/g/b", minutes=20, done=True)) == {4: 30, 5: 30}
        assert lost(Entry(at=at, step="e/g/a", minutes=45)) == {5: 75}
        assert lost(Entry(at=at, step="e/g/a", done=True)) == {5: 60}
    # before the plan was made it knew of it
    assert lost(Entry(at=may(3, 17), step="e/g/b", minutes=20)) == {4: 30, 5: 90}
    # what was beyond the hours of its day comes into them
    full = kept(may(3, 18), evening(5, ("e/g/b", 60), ("e/g/a", 90)))
    assert lost(plans=(full,)) == {5: 120}
    early = Entry(at=may(4, 9), step="e/g/b", minutes=60, done=True)
    assert lost(early, plans=(full,)) == {5: 90}
    own = kept(may(5), evening(5, ("e/g/b", 50)))
    early = Entry(at=may(4, 9), step="e/g/b", minutes=20)
    assert lost(early, plans=(monday, own)) == {4: 10, 5: 50}


@given(st.lists(st.integers(3, 7), max_size=6), st.integers(8, 20))
def test_what_was_planned_for_a_day_never_changes_later(days: list[int], later: int) -> None:
    """Whatever plans come after a day, or a second time on it, it is told by those up to it; and
    never as more than its hours."""
    plans = [kept(may(d), *(evening(k, (f"s{d}", 100 * k)) for k in range(d, 9))) for d in days]
    for day in range(3, 8):
        then = [one for one in plans if one.as_of is not None and one.as_of.day <= day]
        at_once = planned_days(then, date(2027, 5, 1), may(day + 1))
        long_after = planned_days(plans, date(2027, 5, 1), may(later))
        told = [one for one in at_once if one.date.day == day]
        assert told == [one for one in long_after if one.date.day == day]
        assert all(one.minutes <= 120 for one in told)


def test_a_plan_that_is_only_accepted_tells_its_days(tmp_path: Path) -> None:
    """Where no plan of a day was put beside the files, the one accepted last tells what was
    planned, till there is one of its day."""
    accepted = kept(may(3), evening(3, ("a", 60)), evening(4, ("b", 100)))
    found = planned_behind(tmp_path, date(2027, 5, 1), may(6), accepted)
    assert {one.date.day: one.minutes for one in found} == {3: 60, 4: 100}
    remember_plan(tmp_path, kept(may(3), evening(3, ("a", 30))), may(3))
    found = planned_behind(tmp_path, date(2027, 5, 1), may(6), accepted)
    assert {one.date.day: one.minutes for one in found} == {3: 30}


def test_every_silent_day_that_is_told_as_lost_has_its_line(tmp_path: Path) -> None:
    """Also the days of a plan of more than two weeks ago, and of a plan that was only accepted."""
    read = project(tmp_path, ensemble(garment("a 60", "b 60")), EVENINGS)
    plan = kept(may(3), evening(4, ("e/g/a", 60)), evening(5, ("e/g/b", 60)))
    for now in (may(6), may(12), may(25)):
        it = replace(read, kept=plan)
        days = diary_days(it, now, planned_of(it, now.date() - timedelta(days=14), now))
        silent = {one.date.day for one in days if one.lost is not None and one.lost.planned}
        assert silent == {4, 5}
