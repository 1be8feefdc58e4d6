"""The days of a plan with what happens on each, without a screen."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.glance import is_of
from planner.held import BY_DATE
from planner.plan import Day, Plan, PlannedOccasion, Sitting, Where
from screens.wording import (
    count,
    name_of,
    occasion_name,
    when,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnDay:
    """A day with everything that happens on it."""

    day: Day
    sittings: tuple[Sitting, ...]
    occasions: tuple[PlannedOccasion, ...]

    @property
    def minutes(self) -> int:
        """Planned in all places, occasions' own time aside."""
        return sum(one.minutes for one in self.sittings if one.where is not Where.OCCASION)

    @property
    def available(self) -> int:
        """Hours of all places."""
        day = self.day
        return day.workroom_available + day.sofa_available + day.take_along_available


def days_of(plan: Plan) -> tuple[OnDay, ...]:
    """Every day of the plan with what happens on it."""
    sittings: dict[date, list[Sitting]] = defaultdict(list)
    for sitting in plan.sittings:
        sittings[sitting.date].append(sitting)
    occasions: dict[date, list[PlannedOccasion]] = defaultdict(list)
    for occasion in plan.occasions:
        today = plan.now.date()
        if not occasion.past:
            occasions[max(occasion.at.date(), today)].append(occasion)
        elif today in (occasion.at.date(), _last_day(occasion)):
            # what is over today stays on its line
            occasions[today].append(occasion)
    return tuple(
        OnDay(
            day=day,
            sittings=tuple(sittings[day.date]),
            occasions=tuple(occasions[day.date]),
        )
        for day in plan.days
    )


def _last_day(occasion: PlannedOccasion) -> date:
    """The last of its days: one that takes a day until midnight has nothing of the next."""
    end = max(occasion.at, occasion.end - timedelta(microseconds=1))
    return end.date()


def occasion_line(plan: Plan, occasion: PlannedOccasion) -> str:
    """ "14:00-15:10  body fitting, 3 things to do"; of one that is over, "counts as held"."""
    things = f", {count(len(occasion.during), 'thing')} to do" if occasion.during else ""
    if occasion.past:
        things = f", {held_word(occasion)}"
    return f"{when(occasion)}  {occasion_name(occasion)}{things}"


def lacking(plan: Plan, occasion: PlannedOccasion) -> list[str]:
    """What one that is over lacked: what was to be done before it, and what at it."""
    done = {step.id for step in plan.steps if step.done}
    at_it = [one for one in occasion.during if one not in done]
    late = [one for one in occasion.late if one not in at_it]
    told = [f"{count(len(late), 'step')} before it late"] if late else []
    if at_it and occasion.kind not in BY_DATE:
        told.append(f"{len(at_it) if late else count(len(at_it), 'step')} at it open")
    return told


def held_word(occasion: PlannedOccasion) -> str:
    """What became of an occasion that is over, as far as the plan knows."""
    if occasion.kind in BY_DATE:
        return "over"
    return "counts as held" if occasion.held else "wasn't held"


def wearable_with(plan: Plan, day: date, alone: str | None = None) -> list[str]:
    """The ensembles that can be worn once this day's work is done, and couldn't before."""
    return [
        name_of(plan, ident)
        for ident, on in plan.wearable_on.items()
        if on == day and on >= plan.now.date() and is_of(ident, alone)
        if plan.wearable_left.get(ident) != 0
    ]


def hours_between(plan: Plan, start: datetime, end: datetime) -> int:
    """Minutes of hours between two moments, cut windows counted by their overlap."""
    total = 0.0
    for window in plan.windows:
        shared = min(window.end, end) - max(window.start, start)
        total += max(0.0, shared.total_seconds() / 60)
    return int(total)
