"""Past occasions in words: which count as held, and what is taken as done by that."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time

from planner.held import PastOccasion, past_occasions
from planner.model import Project
from planner.plan import Plan
from screens.wording import clock, count, listed, name_of, the_occasion

TAKEN = "taken as done (held)"
BY_DATE = "by the date, not logged"
WAITING = ("not all it follows is done", "not all they follow is done")
"""Why a step of a past occasion is open, or several are."""
AFTER = ("what it follows was done only after it", "what they follow was done only after it")
UNWORN = ("not all that is worn was ready by then", "not all that is worn was ready by then")


def occasion_row(plan: Plan, one: PastOccasion) -> str:
    """ "Armour fitting, 14:00: counts as held, 3 steps with it"."""
    at = "" if one.at.time() == time() else f", {clock(one.at)}"
    return f"{name_of(plan, one.id)}{at}: {standing(one)}"


def standing(one: PastOccasion) -> str:
    """ "counts as held, 3 steps with it", "held, 2 steps logged", "wasn't held, 1 step open"."""
    parts = [_head(one)]
    steps = len(one.steps)
    if one.taken:
        many = count(len(one.taken), "step")
        some = f"{len(one.taken)} of {count(steps, 'step')}" if len(one.taken) < steps else many
        parts.append(f"{some} {BY_DATE if one.by_date else 'with it'}")
    if one.logged:
        parts.append(f"{count(len(one.logged), 'step')} logged")
    if one.again:
        parts.append(f"{count(len(one.again), 'step')} open again")
    return ", ".join([*parts, *_open(one)])


def _open(one: PastOccasion) -> list[str]:
    """The steps to be done at it that are open, with why they don't count as done."""
    if not one.open:
        return []
    known = {*one.after, *one.unworn}
    waiting = [step for step in one.open if step not in known]
    found = []
    for steps, why in ((waiting, WAITING), (one.after, AFTER), (one.unworn, UNWORN)):
        if steps:
            told = f": {why[len(steps) > 1]}" if one.held else ""
            found.append(f"{count(len(steps), 'step')} at it open{told}")
    return found


def _head(one: PastOccasion) -> str:
    if one.by_date:
        return "over"
    if not one.held:
        return "wasn't held"
    return "held" if one.said or (one.steps and one.steps == one.logged) else "counts as held"


def taken_told(one: PastOccasion) -> str:
    """How a step that only counts as done at an occasion is told: in place of "done"."""
    return BY_DATE if one.by_date else TAKEN


def taken_lines(plan: Plan, one: PastOccasion) -> list[str]:
    """The steps an occasion takes as done, each in a line of text."""
    garments = {step.id: step.garment for step in plan.steps}
    told = taken_told(one)
    return [f"“{name_of(plan, step)}”, {garments[step]}: {told}" for step in one.taken]


def newly_held(project: Project, plan: Plan, since: datetime) -> tuple[PastOccasion, ...]:
    """What has come to count as held since a moment, without anybody having said so."""
    return tuple(one for one in past_occasions(project, plan) if one.presumed and one.end > since)


def newly_held_told(plan: Plan, held: Sequence[PastOccasion], here: bool = False) -> str:
    """ "The armour fitting counts as held: 3 steps are taken as done. l says otherwise."; ``here``:
    in the diary itself. Empty where there is none."""
    told = [one for one in held if not one.by_date]
    if not told:
        return ""
    names = listed([the_occasion(plan, one.id) for one in told])
    steps = sum(len(one.taken) for one in told)
    counts = "counts" if len(told) == 1 else "count"
    are = "step is" if steps == 1 else "steps are"
    how = "Enter on it says otherwise" if here else "l says otherwise"
    head = f"{names[:1].upper()}{names[1:]}"
    return f"{head} {counts} as held: {steps} {are} taken as done. {how}."
