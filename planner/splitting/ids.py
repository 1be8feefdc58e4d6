"""Ids and names for what a split adds to an ensemble."""

from __future__ import annotations

from collections.abc import Container
from itertools import count

from planner.model import Ensemble, Garment


def garment_id(ensemble: Ensemble, garment: Garment, wanted: str | None = None) -> str:
    """``wanted``, else the garment's own id, with a number where that would mean two things.

    A garment can't be called as another garment or occasion, nor as what is named without more
    words in the ensemble's references: then these could mean either.
    """
    taken = {g.id for g in ensemble.garments} | {o.id for o in ensemble.occasions}
    taken |= {ensemble.id} | {step.id for step in garment.steps}
    named = [text for g in ensemble.garments for step in g.steps for text in step.after]
    named += [text for o in ensemble.occasions for text in o.wants or ()]
    # the first of two words may be another ensemble, or a garment of this one
    taken |= {text.split("/")[0] for text in named}
    return numbered(wanted or garment.id, taken)


def garment_name(ensemble: Ensemble, usual: str) -> str:
    """The usual name, with a number where another garment has it."""
    return numbered(usual, {g.name for g in ensemble.garments}, " ")


def numbered(name: str, taken: Container[str], between: str = "-") -> str:
    """The name, or the first of ``name-2``, ``name-3`` ... that isn't taken."""
    if name not in taken:
        return name
    return next(n for k in count(2) if (n := f"{name}{between}{k}") not in taken)
