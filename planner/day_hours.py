"""What the week and its changes give each day, before anything is taken out of it.

A change is for a day, a span of days or a recurrence (an RFC 5545 RRULE); a later one wins,
place by place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from planner.model import Change, Span, WeekHours, Workroom

ANCHOR = date(2000, 1, 1)
"""Where a rule without a date of its own is anchored."""

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

# Rules that recur within a day would be followed minute by minute from the year 2000.
_INTERVAL = re.compile(r"\bINTERVAL=(\d+)\b")
_FREQUENCY = re.compile(r"\bFREQ=(YEARLY|MONTHLY|WEEKLY|DAILY)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """Departure to the end of the ensemble's next event: no workroom or sofa hours, unless
    a change names them for that day."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySpans:
    """The hours of one day at every place, as they are written: nothing taken out yet."""

    workroom: tuple[Span, ...] = ()
    sofa: tuple[Span, ...] = ()
    take_along: tuple[Span, ...] = ()
    helper: tuple[Span, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.workroom or self.sofa or self.take_along)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """What the week and its changes give a day."""

    day: date
    spans: DaySpans
    week: DaySpans
    """What the week alone would give it."""
    changes: tuple[Change, ...]
    """Those that name any of its hours as they are, in the order of the file."""
    away: bool
    """The whole day lies between a departure and its event: workroom and sofa hours are
    only what changes name."""


class PlaceHours(NamedTuple):
    """One kind of hours of one day."""

    spans: tuple[Span, ...]
    change: Change | None
    """The change that names them; None where they are the week's."""


def hours_of_days(
    workroom: Workroom, first: date, last: date, away: Sequence[Away] = ()
) -> tuple[DayHours, ...]:
    """What week and changes give each day from ``first`` to ``last``, before anything is
    taken out but days wholly ``away``."""
    return HoursOfDays(workroom, first, last).days(away)


def falls_on(change: Change, day: date) -> bool:
    """Whether a change is for a day, whatever it names."""
    return bool(days_of(change, day, day))


class HoursOfDays:
    """The hours of each day from ``first`` to ``last``: week, then changes, the later wins."""

    def __init__(self, workroom: Workroom, first: date, last: date) -> None:
        days = max((last - first).days + 1, 0)
        weekday = first.weekday()

        def week(hours: WeekHours) -> list[PlaceHours]:
            own = [PlaceHours(spans, None) for spans in hours]
            return [own[(weekday + day) % 7] for day in range(days)]

        self._first = first
        self._own = workroom
        self.workroom = week(workroom.workroom_hours)
        self.sofa = week(workroom.sofa_hours)
        self.take_along = week(workroom.take_along_hours)
        self.helper = week(workroom.helper_hours)
        for change in workroom.changes:
            self._apply(change, [(on - first).days for on in days_of(change, first, last)])

    def days(self, away: Sequence[Away]) -> tuple[DayHours, ...]:
        """Each day by itself."""
        found = []
        for day, of_day in enumerate(
            zip(self.workroom, self.sofa, self.take_along, self.helper, strict=True)
        ):
            on = self._first + timedelta(days=day)
            gone = _wholly_in(on, away)
            at_home = [h.spans if h.change or not gone else () for h in of_day[:2]]
            spans = DaySpans(
                workroom=at_home[0], sofa=at_home[1],
                take_along=of_day[2].spans, helper=of_day[3].spans,
            )  # fmt: skip
            named = {id(h.change) for h in of_day}
            found.append(
                DayHours(
                    day=on,
                    spans=spans,
                    week=_week_of(self._own, on),
                    changes=tuple(c for c in self._own.changes if id(c) in named),
                    away=gone,
                )
            )
        return tuple(found)

    def _apply(self, change: Change, days: Sequence[int]) -> None:
        """Let a change win on its days, for the places it names; the others stay."""
        for hours, spans in (
            (self.workroom, change.workroom),
            (self.sofa, change.sofa),
            (self.take_along, change.take_along),
            (self.helper, change.helper),
        ):
            if spans is not None:
                named = PlaceHours(spans, change)
                for day in days:
                    hours[day] = named


def _week_of(workroom: Workroom, day: date) -> DaySpans:
    """What the week gives a day."""
    weekday = day.weekday()
    return DaySpans(
        workroom=workroom.workroom_hours[weekday],
        sofa=workroom.sofa_hours[weekday],
        take_along=workroom.take_along_hours[weekday],
        helper=workroom.helper_hours[weekday],
    )


def days_of(change: Change, first: date, last: date) -> Sequence[date]:
    """Days of a change from ``first`` to ``last``, in order."""
    if change.rule is not None:
        return rule_dates(change.rule, change.first or ANCHOR, first, last)
    if change.first is None:
        return ()
    begin = max(change.first, first)
    end = min(change.last or change.first, last)
    return [begin + timedelta(days=day) for day in range((end - begin).days + 1)]


def _wholly_in(day: date, away: Iterable[Away]) -> bool:
    """Whether all of a day lies in times away, one following the other."""
    reached = datetime.combine(day, time())
    end = reached + timedelta(days=1)
    for time_away in sorted(away, key=lambda one: one.start):
        if time_away.start <= reached:
            reached = max(reached, time_away.end)
    return reached >= end


def rule_dates(rule: str, anchor: date, first: date, last: date) -> tuple[date, ...]:
    """Days from ``first`` to ``last`` on which an RFC 5545 rule falls, in order.

    The anchor counts, and is one of them, only where it matches the rule. ValueError for a
    rule that can't be read, or that recurs within a day.
    """
    if last < first or last < anchor:
        return ()
    if not _FREQUENCY.search(rule):
        raise ValueError("A rule of hours recurs yearly, monthly, weekly or daily.")
    # Imported here: most workrooms have no rules, and shouldn't wait for it.
    from dateutil.rrule import rrulestr

    begin = _nearer(rule.upper(), anchor, first)
    moments = rrulestr(rule, dtstart=datetime.combine(begin, time())).between(
        datetime.combine(first, time()), datetime.combine(last, time.max), inc=True
    )
    return tuple(dict.fromkeys(moment.date() for moment in moments))


def _nearer(rule: str, anchor: date, first: date) -> date:
    """A later anchor that gives a rule the same days from ``first`` on, so that it is followed
    from there: a whole number of its intervals after its own, the same day of week or month.
    """
    if "COUNT=" in rule or anchor.day > 28:
        return anchor
    found = _INTERVAL.search(rule)
    every = max(1, int(found[1])) if found else 1
    if "FREQ=DAILY" in rule or "FREQ=WEEKLY" in rule:
        days = every * (7 if "WEEKLY" in rule else 1)
        return anchor + timedelta(days=days * max(0, (first - anchor).days // days - 1))
    months = every * (12 if "FREQ=YEARLY" in rule else 1)
    there = (first.year - anchor.year) * 12 + first.month - anchor.month
    later = anchor.month - 1 + months * max(0, there // months - 1)
    return anchor.replace(year=anchor.year + later // 12, month=later % 12 + 1)
