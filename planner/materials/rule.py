"""Named rules: functions of metres and counts that know their dimensions and their source."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from planner.quantity import COUNT, LENGTH

Metres = float
"""A length."""
Count = float
"""How many; as a result it is rounded up to a whole one by whoever counts pieces."""
Ratio = float
"""A bare number that is no number of pieces: fullness, a share."""

Formula = Callable[..., float]

_DIMENSIONS = {"Metres": LENGTH, "Count": COUNT, "Ratio": COUNT}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule of the trade's arithmetic that an order of construction can name."""

    name: str
    function: Formula
    """Takes its arguments by name, lengths in metres, and returns metres or a bare number.
    Raises ValueError with a sentence for the maker where they can't be meant."""
    arguments: Mapping[str, int]
    """All it understands, by name: COUNT or LENGTH."""
    optional: Mapping[str, float]
    """Those that may be left out, with what is then taken."""
    result: int
    """COUNT or LENGTH."""
    whole: bool
    """The result counts pieces, so that a part of one is one more; not so a ratio."""
    source: str
    """Where the rule is from."""

    @property
    def needed(self) -> tuple[str, ...]:
        """The arguments that must be given."""
        return tuple(name for name in self.arguments if name not in self.optional)


RULES: dict[str, Rule] = {}
"""By name; filled by the modules beside this one."""


def rule(source: str) -> Callable[[Formula], Formula]:
    """Register a function whose signature is annotated with Metres, Count and Ratio."""

    def register(function: Formula) -> Formula:
        # annotations are texts here, so that Count and Metres stay apart though both are floats
        parameters = inspect.signature(function).parameters.values()
        result = str(inspect.signature(function).return_annotation)
        RULES[function.__name__] = Rule(
            name=function.__name__,
            function=function,
            arguments={p.name: _DIMENSIONS[str(p.annotation)] for p in parameters},
            optional={p.name: p.default for p in parameters if p.default is not p.empty},
            result=_DIMENSIONS[result],
            whole=result == "Count",
            source=source,
        )
        return function

    return register


def up(number: float) -> float:
    """The next whole number; noise in the last digits doesn't make one more."""
    return float(math.ceil(round(number, 9)))


def over_zero(number: float, what: str) -> float:
    """The number, if it is more than nothing.

    Raises ValueError with a sentence otherwise.
    """
    if number <= 0:
        raise ValueError(f"{what} must be more than nothing")
    return number
