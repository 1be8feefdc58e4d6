"""Stock: what there is and what is coming serves what is wanted.

Users are served in order of their latest end, then of their order of work, then of the
file; each waits until what has come covers it and all served before. What never comes is a
note and no ban: the step that goes without waits for nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from planner.model import Ensemble, Entry, Stock
from planner.network import Network
from planner.quantity import COUNT
from planner.standing import Standing

#: quantities smaller than this are rounding
GRAIN = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """How one user of one stock fares."""

    step: str
    stock: str
    """Full id, ``ensemble/stock``."""
    amount: float
    """Wanted, in the stock's unit (metres, square metres, pieces)."""
    until: datetime | None
    """The arrival it waits for; None when all is there."""
    lacking: float
    """What will never come of it; 0 when it is served."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One stock as the plan sees it."""

    id: str
    stock: Stock
    there: float
    """Left of what was counted, once work done since is taken off."""
    coming: float
    """Of known arrivals."""
    wanted: float
    """By steps not yet done."""
    users: tuple[Served, ...]
    """In the order in which they are served."""
    dimension: int = COUNT
    """COUNT, LENGTH or AREA: of what is there or coming, else as steps want it."""


def all_stock(ensembles: Sequence[Ensemble]) -> dict[str, Stock]:
    """Every stock by full id."""
    return {f"{e.id}/{s.id}": s for e in ensembles for s in e.stock}


def _counts_since(stock: Stock, standing: Standing, entries: Sequence[Entry]) -> bool:
    """Whether a done step's amount is still to be taken off what was counted."""
    if not standing.done:
        return False
    if stock.counted is None:
        return True
    moment = entries[-1].at if entries else standing.done_at
    return moment is not None and moment.date() > stock.counted


def _arrivals(stock: Stock) -> list[tuple[date, float]]:
    """Known deliveries that are not in the count, in order of date."""
    known = [
        (c.arrives, c.amount.value)
        for c in stock.coming
        if c.arrives is not None and (stock.counted is None or c.arrives > stock.counted)
    ]
    return sorted(known)


def serve(
    network: Network,
    ensembles: Sequence[Ensemble],
    diary: Sequence[Entry],
    stand: Mapping[str, Standing],
    wanted: Mapping[str, int | None],
) -> tuple[StockLine, ...]:
    """Serve every stock's users.

    ``wanted``: the open steps that are planned or done at an occasion, with the clock
    moment of their latest end (None sorts last).
    """
    logged: dict[str, list[Entry]] = {}
    for entry in diary:
        logged.setdefault(entry.step, []).append(entry)
    position = {name: k for k, name in enumerate(network.order)}
    users: dict[str, list[tuple[str, float]]] = {}
    stocks = all_stock(ensembles)
    dimensions: dict[str, int] = {}
    for node in network.nodes.values():
        for stock_id, quantity in node.op.uses:
            dimensions.setdefault(stock_id, quantity.dimension)
    taken = _taken(diary, stocks, dimensions)
    used = dict.fromkeys(stocks, 0.0)
    for (_, stock_id), one in taken.items():
        used[stock_id] += one.since
    for name, node in network.nodes.items():
        for stock_id, quantity in node.op.uses:
            said = taken.get((name, stock_id))
            if name in wanted:
                rest = quantity.value - (said.all if said is not None else 0.0)
                users.setdefault(stock_id, []).append((name, max(0.0, rest)))
            elif said is None and _counts_since(
                stocks[stock_id], stand[name], logged.get(name, ())
            ):
                used[stock_id] += quantity.value
    found = []
    for stock_id, stock in stocks.items():
        mine = sorted(
            users.get(stock_id, ()),
            key=lambda u: (_late(wanted[u[0]]), position[u[0]]),
        )
        there = stock.have.value - used[stock_id]
        arrivals = _arrivals(stock)
        found.append(
            StockLine(
                id=stock_id,
                stock=stock,
                there=there,
                coming=sum(a for _, a in arrivals),
                wanted=sum(a for _, a in mine),
                users=_serve_one(stock_id, there, arrivals, mine),
                dimension=dimensions.get(stock_id, _own_dimension(stock)),
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Taken:
    """What a step really took of a stock, as the diary says."""

    all: float = 0.0
    since: float = 0.0
    """Of that, since the stock was counted."""


def _taken(
    diary: Sequence[Entry], stocks: Mapping[str, Stock], dimensions: Mapping[str, int]
) -> dict[tuple[str, str], _Taken]:
    """By step and stock, in full ids, the sum of what the step's entries say was taken.

    What isn't measured as the stock is, or is of none, is passed over.
    """
    found: dict[tuple[str, str], _Taken] = {}
    for entry in diary:
        for one in entry.used:
            stock_id = f"{entry.step.split('/')[0]}/{one.stock}"
            stock = stocks.get(stock_id)
            if stock is None:
                continue
            if one.amount.dimension != dimensions.get(stock_id, _own_dimension(stock)):
                continue
            before = found.get((entry.step, stock_id), _Taken())
            counted = stock.counted is not None and entry.at.date() <= stock.counted
            found[entry.step, stock_id] = _Taken(
                all=before.all + one.amount.value,
                since=before.since + (0.0 if counted else one.amount.value),
            )
    return found


def _own_dimension(stock: Stock) -> int:
    """What it is counted by: its own dimension, or a delivery's where it has none left."""
    if stock.have.dimension != COUNT or not stock.coming:
        return stock.have.dimension
    return stock.coming[0].amount.dimension


def _late(moment: int | None) -> int:
    return 10**12 if moment is None else moment


def _serve_one(
    stock_id: str,
    there: float,
    arrivals: Sequence[tuple[date, float]],
    users: Sequence[tuple[str, float]],
) -> tuple[Served, ...]:
    """Serve the users of one stock in their order."""
    served: list[Served] = []
    given, have, k = 0.0, there, 0
    until: datetime | None = None
    total = there + sum(a for _, a in arrivals)
    for name, amount in users:
        if given + amount > total + GRAIN:
            lacking = min(amount, given + amount - total)
            served.append(
                Served(step=name, stock=stock_id, amount=amount, until=None, lacking=lacking)
            )
            continue
        given += amount
        while given > have + GRAIN:
            day, more = arrivals[k]
            have += more
            until = datetime.combine(day, time())
            k += 1
        served.append(
            Served(step=name, stock=stock_id, amount=amount, until=until, lacking=0.0)
        )
    return tuple(served)
