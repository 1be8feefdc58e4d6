"""The days behind: what was really done on them, as the diary says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.model import Diary, Entry

DAYS = 14
"""So many days back a look goes."""
MOST = 5
"""So many days with entries are looked back to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayDone:
    """A day with what was logged on it."""

    date: date
    entries: tuple[Entry, ...]
    """In order of time; those of one moment in the order of the file."""

    @property
    def minutes(self) -> int:
        """All that was logged."""
        return sum(entry.minutes for entry in self.entries)


def days_done(diary: Diary, now: datetime, *, days: int = DAYS, most: int = MOST) -> list[DayDone]:
    """The last days before ``now``'s with entries, at the ``most`` so many, in order.

    An entry after midnight belongs to its own date, as its wait does.
    """
    first = now.date() - timedelta(days=days)
    found: dict[date, list[Entry]] = {}
    for entry in sorted(diary.entries, key=lambda one: one.at):
        if first <= entry.at.date() < now.date():
            found.setdefault(entry.at.date(), []).append(entry)
    return [DayDone(date=day, entries=tuple(entries)) for day, entries in found.items()][-most:]


def done_on(diary: Diary, day: date) -> DayDone:
    """What was logged on one day, whenever that was."""
    entries = [entry for entry in diary.entries if entry.at.date() == day]
    return DayDone(date=day, entries=tuple(sorted(entries, key=lambda one: one.at)))
