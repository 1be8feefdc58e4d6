"""The stock of a split garment in its ensemble: what is shared, what is its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from planner.amounts import amount_of
from planner.catalogue.order import Material
from planner.model import Ensemble, Garment, Step, Stock, Use
from planner.quantity import COUNT, Quantity
from planner.splitting.ids import numbered
from planner.splitting.split import Split, materials


def with_stock(ensemble: Ensemble, garment: Garment, split: Split) -> tuple[Ensemble, Garment]:
    """The ensemble with a stock for each material of a split, and the garment taking of them.

    ``garment`` is the split's as the ensemble calls it. What is shared is one stock, by the
    material's id, also one that was there; anything else is the garment's own. Nothing of what
    is new is there yet.
    """
    names = {}
    for material in materials(split):
        ensemble, names[material.id] = with_material(ensemble, garment, material)
    steps = tuple(renamed(step, names) for step in garment.steps)
    return ensemble, replace(garment, steps=steps)


def with_material(ensemble: Ensemble, garment: Garment, material: Material) -> tuple[Ensemble, str]:
    """The ensemble with a stock for a material of the garment, and the stock's id."""
    ids = {stock.id for stock in ensemble.stock}
    if material.shared and material.id in ids:
        stock = next(s for s in ensemble.stock if s.id == material.id)
        if dimension_of(ensemble, stock) in (None, material.dimension):
            return ensemble, material.id
    own = not material.shared or material.id in ids
    id = numbered(f"{garment.id}-{material.id}", ids) if own else material.id
    name = f"{material.name}, {garment.name or garment.id}" if own else material.name
    stock = Stock(
        id=id,
        name=name,
        have=Quantity(value=0.0, dimension=material.dimension),
        lead=material.lead,
    )
    return replace(ensemble, stock=(*ensemble.stock, stock)), id


def dimension_of(ensemble: Ensemble, stock: Stock) -> int | None:
    """What a stock is kept by; None where nothing says so."""
    if stock.have.value or stock.have.dimension != COUNT:
        return stock.have.dimension
    if stock.coming:
        return stock.coming[0].amount.dimension
    for garment in ensemble.garments:
        for step in garment.steps:
            for use in step.uses:
                found = _taken(garment, step, use) if use.stock == stock.id else None
                if found is not None:
                    return found.dimension
    return None


def _taken(garment: Garment, step: Step, use: Use) -> Quantity | None:
    """What a step takes; None where its amount can't be worked out."""
    factors: list[Quantity] = []
    for factor in step.amount if use.amount is None else use.amount:
        if isinstance(factor, str) and factor not in garment.measurements:
            return None
        factors.append(garment.measurements[factor] if isinstance(factor, str) else factor)
    return amount_of(factors) if factors else None


def renamed(step: Step, names: Mapping[str, str]) -> Step:
    """The step with other ids for what it uses, in its other ways too."""

    def uses(old: tuple[Use, ...]) -> tuple[Use, ...]:
        return tuple(replace(use, stock=names.get(use.stock, use.stock)) for use in old)

    ways = tuple(
        way if way.uses is None else replace(way, uses=uses(way.uses)) for way in step.instead
    )
    return replace(step, uses=uses(step.uses), instead=ways)
