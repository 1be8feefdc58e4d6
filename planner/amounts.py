"""Amounts: products of counts and lengths, and what a technique makes of their factors."""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

from planner.model import Per, Technique
from planner.quantity import AREA, COUNT, LENGTH, Quantity

LOW_SHARE, HIGH_SHARE = 0.7, 1.5
"""Bounds of an estimate that has only a typical value, as shares of it."""


def amount_of(factors: Sequence[Quantity]) -> Quantity | None:
    """The product of the factors; None where it is neither a count, a length nor an area."""
    product = Quantity(value=1.0)
    for factor in factors:
        product = product.times(factor)
    return product if product.dimension <= AREA else None


def measure(technique: Technique, factors: Sequence[Quantity]) -> tuple[float, float]:
    """How many units of the technique's rate an amount holds, and how many seams.

    Counted by pieces: counts only, and without any factor one piece. By length: one length.
    By area: one area or two lengths. Counts multiply freely; their product is the number of
    seams (1 without any), of which the length is one's.

    Raises ValueError with a sentence for the maker where the factors don't suit.
    """
    dimensions = sorted(factor.dimension for factor in factors if factor.dimension != COUNT)
    allowed = {
        Per.COUNT: ([],),
        Per.LENGTH: ([LENGTH],),
        Per.AREA: ([AREA], [LENGTH, LENGTH]),
    }[technique.per]
    if dimensions not in allowed:
        raise ValueError(_mismatch(technique))
    seams = prod(factor.value for factor in factors if factor.dimension == COUNT)
    return prod(factor.value for factor in factors) / technique.unit_size, seams


def _mismatch(technique: Technique) -> str:
    """What the technique is counted by, and how to write it."""
    wants = {
        Per.COUNT: 'pieces: write bare numbers or measurements that are, as `amount = ["panels"]`',
        Per.LENGTH: 'length: write one length and any counts, as `amount = ["2.4 m", 2]`',
        Per.AREA: 'area: write one area or two lengths, as `amount = ["40 cm2"]`',
    }[technique.per]
    return f"`{technique.id}` is counted by {wants}."
