"""Quantities: lengths, areas and counts as the maker writes them.

A length always carries its unit ("2.4 m", "36 in"), a bare number is a count.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

#: metres in one unit of length
METRES = {
    "mm": 0.001,
    "cm": 0.01,
    "m": 1.0,
    "in": 0.0254,
    "ft": 0.3048,
    "yd": 0.9144,
}

COUNT, LENGTH, AREA = 0, 1, 2

_TEXT = re.compile(r"^\s*([0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*(mm|cm|m|in|ft|yd)?(2|²)?\s*$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """How much of something: a count, a length in metres, or an area in square metres."""

    value: float
    """The number, in metres (length) or square metres (area); a bare number for a count."""
    dimension: int = COUNT
    """COUNT, LENGTH or AREA."""

    def times(self, other: Quantity) -> Quantity:
        """The product; dimensions add (a length times a length is an area)."""
        return Quantity(value=self.value * other.value, dimension=self.dimension + other.dimension)


_COMMA = re.compile(r"^\s*([0-9]+),([0-9]{1,2})\s*((?:mm|cm|m|in|ft|yd)?(?:2|²)?)\s*$")


def with_point(text: str) -> str:
    """A typed amount with a point for a decimal comma: "3,2 m" as "3.2 m"; else as it is.

    With three digits behind the comma it could be meant as thousands, and stays.
    """
    return _COMMA.sub(lambda found: f"{found[1]}.{found[2]} {found[3]}".strip(), text)


def parse_quantity(text: str) -> Quantity:
    """Read "2.4 m", "36 in", "40 cm2" or "12".

    Raises ValueError with a sentence for the maker when the text is none of these.
    """
    found = _TEXT.match(text)
    if found is None or (found[3] and not found[2]):
        raise ValueError(
            f'"{text}" is not an amount: write a length with its unit ("2.4 m", "36 in"), '
            'an area ("40 cm2") or a bare number'
        )
    number, unit, square = float(found[1]), found[2], found[3]
    if unit is None:
        return Quantity(value=number)
    scale = METRES[unit]
    if square:
        return Quantity(value=number * scale * scale, dimension=AREA)
    return Quantity(value=number * scale, dimension=LENGTH)
