"""What the plan of a changed project would say, soon enough to be read while typing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from planner.deciding import decide
from planner.ground import lay_ground
from planner.model import Project
from planner.plan import Plan
from planner.reporting import report
from planner.schedule.effort import WHOLE, Effort, Stopped

__all__ = ["Judged", "Stopped", "judge", "whole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The plan as it would become."""

    plan: Plan
    """Without minutes to spare."""
    final: bool
    """Whether it is otherwise what ``plan_project`` says. Where not, it says with certainty what
    is late or unplaced and how much is short, and ``fits`` unless it is None; but peak, days
    and all that follows from them are not settled."""


def judge(project: Project, now: datetime, *, stop: Callable[[], bool] = WHOLE.stop) -> Judged:
    """Plan a project with as few tries as show whether it fits.

    ``stop`` is asked now and then; once true, Stopped is raised. Raises InputError as
    ``plan_project`` does.
    """
    ground = lay_ground(project, now.replace(tzinfo=None))
    decision = decide(ground, Effort(hurried=True, stop=stop))
    plan = report(ground, decision, thorough=False, spare=False)
    return Judged(plan=plan, final=not decision.scheduled.search.cut)


def whole(project: Project, now: datetime, *, stop: Callable[[], bool] = WHOLE.stop) -> Plan:
    """What ``plan_project`` says, without minutes to spare; ``stop`` as for ``judge``."""
    ground = lay_ground(project, now.replace(tzinfo=None))
    return report(ground, decide(ground, Effort(stop=stop)), thorough=False, spare=False)
