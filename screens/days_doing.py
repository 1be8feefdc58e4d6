"""Edits of the Run-up's days and steps, without a screen: what each is called, what it changes."""

from __future__ import annotations

from datetime import date

from planner.editing import fix_step
from planner.editing.hours import away, day_spans, present
from planner.looking_back import days_that_differ
from planner.model import Project
from planner.plan import Plan
from screens.doing import Doing
from screens.wording import named_date, on_date, step_with_garment

__all__ = ["Doing", "away_or_back", "fixed", "freed", "is_away"]


def fixed(plan: Plan, step: str, day: date) -> Doing:
    """A step given a fixed day."""
    on = on_date(day, plan.now.date())
    return Doing(
        label=f"{step_with_garment(plan, step)} fixed {on}",
        change=lambda project: fix_step(project, step, day),
        cursor=step,
    )


def freed(plan: Plan, step: str) -> Doing:
    """A step freed of its day."""
    return Doing(
        label=f"{step_with_garment(plan, step)} freed of its day",
        change=lambda project: fix_step(project, step, None),
        cursor=step,
    )


def is_away(project: Project, day: date) -> bool:
    """Whether the maker marked the day away, by itself or in a span of days."""
    differs = days_that_differ(project, day, day).get(day)
    return differs is not None and differs.away


def away_or_back(project: Project, day: date, today: date) -> Doing | str:
    """The day marked away, or its hours back where it was; else why there is nothing to do."""
    named = named_date(day, today)
    if day < today:
        return "That day is past."
    if is_away(project, day):
        return Doing(label=f"{named} no longer away", change=lambda project: present(project, day))
    if not day_spans(project, day):
        return f"There are no hours {on_date(day, today)} that could be taken; c adds some."
    return Doing(label=f"{named} away", change=lambda project: away(project, day, day))
