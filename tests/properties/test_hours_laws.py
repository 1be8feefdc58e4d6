"""Laws of the maker's hours, and a slow reference that walks from minute to minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.day_hours import Away
from planner.hours import Taken, Window, dated_windows
from planner.model import Change, Place, Span, WeekHours, Workroom

FIRST = date(2027, 5, 6)
MIDNIGHT = datetime(2027, 5, 6)
DAYS = 3
REACH = (DAYS + 1) * 1440
"""Minutes that hours of ``DAYS`` days can reach."""

BY_DAY = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What ``dated_windows`` is asked."""

    workroom: Workroom
    taken: Sequence[Taken]
    away: Sequence[Away]
    now: datetime
    cuts: Sequence[datetime]

    def windows(self, cuts: Sequence[datetime] | None = None) -> tuple[Window, ...]:
        """The answer, with other cuts where given."""
        return dated_windows(
            self.workroom,
            first=FIRST,
            last=FIRST + timedelta(days=DAYS - 1),
            taken=self.taken,
            away=self.away,
            now=self.now,
            cuts=self.cuts if cuts is None else cuts,
        )


# Strategies. Most moments lie on the half hour, so that edges often meet.


def minutes(low: int, high: int) -> st.SearchStrategy[int]:
    """Minutes from ``low`` to ``high``, often round ones."""
    half_hours = st.integers(-(-low // 30), high // 30).map(lambda n: n * 30)
    return st.one_of(half_hours, half_hours, st.integers(low, high))


moments = minutes(0, REACH).map(lambda m: MIDNIGHT + timedelta(minutes=m))


@st.composite
def spans(draw: st.DrawFn) -> Span:
    """A stretch of a day, often over midnight, at most 24 hours."""
    start = draw(minutes(0, 1439))
    return Span(start=start, end=start + draw(minutes(1, 1440)))


day_hours = st.lists(spans(), max_size=2).map(tuple)
weeks: st.SearchStrategy[WeekHours] = st.lists(day_hours, min_size=7, max_size=7).map(tuple)


@st.composite
def changes(draw: st.DrawFn) -> Change:
    """A day, a span of days or a weekly rule."""
    rule = f"FREQ=WEEKLY;BYDAY={draw(st.sampled_from(BY_DAY))}" if draw(st.booleans()) else None
    first = FIRST + timedelta(days=draw(st.integers(-2, DAYS)))
    last = first + timedelta(days=draw(st.integers(0, 2)))
    return Change(
        rule=rule,
        first=None if rule else first,
        last=None if rule else last,
        workroom=draw(st.none() | day_hours),
        sofa=draw(st.none() | day_hours),
        take_along=draw(st.none() | day_hours),
        helper=draw(st.none() | day_hours),
    )


@st.composite
def times(draw: st.DrawFn) -> tuple[datetime, datetime]:
    """Beginning and end, perhaps the same."""
    start = draw(moments)
    return start, start + timedelta(minutes=draw(minutes(0, 1500)))


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A workroom with changes, occasions, times away, a now and cuts."""
    return Case(
        workroom=Workroom(
            setting_up=draw(st.sampled_from([0, 15, 30])),
            workroom_hours=draw(weeks),
            sofa_hours=draw(weeks),
            take_along_hours=draw(weeks),
            helper_hours=draw(weeks),
            changes=draw(st.lists(changes(), max_size=3).map(tuple)),
        ),
        taken=[Taken(start=a, end=b) for a, b in draw(st.lists(times(), max_size=3))],
        away=[Away(start=a, end=b) for a, b in draw(st.lists(times(), max_size=2))],
        now=draw(st.one_of(st.just(MIDNIGHT), moments)),
        cuts=draw(st.lists(moments, max_size=4)),
    )


# The reference


Stretch = tuple[int, int]
"""First minute of a day's unbroken hours, and the day."""


def falls_on(change: Change, day: date) -> bool:
    """Whether a change is for a day."""
    if change.rule is not None:
        return change.rule.endswith(BY_DAY[day.weekday()])
    assert change.first is not None
    assert change.last is not None
    return change.first <= day <= change.last


def hours_of(workroom: Workroom, name: str, day: date) -> tuple[tuple[Span, ...], bool]:
    """A day's hours of a place, and whether a change names them."""
    for change in reversed(workroom.changes):
        named: tuple[Span, ...] | None = getattr(change, name)
        if named is not None and falls_on(change, day):
            return named, True
    week: WeekHours = getattr(workroom, f"{name}_hours")
    return week[day.weekday()], False


def minutes_of(times: Sequence[Taken | Away]) -> set[int]:
    """All minutes that lie in any of some times."""
    one = timedelta(minutes=1)
    return {
        minute
        for each in times
        for minute in range((each.start - MIDNIGHT) // one, (each.end - MIDNIGHT) // one)
    }


def stretches_at(case: Case, name: str) -> list[set[Stretch]]:
    """For each minute the days' stretches of a place it lies in."""
    away = minutes_of(case.away)
    found: list[set[Stretch]] = [set() for _ in range(REACH)]
    for day in range(DAYS):
        day_spans, named = hours_of(case.workroom, name, FIRST + timedelta(days=day))
        keep = named or name in ("take_along", "helper")
        there = {
            m
            for span in day_spans
            for m in range(day * 1440 + span.start, day * 1440 + span.end)
            if keep or m not in away
        }
        start = -1
        for m in sorted(there):
            start = start if m - 1 in there else m
            found[m].add((start, day))
    return found


def runs(stretches: Sequence[set[Stretch]]) -> list[Stretch | None]:
    """For each minute the window it lies in, as the first stretch of that window."""
    found: list[Stretch | None] = []
    run: Stretch | None = None
    members: set[Stretch] = set()
    for minute, here in enumerate(stretches):
        if run is not None:
            members |= {
                each
                for each in here
                if each[0] == minute and not (each[1] > run[1] and minute == each[1] * 1440)
            }
        if run is None or not here & members:
            run = min(here, default=None)
            members = set(here)
        found.append(run)
    return found


def free_minutes(case: Case) -> list[tuple[Place, Stretch] | None]:
    """For each minute the place that has it, and the first stretch of its window."""
    free: list[tuple[Place, Stretch] | None] = [None] * REACH
    for place, name in (
        (Place.TAKE_ALONG, "take_along"),
        (Place.SOFA, "sofa"),
        (Place.WORKROOM, "workroom"),
    ):
        for minute, run in enumerate(runs(stretches_at(case, name))):
            if run is not None:
                free[minute] = (place, run)
    for minute in minutes_of(case.taken):
        if minute < REACH:
            free[minute] = None
    return free


def reference(case: Case) -> list[Window]:
    """The windows, found minute by minute."""
    one = timedelta(minutes=1)
    free = free_minutes(case)
    helped = stretches_at(case, "helper")
    cuts = {(cut - MIDNIGHT) // one for cut in case.cuts}
    found: list[Window] = []
    age = 0
    last_key: object = None
    for minute, had in enumerate(free):
        age = age + 1 if minute and had == free[minute - 1] else 0
        start = MIDNIGHT + minute * one
        setting_up = case.workroom.setting_up if had and had[0] is Place.WORKROOM else 0
        if had is None or age < setting_up or start < case.now:
            last_key = None
            continue
        place, run = had
        helper = place is Place.WORKROOM and bool(helped[minute])
        if (place, run, helper) == last_key and minute not in cuts:
            found[-1] = replace(found[-1], end=start + one)
        else:
            day = FIRST + timedelta(days=run[1])
            found.append(Window(start=start, end=start + one, day=day, place=place, helper=helper))
        last_key = (place, run, helper)
    return found


# The laws


@settings(max_examples=60, deadline=None)
@given(cases())
def test_windows_agree_with_a_minute_by_minute_reference(case: Case) -> None:
    """Every window, its day, place and helper are what walking the minutes finds."""
    assert list(case.windows()) == reference(case)


@settings(deadline=None)  # a loaded machine is no failure
@given(cases())
def test_windows_are_sorted_disjoint_and_never_empty(case: Case) -> None:
    """Each ends after it begins, and before the next begins; none lies before now."""
    windows = case.windows()
    assert all(case.now <= window.start < window.end for window in windows)
    assert all(one.end <= two.start for one, two in pairwise(windows))


@settings(deadline=None)  # a loaded machine is no failure
@given(cases())
def test_no_window_lies_in_an_occasions_own_time(case: Case) -> None:
    """Occasions' own time is nobody's hours."""
    for window in case.windows():
        for taken in case.taken:
            if taken.start < taken.end:
                assert window.end <= taken.start or taken.end <= window.start


@settings(deadline=None)  # a loaded machine is no failure
@given(cases())
def test_no_window_goes_on_past_a_cut(case: Case) -> None:
    """Every cut is at a window's edge or outside."""
    for window in case.windows():
        assert not any(window.start < cut < window.end for cut in case.cuts)


@settings(deadline=None)  # a loaded machine is no failure
@given(cases())
def test_cuts_take_no_minute(case: Case) -> None:
    """Minutes by place, day and helper are the same without cuts."""

    def sums(windows: Sequence[Window]) -> dict[tuple[Place, date, bool], int]:
        found: dict[tuple[Place, date, bool], int] = {}
        for window in windows:
            key = (window.place, window.day, window.helper)
            found[key] = found.get(key, 0) + window.minutes
        return found

    assert sums(case.windows()) == sums(case.windows(cuts=[]))


@settings(deadline=None)  # a loaded machine is no failure
@given(cases())
def test_helper_windows_are_in_the_workroom(case: Case) -> None:
    """A second pair of hands is nowhere else."""
    assert all(w.place is Place.WORKROOM for w in case.windows() if w.helper)


@settings(deadline=None)  # a loaded machine is no failure
@given(cases(), moments)
def test_time_passing_only_takes_minutes_before_now(case: Case, later: datetime) -> None:
    """Seen later, the windows are the same ones, less what has passed."""
    later = max(case.now, later)
    want = [
        (max(window.start, later), window.end, window.day, window.place)
        for window in case.windows()
        if window.end > later
    ]
    passed = Case(
        workroom=case.workroom, taken=case.taken, away=case.away, now=later, cuts=case.cuts
    )
    assert [(w.start, w.end, w.day, w.place) for w in passed.windows()] == want
