"""The diary day by day, newest first: what was logged, against what was planned, and what was
lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from planner.looking_back import DayLost, Differs, days_lost, days_that_differ
from planner.model import Entry, Kept, Project

BACK: Final = 14
"""So many days back a day without entries is told where it was lost, away, or planned for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """An entry, and where it stands in the diary."""

    index: int
    entry: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class DiaryDay:
    """A day of the diary."""

    date: date
    logged: tuple[Logged, ...]
    """The newest first."""
    planned: int | None
    """Minutes planned for it as it began; None where no plan of then is known."""
    lost: DayLost | None
    """Hours its week would have given."""
    differs: Differs | None
    """Why its hours differ from the week, where they do."""

    @property
    def minutes(self) -> int:
        """All that was logged."""
        return sum(one.entry.minutes for one in self.logged)


PlannedOn = Callable[[date, "datetime | None"], "int | None"]
"""Minutes planned for a day, by the plan with which it began: the day, and the moment of what
was logged first on it."""


def diary_days(project: Project, now: datetime, planned_on: PlannedOn) -> tuple[DiaryDay, ...]:
    """Every day with entries, today, and of the last two weeks those with hours lost, away, or
    planned and left; the newest first. An entry after midnight belongs to its own date."""
    entries: dict[date, list[Logged]] = defaultdict(list)
    for index, entry in enumerate(project.diary.entries):
        entries[entry.at.date()].append(Logged(index=index, entry=entry))
    today = now.date()
    first = today - timedelta(days=BACK)
    lost = {one.date: one for one in days_lost(project, now, days=BACK)}
    differ = days_that_differ(project, first, today)
    away = {day for day, one in differ.items() if one.away}
    back = {first + timedelta(days=k) for k in range(BACK)}
    found = []
    for day in sorted(entries.keys() | lost.keys() | away | back | {today}, reverse=True):
        logged = sorted(entries.get(day, []), key=lambda one: (one.entry.at, one.index))
        earliest = logged[0].entry.at if logged else None
        planned = planned_on(day, earliest) if day <= today else None
        said = day in lost or day in away or day == today
        if not logged and not said and not planned:
            continue
        found.append(
            DiaryDay(
                date=day,
                logged=tuple(reversed(logged)),
                planned=planned,
                lost=lost.get(day),
                differs=differ.get(day),
            )
        )
    return tuple(found)


def planned_for(kept: Kept, day: date) -> int:
    """Minutes a kept plan has on a day."""
    return sum(minutes for hours in kept.hours if hours.day == day for _, minutes in hours.planned)
