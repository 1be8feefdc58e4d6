"""Which of the steps that carry a stage is the one with which the garment reaches it."""

from __future__ import annotations

from datetime import date

from planner.plan import Plan, PlannedStep


def reaching(plan: Plan) -> frozenset[str]:
    """Of each garment and stage the last step that carries it: only there it is reached."""
    days = {one.id: one.at.date() for one in plan.occasions}
    last: dict[tuple[str, str], tuple[tuple[bool, date], str]] = {}
    for step in plan.steps:
        if step.stage and not step.left_off:
            key = (step.id.rpartition("/")[0], step.stage)
            when = _when(step, days)
            if key not in last or when >= last[key][0]:
                last[key] = (when, step.id)
    return frozenset(ident for _, ident in last.values())


def _when(step: PlannedStep, days: dict[str, date]) -> tuple[bool, date]:
    """When it is done, for comparing: what is done comes first, what has no day last."""
    at = days.get(step.during) if step.during is not None else None
    return (not step.done, step.last_day or at or (date.min if step.done else date.max))
