"""What was planned on days gone by: pieced together from the plans that were kept then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from planner.model import Entry, Kept

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one plan had in some hours of a day."""

    since: datetime
    """The moment the plan was made from."""
    room: int
    """Minutes of these hours."""
    planned: tuple[tuple[str, int, int], ...]
    """Step, minutes, and minutes the plan had of the same step in earlier hours; in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """A day gone by, and what was planned on it."""

    date: date
    steps: Mapping[str, int]
    """Minutes by full id, in the order in which they were to be done."""
    parts: tuple[Part, ...] = ()
    """By the plans it comes from, as far as these are known; also what was beyond the hours."""

    @property
    def minutes(self) -> int:
        """All that was planned."""
        return sum(self.steps.values())


def planned_days(plans: Iterable[Kept], first: date, now: datetime) -> tuple[PlannedDay, ...]:
    """What was planned on the days from ``first`` to the one before ``now``'s, in order.

    A day is told by the plan it was set out with, the first one of that day, and what of it lay
    before that by the last plan before. Never more is told than there were hours for. A day
    without work is left out, as is one of which no plan is known.
    """
    set_out: dict[date, tuple[datetime, Kept]] = {}
    known = [(plan.as_of, plan) for plan in plans if plan.as_of is not None and plan.as_of <= now]
    for as_of, plan in sorted(known, key=lambda one: one[0]):
        set_out.setdefault(as_of.date(), (as_of, plan))
    made = list(set_out.values())
    ends = [*(moment for moment, _ in made[1:]), now]
    found: dict[date, list[Part]] = {}
    for (begin, plan), end in zip(made, ends, strict=False):
        before: dict[str, int] = {}
        for hours in plan.hours:
            if first <= hours.day < now.date() and hours.start < end and hours.end > begin:
                room = (min(end, hours.end) - hours.start) // _MINUTE
                mine = tuple((step, n, before.get(step, 0)) for step, n in hours.planned)
                part = Part(since=begin, room=room, planned=mine)
                found.setdefault(hours.day, []).append(part)
            for step, minutes in hours.planned:
                before[step] = before.get(step, 0) + minutes
    return tuple(
        PlannedDay(date=day, steps=_summed(parts), parts=tuple(parts))
        for day, parts in sorted(found.items())
        if _summed(parts)
    )


def _summed(parts: Iterable[Part]) -> dict[str, int]:
    """Minutes by step, one sitting behind the other; nothing that lies beyond the hours."""
    found: dict[str, int] = {}
    for part in parts:
        room = part.room
        for step, minutes, _ in part.planned:
            taken = min(minutes, room)
            room -= taken
            if taken > 0:
                found[step] = found.get(step, 0) + taken
    return found


def still_planned(planned: PlannedDay, entries: Iterable[Entry]) -> PlannedDay:
    """What was planned on a day, less what was done of it since its plan was made and before the
    day came: that is not lost. What was beyond the hours then comes into them. ``entries`` are
    those of the diary, or of its steps."""
    if not planned.parts:
        return planned
    mine = {step for part in planned.parts for step, _, _ in part.planned}
    earlier = [e for e in entries if e.step in mine and e.at.date() < planned.date]
    parts = tuple(_without(part, earlier) for part in planned.parts) if earlier else planned.parts
    return replace(planned, steps=_summed(parts), parts=parts)


def _without(part: Part, entries: Sequence[Entry]) -> Part:
    """What was left of it by some entries: what is done first is what was planned first."""
    rest = []
    for step, minutes, before in part.planned:
        since = [one for one in entries if one.step == step and one.at >= part.since]
        told = [one.done for one in since if one.done or one.left is not None]
        done = sum(one.minutes for one in since)
        left = 0 if told and told[-1] else minutes - max(0, done - before)
        rest.append((step, min(minutes, max(0, left)), before))
    return replace(part, planned=tuple(rest))


def not_done(planned: PlannedDay, entries: Sequence[Entry]) -> int:
    """Minutes planned on a day, less those that were worked on it.

    ``entries`` are the day's. Whatever was worked at counts; a step that was done counts with
    the minutes that were planned of it, if it was done in fewer or without a time.
    """
    worked: dict[str, int] = {}
    for entry in entries:
        worked[entry.step] = worked.get(entry.step, 0) + entry.minutes
    for entry in entries:
        if entry.done:
            worked[entry.step] = max(worked[entry.step], planned.steps.get(entry.step, 0))
    return max(0, planned.minutes - sum(worked.values()))
