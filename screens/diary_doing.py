"""Edits of the diary, without a screen: what each is called, and what it changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from planner.diary_days import Logged
from planner.editing.diary import done_before, remove_entry, reopen, replace_entry
from planner.held import failed_at
from planner.model import Entry, Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from planner.when_logged import own_moment
from screens.diary_told import entry_named
from screens.doing import Doing
from screens.wording import count, name_of, step_with_garment

CHANGED = "this entry was changed or removed meanwhile: look at the diary again"


def place_of(project: Project, logged: Logged) -> int:
    """Where an entry stands by now. Raises InputError where it has gone or says something else."""
    entries = [replace(one, where="") for one in project.diary.entries]
    entry = replace(logged.entry, where="")
    if logged.index < len(entries) and entries[logged.index] == entry:
        return logged.index
    if entry in entries:
        return entries.index(entry)
    raise InputError([Problem(file=project.diary.file, place="", text=CHANGED)])


def removed(plan: Plan, logged: Logged) -> Doing:
    """An entry taken out."""
    return Doing(
        label=f"entry removed: {entry_named(plan, logged.entry, plan.now.date())}",
        change=lambda project: remove_entry(project, place_of(project, logged)),
    )


def changed(plan: Plan, logged: Logged, entry: Entry) -> Doing:
    """An entry that says something else."""
    return Doing(
        label=f"entry changed: {entry_named(plan, entry, plan.now.date())}",
        change=lambda project: replace_entry(project, place_of(project, logged), entry),
    )


def opened_again(
    plan: Plan, steps: Sequence[str], at: datetime, left: Mapping[str, int], note: str
) -> Doing:
    """Steps that must be done over; what was only taken as done at an occasion was done at it."""
    if len(steps) == 1:
        label = f"{step_with_garment(plan, steps[0])} to be done over"
    else:
        label = f"{count(len(steps), 'step')} to be done over, from {name_of(plan, steps[0])} on"

    def change(project: Project) -> Project:
        project = failed_at(project, plan, steps)
        return reopen(project, steps, own_moment(project.diary, at), left=left, note=note)

    return Doing(label=label, change=change)


def were_done_before(plan: Plan, steps: Sequence[str]) -> Doing:
    """Steps that were done before the diary began."""
    if len(steps) == 1:
        label = f"{step_with_garment(plan, steps[0])} done before the diary began"
    else:
        label = f"{count(len(steps), 'step')} done before the diary began"
    return Doing(label=label, change=lambda project: done_before(project, steps))
