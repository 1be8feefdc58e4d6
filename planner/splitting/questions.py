"""The measurements and figures of a garment, as an order of construction asks for them."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from planner.catalogue.common import COMMON
from planner.catalogue.conditions import all_hold
from planner.catalogue.order import Figure, Measurement, Order
from planner.files.phrasing import write_quantity
from planner.files.plain import Plain
from planner.model import Garment, Step, Use, Way
from planner.problems import InputError
from planner.quantity import AREA, Quantity
from planner.splitting.figures import Amounts
from planner.splitting.ids import numbered

Amount = tuple[str | Quantity, ...]

MOST_ASKED: Final = 8
_SPARE: Final = 5.0
"""What can be meant reaches from a fifth of a value to five times it."""


class Questions:
    """What a garment's steps hang on, as tables of ``[[measurement]]`` and ``[[figure]]``.

    Where the order is known that the garment was split from, its words and its figures are
    kept; a figure that its maker changed by hand is a measurement.
    """

    def __init__(self, garment: Garment, order: Order | None, units: str) -> None:
        self._units = units
        self._known = {m.id: m for m in order.measurements} if order else {}
        self._garment = garment
        self._names = _names(garment, order)
        self._figures = _figures(garment, order)
        self._amounts = (
            Amounts(order, self._answers(), garment.choices, order.roles) if order else None
        )
        self._wanted: dict[str, None] = {}
        for name in garment.measurements:
            self._want(name)

    def _answers(self) -> dict[str, Quantity]:
        """The garment's own values of the order's measurements."""
        found = {}
        for name, quantity in self._garment.measurements.items():
            known = self._known.get(name)
            if known is not None and known.default.dimension == quantity.dimension:
                found[name] = quantity
        return found

    def _want(self, name: str) -> None:
        """Note a name, those it is worked out of before it."""
        if name in self._wanted:
            return
        figure = self._figure(name)
        if figure is not None:
            for other in (*figure.product, *figure.given.values()):
                if isinstance(other, str):
                    self._want(other)
        self._wanted[name] = None

    def _figure(self, name: str) -> Figure | None:
        """The figure that gives the name its value; None where it has one of its own."""
        figure = self._figures.get(name)
        mine = self._garment.measurements.get(name)
        if figure is None or self._amounts is None or figure.by:
            return None
        try:
            worked_out = self._amounts[name]
        except (InputError, KeyError):
            return None
        return figure if mine is None or mine == worked_out else None

    def _value(self, name: str) -> Quantity:
        mine = self._garment.measurements.get(name)
        if mine is not None:
            return mine
        assert self._amounts is not None
        return self._amounts[name]

    def tables(self) -> tuple[list[Plain], list[Plain]]:
        """Measurements, at most eight of them asked at once, and figures."""
        measurements: list[Plain] = []
        figures: list[Plain] = []
        asked = 0
        for name in self._wanted:
            figure = self._figure(name)
            if figure is not None:
                figures.append(self._written(figure))
            elif self._value(name).dimension != AREA:
                table = self._measurement(name, asked < MOST_ASKED)
                asked += table.get("asked", True) is True
                measurements.append(table)
        return measurements, figures

    def _measurement(self, name: str, room: bool) -> Plain:
        value, known = self._value(name), self._known.get(name)
        own = name not in self._figures and name in self._garment.measurements
        table: Plain = {
            "id": self._names[name],
            "ask": known.ask if known else name.strip().capitalize() or name,
            "how": known.how if known else f"As measured for {self._garment.name or 'the first'}.",
            "default": write_quantity(value, self._units),
        }
        table |= self._bounds(value, known)
        if not room or not (known.asked if known else own):
            table["asked"] = False
        return table

    def _bounds(self, value: Quantity, known: Measurement | None) -> Plain:
        """What can't be meant below and above, wide enough for the value itself."""
        if known is not None and known.default.dimension == value.dimension:
            least = min(known.least.value, value.value)
            most = max(known.most.value, value.value)
        elif value.value:
            return {}
        else:
            least, most = 0.0, 100.0
        return {
            "least": write_quantity(replace(value, value=least), self._units),
            "most": write_quantity(replace(value, value=most), self._units),
        }

    def _written(self, figure: Figure) -> Plain:
        table: Plain = {"id": self._names[figure.id]}
        if figure.product:
            table["product"] = self._written_amount(figure.product)
        else:
            table["rule"] = figure.rule
            table["given"] = {
                key: self._written_factor(value) for key, value in figure.given.items()
            }
        return table

    def _written_amount(self, amount: Amount) -> list[object]:
        return [self._written_factor(factor) for factor in amount]

    def _written_factor(self, factor: str | Quantity) -> object:
        if isinstance(factor, str):
            return self._names[factor]
        return write_quantity(factor, self._units)

    def renamed(self, step: Step) -> Step:
        """The step naming measurements as the order does; areas stand for themselves."""
        ways = tuple(
            replace(
                way,
                amount=None if way.amount is None else self._renamed(way.amount),
                uses=None if way.uses is None else self._uses(way.uses, way.amount or step.amount),
            )
            for way in step.instead
        )
        return replace(
            step,
            amount=self._renamed(step.amount),
            uses=self._uses(step.uses, step.amount),
            instead=ways,
        )

    def _uses(self, uses: tuple[Use, ...], amount: Amount) -> tuple[Use, ...]:
        """What is used, without what has neither an amount nor a step's."""
        return tuple(
            use if use.amount is None else replace(use, amount=self._renamed(use.amount))
            for use in uses
            if use.amount or amount
        )

    def _renamed(self, amount: Amount) -> Amount:
        def one(factor: str | Quantity) -> str | Quantity:
            if isinstance(factor, Quantity):
                return factor
            value = self._garment.measurements[factor]
            return value if value.dimension == AREA else self._names[factor]

        return tuple(map(one, amount))


def _names(garment: Garment, order: Order | None) -> dict[str, str]:
    """By name of a measurement or figure, a name that can stand in an order's amounts."""
    asked = [m.id for m in order.measurements] + [f.id for f in order.figures] if order else []
    found = {name: name for name in asked}
    taken = {choice.id for choice in COMMON} | {"source"} | set(found)
    for name in garment.measurements:
        if name not in found:
            plain = "-".join(re.sub(r"[=\"']", " ", name).split())
            found[name] = numbered(plain or "measure", taken)
            taken.add(found[name])
    return found


def _figures(garment: Garment, order: Order | None) -> dict[str, Figure]:
    """The figures that count with the garment's choices, by id."""
    found: dict[str, Figure] = {}
    if order is None:
        return found
    for figure in order.figures:
        if figure.id not in found and all_hold(figure.when, garment.choices, order.roles):
            found[figure.id] = replace(figure, when={})
    return found


def ways_of(step: Step) -> tuple[Step | Way, ...]:
    """The step and the other ways to do it."""
    return (step, *step.instead)
