"""What was planned on days gone by: pieced together from the plans that were kept then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from planner.model import Entry, Kept, KeptHours

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one plan had of a step on a day."""

    since: datetime
    """The moment the plan was made from."""
    step: str
    minutes: int
    before: int
    """Minutes it had of the same step in earlier hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """A day gone by, and what was planned on it."""

    date: date
    steps: Mapping[str, int]
    """Minutes by full id, in the order in which they were to be done."""
    parts: tuple[Part, ...] = ()
    """The same by the plans it comes from, as far as these are known."""

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
                found.setdefault(hours.day, []).extend(_parts(hours, begin, end, before))
            for step, minutes in hours.planned:
                before[step] = before.get(step, 0) + minutes
    return tuple(
        PlannedDay(date=day, steps=_summed(parts), parts=tuple(parts))
        for day, parts in sorted(found.items())
        if parts
    )


def _parts(
    hours: KeptHours, since: datetime, until: datetime, before: Mapping[str, int]
) -> Iterator[Part]:
    """What was planned in some hours up to a moment, one sitting behind the other; nothing that
    lies beyond their end."""
    room = (min(until, hours.end) - hours.start) // _MINUTE
    for step, minutes in hours.planned:
        taken = min(minutes, room)
        room -= taken
        if taken > 0:
            yield Part(since=since, step=step, minutes=taken, before=before.get(step, 0))


def _summed(parts: Iterable[Part]) -> dict[str, int]:
    """Minutes by step; those with none are left out."""
    found: dict[str, int] = {}
    for one in parts:
        if one.minutes:
            found[one.step] = found.get(one.step, 0) + one.minutes
    return found


def still_planned(planned: PlannedDay, entries: Iterable[Entry]) -> PlannedDay:
    """What was planned on a day, less what was done of it since its plan was made and before the
    day came: that is not lost. ``entries`` are those of the diary, or of its steps."""
    if not planned.parts:
        return planned
    mine = {part.step for part in planned.parts}
    earlier = [e for e in entries if e.step in mine and e.at.date() < planned.date]
    parts = tuple(_without(part, earlier) for part in planned.parts) if earlier else planned.parts
    return replace(planned, steps=_summed(parts), parts=parts)


def _without(part: Part, entries: Iterable[Entry]) -> Part:
    """What was left of it by some entries: what is done first is what was planned first."""
    since = [one for one in entries if one.step == part.step and one.at >= part.since]
    told = [one.done for one in since if one.done or one.left is not None]
    done = sum(one.minutes for one in since)
    left = 0 if told and told[-1] else part.minutes - max(0, done - part.before)
    return replace(part, minutes=min(part.minutes, max(0, left)))


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
