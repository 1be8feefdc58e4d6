"""What the Run-up looks at: a plan day by day, of all ensembles or of one alone.

Worked out once a plan, so that going from day to day only looks things up. One alone is a way to
look: hours, and how full they are, stay those of the one plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from planner.came import Came
from planner.glance import Glance, glance, is_of
from planner.hours_over import hours_are_over
from planner.looking_back import (
    DAYS,
    DayDone,
    DayLost,
    Differs,
    days_done,
    days_lost,
    days_that_differ,
    done_on,
)
from planner.model import Entry, Project
from planner.plan import Plan, PlannedStep, Sitting, Where
from planner.planned_behind import PlannedDay
from screens.countdown import OnDay, days_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """A day before today: what was done on it, or why it had no hours."""

    date: date
    entries: tuple[Entry, ...]
    lost: DayLost | None

    @property
    def minutes(self) -> int:
        """All that was logged."""
        return sum(entry.minutes for entry in self.entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """A plan, its project, and what of them is looked at."""

    plan: Plan
    project: Project
    alone: str | None
    """Id of the ensemble that is looked at alone; None for all."""
    days: Mapping[date, OnDay]
    """From today on, with the sittings and occasions that are looked at."""
    others: Mapping[date, tuple[Sitting, ...]]
    """Sittings of the ensembles that aren't."""
    behind: tuple[Behind, ...]
    today: DayDone
    """What was logged today already."""
    differs: Mapping[date, Differs]
    """Days whose hours differ from their week, with why, and those marked away."""
    lost: tuple[DayLost, ...]
    steps: Mapping[str, PlannedStep]
    seen: Glance
    came: Came = field(default_factory=dict)
    """What is on other days than by the plan before."""
    hours_over: bool = False
    """Today had hours, and they are over."""

    def behind_on(self, day: date) -> Behind | None:
        """The day behind of a date."""
        return next((one for one in self.behind if one.date == day), None)


def looked_at(
    plan: Plan,
    project: Project,
    alone: str | None = None,
    planned: tuple[PlannedDay, ...] = (),
) -> LookedAt:
    """All there is to look up, of all ensembles or of one ``alone``.

    ``planned``: what was planned on the days behind, where that is known.
    """
    today = plan.now.date()
    on_days = {one.day.date: one for one in days_of(plan)}
    done = [_of(one, alone) for one in days_done(project.diary, plan.now)]
    lost = days_lost(project, plan.now, planned=planned)
    if plan.occasions and all(one.past for one in plan.occasions):
        lost = ()  # after the last occasion nothing is lost any more
    last = max(on_days, default=today)
    return LookedAt(
        plan=plan,
        project=project,
        alone=alone,
        days={day: _alone(on_day, alone) for day, on_day in on_days.items()},
        others={
            day: tuple(one for one in on_day.sittings if not is_of(one.step, alone))
            for day, on_day in on_days.items()
        },
        behind=_behind(done, lost),
        today=_of(done_on(project.diary, today), alone),
        differs=days_that_differ(project, today - timedelta(days=DAYS), last),
        lost=lost,
        steps={step.id: step for step in plan.steps},
        seen=glance(plan, alone),
        hours_over=hours_are_over(project, plan.now),
    )


def _of(done: DayDone, alone: str | None) -> DayDone:
    """What was logged on a day of what is looked at."""
    entries = tuple(entry for entry in done.entries if is_of(entry.step, alone))
    return DayDone(date=done.date, entries=entries)


def _alone(on_day: OnDay, alone: str | None) -> OnDay:
    """A day with what is looked at alone."""
    if alone is None:
        return on_day
    return OnDay(
        day=on_day.day,
        sittings=tuple(one for one in on_day.sittings if is_of(one.step, alone)),
        occasions=tuple(one for one in on_day.occasions if is_of(one.id, alone)),
    )


def _behind(done: list[DayDone], lost: tuple[DayLost, ...]) -> tuple[Behind, ...]:
    """The days with entries and those lost, in order."""
    entries = {one.date: one.entries for one in done if one.entries}
    gone = {one.date: one for one in lost}
    return tuple(
        Behind(date=day, entries=entries.get(day, ()), lost=gone.get(day))
        for day in sorted(entries.keys() | gone.keys())
    )


def minutes_at(sittings: tuple[Sitting, ...]) -> int:
    """Minutes of sittings in the maker's own hours."""
    return sum(one.minutes for one in sittings if one.where is not Where.OCCASION)
