"""Where a plan's work was in the plan before: what has come to a day, and from when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from planner.plan import Plan
from planner.replanning.minutes import balance

Came = Mapping[date, Mapping[str, date]]
"""By day, the steps of which minutes have come to it, each with the first day they left."""
MOST_BACK: Final = 8
"""So many changes back it is known that an undo has brought a plan back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What the last change that moved anything has brought to other days."""

    came: Came = field(default_factory=dict)
    were: tuple[Plan, ...] = ()
    """The plans before the last such changes, the oldest first."""

    def changed(self, before: Plan, after: Plan) -> Marks:
        """The marks after a change: the same where it moved nothing; none where all is again as it
        was before an earlier change, as after an undo."""
        came = came_to(before, after)
        if not came:
            return self
        back = [k for k, plan in enumerate(self.were) if not came_to(plan, after)]
        if back:
            return Marks(were=self.were[: back[-1]])
        return Marks(came=came, were=(*self.were, before)[-MOST_BACK:])


def came_to(before: Plan, after: Plan) -> Came:
    """What is on another day than it was, by the days it is on now; without what is done."""
    was, now = _placed(before), _placed(after)
    open_steps = {step.id for step in after.steps if not step.done}
    found: dict[date, dict[str, date]] = {}
    for step, days in now.items():
        if step not in was or step not in open_steps or days == was[step]:
            continue
        for shift in balance(was[step], days, done=0, over=frozenset()).shifts:
            if shift.from_day is not None and shift.to_day is not None:
                found.setdefault(shift.to_day, {}).setdefault(step, shift.from_day)
    return found


def _placed(plan: Plan) -> dict[str, dict[date | None, int]]:
    """Minutes by step and day, those at occasions too."""
    found: dict[str, dict[date | None, int]] = {}
    for sitting in plan.sittings:
        days = found.setdefault(sitting.step, {})
        days[sitting.date] = days.get(sitting.date, 0) + sitting.minutes
    return found
