"""Finding what the maker means by a few letters: occasions by id, steps by letters."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from planner.plan import Plan, PlannedOccasion, PlannedStep
from screens.wording import clean, listed, occasion_name


def find_occasion(plan: Plan, wanted: str | None) -> PlannedOccasion | str:
    """The occasion with this id (short or full) or name, or a sentence why there is none."""
    if wanted is None:
        return _which_occasion(plan)
    exact = [one for one in plan.occasions if wanted in (one.id, one.id.rsplit("/", 1)[-1])]
    low = wanted.casefold()
    found = exact or [one for one in plan.occasions if occasion_name(one).casefold() == low]
    if len(found) == 1:
        return found[0]
    asked = clean(wanted)
    if found:
        ids = listed([one.id for one in found], 5)
        return f"“{asked}” could be {ids}: write the one you mean."
    if not plan.occasions:
        return f"There is no occasion “{asked}”, nor any other yet."
    near = _nearest(wanted, plan.occasions)
    if near:
        return f"There is no occasion “{asked}”; did you mean {near}?"
    ids = listed([one.id.rsplit("/", 1)[-1] for one in plan.occasions], 6)
    return f"There is no occasion “{asked}”; there is {ids}."


def _which_occasion(plan: Plan) -> str:
    """What to say where none was named."""
    ids = listed([clean(one.id.rsplit("/", 1)[-1]) for one in plan.occasions], 12)
    return f"Say which occasion: there is {ids}." if ids else "There is no occasion yet."


def _nearest(wanted: str, occasions: Sequence[PlannedOccasion]) -> str | None:
    """The id that reads most like what was typed."""
    from difflib import get_close_matches

    ids: dict[str, str] = {}
    for occasion in occasions:
        short = occasion.id.rsplit("/", 1)[-1]
        ids[short.casefold()] = short
        ids[occasion.id.casefold()] = occasion.id
        ids.setdefault(occasion_name(occasion).casefold(), short)
    close = get_close_matches(wanted.casefold(), ids, n=1, cutoff=0.5)
    return clean(ids[close[0]]) if close else None


def find_steps(plan: Plan, letters: str, most: int = 50) -> list[PlannedStep]:
    """Steps whose garment and name hold every word typed: by their days, those done last."""
    words = letters.casefold().split()
    if not words:
        return []
    found = [
        step
        for step in plan.steps
        if all(word in f"{step.garment} {step.name} {step.id}".casefold() for word in words)
    ]
    found.sort(key=lambda step: (step.done or step.left_off, step.first_day or date.max))
    return found[:most]
