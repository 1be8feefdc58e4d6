"""`wearby garments`: every garment there is an order of construction for."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planner.catalogue.order import Order
from planner.exports.catalogue_as_json import order_as_json
from planner.model import Minutes, Source
from planner.splitting.answers import Answers, asked, usual
from planner.splitting.split import split
from screens.plain.catalogue import SOURCES, item, minutes_columns, shelves
from screens.plain.lines import WIDTH
from screens.wording import cells, clean, padded, wrapped

_ID = 18
"""Columns kept for ids."""


class Answered:
    """Every order with the hours of its usual answers."""

    def __init__(self, given: argparse.Namespace) -> None:
        """Raises InputError with what is wrong in the maker's own orders."""
        self.shelves = shelves(None if given.path is None else Path(given.path))
        orders = in_groups(list(self.shelves.orders.values()))
        self.orders = [
            (order, self.shelves.hours(split(order, self._usual(order))))
            for order in orders
        ]

    def _usual(self, order: Order) -> Answers:
        return usual(order, units=self.shelves.units)

    def as_json(self) -> list[dict[str, Any]]:
        """An object each."""
        return [order_as_json(order, minutes) for order, minutes in self.orders]

    def lines(self) -> list[str]:
        """By group: id, hours, name; beneath, what it asks and where its order is from."""
        found = wrapped(
            [
                "Garments there is an order of construction for, by id; hours as usual, and at the"
                " least and most, with the answers most give."
            ],
            WIDTH,
        )
        group: str | None = None
        for order, minutes in self.orders:
            if order.group != group:
                group = order.group
                found += ["", clean(group) or "other garments"]
            found += _order(order, minutes)
        return [
            *found,
            "",
            "wearby split KIND shows the steps, and how each measurement is taken.",
        ]


def in_groups(orders: Sequence[Order]) -> list[Order]:
    """Orders by group: first what is worn next to the skin, last what holds for all."""
    layers: dict[str, list[int]] = {}
    for order in orders:
        layers.setdefault(order.group, []).append(order.layer)
    usual_layer = {group: sum(found) / len(found) for group, found in layers.items()}
    return sorted(orders, key=lambda o: (usual_layer[o.group], o.group, o.layer, o.name))


def _order(order: Order, minutes: Minutes) -> list[str]:
    """One order."""
    head = f"  {padded(clean(order.id), _ID)}{minutes_columns(minutes)}  "
    if cells(clean(order.id)) > _ID - 1:
        head = f"  {clean(order.id)}  {minutes_columns(minutes)}  "
    first, *rest = wrapped([clean(order.name)], WIDTH - cells(head)) or [""]
    lines = [head + first, *(f"{'':4}{line}" for line in rest)]
    answers = usual(order)
    names = [one.id for one in asked(order, answers) if one.asked]
    told = []
    if order.file:
        told.append(f"Your own, {clean(order.file)}.")
    if names:
        told.append(f"Asks {', '.join(names)}.")
    if len(order.sources) < len(SOURCES) or answers.source is not Source.MAKE:
        told.append(f"Can be {', '.join(SOURCES[way] for way in order.sources)}.")
    if order.source:
        told.append(f"From: {clean(order.source)}.")
    return lines + item(clean(" ".join(told)), WIDTH, 4, 4)
