"""The diary day by day, newest first: what was logged, against what was planned, and what was
lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.held import PastOccasion
from planner.looking_back import DAYS, DayLost, Differs, days_lost, days_that_differ, minute_of
from planner.model import Entry, Project
from planner.planned_behind import PlannedDay, still_planned


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
    """The newest first; those of one minute in the order in which they were written."""
    planned: int | None
    """Minutes that were planned on it, less those done before it came; None where no plan of then
    is known, and of today."""
    lost: DayLost | None
    """What of that wasn't worked, or which hours were lost."""
    differs: Differs | None
    """Why its hours differ from the week, where they do."""
    occasions: tuple[PastOccasion, ...] = ()
    """Those of the day that are over, the last first."""

    @property
    def minutes(self) -> int:
        """All that was logged."""
        return sum(one.entry.minutes for one in self.logged)


def diary_days(
    project: Project,
    now: datetime,
    planned: Sequence[PlannedDay] = (),
    occasions: Sequence[PastOccasion] = (),
) -> tuple[DiaryDay, ...]:
    """Every day with entries or a past occasion, today, and of the last two weeks, or as far back
    as it is ``planned``, those that were lost or away; the newest first. An entry after midnight
    belongs to its own date.

    ``planned``: what was planned on days behind, as far as that is known; ``occasions``: those
    that are over, in order of time.
    """
    entries: dict[date, list[Logged]] = defaultdict(list)
    for index, entry in enumerate(project.diary.entries):
        entries[entry.at.date()].append(Logged(index=index, entry=entry))
    today = now.date()
    back = max([DAYS, *((today - one.date).days for one in planned)])
    lost = {one.date: one for one in days_lost(project, now, days=back, planned=planned)}
    differ = days_that_differ(project, today - timedelta(days=DAYS), today)
    away = {day for day, one in differ.items() if one.away}
    of_plan = (still_planned(one, project.diary.entries) for one in planned)
    was = {one.date: one.minutes for one in of_plan}
    held: dict[date, list[PastOccasion]] = defaultdict(list)
    for one in occasions:
        held[one.at.date()].insert(0, one)
    days = entries.keys() | lost.keys() | away | held.keys() | {today}
    return tuple(
        DiaryDay(
            date=day,
            logged=_newest_first(entries.get(day, [])),
            planned=was.get(day),
            lost=lost.get(day),
            differs=differ.get(day),
            occasions=tuple(held.get(day, ())),
        )
        for day in sorted(days, reverse=True)
    )


def _newest_first(logged: Sequence[Logged]) -> tuple[Logged, ...]:
    """By minute; of one minute as in the file."""
    return tuple(sorted(logged, key=lambda one: minute_of(one.entry.at), reverse=True))
