"""Amounts in words: the unit that suits them, and no more digits than one measures."""

from __future__ import annotations

from planner.quantity import AREA, LENGTH, METRES

GRAIN = 1e-9
"""Less is rounding."""


def unit_for(largest: float, dimension: int, units: str) -> str:
    """The unit in which all amounts of a stock are told; up to two yards one measures in inches."""
    unit = {LENGTH: "m", AREA: "m"}.get(dimension, "")
    if units == "imperial" and unit:
        least = 2 if dimension == LENGTH else 1
        return "yd" if largest >= least * METRES["yd"] ** dimension else "in"
    return unit


def in_unit(value: float, dimension: int, unit: str) -> str:
    """An amount in a unit: "2.4 m", "36 in", "0.3 m2", "12". What is there is never told as 0."""
    scaled = value / (METRES[unit] ** dimension if unit else 1.0)
    digits = f"{scaled:.2f}".rstrip("0").rstrip(".")
    if digits in ("0", "-0"):
        digits = f"{scaled:.1g}" if abs(value) > GRAIN else "0"
    return " ".join(part for part in (digits, unit + ("2" if dimension == AREA else "")) if part)


def worded_amount(value: float, dimension: int, units: str) -> str:
    """An amount alone, in the unit that suits it."""
    return in_unit(value, dimension, unit_for(value, dimension, units))
