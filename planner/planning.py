"""Planning: a pure function of (workroom, ensembles, diary, now)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from planner.deciding import decide
from planner.ground import lay_ground
from planner.model import Project
from planner.plan import Plan
from planner.reporting import report


def plan_project(project: Project, now: datetime, *, thorough: bool = True) -> Plan:
    """The plan of a project as of ``now`` (local wall clock; seconds count as begun minutes).

    Without ``thorough`` fewer of the minutes to spare are exact, and nothing else differs; it
    is quicker. Raises InputError with every reference, circle, technique, amount that is wrong.
    """
    ground = lay_ground(project, now.replace(tzinfo=None))
    return report(ground, decide(ground), thorough)


def plan_in_two(project: Project, now: datetime) -> tuple[Plan, Callable[[], Plan]]:
    """The plan that is not thorough, and what makes the thorough one of the same decisions.

    Otherwise as ``plan_project``; both together take little longer than one.
    """
    ground = lay_ground(project, now.replace(tzinfo=None))
    decision = decide(ground)
    return report(ground, decision, thorough=False), lambda: report(ground, decision)
