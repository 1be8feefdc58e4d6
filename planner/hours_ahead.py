"""The weeks ahead: what hours each day has and why, and how full they are by a plan.

Days go from today to the last day of the plan, and on to the end of that week; where no occasion
lies ahead, four weeks. Of days behind the plan only the hours are known.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from planner.day_hours import DayHours, falls_on, hours_of_days
from planner.model import Change, Project
from planner.occasions import away_times
from planner.plan import Plan, PlannedOccasion, PlannedWindow, Sitting

WITHOUT_OCCASION = 28
"""Days shown where no occasion says how many."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowAhead:
    """A cut window, and what is planned in it."""

    window: PlannedWindow
    sittings: tuple[Sitting, ...]

    @property
    def over(self) -> int:
        """Minutes beyond its end."""
        return sum(one.over for one in self.sittings)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAhead:
    """A day with its hours as they are written, and as they are to be had."""

    hours: DayHours
    windows: tuple[WindowAhead, ...]
    occasions: tuple[PlannedOccasion, ...]
    in_plan: bool
    """Whether an occasion lies ahead of it; else nothing is planned, whatever the hours."""

    @property
    def day(self) -> date:
        """Its date."""
        return self.hours.day

    @property
    def available(self) -> int:
        """Minutes to be had, at all places."""
        return sum(one.window.minutes for one in self.windows)

    @property
    def planned(self) -> int:
        """Minutes planned, what is over included."""
        return sum(one.window.planned for one in self.windows)

    @property
    def over(self) -> int:
        """Minutes beyond the ends of its windows."""
        return sum(one.over for one in self.windows)

    @property
    def load(self) -> float | None:
        """Planned over available; None without hours."""
        return self.planned / self.available if self.available else None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekAhead:
    """Days of one week, Monday to Sunday, of which the first may be in its midst."""

    days: tuple[DayAhead, ...]

    @property
    def available(self) -> int:
        """Minutes to be had."""
        return sum(day.available for day in self.days)

    @property
    def planned(self) -> int:
        """Minutes planned."""
        return sum(day.planned for day in self.days)

    @property
    def over(self) -> int:
        """Minutes beyond the ends of its windows."""
        return sum(day.over for day in self.days)

    @property
    def load(self) -> float | None:
        """Planned over available; None without hours."""
        return self.planned / self.available if self.available else None


def weeks_ahead(project: Project, plan: Plan) -> tuple[WeekAhead, ...]:
    """The weeks from today on, each with its days."""
    first, last = _span(plan)
    sittings: dict[int, list[Sitting]] = defaultdict(list)
    for sitting in plan.sittings:
        if sitting.window is not None:
            sittings[sitting.window].append(sitting)
    windows: dict[date, list[WindowAhead]] = defaultdict(list)
    for index, window in enumerate(plan.windows):
        there = WindowAhead(window=window, sittings=tuple(sittings[index]))
        windows[window.day].append(there)
    occasions: dict[date, list[PlannedOccasion]] = defaultdict(list)
    for occasion in plan.occasions:
        if not occasion.past:
            occasions[max(occasion.at.date(), first)].append(occasion)
    ahead = any(not one.past for one in plan.occasions)
    reached = {day.date for day in plan.days} if ahead else set[date]()
    days = [
        DayAhead(
            hours=hours,
            windows=tuple(windows[hours.day]),
            occasions=tuple(occasions[hours.day]),
            in_plan=hours.day in reached,
        )
        for hours in hours_of_days(project.workroom, first, last, away_times(project.ensembles))
    ]
    return tuple(WeekAhead(days=tuple(of_week)) for _, of_week in groupby(days, _monday))


def days_changed(change: Change, days: Iterable[date]) -> tuple[date, ...]:
    """Those of some days that a change is for."""
    return tuple(day for day in days if falls_on(change, day))


def _span(plan: Plan) -> tuple[date, date]:
    """The first and the last day."""
    today = plan.now.date()
    ahead = [one for one in plan.occasions if not one.past]
    if not plan.days or not ahead:
        last = today + timedelta(days=WITHOUT_OCCASION - 1)
        return today, last + timedelta(days=6 - last.weekday())
    last = plan.days[-1].date
    return min(plan.days[0].date, today), last + timedelta(days=6 - last.weekday())


def _monday(day: DayAhead) -> date:
    return day.day - timedelta(days=day.day.weekday())
