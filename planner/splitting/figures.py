"""Figures: what an order works out of a maker's answers, for the amounts of its steps."""

from __future__ import annotations

import math
from collections.abc import Mapping

from planner.catalogue.conditions import all_hold
from planner.catalogue.order import Figure, Order
from planner.materials import RULES
from planner.problems import InputError, Problem
from planner.quantity import AREA, COUNT, LENGTH, Quantity

_SMALLEST = {LENGTH: 100.0, AREA: 10_000.0}
"""Centimetres in a metre and square centimetres in a square metre: amounts are rounded to them."""


class Amounts:
    """The amounts of a garment's measurements and figures, each worked out when first asked for."""

    __slots__ = ("_chosen", "_figures", "_found", "_order", "_roles")

    def __init__(
        self,
        order: Order,
        measurements: Mapping[str, Quantity],
        chosen: Mapping[str, str],
        roles: frozenset[str],
    ) -> None:
        """``order`` holds the figures; ``measurements`` those that apply, with their amounts.

        ``chosen`` are the options by choice, ``roles`` those of the garment.
        """
        self._order = order
        self._chosen = chosen
        self._roles = roles
        self._found: dict[str, Quantity] = dict(measurements)
        for measurement in order.measurements:
            if measurement.id not in self._found:
                nothing = Quantity(value=0.0, dimension=measurement.default.dimension)
                self._found[measurement.id] = nothing
        self._figures: dict[str, list[Figure]] = {}
        for figure in order.figures:
            self._figures.setdefault(figure.id, []).append(figure)

    def __getitem__(self, name: str) -> Quantity:
        """The amount of a measurement or figure; 0 of one that doesn't apply.

        Raises KeyError where the order has none of that name, InputError where a rule can't be
        applied to such measurements.
        """
        if name not in self._found:
            self._found[name] = self._work_out(self._figures[name])
        return self._found[name]

    def product(self, factors: tuple[str | Quantity, ...]) -> Quantity:
        """The product of an amount's factors; 1 of none."""
        found = Quantity(value=1.0)
        for factor in factors:
            found = found.times(factor if isinstance(factor, Quantity) else self[factor])
        return found

    def _work_out(self, figures: list[Figure]) -> Quantity:
        for figure in figures:
            if not figure.when or all_hold(figure.when, self._chosen, self._roles):
                return self._one(figure)
        return Quantity(value=0.0, dimension=figures[0].dimension)

    def _one(self, figure: Figure) -> Quantity:
        if figure.by:
            option = self._chosen.get(figure.by)
            nothing = Quantity(value=0.0, dimension=figure.dimension)
            return nothing if option is None else figure.values[option]
        if figure.product:
            return rounded_up(self.product(figure.product), whole=figure.whole)
        rule = RULES[figure.rule]
        given = {
            name: (value if isinstance(value, Quantity) else self[value]).value
            for name, value in figure.given.items()
        }
        try:
            result = rule.function(**given)
        except ValueError as error:
            text = f"{rule.name}: {error}"
            file = self._order.file or self._order.id
            raise InputError([Problem(file=file, place=figure.id, text=text)]) from None
        return rounded_up(Quantity(value=result, dimension=rule.result), whole=figure.whole)


def rounded_up(quantity: Quantity, *, whole: bool = True) -> Quantity:
    """Up to the next centimetre, square centimetre or, where ``whole``, piece."""
    if quantity.dimension == COUNT:
        return Quantity(value=_up(quantity.value, 1.0)) if whole else quantity
    return Quantity(
        value=_up(quantity.value, _SMALLEST[quantity.dimension]), dimension=quantity.dimension
    )


def _up(value: float, parts: float) -> float:
    # noise in the last digits of a product must not make a centimetre more
    return math.ceil(round(value * parts, 6)) / parts
