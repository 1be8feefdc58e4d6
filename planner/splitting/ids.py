"""Ids and names for what a split adds to an ensemble."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
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


def written_out(ensemble: Ensemble, garment: Garment) -> Garment:
    """The garment with its own steps named in full where a bare name could mean a garment or
    an occasion of the ensemble."""
    taken = {g.id for g in ensemble.garments} | {o.id for o in ensemble.occasions}
    unclear = {s.id: f"{garment.id}/{s.id}" for s in garment.steps if s.id in taken}
    return _renamed(garment, unclear) if unclear else garment


def written_full(garment: Garment) -> Garment:
    """The garment with all its own steps named in full."""
    return _renamed(garment, {s.id: f"{garment.id}/{s.id}" for s in garment.steps})


def written_short(garment: Garment) -> Garment:
    """The garment with its own steps named by their ids alone."""
    full = {f"{garment.id}/{step.id}": step.id for step in garment.steps}
    return _renamed(garment, full)


def _renamed(garment: Garment, names: Mapping[str, str]) -> Garment:
    """The garment with other references in its steps' ``after``."""
    if not any(text in names for step in garment.steps for text in step.after):
        return garment
    return replace(
        garment,
        steps=tuple(
            replace(step, after=tuple(names.get(text, text) for text in step.after))
            for step in garment.steps
        ),
    )
