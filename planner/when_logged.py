"""The moment that goes with what is logged: that of a day behind, and one of its own."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Final

from planner.day_hours import hours_of_days
from planner.model import Diary, Project
from planner.occasions import away_times

WITHOUT_HOURS: Final = time(20)
"""When work on a day without hours is taken to have ended."""
_LAST: Final = time(23, 59)
_MINUTE: Final = timedelta(minutes=1)


def end_of_work(project: Project, day: date) -> datetime:
    """When work on a day is taken to have ended: with its last hours, but on the day itself."""
    (hours,) = hours_of_days(project.workroom, day, day, away_times(project.ensembles))
    spans = (*hours.spans.workroom, *hours.spans.sofa, *hours.spans.take_along)
    if not spans:
        return datetime.combine(day, WITHOUT_HOURS)
    end = datetime.combine(day, time()) + timedelta(minutes=max(span.end for span in spans))
    return min(end, datetime.combine(day, _LAST))


def own_moment(diary: Diary, at: datetime) -> datetime:
    """The moment, or the first second behind all entries of its minute.

    So what is logged together can be told from what was logged just before, and what is logged
    later in one minute also stands later.
    """
    taken = {entry.at for entry in diary.entries}
    last = max((one for one in taken if at <= one < at + _MINUTE), default=None)
    if last is not None:
        at = last + timedelta(seconds=1)
    while at in taken:
        at += timedelta(seconds=1)
    return at
