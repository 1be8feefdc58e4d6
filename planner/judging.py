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
    """Without minutes to spare, unless they were asked for."""
    final: bool
    """Whether it is otherwise what ``plan_project`` says. Where not, it says with certainty what
    is late or unplaced and how much is short, and ``fits`` unless it is None; but peak, days
    and all that follows from them are not settled."""


def judge(
    project: Project, now: datetime, *, stop: Callable[[], bool] = WHOLE.stop, spare: bool = False
) -> Judged:
    """Plan a project with as few tries as show whether it fits.

    ``stop`` is asked now and then; once true, Stopped is raised. With ``spare`` a final plan has
    its minutes to spare, as exact as there are. Raises InputError as ``plan_project`` does.
    """
    ground = lay_ground(project, now.replace(tzinfo=None))
    decision = decide(ground, Effort(hurried=True, stop=stop))
    final = not decision.scheduled.search.cut
    whole = spare and final
    return Judged(plan=report(ground, decision, thorough=whole, spare=whole), final=final)


def whole(
    project: Project, now: datetime, *, stop: Callable[[], bool] = WHOLE.stop, spare: bool = False
) -> Plan:
    """What ``plan_project`` says, without minutes to spare unless they are asked for; ``stop``
    as for ``judge``."""
    ground = lay_ground(project, now.replace(tzinfo=None))
    return report(ground, decide(ground, Effort(stop=stop)), thorough=spare, spare=spare)
