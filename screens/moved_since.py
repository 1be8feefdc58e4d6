"""The plan as it stands compared with the one a day began with, where that is known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from planner.files.plans_behind import (
    PlanBehind,
    folder_of,
    plan_of_day,
    planned_of,
    plans_known,
)
from planner.looking_back import days_lost
from planner.model import Project
from planner.plan import Plan
from planner.replan import what_moves
from planner.replanning.values import Moved
from screens.arguments import read_date, wrong
from screens.wording import WEEKDAYS, listed, long_date, named_date

TOLD = 4
"""So many days are named of which a plan is known."""
OPTION = "--since"


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedSince:
    """What was asked for, and what came of it."""

    since: date
    """The day that was asked for."""
    behind: PlanBehind
    """The plan with which it began, or the nearest before it."""
    moved: Moved
    not_done: int
    """Minutes planned and not worked since: day by day, as they are told everywhere; of today's
    own plan, what of it went by."""


def moved_since(project: Project, plan: Plan, since: date) -> MovedSince | None:
    """What moved since a day began; None where no plan of then or before is known.

    It is read from beside the project's files: the plan kept first on that day, or on the
    nearest day before it; else the plan accepted last, if it is as old.
    """
    folder = folder_of(project)
    behind = plan_of_day(folder, since) if folder is not None else None
    as_of = project.kept.as_of
    if behind is None and as_of is not None and as_of < plan.now and as_of.date() <= since:
        behind = PlanBehind(day=as_of.date(), kept=project.kept)
    if behind is None:
        return None
    moved = what_moves(behind.kept, plan, project)
    not_done = _not_done(project, plan, behind, moved)
    return MovedSince(since=since, behind=behind, moved=moved, not_done=not_done)


def since_last(project: Project, plan: Plan) -> MovedSince | None:
    """What moved since the last day before today of which a plan is known; None without any.

    That is where every comparison begins of which no other day is said.
    """
    return moved_since(project, plan, plan.now.date() - timedelta(days=1))


def _not_done(project: Project, plan: Plan, behind: PlanBehind, moved: Moved) -> int:
    """Minutes planned and not worked, from the day of a plan up to now."""
    today = plan.now.date()
    if behind.day >= today:
        return moved.lost
    back = (today - behind.day).days
    planned = planned_of(project, behind.day, plan.now)
    lost = days_lost(project, plan.now, days=back, planned=planned)
    return sum(one.minutes for one in lost if one.planned)


def days_known(project: Project, today: date) -> list[date]:
    """The days up to today of which a plan is known, in order; that of the plan accepted last,
    too, if it is older than all."""
    folder = folder_of(project)
    found = [day for day in plans_known(folder) if day <= today] if folder is not None else []
    as_of = project.kept.as_of
    if as_of is not None and as_of.date() < min(found, default=today):
        found.insert(0, as_of.date())
    return found


def nearest_told(found: MovedSince, today: date) -> str:
    """That the plan of another day is compared with; empty where it is not."""
    if found.behind.day == found.since:
        return ""
    return (
        f"No plan of {named_date(found.since, today)} was kept; the nearest before it is that"
        f" of {named_date(found.behind.day, today)}."
    )


def unknown_told(project: Project, since: date, today: date) -> str:
    """That there is no plan of then, and which there are."""
    days = [long_date(day, today) for day in days_known(project, today)]
    if not days:
        return (
            "No plan of an earlier day is known yet. One is kept each day on which the program"
            " is opened: wearby FOLDER."
        )
    there = f"There is that of {days[0]}." if len(days) == 1 else (
        f"There are those of {listed(days, TOLD)}."
    )  # fmt: skip
    return f"No plan of {long_date(since, today)} or before is known. {there}"


def since_date(text: str | None, today: date) -> date:
    """The day that was typed: 2027-05-03, yesterday, Monday (the last one); without it today.

    Raises InputError, also for a day to come.
    """
    word = (text or "today").strip().lower()
    weekdays = [day.lower() for day in WEEKDAYS]
    if word == "yesterday":
        return today - timedelta(days=1)
    if word in weekdays:
        back = (today.weekday() - weekdays.index(word)) % 7
        return today - timedelta(days=back or 7)
    found = read_date(word, OPTION, today)
    if found > today:
        raise wrong(OPTION, f"{long_date(found, today)} is still to come: give a day behind.")
    return found
