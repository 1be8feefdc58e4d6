"""Planning: a pure function of (workroom, ensembles, diary, now)."""

from __future__ import annotations

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
