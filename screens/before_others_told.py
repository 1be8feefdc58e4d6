"""What an occasion needs of other ensembles than its own: work that its own steps come after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.before import Before, Must
from planner.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Others:
    """Open work of another ensemble that must be done before the occasion too."""

    ensemble: str
    minutes: int
    """What takes hours; what is done at an occasion to come has its own time."""
    steps: tuple[str, ...]
    through: tuple[str, ...]
    """The occasion's own open steps, and those done at it, that come right after some of it."""


def is_own(needed: Before, ident: str) -> bool:
    """Whether a garment or step is of the occasion's own ensemble."""
    return ident.split("/")[0] == needed.occasion.id.split("/")[0]


def own_musts(needed: Before) -> list[Must]:
    """The garments of the occasion's own ensemble."""
    return [must for must in needed.musts if is_own(needed, must.garment)]


def musts_of(needed: Before, ensemble: str) -> list[Must]:
    """The garments of an ensemble of which something must be there."""
    return [must for must in needed.musts if must.garment.split("/")[0] == ensemble]


def others(plan: Plan, needed: Before) -> list[Others]:
    """Each other ensemble of which something is still to be done, in the order of the files."""
    if needed.occasion.past:
        return []
    of: dict[str, list[str]] = {}
    for ident in needed.open:
        if not is_own(needed, ident):
            of.setdefault(ident.split("/")[0], []).append(ident)
    return [_others(plan, needed, ensemble, ids) for ensemble, ids in of.items()]


def _others(plan: Plan, needed: Before, ensemble: str, ids: Sequence[str]) -> Others:
    steps = {step.id: step for step in plan.steps}
    coming = {one.id for one in plan.occasions if not one.past}
    by_day = sorted(ids, key=lambda one: steps[one].first_day or date.max)
    own = [one for one in needed.open if is_own(needed, one)]
    return Others(
        ensemble=ensemble,
        minutes=sum(steps[one].left for one in ids if steps[one].during not in coming),
        steps=tuple(by_day),
        through=tuple(
            one
            for one in (*own, *(thing.step for thing in needed.things))
            if not set(ids).isdisjoint(steps[one].after)
        ),
    )
