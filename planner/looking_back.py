"""The days behind: what was really done on them, as the diary says."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.day_hours import DaySpans, hours_of_days
from planner.model import Change, Diary, Entry, Project
from planner.occasions import away_times
from planner.planned_behind import PlannedDay, not_done, still_planned

DAYS = 14
"""So many days back a look goes."""
MOST = 5
"""So many days with entries are looked back to."""
WEEK = 7
"""So many days back hours count as lost just now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayDone:
    """A day with what was logged on it."""

    date: date
    entries: tuple[Entry, ...]
    """In order of time; those of one minute in the order of the file."""

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
    for entry in sorted(diary.entries, key=lambda one: minute_of(one.at)):
        if first <= entry.at.date() < now.date():
            found.setdefault(entry.at.date(), []).append(entry)
    return [DayDone(date=day, entries=tuple(entries)) for day, entries in found.items()][-most:]


def done_on(diary: Diary, day: date) -> DayDone:
    """What was logged on one day, whenever that was."""
    entries = [entry for entry in diary.entries if entry.at.date() == day]
    return DayDone(date=day, entries=tuple(sorted(entries, key=lambda one: minute_of(one.at))))


def minute_of(moment: datetime) -> datetime:
    """Its minute: seconds only keep apart what was logged in one."""
    return moment.replace(second=0, microsecond=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLost:
    """A day on which less was worked than planned, or of which a change took hours."""

    date: date
    minutes: int
    """Of all places together."""
    reason: str
    """The maker's words; empty for none."""
    planned: bool = False
    """The minutes are planned ones that were not worked; else hours the week would have given."""


def days_lost(
    project: Project, now: datetime, *, days: int = WEEK, planned: Iterable[PlannedDay] = ()
) -> tuple[DayLost, ...]:
    """The days before ``now``'s on which work or hours were lost, in order.

    ``planned``: what was planned on them, where that is known. On such a day work is lost that
    was planned and isn't in the diary, neither of that day nor before it. On others hours are
    lost that the week would have given and a change took; what recurs was known before, and isn't
    lost.
    """
    first, last = now.date() - timedelta(days=days), now.date() - timedelta(days=1)
    was = {one.date: one for one in planned if first <= one.date <= last}
    done = _entries_by_day(project.diary) if was else {}
    found = []
    away = away_times(project.ensembles)
    for hours in hours_of_days(project.workroom, first, last, away):
        own = [change for change in hours.changes if change.rule is None]
        of_plan = was.get(hours.day)
        if of_plan is not None:
            still = still_planned(of_plan, project.diary.entries)
            minutes = not_done(still, done.get(hours.day, []))
        else:
            minutes = minutes_of(hours.week) - minutes_of(hours.spans) if own else 0
        if minutes > 0:
            reasons = dict.fromkeys(change.reason for change in own if change.reason)
            one = DayLost(
                date=hours.day,
                minutes=minutes,
                reason=", ".join(reasons),
                planned=of_plan is not None,
            )
            found.append(one)
    return tuple(found)


def _entries_by_day(diary: Diary) -> dict[date, list[Entry]]:
    """The diary's entries by their date."""
    found: dict[date, list[Entry]] = {}
    for entry in diary.entries:
        found.setdefault(entry.at.date(), []).append(entry)
    return found


def minutes_of(spans: DaySpans) -> int:
    """Minutes of a day's hours; those that are at two places at once count once."""
    total, until = 0, 0
    every = (*spans.workroom, *spans.sofa, *spans.take_along)
    for span in sorted(every, key=lambda one: one.start):
        total += max(0, span.end - max(span.start, until))
        until = max(until, span.end)
    return total


@dataclass(frozen=True, slots=True, kw_only=True)
class Differs:
    """How a day's hours differ from its week."""

    reason: str
    """In the maker's words; empty for none."""
    away: bool
    """The day was marked away: it has no hours, by a change that leaves none anywhere."""


def days_that_differ(project: Project, first: date, last: date) -> dict[date, Differs]:
    """The days with a reason or marked away; the others are left out."""
    found: dict[date, Differs] = {}
    if last < first:
        return found
    for hours in hours_of_days(project.workroom, first, last, away_times(project.ensembles)):
        said = dict.fromkeys(change.reason.strip() for change in hours.changes)
        away = not hours.spans and any(leaves_none(change) for change in hours.changes)
        reason = ", ".join(one for one in said if one)
        if reason or away:
            found[hours.day] = Differs(reason=reason, away=away)
    return found


def leaves_none(change: Change) -> bool:
    """Whether a change of days, not of a recurrence, takes every place's hours."""
    return change.rule is None and change.workroom == change.sofa == change.take_along == ()
