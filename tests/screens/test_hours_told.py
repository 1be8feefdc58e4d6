"""The hours in words: columns, how full, why a day differs, what a change says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner import editing as e
from planner.hours_ahead import DayAhead, WeekAhead, weeks_ahead
from planner.model import Change, Project, Span
from planner.planning import plan_project
from screens.hours_told import (
    Full,
    change_sentences,
    compact,
    day_full,
    day_heading,
    day_row,
    gives,
    how_to_give_hours,
    is_past,
    settings_rows,
    week_full,
    week_sentences,
    week_told,
    why_it_differs,
    window_told,
    without_window,
)
from tests.screens.workrooms import MONDAY, SMALL, state_of

TODAY = MONDAY.date()
TUE, THU, SAT = date(2027, 5, 4), date(2027, 5, 6), date(2027, 5, 8)
EVENING = (Span(start=1170, end=1290),)


def weeks(project: Project, now: datetime = MONDAY) -> tuple[WeekAhead, ...]:
    """The weeks ahead of a project."""
    return weeks_ahead(project, plan_project(project, now))


def the_day(project: Project, day: date, now: datetime = MONDAY) -> DayAhead:
    """One of its days."""
    return next(one for week in weeks(project, now) for one in week.days if one.day == day)


@pytest.fixture(scope="module")
def small() -> Project:
    """The small workroom."""
    return state_of(SMALL).project


@pytest.mark.parametrize(
    ("spans", "told"),
    [
        (EVENING, "19:30-21:30"),
        ((Span(start=600, end=780), Span(start=840, end=1020)), "10:00-13:00 14:00-17:00"),
        ((Span(start=1320, end=1500),), "22:00-01:00"),
        ((Span(start=0, end=1440),), "00:00-24:00"),
        ((Span(start=570, end=750),), "09:30-12:30"),
        ((), ""),
    ],
)
def test_hours_are_told_by_the_clock(spans: tuple[Span, ...], told: str) -> None:
    """With hours and minutes, also after midnight."""
    assert compact(spans) == told


def test_a_row_has_a_column_for_each_place(small: Project) -> None:
    """And says of a day like its week nothing more."""
    row = day_row(the_day(small, SAT))
    assert row.dated == "Sat  8 May"
    assert row.cells == ("10:00-13:00 14:00-17:00", "", "", "14:00-17:00")
    assert (row.instead, row.note) == ("", "")
    assert day_row(the_day(small, TUE)).full == Full(text="90 %")
    assert day_row(the_day(small, date(2027, 5, 5))).full == Full(text="free")


def test_days_that_differ_say_why(small: Project) -> None:
    """Away, no hours, changed: with the reason where the maker wrote one."""
    away = day_row(the_day(e.away(small, THU, THU, "night ferry"), THU))
    assert (away.instead, away.note, away.full.text) == ("away", "night ferry", "")
    choir = Change(rule="FREQ=MONTHLY;BYDAY=1TU", workroom=(), reason="choir")
    row = day_row(the_day(e.add_change(small, choir), TUE))
    assert (row.instead, row.note) == ("no hours", "choir")
    row = day_row(the_day(e.set_day(small, TUE, sofa=EVENING), TUE))
    assert (row.instead, row.note) == ("", "changed")
    assert day_row(the_day(e.away(small, THU, THU), THU)).note == ""


def test_a_helper_without_workroom_hours_is_not_shown(small: Project) -> None:
    """A second pair of hands counts only where there are workroom hours."""
    row = day_row(the_day(e.set_day(small, SAT, workroom=(), sofa=EVENING), SAT))
    assert row.cells == ("", "19:30-21:30", "", "")


def test_why_a_day_differs_is_told_against_its_week(small: Project) -> None:
    """Place by place, what it has and what is usual; of a span also which days."""
    ferry = Change(first=THU, last=SAT, workroom=(), take_along=EVENING, reason="on the ferry")
    project = e.add_change(small, ferry)
    assert why_it_differs(the_day(project, THU).hours, TODAY) == [
        "On the ferry, Thu 6 May to Sat 8 May: workroom none, usually 19:30-21:30; on the way"
        " 19:30-21:30, usually none."
    ]
    own = e.set_day(project, THU, workroom=EVENING)
    assert why_it_differs(the_day(own, THU).hours, TODAY) == [
        "On the ferry, Thu 6 May to Sat 8 May: on the way 19:30-21:30, usually none.",
        "Changed for this day: workroom 19:30-21:30 as usual.",
    ]
    gone = e.away(small, SAT, SAT, "fair")
    assert why_it_differs(the_day(gone, SAT).hours, TODAY) == [
        "Fair: no hours, usually workroom 10:00-13:00 14:00-17:00, helper 14:00-17:00."
    ]
    assert why_it_differs(the_day(small, THU).hours, TODAY) == []


def test_over_is_said_in_words(small: Project) -> None:
    """Of a day and of its week: by how much, whatever else is free."""
    less = e.set_week(small, "workroom", ((), (Span(start=1170, end=1200),), *((),) * 5))
    week = weeks(less)[0]
    tuesday = week.days[1]
    assert day_full(tuesday).over and day_full(tuesday).text.startswith("over ")
    assert week_full(week).over
    assert "of hours" in day_heading(tuesday, TODAY)


def test_a_week_is_summed_up(small: Project) -> None:
    """Its days, its hours, what is planned; behind the last occasion that there is none."""
    first = weeks(small)[0]
    assert week_told(first) == "3 to 9 May: 13:15 of hours, 5:35 planned"
    assert week_full(first) == Full(text="42 %")
    bare = replace(first, days=tuple(replace(d, windows=()) for d in first.days))
    assert week_told(bare) == "3 to 9 May: no hours"
    behind = replace(first, days=tuple(replace(d, in_plan=False) for d in first.days))
    assert week_told(behind) == "3 to 9 May: no occasion ahead"
    assert week_full(behind).text != "free"


def test_a_day_opened_is_headed_by_its_hours(small: Project) -> None:
    """Today and tomorrow by name; a day behind the last occasion says so."""
    assert day_heading(the_day(small, TODAY), TODAY) == (
        "Today, Mon 3 May: 1:30 of hours, nothing planned"
    )
    assert day_heading(the_day(small, THU), TODAY) == (
        "Thursday 6 May: 1:45 of hours, 1:34 planned, 90 % of them"
    )
    gone = the_day(e.away(small, THU, THU), THU)
    assert day_heading(gone, TODAY) == "Thursday 6 May: no hours"
    behind = replace(gone, in_plan=False)
    assert "after the last occasion" in day_heading(behind, TODAY)


def test_a_day_without_hours_says_how_to_give_it_some(small: Project) -> None:
    """By its own form, or by the usual week, which may have none yet."""
    friday = date(2027, 5, 7)
    bare = e.set_week(small, "take_along", ((),) * 7)
    told = how_to_give_hours(the_day(bare, friday), bare.workroom)
    assert told == "Enter gives this day hours; w goes to the usual week."
    assert how_to_give_hours(the_day(small, friday), small.workroom) == ""
    away = e.away(bare, friday, friday)
    assert how_to_give_hours(the_day(away, friday), away.workroom) == ""
    none = bare
    for place in ("workroom", "sofa", "helper"):
        none = e.set_week(none, place, ((),) * 7)
    assert "No hours are written yet" in how_to_give_hours(the_day(none, friday), none.workroom)


def test_windows_say_what_of_them_is_planned(small: Project) -> None:
    """Setting up is off their beginning; a free one says how long it is."""
    (window,) = the_day(small, THU).windows
    assert window_told(window) == "19:45-21:30  1:34 of 1:45"
    (free,) = the_day(small, TODAY).windows
    assert window_told(free) == "20:30-22:00  1:30"


def test_hours_that_can_not_be_used_say_so(small: Project) -> None:
    """What is shorter than setting up is worth nothing."""
    short = e.set_day(small, THU, workroom=(Span(start=1170, end=1180),))
    assert "can be used" in without_window(the_day(short, THU), "workroom")
    assert without_window(the_day(small, THU), "workroom") == ""
    assert without_window(the_day(small, THU), "sofa") == ""


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (Change(workroom=(), sofa=(), take_along=(), helper=()), "no hours"),
        (Change(workroom=(), sofa=(), take_along=()), "no hours"),
        (Change(workroom=EVENING, sofa=()), "workroom 19:30-21:30, sofa none"),
        (Change(helper=()), "helper none"),
        (Change(), "changes nothing"),
    ],
)
def test_a_change_says_what_it_gives(change: Change, told: str) -> None:
    """Only the places it names."""
    assert gives(change) == told


def test_a_change_says_on_which_days_it_falls() -> None:
    """Among those ahead, and what stays as in the week."""
    days = [date(2027, 5, n) for n in range(3, 24)]
    choir = Change(rule="FREQ=WEEKLY;BYDAY=TU", workroom=(), helper=())
    assert change_sentences(choir, days, TODAY) == [
        "Workroom none, helper none.",
        "Sofa and on the way: as in the week.",
        "3 days up to Sunday 23 May: Tue 4 May, Tue 11 May and Tue 18 May.",
    ]
    past = Change(first=date(2027, 4, 1), workroom=(), sofa=(), take_along=(), helper=())
    assert change_sentences(past, days, TODAY)[-1] == (
        "It falls on no day from today up to Sunday 23 May."
    )


def test_changes_that_are_over_are_known() -> None:
    """A recurrence never is."""
    assert is_past(Change(first=date(2027, 5, 1), last=date(2027, 5, 2), workroom=()), TODAY)
    assert not is_past(Change(first=date(2027, 5, 1), last=TODAY, workroom=()), TODAY)
    assert not is_past(Change(rule="FREQ=DAILY;UNTIL=20270401", workroom=()), TODAY)


def test_the_usual_week_and_settings_are_told(small: Project) -> None:
    """Weekday by weekday; each setting by what it does."""
    assert week_sentences(small.workroom.sofa_hours, "sofa")[1] == (
        "Monday 20:30-22:00; Wednesday 20:30-22:00."
    )
    assert week_sentences(((),) * 7, "helper")[1] == "There are none."
    assert [told for _, _, told in settings_rows(small.workroom)] == [
        "0:15 off every stretch in the workroom",
        "70 % before work begins earlier",
        "2:30 at most",
    ]
    none = replace(small.workroom, hand_sewing_limit=None)
    assert settings_rows(none)[2][2] == "no limit"


def test_nothing_of_the_makers_own_reaches_the_terminal_unclean() -> None:
    """Reasons and rules lose their control characters."""
    project = state_of(Path(SMALL)).project
    odd = e.away(project, THU, THU, "fer\x1b[31mry\n[/]")
    assert day_row(the_day(odd, THU)).note == "fer[31mry [/]"
    assert "\x1b" not in " ".join(why_it_differs(the_day(odd, THU).hours, TODAY))
