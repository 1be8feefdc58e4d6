"""The one state of the program: what was read, the plan made of it, and from when."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Protocol

from planner.model import Project
from planner.plan import Plan
from planner.planned_behind import PlannedDay
from planner.problems import Problem

KEPT = "kept.toml"
Fingerprint = tuple[tuple[str, int, int], ...]
"""Name, time of change and size of every file a project is read from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """Project and plan belong together, and to this moment."""

    project: Project
    plan: Plan
    now: datetime
    exactly: Callable[[], Plan] | None = field(default=None, compare=False, repr=False)
    """Makes the same plan with more minutes to spare exact; None where no more can be."""
    planned: tuple[PlannedDay, ...] = ()
    """What was planned on the days behind, as far as plans of then are known."""
    before: Plan | None = field(default=None, compare=False, repr=False)
    """The plan of what was shown before an edit, as of this same moment, where hours or an
    occasion have passed between the two: what the clock did isn't the edit's doing."""


class TellsSitting(Protocol):
    """What the app knows of the clock, for its screens."""

    told: str
    """The line beneath each verdict; empty where nobody sits at anything."""


class HoldsState(Protocol):
    """The app, as its screens know it."""

    state: State | None
    sitting: TellsSitting
    problems: tuple[Problem, ...]
    """What is wrong in the files since then."""

    def resumed(self, screen: Any) -> None:
        """A screen is on top, the first time or again."""


def read_and_plan(
    path: Path,
    now: datetime,
    *,
    thorough: bool = True,
    holding: Callable[[Project], Project] | None = None,
) -> State:
    """Read the files and plan from ``now``; raises InputError with every problem.

    Not ``thorough``, minutes to spare are less often exact; where none are shown it is quicker.
    ``holding`` gives what was read the plan that a run of the program holds on to.
    """
    from planner.files.reading import read_project

    project = read_project(path)
    return plan_of(project if holding is None else holding(project), now, thorough=thorough)


def plan_of(project: Project, now: datetime, *, thorough: bool = True) -> State:
    """Plan a project from ``now``. Otherwise as ``read_and_plan``."""
    from planner.planning import plan_in_two, plan_project

    planned = planned_lately(project, now)
    if thorough:
        return State(project=project, plan=plan_project(project, now), now=now, planned=planned)
    plan, exactly = plan_in_two(project, now)
    return State(project=project, plan=plan, now=now, exactly=exactly, planned=planned)


def clock_went_on(state: State, now: datetime) -> bool:
    """Whether hours, or the end of an occasion, have passed since a state was planned."""
    then, plan = state.now, state.plan
    if now <= then:
        return False
    if now.date() != then.date() or any(then < one.end <= now for one in plan.occasions):
        return True
    return any(one.start < now and one.end > then for one in plan.windows)


def as_of_now(state: State, now: datetime) -> Plan:
    """What is shown, unchanged, planned from ``now``: holding on to what is shown."""
    from planner.kept import kept_of

    project = replace(state.project, kept=kept_of(state.plan))
    return plan_of(project, now, thorough=False).plan


def planned_lately(project: Project, now: datetime) -> tuple[PlannedDay, ...]:
    """What was planned on the days behind, read from beside the project's files: as far back as
    the diary tells silent days."""
    from planner.files.plans_behind import planned_of
    from planner.looking_back import DAYS

    return planned_of(project, now.date() - timedelta(days=DAYS), now)


def refined(state: State) -> State:
    """The same state with as much exact as there can be."""
    if state.exactly is None:
        return state
    return replace(state, plan=state.exactly(), exactly=None)


def fingerprint(path: Path) -> Fingerprint:
    """What tells whether a file was changed, added or taken away.

    The kept plan is left out: wearby writes it itself, and it says nothing new.
    """
    folder = path if path.is_dir() else path.parent
    found = []
    for file in sorted([*folder.glob("*.toml"), *folder.glob("orders/*.toml")]):
        if file.name == KEPT:
            continue
        try:
            stat = file.stat()
        except OSError:
            continue
        found.append((str(file.relative_to(folder)), stat.st_mtime_ns, stat.st_size))
    return tuple(found)
