"""The maker's hours as dated windows.

Weekly hours and their changes become stretches of workroom, sofa and take-along time with
a date. Inside this module time is whole minutes from the midnight that begins the first day
(an ``int``), so that a year of hours is dated in a few milliseconds; date-times appear only
in what comes in and what goes out.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from planner.day_hours import ANCHOR, WEEKDAYS, Away, HoursOfDays, PlaceHours, days_of, rule_dates
from planner.model import Change, Place, Span, Warned, Workroom

DAY = 24 * 60
"""Minutes of a day."""

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A stretch of the maker's hours at one place, never empty."""

    start: datetime
    end: datetime
    day: date
    """The day on which its uncut hours begin."""
    place: Place
    """Where the hours are."""
    helper: bool
    """A second pair of hands is there (workroom only)."""

    @property
    def minutes(self) -> int:
        """Whole minutes from start to end."""
        return (self.end - self.start) // _MINUTE


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """An occasion's own time: no hours of any place."""

    start: datetime
    end: datetime


class _Stretch(NamedTuple):
    """Minutes ``start`` to ``end``; ``day`` (0 is the first) is whose hours they are."""

    start: int
    end: int
    day: int


def dated_windows(
    workroom: Workroom,
    *,
    first: date,
    last: date,
    taken: Sequence[Taken],
    away: Sequence[Away],
    now: datetime,
    cuts: Collection[datetime],
) -> tuple[Window, ...]:
    """All windows of hours that begin on ``first`` to ``last``, from ``now`` on, in order.

    ``first`` is at the latest the day before that of ``now``, so that hours begun last night
    are there; ``last`` is the last day with an occasion. Windows are disjoint.

    1. The week and its changes give each day its hours; hours while away go.
    2. Windows of one place merge; where places overlap, the one that serves more steps wins.
    3. Occasions' own time goes, then setting up, then what is before ``now``.
    4. Windows are cut at ``cuts``, those of the workroom at both ends of helper hours too.
    """
    epoch = datetime.combine(first, time())
    hours = HoursOfDays(workroom, first, last)
    gone = _union(_spans_of(taken, epoch))
    elsewhere = _union(_spans_of(away, epoch))

    at_workroom = _joined(_at_home(hours.workroom, elsewhere))
    at_sofa = _less(_joined(_at_home(hours.sofa, elsewhere)), _union(at_workroom))
    along = _less(_joined(_raw(hours.take_along)), _union([*at_workroom, *at_sofa]))
    helper = _union(_raw(hours.helper))

    at = -((epoch - now) // _MINUTE)  # a minute that has begun is past
    # A moment with seconds cuts off the whole minute it lies in.
    points = {p for cut in cuts for p in ((cut - epoch) // _MINUTE, -((epoch - cut) // _MINUTE))}
    edges = sorted(points)
    workroom_edges = sorted(points.union(*((s.start, s.end) for s in helper)))

    open_workroom = _set_up(_less(at_workroom, gone), workroom.setting_up)
    windows = _Windows(epoch, first)
    windows.add(_cut(_from(open_workroom, at), workroom_edges), Place.WORKROOM, helper)
    windows.add(_cut(_from(_less(at_sofa, gone), at), edges), Place.SOFA)
    windows.add(_cut(_from(_less(along, gone), at), edges), Place.TAKE_ALONG)
    return tuple(sorted(windows.found, key=lambda window: window.start))


def hours_warnings(workroom: Workroom, first: date, last: date) -> tuple[Warned, ...]:
    """What the maker may have meant otherwise in the hours of ``first`` to ``last``.

    Helper hours outside workroom hours, one warning for each weekday or change that gives
    them (a day whose workroom hours a change takes away altogether needs none); and rules
    that fall on no day of the span, unless they ended before it.
    """
    found = [
        Warned(
            file=workroom.file,
            place=f"{change.where}.rule",
            text=f"This rule falls on no day from {first} to {last}, so it changes nothing.",
        )
        for change in workroom.changes
        if change.rule is not None
        and not days_of(change, first, last)
        and not _is_over(change, first)
    ]
    for place, day in _idle_helper(workroom, first, last).items():
        text = (
            "Helper hours count only where workroom hours are; "
            f"on {day} some of them lie outside, and count for nothing."
        )
        found.append(Warned(file=workroom.file, place=place, text=text))
    return tuple(found)


def _raw(hours: Sequence[PlaceHours]) -> list[_Stretch]:
    """Stretches of each day, merged within the day."""
    return [stretch for day, of_day in enumerate(hours) for stretch in _of_day(of_day.spans, day)]


def _at_home(hours: Sequence[PlaceHours], elsewhere: Sequence[_Stretch]) -> list[_Stretch]:
    """As ``_raw``, without the time away where no change names these hours for the day."""
    if not elsewhere:
        return _raw(hours)
    found: list[_Stretch] = []
    for day, of_day in enumerate(hours):
        stretches = _of_day(of_day.spans, day)
        found += stretches if of_day.change else _less(stretches, elsewhere)
    return found


def _of_day(spans: Iterable[Span], day: int) -> list[_Stretch]:
    """A day's spans as stretches, those that overlap or touch merged."""
    midnight = day * DAY
    return _union(_Stretch(midnight + span.start, midnight + span.end, day) for span in spans)


# Stretches


def _union(stretches: Iterable[_Stretch]) -> list[_Stretch]:
    """The same minutes as disjoint stretches in order; the day is the earliest's."""
    found: list[_Stretch] = []
    for stretch in sorted(stretches):
        if found and stretch.start <= found[-1].end:
            if stretch.end > found[-1].end:
                found[-1] = found[-1]._replace(end=stretch.end)
        elif stretch.end > stretch.start:
            found.append(stretch)
    return found


def _joined(stretches: Iterable[_Stretch]) -> list[_Stretch]:
    """Windows of one place: hours that overlap or touch those begun before join them.

    Hours that begin at their day's midnight don't join last night's: someone who has all day,
    every day, would have one window for a month, and no night in it. They give up to last
    night's only the minutes both have.
    """
    found: list[_Stretch] = []
    # Of two that begin together (when time away ends at midnight) last night's is the first.
    for stretch in sorted(stretches, key=lambda s: (s.start, s.day)):
        night = found[-1] if found else None
        if night is None or stretch.start > night.end:
            found.append(stretch)
        elif stretch.end > night.end:
            if stretch.day > night.day and stretch.start == stretch.day * DAY:
                found.append(stretch._replace(start=night.end))
            else:
                found[-1] = night._replace(end=stretch.end)
    return found


def _less(stretches: Iterable[_Stretch], holes: Sequence[_Stretch]) -> list[_Stretch]:
    """Stretches without the minutes of ``holes``; both in order and disjoint."""
    if not holes:
        return list(stretches)
    found: list[_Stretch] = []
    hole_ends = [hole.end for hole in holes]
    for stretch in stretches:
        start, hole = stretch.start, bisect_right(hole_ends, stretch.start)
        while hole < len(holes) and holes[hole].start < stretch.end:
            if holes[hole].start > start:
                found.append(stretch._replace(start=start, end=holes[hole].start))
            start = holes[hole].end
            hole += 1
        if start < stretch.end:
            found.append(stretch._replace(start=start))
    return found


def _set_up(stretches: Iterable[_Stretch], minutes: int) -> list[_Stretch]:
    """Stretches without their first ``minutes``; nothing of one that is no longer than that."""
    return [s._replace(start=s.start + minutes) for s in stretches if s.end > s.start + minutes]


def _from(stretches: Iterable[_Stretch], at: int) -> list[_Stretch]:
    """What of the stretches is not before minute ``at``."""
    return [s._replace(start=max(s.start, at)) for s in stretches if s.end > at]


def _cut(stretches: Iterable[_Stretch], edges: Sequence[int]) -> list[_Stretch]:
    """Stretches in pieces that no edge lies inside of."""
    found: list[_Stretch] = []
    for stretch in stretches:
        inside = edges[bisect_right(edges, stretch.start) : bisect_left(edges, stretch.end)]
        ends = (*inside, stretch.end)
        for start, end in zip((stretch.start, *inside), ends, strict=True):
            found.append(_Stretch(start, end, stretch.day))
    return found


def _spans_of(times: Iterable[Taken | Away], epoch: datetime) -> list[_Stretch]:
    """Stretches of minutes touched by times of the clock; empty ones are left out."""
    stretches = (
        _Stretch((t.start - epoch) // _MINUTE, -((epoch - t.end) // _MINUTE), 0) for t in times
    )
    return [stretch for stretch in stretches if stretch.end > stretch.start]


class _Windows:
    """Gathers stretches as windows, back on the calendar."""

    def __init__(self, epoch: datetime, first: date) -> None:
        self.found: list[Window] = []
        self._epoch = epoch
        self._first = first

    def add(
        self, stretches: Iterable[_Stretch], place: Place, helper: Sequence[_Stretch] = ()
    ) -> None:
        """Add windows of a place; ``helper`` are its helper hours, at whose ends it is cut."""
        begins = [stretch.start for stretch in helper]
        for start, end, day in stretches:
            before = bisect_right(begins, start) - 1
            self.found.append(
                Window(
                    start=self._epoch + timedelta(minutes=start),
                    end=self._epoch + timedelta(minutes=end),
                    day=self._first + timedelta(days=day),
                    place=place,
                    helper=before >= 0 and end <= helper[before].end,
                )
            )


# Warnings


def _is_over(change: Change, first: date) -> bool:
    """Whether a change's rule ends by itself, and did before ``first``."""
    rule = (change.rule or "").upper()
    if "COUNT=" not in rule and "UNTIL=" not in rule:
        return False
    anchor = change.first or ANCHOR
    return bool(rule_dates(rule, anchor, anchor, first)) and not rule_dates(
        rule, anchor, first, date.max
    )


def _idle_helper(workroom: Workroom, first: date, last: date) -> dict[str, date]:
    """Key path of helper hours that lie outside workroom hours, and the first such day."""
    # A day more at both ends: hours may come from the night before or go on after midnight.
    begin = first - timedelta(days=1)
    hours = HoursOfDays(workroom, begin, last + timedelta(days=1))
    there = _union(_raw(hours.workroom))
    found: dict[str, date] = {}
    for stretch in _less(_raw(hours.helper), there):
        day = begin + timedelta(days=stretch.day)
        helper, own = hours.helper[stretch.day], hours.workroom[stretch.day]
        if helper.change is not None:
            place = f"{helper.change.where}.helper"
        elif own.change is None:
            place = f"helper_hours.{WEEKDAYS[day.weekday()]}"
        elif own.spans:
            place = f"{own.change.where}.workroom"
        else:
            continue
        if first <= day <= last:
            found.setdefault(place, day)
    return found
