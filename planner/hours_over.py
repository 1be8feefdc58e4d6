"""Whether the hours of a day were there and are over, which is not to have none."""

from __future__ import annotations

from datetime import datetime, time

from planner.day_hours import hours_of_days
from planner.model import Project
from planner.occasions import away_times


def hours_are_over(project: Project, now: datetime) -> bool:
    """Whether ``now``'s day has hours, of which none is left; what would be left of workroom
    hours only to set up is none."""
    day = now.date()
    (hours,) = hours_of_days(project.workroom, day, day, away_times(project.ensembles))
    past = (now - datetime.combine(day, time())).total_seconds() // 60
    spans = hours.spans
    ends = [span.end - project.workroom.setting_up for span in spans.workroom]
    ends += [span.end for span in (*spans.sofa, *spans.take_along)]
    return bool(ends) and max(ends) <= past
