"""What speaks for a cause: where everything was and is, and what its old hours are like now."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.model import Kept, KeptHours, Place
from planner.plan import Plan, PlannedWindow

_MINUTE = timedelta(minutes=1)
_SERVES = {
    Place.WORKROOM: frozenset(Place),
    Place.SOFA: frozenset({Place.SOFA, Place.TAKE_ALONG}),
    Place.TAKE_ALONG: frozenset({Place.TAKE_ALONG}),
}
"""For steps of which places the hours of a place are good."""


def minutes_between(start: datetime, end: datetime) -> int:
    """Whole minutes; 0 where the end is not later."""
    return max(0, (end - start) // _MINUTE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """From when to when a step is done."""

    start: datetime
    end: datetime
    day: date
    """The day its last sitting belongs to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Old:
    """Hours in which minutes of a step were planned."""

    index: int
    """Among ``Kept.hours``."""
    hours: KeptHours
    minutes: int


class Evidence:
    """Both plans, indexed for questions about hours."""

    def __init__(self, kept: Kept, after: Plan) -> None:
        self.kept = kept
        self.after = after
        self.steps = {step.id: step for step in after.steps}
        self.was = _extents_kept(kept)
        self.extent = _extents(after)
        self._old = _old(kept)
        self._starts = [window.start for window in after.windows]
        self._inside: list[dict[str, int]] = [{} for _ in after.windows]
        for one in after.sittings:
            if one.window is not None:
                inside = self._inside[one.window]
                inside[one.step] = inside.get(one.step, 0) + one.minutes
        self._now_in: dict[int, dict[str, int]] = {}
        self._kept_starts = [hours.start for hours in kept.hours]

    def old(self, step: str, day: date) -> list[Old]:
        """The hours of a day in which a step was planned, and which are not over."""
        now = self.after.now
        mine = self._old.get(step, ())
        return [one for one in mine if one.hours.day == day and one.hours.end > now]

    def windows_in(self, hours: KeptHours) -> Iterator[tuple[int, PlannedWindow]]:
        """The windows of the plan after that lie in, or overlap, hours of the one before."""
        k = max(0, bisect_right(self._starts, hours.start) - 1)
        while k < len(self._starts) and self._starts[k] < hours.end:
            window = self.after.windows[k]
            if window.end > hours.start:
                yield k, window
            k += 1

    def there(self, hours: KeptHours, place: Place, helper: bool = False) -> int:
        """Minutes of old hours that are still there for steps of a place."""
        return sum(
            minutes_between(max(window.start, hours.start), min(window.end, hours.end))
            for _, window in self.windows_in(hours)
            if place in _SERVES[window.place] and (window.helper or not helper)
        )

    def now_in(self, index: int) -> Mapping[str, int]:
        """Minutes of each step that are planned now in the windows of old hours."""
        found = self._now_in.get(index)
        if found is None:
            found = {}
            for k, _ in self.windows_in(self.kept.hours[index]):
                for step, minutes in self._inside[k].items():
                    found[step] = found.get(step, 0) + minutes
            self._now_in[index] = found
        return found

    def comers(self, old: Old, step: str) -> list[str]:
        """Other steps with more minutes in old hours than they had there, most first."""
        had = dict(old.hours.planned)
        more = [
            (minutes - had.get(other, 0), other)
            for other, minutes in self.now_in(old.index).items()
            if other != step and minutes > had.get(other, 0)
        ]
        return [other for _, other in sorted(more, key=lambda one: (-one[0], one[1]))]

    def leavers(self, step: str, day: date) -> list[str]:
        """Other steps with fewer minutes than they had where a step is now, most first."""
        fewer: dict[str, int] = {}
        for index in self._kept_on(day):
            now = self.now_in(index)
            if step in now:
                for other, had in self.kept.hours[index].planned:
                    if other != step and had > now.get(other, 0):
                        fewer[other] = fewer.get(other, 0) + had - now.get(other, 0)
        return sorted(fewer, key=lambda other: (-fewer[other], other))

    def gone_on(self, day: date) -> int:
        """Minutes that a day's old hours had, from now on, and that are not there any more."""
        gone = 0
        for index in self._kept_on(day):
            hours = self.kept.hours[index]
            length = minutes_between(max(hours.start, self.after.now), hours.end)
            gone += length - self.there(hours, Place.TAKE_ALONG)
        return gone

    def _kept_on(self, day: date) -> Iterator[int]:
        """Indices of a day's old hours that are not over."""
        first = datetime(day.year, day.month, day.day)
        k = bisect_right(self._kept_starts, first - _MINUTE)
        # what a day's hours have after midnight may have been cut off
        while k < len(self._kept_starts) and self._kept_starts[k] < first + timedelta(days=2):
            hours = self.kept.hours[k]
            if hours.day == day and hours.end > self.after.now:
                yield k
            k += 1


def _old(kept: Kept) -> dict[str, list[Old]]:
    """By step, the hours in which it was planned."""
    found: dict[str, list[Old]] = {}
    for index, hours in enumerate(kept.hours):
        for step, minutes in hours.planned:
            found.setdefault(step, []).append(Old(index=index, hours=hours, minutes=minutes))
    return found


def _extents_kept(kept: Kept) -> dict[str, Extent]:
    """By step, its time in the plan before, as if every sitting followed the one before it.

    What is over ends with its hours.
    """
    found: dict[str, Extent] = {}
    for hours in kept.hours:
        clock = hours.start
        for step, minutes in hours.planned:
            begin = min(clock, hours.end)
            clock += minutes * _MINUTE
            one = found.get(step)
            found[step] = Extent(
                start=begin if one is None else one.start,
                end=min(clock, hours.end),
                day=hours.day,
            )
    return found


def _extents(plan: Plan) -> dict[str, Extent]:
    """By step, its time in the plan after; what is over ends with its window."""
    found: dict[str, Extent] = {}
    for one in plan.sittings:
        if one.window is None:
            continue
        window = plan.windows[one.window]
        begin = one.start or window.end
        end = one.end or window.end
        first = found.get(one.step)
        found[one.step] = Extent(
            start=begin if first is None else first.start, end=end, day=one.date
        )
    return found

