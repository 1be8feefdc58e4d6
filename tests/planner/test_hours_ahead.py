"""The weeks ahead as a value: days, what is planned on them, and where the plan ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner import editing as e
from planner.files.reading import read_project
from planner.hours_ahead import DayAhead, days_changed, weeks_ahead
from planner.model import Change
from planner.planning import plan_project

MASQUE = Path("sample_projects/copper_wood_masque")
NOW = datetime(2027, 3, 6)


@pytest.fixture(scope="module")
def days() -> dict[date, DayAhead]:
    """The days of a sample from its first evening on."""
    project = read_project(MASQUE)
    weeks = weeks_ahead(project, plan_project(project, NOW))
    return {day.day: day for week in weeks for day in week.days}


def test_weeks_go_from_today_to_the_sunday_after_the_last_occasion() -> None:
    """Monday to Sunday, the first from today; behind the last occasion nothing is planned."""
    project = read_project(MASQUE)
    weeks = weeks_ahead(project, plan_project(project, NOW))
    assert [len(week.days) for week in weeks] == [2, 7, 7]
    assert weeks[0].days[0].day == date(2027, 3, 6)
    last = weeks[-1].days[-1]
    assert last.day == date(2027, 3, 21)
    assert last.hours.spans.workroom and not last.windows and not last.in_plan
    assert all(day.in_plan for week in weeks for day in week.days[:-1] if day is not last)


def test_what_is_planned_adds_up(days: dict[date, DayAhead]) -> None:
    """Every minute of the plan that lies in a window, day by day and window by window."""
    project = read_project(MASQUE)
    plan = plan_project(project, NOW)
    inside = [one for one in plan.sittings if one.window is not None]
    assert sum(day.planned for day in days.values()) == sum(one.minutes for one in inside)
    assert sum(day.over for day in days.values()) == sum(one.over for one in inside)
    for of_plan in plan.days:
        day = days[of_plan.date]
        assert day.available == (
            of_plan.workroom_available + of_plan.sofa_available + of_plan.take_along_available
        )
    weeks = weeks_ahead(project, plan)
    assert sum(week.planned for week in weeks) == sum(day.planned for day in days.values())
    for day in days.values():
        for there in day.windows:
            assert sum(one.minutes for one in there.sittings) == there.window.planned


def test_a_day_says_which_changes_give_its_hours(days: dict[date, DayAhead]) -> None:
    """What the week alone would give it is there too."""
    friday = days[date(2027, 3, 12)].hours
    assert [change.reason[:10] for change in friday.changes] == ["Friday off"]
    assert friday.week.take_along and not friday.spans.take_along
    assert not days[date(2027, 3, 11)].hours.changes


def test_without_an_occasion_ahead_four_weeks_are_shown() -> None:
    """Hours can be seen and changed before there is anything to plan."""
    project = read_project(MASQUE)
    later = plan_project(project, datetime(2027, 4, 7))
    weeks = weeks_ahead(project, later)
    assert weeks[0].days[0].day == date(2027, 4, 7)
    assert weeks[-1].days[-1].day == date(2027, 5, 9)
    assert not any(day.in_plan for week in weeks for day in week.days)


def test_days_of_a_change_are_found_among_those_shown() -> None:
    """Of a rule and of a span alike."""
    days = [date(2027, 5, n) for n in range(3, 17)]
    tuesdays = Change(rule="FREQ=WEEKLY;BYDAY=TU", workroom=())
    assert days_changed(tuesdays, days) == (date(2027, 5, 4), date(2027, 5, 11))
    span = Change(first=date(2027, 5, 15), last=date(2027, 5, 20), workroom=())
    assert days_changed(span, days) == (date(2027, 5, 15), date(2027, 5, 16))


def test_a_day_taken_away_has_nothing_planned() -> None:
    """Its work goes elsewhere, and the sum of hours is less by what it had."""
    project = read_project(MASQUE)
    thursday = date(2027, 3, 11)
    after = e.away(project, thursday, thursday)
    before = weeks_ahead(project, plan_project(project, NOW))[1]
    week = weeks_ahead(after, plan_project(after, NOW))[1]
    was = next(day for day in before.days if day.day == thursday)
    now = next(day for day in week.days if day.day == thursday)
    assert was.planned and not now.planned and now.load is None
    assert week.available == before.available - was.available


def test_a_week_without_hours_has_no_load() -> None:
    """Nothing is not full."""
    project = read_project(MASQUE)
    bare = replace(
        project, workroom=replace(project.workroom, workroom_hours=((),) * 7, changes=())
    )
    weeks = weeks_ahead(bare, plan_project(bare, NOW))
    saturday = weeks[0].days[0]
    assert saturday.load is None
