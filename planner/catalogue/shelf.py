"""The catalogue's orders of construction, each parsed when it is first asked for."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.order_reading import parse_order
from planner.model import Source
from planner.problems import InputError, Problem

_HERE: Final = Path(__file__).parent
_ENDING: Final = ".toml"


class _Shelf(Mapping[str, Order]):
    """The orders of a folder by id, in order of their ids."""

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._parsed: dict[str, Order] = {}
        names = sorted(os.listdir(_HERE / folder))
        self._ids = tuple(name.removesuffix(_ENDING) for name in names if name.endswith(_ENDING))

    def __getitem__(self, order_id: str) -> Order:
        if order_id not in self._parsed:
            if order_id not in self._ids:
                raise KeyError(order_id)
            self._parsed[order_id] = self._parse(order_id)
        return self._parsed[order_id]

    def _parse(self, order_id: str) -> Order:
        file = f"{self._folder}/{order_id}{_ENDING}"
        try:
            document = tomllib.loads((_HERE / file).read_text("utf-8"))
        except tomllib.TOMLDecodeError as error:
            raise InputError([Problem(file=file, place="", text=f"{error}.")]) from None
        # the catalogue's own are tried once and for all, by the tests
        order, problems, _ = parse_order(document, file, order_id, techniques(), tried=False)
        if order is None:
            raise InputError(problems)
        return replace(order, file="")

    def __iter__(self) -> Iterator[str]:
        return iter(self._ids)

    def __len__(self) -> int:
        return len(self._ids)

    def __contains__(self, order_id: object) -> bool:
        return order_id in self._ids


@cache
def orders() -> Mapping[str, Order]:
    """The catalogue's orders of construction by id, for garments that are made."""
    return _Shelf("orders")


class _BySource(Mapping[Source, Order]):
    """The short orders of garments that aren't made."""

    def __init__(self) -> None:
        self._shelf = _Shelf("sources")

    def __getitem__(self, source: Source) -> Order:
        return self._shelf[source]

    def __iter__(self) -> Iterator[Source]:
        return (source for source in Source if source in self._shelf)

    def __len__(self) -> int:
        return sum(source in self._shelf for source in Source)

    def __contains__(self, source: object) -> bool:
        return source in self._shelf


@cache
def source_orders() -> Mapping[Source, Order]:
    """What is done with a garment that is owned, altered, borrowed or bought, by source."""
    return _BySource()


class _Layered(Mapping[str, Order]):
    """The maker's own orders over the catalogue's."""

    def __init__(self, own: Mapping[str, Order]) -> None:
        self._own = own
        self._built_in = orders()

    def __getitem__(self, order_id: str) -> Order:
        return self._own[order_id] if order_id in self._own else self._built_in[order_id]

    def __iter__(self) -> Iterator[str]:
        yield from self._own
        yield from (known for known in self._built_in if known not in self._own)

    def __len__(self) -> int:
        return len(self._built_in) + sum(known not in self._built_in for known in self._own)

    def __contains__(self, order_id: object) -> bool:
        return order_id in self._own or order_id in self._built_in


def orders_with(own: Iterable[Order]) -> Mapping[str, Order]:
    """The maker's ``own`` orders, then the catalogue's that they don't replace, by id."""
    return _Layered({order.id: order for order in own})


AFTER_WEARING: Final = "after-wearing"
"""Id of the order of what is done after a wearing."""


def after_wearing_order(own: Iterable[Order] = ()) -> Order:
    """What is done with a garment after a wearing; the maker's own of that id wins."""
    mine = next((order for order in own if order.id == AFTER_WEARING), None)
    return mine if mine is not None else _care()[AFTER_WEARING]


@cache
def _care() -> Mapping[str, Order]:
    """What is done with garments that were made."""
    return _Shelf("care")
