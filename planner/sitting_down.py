"""The clock: a maker sits down to a step, and what that comes to when the step is put down.

What runs is a value in a file, so that it outlives the program. Whether it ran too long to be
believed is asked of the hours there were, never of how long the program was open.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Final

from planner.day_hours import hours_of_days
from planner.model import Diary, Entry, Project, Span
from planner.occasions import away_times

BEYOND: Final = timedelta(hours=2)
"""So long beyond its hours a sitting may run before it is asked for how long it was."""
_DAY: Final = 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class SatDown:
    """A step that somebody sat down to, and hasn't put down."""

    step: str
    """Full id."""
    since: datetime
    logging: datetime | None = None
    """``at`` of the entry that is being logged of it: whether that was done is for the diary to
    say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TooLong:
    """A sitting that can't have been so long."""

    minutes: int | None
    """To the end of the hours in which it began; None where it began in none."""


def minutes_sat(sat: SatDown, now: datetime) -> int:
    """Whole minutes since; 0 where the clock was set back."""
    return max(0, int((now - sat.since).total_seconds() // 60))


def too_long(project: Project, sat: SatDown, now: datetime) -> TooLong | None:
    """Whether a sitting went on for longer than can be: beyond midnight without hours there, or
    more than two hours beyond those in which it began."""
    end = end_of_hours(project, sat.since)
    until = max(end or sat.since, sat.since)
    midnight = datetime.combine(sat.since.date() + timedelta(days=1), time())
    if now <= until or (now <= until + BEYOND and now < max(midnight, until)):
        return None
    minutes = int((until - sat.since).total_seconds() // 60)
    return TooLong(minutes=minutes or None)


def end_of_hours(project: Project, since: datetime) -> datetime | None:
    """When the hours end in which a moment lies, or else the next of its day; None without any.

    Hours of several places that touch are one.
    """
    stretches = _stretches(project, since.date())
    return next((end for _, end in stretches if end > since), None)


def _stretches(project: Project, day: date) -> list[tuple[datetime, datetime]]:
    """The hours that touch a day, of all places together, in order of time."""
    found: list[tuple[datetime, datetime]] = []
    away = away_times(project.ensembles)
    for hours in hours_of_days(project.workroom, day - timedelta(days=1), day, away):
        spans = (*hours.spans.workroom, *hours.spans.sofa, *hours.spans.take_along)
        found += (_dated(hours.day, span) for span in spans)
    joined: list[tuple[datetime, datetime]] = []
    for start, end in sorted(found):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def _dated(day: date, span: Span) -> tuple[datetime, datetime]:
    midnight = datetime.combine(day, time())
    return midnight + timedelta(minutes=span.start), midnight + timedelta(minutes=span.end)


def entry_of(
    sat: SatDown,
    minutes: int,
    now: datetime,
    *,
    done: bool = False,
    left: int | None = None,
    note: str = "",
) -> Entry:
    """The entry of a sitting. It ended now or, where it was shorter than until now, then."""
    shorter = minutes < minutes_sat(sat, now)
    ended = sat.since + timedelta(minutes=minutes) if shorter else now
    return Entry(
        at=ended.replace(second=0, microsecond=0),
        step=sat.step,
        minutes=minutes,
        done=done,
        left=None if done else left,
        note=note,
    )


def renamed(sat: SatDown, before: Project, after: Project) -> SatDown | None:
    """The sitting under the name its step has after an edit; None where it has no other there.

    An edit that renames leaves every step in its place.
    """
    old, new = _steps(before), _steps(after)
    if len(old) != len(new) or sat.step not in old or sat.step in new:
        return None
    return replace(sat, step=new[old.index(sat.step)])


def _steps(project: Project) -> list[str]:
    """Every step by full id, in the order of the files."""
    return [
        f"{ensemble.id}/{garment.id}/{step.id}"
        for ensemble in project.ensembles
        for garment in ensemble.garments
        for step in garment.steps
    ]


def was_logged(sat: SatDown, diary: Diary) -> bool:
    """Whether a sitting is in the diary already: the program was killed between the two."""
    if sat.logging is None:
        return False
    return any(one.step == sat.step and one.at == sat.logging for one in diary.entries)
