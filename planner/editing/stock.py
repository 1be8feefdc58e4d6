"""Edits to an ensemble's stock, and to what is to be packed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from planner.editing.finding import (
    check_id,
    ensemble_of,
    exchanged,
    inserted,
    settled,
    split_id,
    with_ensemble,
    without,
)
from planner.editing.renaming import rename_stock, with_uses
from planner.model import Project, Stock, Use


def add_stock(project: Project, ensemble: str, stock: Stock, index: int | None = None) -> Project:
    """A stock more in an ensemble, as its stock ``index`` (None: the last).

    Raises ValueError where its id is none or is taken.
    """
    it = ensemble_of(project, ensemble)
    check_id(stock.id, [s.id for s in it.stock], "a stock")
    stocks = inserted(it.stock, index, stock)
    return settled(project, with_ensemble(project, replace(it, stock=stocks)))


def replace_stock(project: Project, id: str, stock: Stock) -> Project:
    """Another stock in the place of that of a full id, ``ensemble/stock``.

    Where its id differs, the steps that used the old one use the new. Raises ValueError where
    that id is none or is taken.
    """
    renamed = rename_stock(project, id, stock.id)
    ensemble = ensemble_of(renamed, split_id(id, 2)[0])
    stocks = exchanged(ensemble.stock, stock.id, stock)
    return settled(project, with_ensemble(renamed, replace(ensemble, stock=stocks)))


def remove_stock(project: Project, id: str) -> Project:
    """Without a stock, full id ``ensemble/stock``: no step uses it any more, in no way."""
    ensemble_id, stock = split_id(id, 2)
    ensemble = ensemble_of(project, ensemble_id)

    def use(it: Use) -> Use | None:
        return None if it.stock == stock else it

    ensemble = replace(
        ensemble,
        stock=without(ensemble.stock, stock, id),
        garments=tuple(with_uses(garment, use) for garment in ensemble.garments),
    )
    return settled(project, with_ensemble(project, ensemble))


def with_pack(project: Project, ensemble: str, pack: Sequence[str]) -> Project:
    """Another list of what must be there and isn't a garment, each thing once.

    What is no longer on it is no longer packed.
    """
    it = ensemble_of(project, ensemble)
    things = tuple(dict.fromkeys(thing for thing in pack if thing.strip()))
    gone = {*it.pack} - {*things, *(garment.id for garment in it.garments)}
    packed = tuple(thing for thing in it.packed if thing not in gone)
    return with_ensemble(project, replace(it, pack=things, packed=packed))


def with_packed(project: Project, ensemble: str, thing: str, on: bool) -> Project:
    """A garment (its id in the ensemble) or a thing of its list packed, or not packed.

    Raises KeyError where it is neither.
    """
    it = ensemble_of(project, ensemble)
    if thing not in it.pack and thing not in {garment.id for garment in it.garments}:
        raise KeyError(thing)
    packed = tuple(one for one in it.packed if one != thing)
    if on:
        packed = (*packed, thing)
    return with_ensemble(project, replace(it, packed=packed))
