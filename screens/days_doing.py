"""Edits of the Run-up's days and steps, without a screen: what each is called, what it changes."""

from __future__ import annotations

from datetime import date

from planner.editing import fix_step
from planner.editing.hours import present
from planner.plan import Plan
from screens.doing import Doing
from screens.wording import named_date, on_date, step_with_garment

__all__ = ["Doing", "fixed", "freed", "no_longer_away"]


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


def no_longer_away(day: date, today: date) -> Doing:
    """The hours back of a day that is away, by itself or in a span of days."""
    return Doing(
        label=f"{named_date(day, today)} no longer away",
        change=lambda project: present(project, day),
        cursor=day.isoformat(),
    )
