"""The maker's hours as dated windows. The week used here begins on Monday 2027-05-03."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable
from datetime import date, datetime, timedelta

import pytest

from planner.day_hours import Away, rule_dates
from planner.hours import Taken, Window, dated_windows, hours_warnings
from planner.model import Change, Place, Span, WeekHours, Workroom

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = range(7)

Shown = tuple[str, str, int]
"""Start and end as "day HH:MM" of May, and the day of May it belongs to."""


def span(text: str) -> Span:
    """ "22:00-01:00" as a span; an end not after the start is on the next day."""
    start, end = (int(hour) * 60 + int(minute) for hour, minute in map(clock, text.split("-")))
    return Span(start=start, end=end if end > start else end + 1440)


def clock(text: str) -> list[str]:
    """ "22:00" as its two numbers."""
    return text.split(":")


def spans(*texts: str) -> tuple[Span, ...]:
    """Several spans of a day."""
    return tuple(map(span, texts))


def week(hours: dict[int, tuple[Span, ...]]) -> WeekHours:
    """Hours by weekday, Monday 0."""
    return tuple(hours.get(day, ()) for day in range(7))


def every_day(*texts: str) -> WeekHours:
    """The same hours on all seven days."""
    return (spans(*texts),) * 7


def may(day: int, at: str = "00:00") -> datetime:
    """A moment of May 2027."""
    hour, minute = map(int, clock(at))
    return datetime(2027, 5, day, hour, minute)


def dated(
    workroom: Workroom,
    *,
    first: int = 3,
    last: int = 9,
    taken: Iterable[tuple[datetime, datetime]] = (),
    away: Iterable[tuple[datetime, datetime]] = (),
    now: datetime | None = None,
    cuts: Iterable[datetime] = (),
) -> tuple[Window, ...]:
    """Windows of a stretch of May 2027, by default one week with nothing past."""
    return dated_windows(
        workroom,
        first=date(2027, 5, first),
        last=date(2027, 5, last),
        taken=[Taken(start=start, end=end) for start, end in taken],
        away=[Away(start=start, end=end) for start, end in away],
        now=now or may(first),
        cuts=list(cuts),
    )


def shown(windows: Iterable[Window], place: Place = Place.WORKROOM) -> list[Shown]:
    """Windows of one place, short."""
    return [
        (f"{w.start.day} {w.start:%H:%M}", f"{w.end.day} {w.end:%H:%M}", w.day.day)
        for w in windows
        if w.place is place
    ]


# The week


def test_weekly_hours_fall_on_their_weekday() -> None:
    """Each weekday's hours are dated on that weekday, from the first day to the last."""
    workroom = Workroom(
        workroom_hours=week({TUESDAY: spans("19:30-21:30"), SUNDAY: spans("10:00-12:00")}),
        sofa_hours=week({MONDAY: spans("20:30-22:00")}),
        take_along_hours=week({MONDAY: spans("12:30-13:00")}),
    )
    windows = dated(workroom)
    assert shown(windows) == [("4 19:30", "4 21:30", 4), ("9 10:00", "9 12:00", 9)]
    assert shown(windows, Place.SOFA) == [("3 20:30", "3 22:00", 3)]
    assert shown(windows, Place.TAKE_ALONG) == [("3 12:30", "3 13:00", 3)]
    assert [w.minutes for w in windows] == [30, 90, 120, 120]
    assert not any(w.helper for w in windows)


def test_no_hours_no_windows() -> None:
    """A workroom without hours, or a span without days, has no windows."""
    assert dated(Workroom()) == ()
    assert dated(Workroom(workroom_hours=every_day("10:00-12:00")), first=9, last=3) == ()


def test_a_window_across_midnight_belongs_to_the_day_it_begins_on() -> None:
    """Friday 22:00 to 01:00 is Friday's window, whole."""
    workroom = Workroom(workroom_hours=week({FRIDAY: spans("22:00-01:00")}))
    assert shown(dated(workroom)) == [("7 22:00", "8 01:00", 7)]


def test_a_window_begun_last_night_is_still_there_after_midnight() -> None:
    """At half past midnight, what is left of last night's window is last night's."""
    workroom = Workroom(workroom_hours=week({FRIDAY: spans("22:00-01:00")}))
    windows = dated(workroom, first=7, now=may(8, "00:30"))
    assert shown(windows) == [("8 00:30", "8 01:00", 7)]


# Merging


@pytest.mark.parametrize(
    ("texts", "want"),
    [
        (("10:00-12:00", "11:00-13:00"), [("3 10:00", "3 13:00", 3)]),
        (("12:00-13:00", "10:00-12:00"), [("3 10:00", "3 13:00", 3)]),
        (("10:00-14:00", "11:00-12:00"), [("3 10:00", "3 14:00", 3)]),
        (("20:00-24:00", "23:00-01:00"), [("3 20:00", "4 01:00", 3)]),
        (("10:00-12:00", "12:01-13:00"), [("3 10:00", "3 12:00", 3), ("3 12:01", "3 13:00", 3)]),
    ],
)
def test_hours_of_one_place_merge_within_a_day(texts: tuple[str, ...], want: list[Shown]) -> None:
    """Hours of a day that overlap or touch are one window; a minute between keeps them two."""
    texts = tuple(text.replace("24:00", "00:00") for text in texts)
    assert shown(dated(Workroom(workroom_hours=week({MONDAY: spans(*texts)})))) == want


@pytest.mark.parametrize("second", ["00:30-02:00", "01:00-02:00"])
def test_hours_after_midnight_join_the_night_before(second: str) -> None:
    """Hours that begin within last night's window, or at its end, are last night's."""
    hours = week({FRIDAY: spans("22:00-01:00"), SATURDAY: spans(second)})
    workroom = Workroom(workroom_hours=hours, setting_up=15)
    assert shown(dated(workroom)) == [("7 22:15", "8 02:00", 7)]


def test_hours_that_touch_at_midnight_stay_two_windows() -> None:
    """All day, every day, is a window for each day, so that nights still pass."""
    windows = dated(Workroom(workroom_hours=every_day("00:00-00:00")), last=5)
    assert shown(windows) == [
        ("3 00:00", "4 00:00", 3),
        ("4 00:00", "5 00:00", 4),
        ("5 00:00", "6 00:00", 5),
    ]


def test_a_day_from_midnight_gives_up_what_last_night_has_already() -> None:
    """A free Saturday after a long Friday begins where Friday's window ends."""
    hours = week({FRIDAY: spans("20:00-02:00"), SATURDAY: spans("00:00-18:00")})
    want = [("7 20:00", "8 02:00", 7), ("8 02:00", "8 18:00", 8)]
    assert shown(dated(Workroom(workroom_hours=hours))) == want


def test_a_day_within_last_night_has_no_window_of_its_own() -> None:
    """Hours wholly inside last night's window add nothing."""
    hours = week({FRIDAY: spans("20:00-02:00"), SATURDAY: spans("00:00-01:00", "01:15-01:45")})
    assert shown(dated(Workroom(workroom_hours=hours))) == [("7 20:00", "8 02:00", 7)]


# Places


def test_where_places_overlap_the_one_that_serves_more_steps_wins() -> None:
    """Workroom before sofa before take-along; the others are cut around it."""
    workroom = Workroom(
        workroom_hours=week({MONDAY: spans("12:00-13:00")}),
        sofa_hours=week({MONDAY: spans("11:00-14:00")}),
        take_along_hours=week({MONDAY: spans("10:00-15:00")}),
    )
    windows = dated(workroom)
    assert shown(windows) == [("3 12:00", "3 13:00", 3)]
    assert shown(windows, Place.SOFA) == [("3 11:00", "3 12:00", 3), ("3 13:00", "3 14:00", 3)]
    assert shown(windows, Place.TAKE_ALONG) == [
        ("3 10:00", "3 11:00", 3),
        ("3 14:00", "3 15:00", 3),
    ]


def test_hours_wholly_inside_a_better_place_are_none() -> None:
    """Sofa hours within workroom hours, to the minute, leave no empty window."""
    same = every_day("19:00-21:00")
    windows = dated(Workroom(workroom_hours=same, sofa_hours=same, take_along_hours=same))
    assert {w.place for w in windows} == {Place.WORKROOM}


def test_what_is_left_of_a_cut_window_keeps_its_day() -> None:
    """The part of Friday's sofa hours after a workroom stretch past midnight is Friday's."""
    workroom = Workroom(
        workroom_hours=week({FRIDAY: spans("22:00-01:00")}),
        sofa_hours=week({FRIDAY: spans("21:00-02:00")}),
    )
    want = [("7 21:00", "7 22:00", 7), ("8 01:00", "8 02:00", 7)]
    assert shown(dated(workroom), Place.SOFA) == want


def test_setting_up_is_not_sofa_time() -> None:
    """Places are settled before setting up is taken: its minutes are nobody's."""
    workroom = Workroom(
        workroom_hours=week({MONDAY: spans("19:00-21:00")}),
        sofa_hours=week({MONDAY: spans("18:00-22:00")}),
        setting_up=20,
    )
    windows = dated(workroom)
    assert shown(windows) == [("3 19:20", "3 21:00", 3)]
    assert shown(windows, Place.SOFA) == [("3 18:00", "3 19:00", 3), ("3 21:00", "3 22:00", 3)]


# Occasions' own time


def test_an_occasion_in_the_middle_of_a_window_makes_two() -> None:
    """A fitting takes its time out of every place, and the workroom is set up again after."""
    workroom = Workroom(
        workroom_hours=week({SATURDAY: spans("10:00-17:00")}),
        sofa_hours=week({SATURDAY: spans("17:00-20:00")}),
        take_along_hours=week({SATURDAY: spans("09:00-10:00")}),
        setting_up=15,
    )
    windows = dated(workroom, taken=[(may(8, "14:00"), may(8, "15:30"))])
    assert shown(windows) == [("8 10:15", "8 14:00", 8), ("8 15:45", "8 17:00", 8)]
    windows = dated(workroom, taken=[(may(8, "09:30"), may(8, "17:30"))])
    assert shown(windows) == []
    assert shown(windows, Place.TAKE_ALONG) == [("8 09:00", "8 09:30", 8)]
    assert shown(windows, Place.SOFA) == [("8 17:30", "8 20:00", 8)]


def test_occasions_that_overlap_or_touch_a_window_only_at_its_edge() -> None:
    """Several occasions' times add up; one beside a window, or without length, takes nothing."""
    workroom = Workroom(workroom_hours=week({SATURDAY: spans("10:00-17:00")}))
    taken = [
        (may(8, "11:00"), may(8, "13:00")),
        (may(8, "12:00"), may(8, "14:00")),
        (may(8, "09:00"), may(8, "10:00")),
        (may(8, "17:00"), may(8, "18:00")),
        (may(8, "15:00"), may(8, "15:00")),
    ]
    want = [("8 10:00", "8 11:00", 8), ("8 14:00", "8 17:00", 8)]
    assert shown(dated(workroom, taken=taken)) == want


def test_a_past_occasion_still_takes_its_time() -> None:
    """A fitting that ended a minute ago: the workroom is set up anew from its end."""
    workroom = Workroom(workroom_hours=week({SATURDAY: spans("10:00-17:00")}), setting_up=15)
    taken = [(may(8, "12:00"), may(8, "13:00"))]
    windows = dated(workroom, taken=taken, now=may(8, "13:01"))
    assert shown(windows) == [("8 13:15", "8 17:00", 8)]


# Setting up, and now


def test_setting_up_comes_off_every_workroom_window_and_no_other() -> None:
    """Two stretches of a day are set up twice; the sofa needs none."""
    workroom = Workroom(
        workroom_hours=week({SATURDAY: spans("10:00-13:00", "14:00-17:00")}),
        sofa_hours=week({SATURDAY: spans("18:00-19:00")}),
        setting_up=15,
    )
    windows = dated(workroom)
    assert shown(windows) == [("8 10:15", "8 13:00", 8), ("8 14:15", "8 17:00", 8)]
    assert shown(windows, Place.SOFA) == [("8 18:00", "8 19:00", 8)]


@pytest.mark.parametrize(("setting_up", "left"), [(29, 1), (30, 0), (31, 0)])
def test_a_window_no_longer_than_setting_up_is_worth_nothing(setting_up: int, left: int) -> None:
    """Half an hour, with half an hour or more of setting up, is no window."""
    hours = week({MONDAY: spans("19:00-19:30")})
    windows = dated(Workroom(workroom_hours=hours, setting_up=setting_up))
    assert [w.minutes for w in windows] == ([left] if left else [])


@pytest.mark.parametrize(
    ("now", "start"),
    [
        ("19:00", "3 19:45"),
        ("19:30", "3 19:45"),
        ("19:40", "3 19:45"),
        ("19:45", "3 19:45"),
        ("20:10", "3 20:10"),
        ("21:30", None),
        ("22:00", None),
    ],
)
def test_minutes_before_now_go(now: str, start: str | None) -> None:
    """Setting up counts from the window's real beginning; after it, the window begins now."""
    workroom = Workroom(workroom_hours=week({MONDAY: spans("19:30-21:30")}), setting_up=15)
    windows = dated(workroom, first=2, last=3, now=may(3, now))
    assert shown(windows) == ([(start, "3 21:30", 3)] if start else [])


def test_a_minute_that_has_begun_is_past() -> None:
    """Windows keep whole minutes when now, or a cut, has seconds."""
    workroom = Workroom(workroom_hours=week({MONDAY: spans("19:30-21:30")}))
    now = may(3, "20:00") + timedelta(seconds=1)
    windows = dated(workroom, last=3, now=now, cuts=[may(3, "21:00") + timedelta(seconds=30)])
    assert shown(windows) == [
        ("3 20:01", "3 21:00", 3),
        ("3 21:00", "3 21:01", 3),
        ("3 21:01", "3 21:30", 3),
    ]


# Away


AWAY = (may(7, "14:00"), may(9))


def full_week(*changes: Change) -> Workroom:
    """The same hours of each place every day, with changes."""
    return Workroom(
        workroom_hours=every_day("18:00-20:00"),
        sofa_hours=every_day("20:00-21:00"),
        take_along_hours=every_day("12:00-13:00"),
        changes=changes,
    )


def test_away_there_are_only_take_along_hours() -> None:
    """From a departure to the end of the event there are no workroom or sofa hours."""
    windows = dated(full_week(), first=6, away=[AWAY])
    assert [day for *_, day in shown(windows)] == [6, 9]
    assert [day for *_, day in shown(windows, Place.SOFA)] == [6, 9]
    assert [day for *_, day in shown(windows, Place.TAKE_ALONG)] == [6, 7, 8, 9]


def test_away_a_place_that_a_change_names_is_there_on_its_day() -> None:
    """A sofa at the inn on Saturday is had on Saturday; the workroom stays at home."""
    change = Change(first=date(2027, 5, 8), last=date(2027, 5, 8), sofa=spans("09:00-11:00"))
    windows = dated(full_week(change), first=7, last=8, away=[AWAY])
    assert shown(windows) == []
    assert shown(windows, Place.SOFA) == [("8 09:00", "8 11:00", 8)]


def test_a_departure_within_a_window_ends_it() -> None:
    """What is before the departure and after the event stays."""
    workroom = Workroom(
        workroom_hours=week({FRIDAY: spans("13:00-15:00"), SATURDAY: spans("23:00-01:00")})
    )
    windows = dated(workroom, away=[AWAY])
    assert shown(windows) == [("7 13:00", "7 14:00", 7), ("9 00:00", "9 01:00", 8)]


def test_away_workroom_hours_do_not_hide_take_along_hours() -> None:
    """Hours that aren't there take nothing from those on the way."""
    workroom = Workroom(
        workroom_hours=every_day("10:00-12:00"), take_along_hours=every_day("11:00-13:00")
    )
    windows = dated(workroom, first=7, last=8, away=[AWAY])
    assert shown(windows, Place.TAKE_ALONG) == [
        ("7 12:00", "7 13:00", 7),
        ("8 11:00", "8 13:00", 8),
    ]


# Changes


def test_a_change_keeps_the_week_of_places_it_does_not_name() -> None:
    """On the changed days the workroom is closed and the sofa as always."""
    change = Change(first=date(2027, 5, 4), last=date(2027, 5, 6), workroom=())
    windows = dated(full_week(change))
    assert [day for *_, day in shown(windows)] == [3, 7, 8, 9]
    assert [day for *_, day in shown(windows, Place.SOFA)] == [3, 4, 5, 6, 7, 8, 9]


def test_a_later_change_wins_place_by_place() -> None:
    """The second change has its say only on the place and the days it names."""
    changes = (
        Change(
            first=date(2027, 5, 4),
            last=date(2027, 5, 5),
            workroom=spans("08:00-09:00"),
            take_along=spans("10:00-11:00"),
        ),
        Change(first=date(2027, 5, 5), last=date(2027, 5, 5), workroom=spans("07:00-08:00")),
    )
    windows = dated(full_week(*changes), first=4, last=5)
    assert shown(windows) == [("4 08:00", "4 09:00", 4), ("5 07:00", "5 08:00", 5)]
    assert shown(windows, Place.TAKE_ALONG) == [
        ("4 10:00", "4 11:00", 4),
        ("5 10:00", "5 11:00", 5),
    ]


def test_a_change_reaches_over_both_ends_of_the_span() -> None:
    """A change that begins before the first day and ends after the last counts between."""
    change = Change(first=date(2027, 4, 1), last=date(2027, 6, 30), workroom=())
    assert shown(dated(full_week(change))) == []


def test_a_change_with_a_beginning_only_is_that_day() -> None:
    """``from`` alone is one day."""
    change = Change(first=date(2027, 5, 5), workroom=())
    assert [day for *_, day in shown(dated(full_week(change)))] == [3, 4, 6, 7, 8, 9]


def test_last_nights_window_survives_a_change_of_the_next_day() -> None:
    """A closed Saturday doesn't take Friday's hours after midnight: they are Friday's."""
    change = Change(first=date(2027, 5, 8), last=date(2027, 5, 8), workroom=())
    hours = week({FRIDAY: spans("22:00-01:00"), SATURDAY: spans("10:00-12:00")})
    windows = dated(Workroom(workroom_hours=hours, changes=(change,)))
    assert shown(windows) == [("7 22:00", "8 01:00", 7)]


# Rules


def test_a_monthly_rule_changes_its_days() -> None:
    """The first Tuesday of the month is the choir's."""
    change = Change(rule="FREQ=MONTHLY;BYDAY=1TU", workroom=())
    workroom = Workroom(workroom_hours=week({TUESDAY: spans("19:30-21:30")}), changes=(change,))
    windows = dated(workroom, first=1, last=31)
    assert [day for *_, day in shown(windows)] == [11, 18, 25]


def test_a_rule_is_followed_to_the_last_day_and_no_further() -> None:
    """A rule without an end gives no hours after the last day, nor before the first."""
    change = Change(rule="FREQ=DAILY", sofa=spans("20:00-21:00"))
    windows = dated(Workroom(changes=(change,)), first=3, last=5)
    assert [day for *_, day in shown(windows, Place.SOFA)] == [3, 4, 5]


@pytest.mark.parametrize(("anchor", "days"), [(3, [3, 17, 31]), (10, [10, 24])])
def test_an_interval_counts_from_its_anchor(anchor: int, days: list[int]) -> None:
    """Every other Monday: which one, the anchor says."""
    change = Change(
        first=date(2027, 5, anchor), rule="FREQ=WEEKLY;INTERVAL=2", sofa=spans("20:00-21:00")
    )
    windows = dated(Workroom(changes=(change,)), first=1, last=31)
    assert [day for *_, day in shown(windows, Place.SOFA)] == days


def test_an_anchor_that_does_not_match_is_no_occurrence() -> None:
    """Anchored on a Monday, a rule of Tuesdays begins on the Tuesday, and counts from there."""
    days = rule_dates(
        "FREQ=WEEKLY;BYDAY=TU;COUNT=2", date(2027, 5, 3), date(2027, 5, 1), date(2027, 5, 31)
    )
    assert days == (date(2027, 5, 4), date(2027, 5, 11))


def test_a_rule_without_a_date_is_anchored_at_the_year_2000() -> None:
    """Without BYDAY, a weekly rule falls on the weekday of 2000-01-01, a Saturday."""
    change = Change(rule="FREQ=WEEKLY", sofa=spans("20:00-21:00"))
    windows = dated(Workroom(changes=(change,)))
    assert [day for *_, day in shown(windows, Place.SOFA)] == [8]


def test_a_rule_ends_where_it_says() -> None:
    """UNTIL is the last day, inclusive."""
    days = rule_dates(
        "FREQ=DAILY;UNTIL=20270505", date(2027, 5, 4), date(2027, 5, 1), date(2027, 5, 31)
    )
    assert days == (date(2027, 5, 4), date(2027, 5, 5))


@pytest.mark.parametrize("rule", ["FREQ=HOURLY", "FREQ=SECONDLY", "BYDAY=TU", "FREQ=NOW", ""])
def test_a_rule_that_is_none_is_refused(rule: str) -> None:
    """A rule that recurs within a day, or says no frequency, is a ValueError."""
    with pytest.raises(ValueError, match="recurs"):
        rule_dates(rule, date(2027, 5, 4), date(2027, 5, 1), date(2027, 5, 31))


def test_without_rules_the_recurrence_library_is_not_loaded() -> None:
    """A workroom without rules doesn't pay for reading them."""
    code = (
        "import sys, datetime as d\n"
        "from planner.hours import dated_windows, hours_warnings\n"
        "from planner.model import Change, Span, Workroom\n"
        "day = d.date(2027, 5, 3)\n"
        "room = Workroom(changes=(Change(first=day, workroom=(Span(start=0, end=60),)),))\n"
        "now = d.datetime(2027, 5, 3)\n"
        "w = dated_windows(room, first=day, last=day, taken=[], away=[], now=now, cuts=[])\n"
        "hours_warnings(room, day, day)\n"
        "assert len(w) == 1 and 'dateutil' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# Helper hours and cuts


def test_helper_hours_cut_the_workroom_window() -> None:
    """The stretch with a second pair of hands is a window of its own, set up only once."""
    workroom = Workroom(
        workroom_hours=week({SATURDAY: spans("13:00-18:00")}),
        helper_hours=week({SATURDAY: spans("14:00-17:00")}),
        setting_up=15,
    )
    windows = dated(workroom)
    assert shown(windows) == [
        ("8 13:15", "8 14:00", 8),
        ("8 14:00", "8 17:00", 8),
        ("8 17:00", "8 18:00", 8),
    ]
    assert [w.helper for w in windows] == [False, True, False]


def test_helper_hours_merge() -> None:
    """Helper hours that overlap or touch, also at midnight, make one stretch."""
    workroom = Workroom(
        workroom_hours=week({FRIDAY: spans("22:00-02:00")}),
        helper_hours=week(
            {FRIDAY: spans("22:00-23:00", "23:00-00:00"), SATURDAY: spans("00:00-02:00")}
        ),
    )
    windows = dated(workroom)
    assert shown(windows) == [("7 22:00", "8 02:00", 7)]
    assert windows[0].helper


def test_helper_hours_outside_workroom_hours_count_for_nothing() -> None:
    """A helper on the sofa is company: nothing is cut, and nothing is a helper window."""
    workroom = Workroom(
        workroom_hours=week({SATURDAY: spans("10:00-12:00")}),
        sofa_hours=week({SATURDAY: spans("13:00-16:00")}),
        helper_hours=week({SATURDAY: spans("14:00-15:00")}),
    )
    windows = dated(workroom)
    assert [(w.minutes, w.helper) for w in windows] == [(120, False), (180, False)]


def test_helper_hours_follow_changes() -> None:
    """A change may bring a helper on one day, and send one away on another."""
    workroom = Workroom(
        workroom_hours=every_day("14:00-17:00"),
        helper_hours=week({SATURDAY: spans("14:00-17:00")}),
        changes=(
            Change(first=date(2027, 5, 7), helper=spans("15:00-17:00")),
            Change(first=date(2027, 5, 8), helper=()),
        ),
    )
    windows = dated(workroom, first=7, last=8)
    assert [(w.day.day, w.minutes, w.helper) for w in windows] == [
        (7, 60, False),
        (7, 120, True),
        (8, 180, False),
    ]


def test_cuts_divide_windows_and_cost_nothing() -> None:
    """Windows are cut at each moment inside them; both parts keep the day of the whole."""
    workroom = Workroom(
        workroom_hours=week({FRIDAY: spans("22:00-02:00")}),
        sofa_hours=week({FRIDAY: spans("20:00-22:00")}),
        setting_up=10,
    )
    windows = dated(workroom, cuts=[may(8), may(7, "21:00"), may(8, "01:00"), may(8)])
    assert shown(windows, Place.SOFA) == [("7 20:00", "7 21:00", 7), ("7 21:00", "7 22:00", 7)]
    assert shown(windows) == [
        ("7 22:10", "8 00:00", 7),
        ("8 00:00", "8 01:00", 7),
        ("8 01:00", "8 02:00", 7),
    ]


def test_a_cut_at_the_edge_of_a_window_makes_no_empty_one() -> None:
    """Cuts at a window's beginning or end, within setting up, before now or outside, do nothing."""
    workroom = Workroom(
        workroom_hours=week({MONDAY: spans("19:30-21:30")}),
        helper_hours=week({MONDAY: spans("19:45-21:30")}),
        setting_up=15,
    )
    at = ["19:30", "19:40", "19:45", "21:30", "21:31"]
    windows = dated(workroom, cuts=[may(3, text) for text in at])
    assert shown(windows) == [("3 19:45", "3 21:30", 3)]
    now = may(3, "20:30")
    windows = dated(workroom, now=now, cuts=[now, may(3, "20:00")])
    assert shown(windows) == [("3 20:30", "3 21:30", 3)]


# Warnings


def warned(workroom: Workroom, first: int = 3, last: int = 16) -> list[str]:
    """Key paths of the warnings for some days of May 2027."""
    found = hours_warnings(workroom, date(2027, 5, first), date(2027, 5, last))
    assert all(each.file == workroom.file for each in found)
    return [each.place for each in found]


def test_helper_hours_outside_workroom_hours_are_warned_about_once() -> None:
    """One warning for each weekday, however many weeks; none where they are all inside."""
    workroom = Workroom(
        file="workroom.toml",
        workroom_hours=week({FRIDAY: spans("22:00-01:00"), SATURDAY: spans("14:00-17:00")}),
        helper_hours=week(
            {
                MONDAY: spans("19:00-20:00"),
                FRIDAY: spans("23:00-01:00"),
                SATURDAY: spans("16:00-18:00"),
            }
        ),
    )
    assert warned(workroom) == ["helper_hours.monday", "helper_hours.saturday"]


def test_a_change_that_moves_a_helper_outside_the_workroom_is_warned_about() -> None:
    """Whether it moves the helper or the workroom; but closing the workroom says enough."""
    workroom = Workroom(
        workroom_hours=week({SATURDAY: spans("14:00-17:00")}),
        helper_hours=week({SATURDAY: spans("14:00-17:00")}),
        changes=(
            Change(first=date(2027, 5, 5), helper=spans("10:00-11:00"), where="change[0]"),
            Change(first=date(2027, 5, 8), workroom=(), where="change[1]"),
            Change(first=date(2027, 5, 15), workroom=spans("09:00-12:00"), where="change[2]"),
        ),
    )
    assert warned(workroom) == ["change[0].helper", "change[2].workroom"]
    assert warned(workroom, first=9, last=14) == []


@pytest.mark.parametrize(
    ("rule", "first", "want"),
    [
        ("FREQ=MONTHLY;BYDAY=1TU", None, []),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", None, ["change[0].rule"]),
        ("FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=24", None, ["change[0].rule"]),
        ("FREQ=DAILY", date(2028, 1, 1), ["change[0].rule"]),
        ("FREQ=DAILY;UNTIL=20270401", date(2027, 3, 1), []),
        ("FREQ=WEEKLY;COUNT=3", date(2027, 3, 1), []),
        ("FREQ=MONTHLY;BYMONTHDAY=20;COUNT=3", date(2027, 4, 1), ["change[0].rule"]),
        ("FREQ=DAILY;UNTIL=20270401", date(2027, 5, 5), ["change[0].rule"]),
    ],
)
def test_a_rule_that_never_falls_in_the_span_is_warned_about(
    rule: str, first: date | None, want: list[str]
) -> None:
    """Unless it ended before the span."""
    change = Change(rule=rule, first=first, workroom=(), where="change[0]")
    assert warned(Workroom(changes=(change,))) == want


def test_a_change_wholly_past_is_not_warned_about() -> None:
    """Days that are over need no attention."""
    change = Change(first=date(2027, 4, 1), helper=spans("10:00-11:00"), where="change[0]")
    assert warned(Workroom(changes=(change,))) == []
