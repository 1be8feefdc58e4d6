"""Fixed days in words: why the day a maker fixed for a step can't be kept."""

from __future__ import annotations

from planner.fixed_day import Hindrance, NotKept, not_kept, why_not_kept
from planner.plan import Plan, Where
from screens.wording import (
    WHERES,
    listed,
    named_date,
    named_moment,
    on_date,
    quoted,
    spoken,
    step_with_garment,
)


def not_kept_sentence(plan: Plan, step: str | None) -> str:
    """ "The day you fixed for it, Thursday 11 March, can't be kept: it can't begin before ..."."""
    found = why_not_kept(plan, step) if step is not None else None
    if found is None:
        return "The day you fixed for it can't be kept."
    day = named_date(found.day, plan.now.date())
    return f"The day you fixed for it, {day}, can't be kept: {because(plan, found)}."


def not_kept_told(before: Plan | None, after: Plan) -> str:
    """Which fixed days a change would ask for in vain, and why; empty where none."""
    known = {(one.step, one.day) for one in not_kept(before)} if before is not None else set()
    new = [one for one in not_kept(after) if (one.step, one.day) not in known]
    if not new:
        return ""
    told = [
        f"{quoted(after, one.step)} can't be done {on_date(one.day, after.now.date())},"
        f" for {because(after, one)}"
        for one in new
    ]
    return listed(told, 2)


def because(plan: Plan, found: NotKept) -> str:
    """The cause as a clause about "it"."""
    today = plan.now.date()
    if found.why is Hindrance.OUTSIDE:
        return "that day is past" if found.day < today else "no occasion is as late as that day"
    if found.why is Hindrance.TOO_EARLY and found.moment is not None:
        return f"it can't begin before {named_moment(found.moment, today)}"
    if found.why is Hindrance.TOO_LATE and found.moment is not None:
        return f"it must be done by {named_moment(found.moment, today)}"
    if found.why is Hindrance.NO_HOURS:
        return f"that day has no hours for it{_where(plan, found)}"
    if found.why is Hindrance.FEW_HOURS:
        return f"that day has only {spoken(found.minutes or 0)} for it{_where(plan, found)}"
    if found.other is not None:
        comes = "comes before it" if found.why is Hindrance.AFTER_FIXED else "follows it"
        on = next((one.on for one in plan.steps if one.id == found.other), None)
        fixed = f" is fixed {on_date(on, today)}" if on is not None else " is fixed"
        return f"{step_with_garment(plan, found.other)}, which {comes},{fixed}"
    return "it doesn't go with what else must be done then, before it and after it"


def _where(plan: Plan, found: NotKept) -> str:
    """The least place it needs, and whether it needs a second pair of hands."""
    step = next(one for one in plan.steps if one.id == found.step)
    if step.hands > 1:
        return ", with a second pair of hands"
    return f" {WHERES[Where(step.place.value.replace('-', '_'))]}"
