"""Why minutes moved."""

from __future__ import annotations

from collections.abc import Mapping

from planner.ground import Ground
from planner.model import Kept, Project
from planner.plan import Plan
from planner.replanning.minutes import Balance
from planner.replanning.values import Cause, Why


class Causes:
    """The reasons of all that moved, worked out once."""

    def __init__(
        self,
        before: Kept,
        after: Plan,
        project: Project,
        balances: Mapping[str, Balance],
        before_plan: Plan | None,
        before_project: Project | None,
        ground: Ground | None,
    ) -> None:
        self._before = before
        self._after = after
        self._balances = balances
        self._plan = before_plan

    def of(self, step: str) -> Why:
        """The reason for which a step moved."""
        lost = next((one for one in self._balances[step].shifts if one.lost), None)
        if lost is not None:
            return Why(cause=Cause.NOT_DONE, day=lost.from_day, minutes=lost.minutes)
        return Why(cause=Cause.AFRESH)

    def of_size(self, step: str) -> Why:
        """The reason for which a step has more or fewer minutes."""
        one = self._balances[step]
        if one.more:
            return Why(cause=Cause.LONGER, minutes=sum(n for _, n in one.more))
        return Why(cause=Cause.SHORTER, minutes=sum(n for _, n in one.less))

    def of_new(self, step: str) -> Why:
        """The reason for which a step that had no minutes has some."""
        return Why(cause=Cause.NO_DAY_THEN)
