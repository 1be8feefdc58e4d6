"""The aftercare in words: what is to be done before the next wearing, which has no date yet."""

from __future__ import annotations

from planner.aftercare import Aftercare, due_after_wearing
from planner.plan import Plan
from screens.wording import count, name_of, spoken

GIVE_IT_A_DATE = "Give the next wearing a date"
"""The palette's command."""
HOW = "give it a date (^p: next)"


def undated(plan: Plan) -> str:
    """ "23 steps, 4 h 32, to do before the next wearing: give it a date (^p: next)"; empty where
    there are none."""
    found = due_after_wearing(plan)
    return f"{_to_do(found)}: {HOW}" if found else ""


def undated_in_short(plan: Plan) -> tuple[str, ...]:
    """The same at several lengths, the longest first; as sentences."""
    found = due_after_wearing(plan)
    if not found:
        return ()
    told = _to_do(found)
    brief = told.replace("before the next wearing", "once worn")
    return tuple(f"{one}." for one in (undated(plan), f"{told}: give it a date", told, brief))


def undated_lines(plan: Plan) -> list[str]:
    """For the plain answers: one sentence for each ensemble, with what to write."""
    several = sum("/" not in ident for ident in plan.names) > 1
    found = []
    for one in due_after_wearing(plan):
        of = f" of {name_of(plan, one.ensemble)}" if several else ""
        found.append(f"{_to_do((one,))}{of}: give it a date, as an event.")
    return found


def of_aftercare(plan: Plan, step: str | None) -> bool:
    """Whether a step is to be done before a next wearing without a date."""
    return any(step in one.steps for one in due_after_wearing(plan))


def _to_do(found: tuple[Aftercare, ...]) -> str:
    steps = sum(len(one.steps) for one in found)
    minutes = sum(one.minutes for one in found)
    return f"{count(steps, 'step')}, {spoken(minutes)}, to do before the next wearing"
