"""Measurements of one name that mean different things in a garment and in its new split.

A maker's `seams` may be a count where the order's are a length. The garment's own then gets
another name, everywhere in its steps, and both are kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from planner.model import Garment, Step, Use, Way
from planner.quantity import Quantity

Amount = tuple[str | Quantity, ...]


def clashes(mine: Garment, theirs: Garment) -> dict[str, str]:
    """New names of the garment's measurements that are other quantities in ``theirs``."""
    taken = {*mine.measurements, *theirs.measurements}
    found: dict[str, str] = {}
    for name, quantity in mine.measurements.items():
        other = theirs.measurements.get(name)
        if other is None or other.dimension == quantity.dimension:
            continue
        number = 1
        while (new := f"{name}-before" + ("" if number == 1 else f"-{number}")) in taken:
            number += 1
        taken.add(new)
        found[name] = new
    return found


def renamed_in(garment: Garment, names: Mapping[str, str]) -> Garment:
    """The garment with measurements called otherwise, wherever its steps name them."""
    if not names:
        return garment
    return replace(
        garment,
        measurements={names.get(name, name): q for name, q in garment.measurements.items()},
        steps=tuple(_step(step, names) for step in garment.steps),
    )


def _step(step: Step, names: Mapping[str, str]) -> Step:
    return replace(
        step,
        amount=_amount(step.amount, names),
        uses=tuple(_use(use, names) for use in step.uses),
        instead=tuple(_way(way, names) for way in step.instead),
    )


def _way(way: Way, names: Mapping[str, str]) -> Way:
    return replace(
        way,
        amount=None if way.amount is None else _amount(way.amount, names),
        uses=None if way.uses is None else tuple(_use(use, names) for use in way.uses),
    )


def _use(use: Use, names: Mapping[str, str]) -> Use:
    return use if use.amount is None else replace(use, amount=_amount(use.amount, names))


def _amount(amount: Amount, names: Mapping[str, str]) -> Amount:
    return tuple(names.get(f, f) if isinstance(f, str) else f for f in amount)
