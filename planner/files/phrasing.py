"""Durations, shares and amounts as the maker would write them; each reads back exactly."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from planner.model import Margin, Wait
from planner.quantity import AREA, COUNT, LENGTH, METRES, Quantity, parse_quantity

_SYSTEMS: Final = {"metric": ("m", "cm", "mm"), "imperial": ("yd", "in")}
"""Units of length by system, the largest first."""
_DECIMALS: Final = 3


def write_duration(minutes: int) -> str:
    """Minutes as "1h30", "2h" or "45m"."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest}m"
    return f"{hours}h{rest:02}" if rest else f"{hours}h"


def write_days(days: int) -> str:
    """ "1 day", "10 days"."""
    return f"{days} day" + ("" if days == 1 else "s")


def write_wait(wait: Wait) -> str:
    """ "1 night", "2h"; no wait at all is "0h". Raises ValueError for nights and minutes."""
    if wait.nights and wait.minutes:
        raise ValueError("a wait is nights or time by the clock, not both")
    if wait.nights:
        return f"{wait.nights} night" + ("" if wait.nights == 1 else "s")
    return write_duration(wait.minutes) if wait.minutes else "0h"


def write_margin(margin: Margin) -> str:
    """ "1 day", "3h". Raises ValueError for days and minutes."""
    if margin.days and margin.minutes:
        raise ValueError("a margin is days or time by the clock, not both")
    return write_days(margin.days) if margin.days else write_duration(margin.minutes)


def write_share(share: float) -> str:
    """A share of 0.7 as "70%". Raises ValueError where no such text reads back as it."""
    for digits in range(18):
        text = f"{share * 100:.{digits}f}"
        if float(text) / 100 == share:
            return f"{text}%"
    raise ValueError(f"{share} can't be written in per cent")


def write_number(number: float) -> int | float:
    """A number without a needless ".0"."""
    return int(number) if float(number).is_integer() else number


def write_quantity(quantity: Quantity, units: str) -> int | float | str:
    """A count as a number; a length or area with its unit, in ``units`` where that is exact.

    Raises ValueError for what is neither a count, a length nor an area.
    """
    if quantity.dimension == COUNT:
        return write_number(quantity.value)
    if quantity.dimension not in (LENGTH, AREA):
        raise ValueError("an amount is a count, a length or an area")
    square = "2" if quantity.dimension == AREA else ""
    other = "imperial" if units == "metric" else "metric"
    for system in (units, other):
        for unit in _by_size(quantity.value, system, square):
            text = _exact(quantity, unit, square)
            if text is not None:
                return text
    # metres take any number: they are what a length is kept in
    return f"{Decimal(repr(quantity.value)):f} m{square}"


def _by_size(value: float, system: str, square: str) -> list[str]:
    """Units of a system, those in which the number is at least 1 first, the largest of all.

    Up to two yards one measures in inches.
    """
    power = 2 if square else 1
    units = _SYSTEMS[system]
    if system == "imperial" and not square and value < 2 * METRES["yd"]:
        return list(reversed(units))
    large = [unit for unit in units if value >= METRES[unit] ** power or not value]
    return large + [unit for unit in reversed(units) if unit not in large]


def _exact(quantity: Quantity, unit: str, square: str) -> str | None:
    """The quantity in a unit with few decimals, if that reads back as the same."""
    scale = METRES[unit] ** 2 if square else METRES[unit]
    for digits in range(_DECIMALS + 1):
        text = f"{quantity.value / scale:.{digits}f} {unit}{square}"
        if parse_quantity(text) == quantity:
            return text
    return None
