"""Stock of which far more was logged as used than was planned, or than there ever was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from planner.ground import all_operations
from planner.model import Entry, Project
from planner.quantity import Quantity

FAR: Final = 2.0
"""More than so many times what was planned is far more."""
_GRAIN: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class FarMore:
    """A use that may be a slip."""

    step: str
    stock: str
    """Full id."""
    used: Quantity
    planned: Quantity | None
    """What the step was to take; None where it was to take nothing of it."""
    there: Quantity | None
    """All that was there and comes, where more than that was used."""


def far_more_used(project: Project, entries: Sequence[Entry]) -> tuple[FarMore, ...]:
    """Uses of more than twice what the step was to take, or of more than was there and comes."""
    taking = [entry for entry in entries if entry.used]
    if not taking:
        return ()
    ops = all_operations(project)
    stocks = {f"{e.id}/{s.id}": s for e in project.ensembles for s in e.stock}
    found = []
    for entry in taking:
        wanted = dict(ops[entry.step].uses) if entry.step in ops else {}
        for one in entry.used:
            full = f"{entry.step.split('/')[0]}/{one.stock}"
            stock, planned = stocks.get(full), wanted.get(full)
            if stock is None:
                continue
            amounts = [stock.have, *(some.amount for some in stock.coming)]
            there = sum(a.value for a in amounts if a.dimension == one.amount.dimension)
            # of what was never counted nobody knows how much there is
            over = there > 0 and one.amount.value > there + _GRAIN
            if over or (planned is not None and one.amount.value > FAR * planned.value):
                found.append(
                    FarMore(
                        step=entry.step,
                        stock=full,
                        used=one.amount,
                        planned=planned,
                        there=_quantity(there, one.amount) if over else None,
                    )
                )
    return tuple(found)


def _quantity(value: float, like: Quantity) -> Quantity:
    return Quantity(value=value, dimension=like.dimension)
