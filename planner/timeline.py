"""The hours as a line: moments to minutes of hours gone by, and back.

Clock moments are whole minutes from an epoch. One line a need: two-hand work counts helper
hours, workroom work all workroom hours, sofa work also sofa hours, take-along work all.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.hours import Window
from planner.model import Place
from planner.schedule.problem import HELPER, KINDS, SOFA, TAKE_ALONG, WORKROOM

EPOCH = datetime(1970, 1, 1)
EPOCH_ORDINAL = EPOCH.toordinal()
DAY = 1440
"""Minutes of a day."""
_MINUTE = timedelta(minutes=1)


def to_clock(moment: datetime) -> int:
    """Whole minutes from the epoch."""
    return (moment - EPOCH) // _MINUTE


def from_clock(minutes: int) -> datetime:
    """The moment again."""
    return EPOCH + timedelta(minutes=minutes)


def to_day(day: date) -> int:
    """A day's ordinal."""
    return day.toordinal()


def kind_of(window: Window) -> int:
    """HELPER, WORKROOM, SOFA or TAKE_ALONG."""
    if window.place is Place.WORKROOM:
        return HELPER if window.helper else WORKROOM
    return SOFA if window.place is Place.SOFA else TAKE_ALONG


def need_of(place: Place, hands: int) -> int:
    """The widest kind of hours a step can be done in."""
    if hands > 1:
        return HELPER
    return {Place.WORKROOM: WORKROOM, Place.SOFA: SOFA, Place.TAKE_ALONG: TAKE_ALONG}[place]


@dataclass(frozen=True, slots=True)
class Line:
    """The windows that serve one need."""

    start: tuple[int, ...]
    end: tuple[int, ...]
    gone: tuple[int, ...]
    """Minutes of hours before each window; one more entry for all."""
    day: tuple[int, ...]
    """Ordinal of the day each window belongs to."""

    def day_at(self, moment: int) -> int:
        """The day a moment belongs to: after midnight, still that of last night's window."""
        k = bisect_right(self.start, moment) - 1
        if k >= 0 and moment < self.end[k]:
            return self.day[k]
        return moment // DAY + EPOCH_ORDINAL

    def first_of(self, day: int) -> int:
        """The moment from which work belongs to a day or a later one."""
        k = bisect_left(self.day, day)
        midnight = (day - EPOCH_ORDINAL) * DAY
        return max(midnight, self.end[k - 1]) if k else midnight

    def last_of(self, day: int) -> int:
        """The moment up to which work belongs to a day or an earlier one."""
        k = bisect_right(self.day, day) - 1
        midnight = (day + 1 - EPOCH_ORDINAL) * DAY
        return max(midnight, self.end[k]) if k >= 0 else midnight

    def gone_by(self, moment: int) -> int:
        """Minutes of hours before a moment."""
        k = bisect_right(self.start, moment) - 1
        if k < 0:
            return 0
        return self.gone[k] + min(max(0, moment - self.start[k]), self.end[k] - self.start[k])

    def begin(self, moment: int) -> int | None:
        """The first moment from there on that lies in hours; None when there are no more."""
        k = bisect_right(self.end, moment)
        return None if k >= len(self.start) else max(moment, self.start[k])

    def finish(self, moment: int) -> int:
        """The last moment up to there at which hours can end; ``moment`` when before all."""
        k = bisect_left(self.start, moment) - 1
        return moment if k < 0 else min(moment, self.end[k])

    def after(self, begin: int, minutes: int) -> int | None:
        """When work begun at ``begin`` has had so many minutes; None when hours run out."""
        goal = self.gone_by(begin) + minutes
        if goal > self.gone[-1]:
            return None
        k = bisect_left(self.gone, goal) - 1
        return self.start[k] + goal - self.gone[k]

    def before(self, end: int, minutes: int) -> int:
        """When work must begin to have had so many minutes by ``end``.

        Where the hours before don't suffice, what they lack is taken off by the clock.
        """
        goal = self.gone_by(end) - minutes
        if goal < 0 or not self.start:
            return (min(end, self.start[0]) if self.start else end) + min(goal, 0)
        k = bisect_right(self.gone, goal) - 1
        k = min(k, len(self.start) - 1)
        return self.start[k] + goal - self.gone[k]


def lines(windows: Sequence[Window]) -> tuple[Line, ...]:
    """One line for each need."""
    found = []
    for need in range(KINDS):
        mine = [w for w in windows if kind_of(w) <= need]
        gone, total = [0], 0
        for w in mine:
            total += w.minutes
            gone.append(total)
        found.append(
            Line(
                tuple(to_clock(w.start) for w in mine),
                tuple(to_clock(w.end) for w in mine),
                tuple(gone),
                tuple(to_day(w.day) for w in mine),
            )
        )
    return tuple(found)
