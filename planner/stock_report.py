"""What the plan says of each stock: by when it must be there, where it runs out, what could go.

``stock`` serves the users; here their days are added, what is left after each, the order-by
date, and, where it runs out, the cheapest changes with which it would suffice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planner.model import Coming, Stock
from planner.other_ways import OtherWay
from planner.plan import Plan, PlannedStep
from planner.stock import GRAIN, Served, StockLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One step that takes of a stock, in the order in which they are served."""

    step: str
    amount: float
    day: date | None
    """On which it begins; None where it has none."""
    until: date | None
    """The arrival it waits for."""
    lacking: float
    """What will never come of its amount."""
    left: float
    """There after it, of what has come by then."""
    optional: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Giving:
    """One change with which less of a stock is wanted."""

    step: str
    way: OtherWay | None
    """The other way of it; None: it is left off."""
    amount: float
    """What it takes then."""
    saved: float
    missed: int
    """How much what is given up would be missed, 1 to 5."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sufficing:
    """Changes with which a stock suffices: the least missed, then the fewest."""

    givings: tuple[Giving, ...]
    wanted: float
    """By all its users then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockReport:
    """One stock, and everything that follows from the plan."""

    id: str
    """Full id."""
    stock: Stock
    dimension: int
    """COUNT, LENGTH or AREA."""
    there: float
    """Left of what was counted, once work done since is taken off; at least 0."""
    missing: float
    """Used since the count, but not there by it: it wants counting again. Mostly 0."""
    coming: float
    """On known days."""
    undated: float
    """Coming, nobody knows when; nothing waits for it or counts on it."""
    arrivals: tuple[Coming, ...]
    """Not in the count, in order of their days; those without a day last."""
    wanted: float
    short: float
    """Wanted more than there is and comes."""
    uses: tuple[Use, ...]
    first: str | None
    """The step that takes of it first, by the plan's days."""
    to_hand_by: date | None
    """The day of that step."""
    runs_out_at: str | None
    """The first step that goes without, by the plan's days."""
    runs_out_on: date | None
    order_by: date | None
    """The last day on which an order of what is short comes in time; None where none is needed,
    it can't be had, or nobody said how long it takes."""
    suffices: Sufficing | None
    """Where it is short: with what changes it would be enough, if optional steps and other ways
    allow that."""


def stock_reports(
    plan: Plan, account: Sequence[StockLine], ways: Mapping[str, Sequence[OtherWay]]
) -> tuple[StockReport, ...]:
    """Every stock in the order of the account. ``ways``: other ways of its users, by step."""
    steps = {step.id: step for step in plan.steps}
    return tuple(_report(steps, line, ways) for line in account)


def _report(
    steps: Mapping[str, PlannedStep], line: StockLine, ways: Mapping[str, Sequence[OtherWay]]
) -> StockReport:
    stock = line.stock
    uses = _uses(steps, line)
    dated = [(use.day, use.step) for use in uses if use.day is not None]
    first = min(dated)[1] if dated else (uses[0].step if uses else None)
    lacking = [use for use in uses if use.lacking > GRAIN]
    out = min(lacking, key=lambda use: use.day or date.max) if lacking else None
    out_on = out.day if out is not None else None
    short = max(0.0, min(line.wanted, line.wanted - line.there - line.coming))
    if not lacking:
        short = 0.0
    arrivals = _arrivals(stock)
    order = stock.again and stock.lead is not None and out_on is not None
    return StockReport(
        id=line.id,
        stock=stock,
        dimension=line.dimension,
        there=max(0.0, line.there),
        missing=max(0.0, -line.there) if line.there < -GRAIN else 0.0,
        coming=line.coming,
        undated=sum(one.amount.value for one in arrivals if one.arrives is None),
        arrivals=arrivals,
        wanted=line.wanted,
        short=short,
        uses=uses,
        first=first,
        to_hand_by=min(dated)[0] if dated else None,
        runs_out_at=out.step if out is not None else None,
        runs_out_on=out_on,
        order_by=out_on - timedelta(days=stock.lead or 0) if order and out_on else None,
        suffices=sufficing(steps, line, short, ways) if short else None,
    )


def _arrivals(stock: Stock) -> tuple[Coming, ...]:
    """Deliveries that aren't in the count."""
    ahead = [
        one
        for one in stock.coming
        if one.arrives is None or stock.counted is None or one.arrives > stock.counted
    ]
    return tuple(sorted(ahead, key=lambda one: one.arrives or date.max))


def _uses(steps: Mapping[str, PlannedStep], line: StockLine) -> tuple[Use, ...]:
    """The users with their days, and what is left after each."""
    ahead = list(_arrivals(line.stock))
    held = line.there
    found: list[Use] = []
    for one in line.users:
        step = steps.get(one.step)
        day, until = _day(step), one.until.date() if one.until is not None else None
        while ahead and has_come(ahead[0], day, until):
            held += ahead.pop(0).amount.value
        held -= one.amount if not one.lacking else 0.0
        found.append(
            Use(
                step=one.step,
                amount=one.amount,
                day=day,
                until=until,
                lacking=one.lacking,
                left=max(0.0, held),
                optional=step is not None and _could_go(step),
            )
        )
    return tuple(found)


def has_come(coming: Coming, day: date | None, until: date | None) -> bool:
    """Whether a delivery has come when a step begins on ``day``, having waited ``until``.

    By a step that has no day all has come that has a day.
    """
    if coming.arrives is None:
        return False
    return coming.arrives <= max((one for one in (day, until) if one is not None), default=date.max)


def _day(step: PlannedStep | None) -> date | None:
    """On which a step begins; of one done at an occasion, the occasion's."""
    if step is None:
        return None
    if step.first_day is None and step.during is not None and step.earliest is not None:
        return step.earliest.date()
    return step.first_day


def _could_go(step: PlannedStep) -> bool:
    """Whether a step can be left off without a stage missing."""
    return step.optional and step.stage is None


def sufficing(
    steps: Mapping[str, PlannedStep],
    line: StockLine,
    short: float,
    ways: Mapping[str, Sequence[OtherWay]],
) -> Sufficing | None:
    """The changes with which it suffices: least missed in all, then fewest, then most is kept.

    User by user, of what could be saved so far only those sums are kept that no other beats in
    both what is saved (up to ``short``) and what is given up for it.
    """
    best: list[tuple[float, tuple[int, int, float], tuple[Giving, ...]]] = [(0.0, (0, 0, 0.0), ())]
    for user in line.users:
        more = list(best)
        for giving in _givings(steps.get(user.step), user, line.id, ways.get(user.step, ())):
            for saved, (missed, changes, beyond), chosen in best:
                cost = (missed + giving.missed, changes + 1, beyond + giving.saved)
                more.append((saved + giving.saved, cost, (*chosen, giving)))
        best = _unbeaten(more, short)
    enough = [one for one in best if one[0] >= short - GRAIN]
    if not enough:
        return None
    saved, _, chosen = min(enough, key=lambda one: one[1])
    return Sufficing(givings=chosen, wanted=max(0.0, line.wanted - saved))


def _unbeaten(
    sums: list[tuple[float, tuple[int, int, float], tuple[Giving, ...]]], short: float
) -> list[tuple[float, tuple[int, int, float], tuple[Giving, ...]]]:
    """Those that save more than every one that costs less."""
    found: list[tuple[float, tuple[int, int, float], tuple[Giving, ...]]] = []
    most = -1.0
    for one in sorted(sums, key=lambda one: (one[1], -one[0])):
        counted = min(one[0], short)
        if counted > most + GRAIN:
            found.append(one)
            most = counted
    return found


def _givings(
    step: PlannedStep | None, user: Served, stock: str, ways: Sequence[OtherWay]
) -> list[Giving]:
    """What could be changed at one user: left off, or done in a way that takes less."""
    if step is None or step.done:
        return []
    found = []
    if _could_go(step):
        found.append(
            Giving(step=step.id, way=None, amount=0.0, saved=user.amount, missed=step.missed)
        )
    for way in ways:
        takes = dict(way.uses).get(stock, 0.0)
        if way.offered and way.index is not None and takes < user.amount - GRAIN:
            found.append(
                Giving(
                    step=step.id,
                    way=way,
                    amount=takes,
                    saved=user.amount - takes,
                    missed=way.missed or step.missed,
                )
            )
    return found
