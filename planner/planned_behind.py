"""What was planned on days gone by: pieced together from the plans that were kept then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.model import Entry, Kept, KeptHours

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """A day gone by, and what was planned on it."""

    date: date
    steps: Mapping[str, int]
    """Minutes by full id, in the order in which they were to be done."""

    @property
    def minutes(self) -> int:
        """All that was planned."""
        return sum(self.steps.values())


def planned_days(plans: Iterable[Kept], first: date, now: datetime) -> tuple[PlannedDay, ...]:
    """What was planned on the days from ``first`` to the one before ``now``'s, in order.

    Each hour is told by the plan that was kept last before it: a plan counts from the moment it
    was made until the next one was. A day without work is left out, as is one of which no plan
    is known.
    """
    made = sorted(
        ((plan.as_of, plan) for plan in plans if plan.as_of is not None and plan.as_of <= now),
        key=lambda one: one[0],
    )
    ends = [*(moment for moment, _ in made[1:]), now]
    found: dict[date, dict[str, int]] = {}
    for (begin, plan), end in zip(made, ends, strict=False):
        for hours in plan.hours:
            if first <= hours.day < now.date() and hours.start < end and hours.end > begin:
                _add(found.setdefault(hours.day, {}), hours, end)
    return tuple(
        PlannedDay(date=day, steps=steps) for day, steps in sorted(found.items()) if steps
    )


def _add(steps: dict[str, int], hours: KeptHours, until: datetime) -> None:
    """Add what was planned in some hours up to a moment, one sitting behind the other.

    What lies beyond the end of the hours counts, if the hours were over by then.
    """
    room = (until - hours.start) // _MINUTE
    if hours.end <= until:
        room = sum(minutes for _, minutes in hours.planned)
    for step, minutes in hours.planned:
        taken = min(minutes, room)
        room -= taken
        if taken > 0:
            steps[step] = steps.get(step, 0) + taken


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
