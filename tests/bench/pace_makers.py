"""Makers as the estimator doesn't know them: what they make, and how long it really takes them.

An ensemble is six to nine garments of the catalogue's orders of construction, split with random
measurements and options. A maker has a pace for each technique (median, spread between
techniques, of which a share goes by the kind of work) and differs from it from step to step
(within), all on a log scale. What is logged is what a careful maker logs: whole minutes in one to
three sittings, the last of them done; some steps are ticked without minutes.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from math import exp, sqrt

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.shelf import orders
from planner.estimate import Operation, operations
from planner.model import Diary, Ensemble, Entry, Garment, Work
from planner.quantity import COUNT
from planner.splitting.answers import Answers
from planner.splitting.split import split

BEGAN = datetime(2026, 1, 5, 20, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What the estimator doesn't know of a maker."""

    median: float = 1.3
    between: float = 0.35
    """Spread between techniques, of logarithms."""
    within: float = 0.3
    """Spread of steps of one technique."""
    by_kind: float = 0.0
    """Share of the spread between techniques (of its variance) that goes by kind of work."""
    unticked: float = 0.1
    """Share of the steps that are ticked without minutes."""


def ensemble(rng: random.Random, name: str, garments: int | None = None) -> Ensemble:
    """A random ensemble."""
    kinds = [order for order in orders().values() if order.id != "whole-ensemble"]
    chosen = rng.sample(kinds, garments or rng.randint(6, 9))
    return Ensemble(id=name, garments=tuple(_garment(rng, order) for order in chosen))


def _garment(rng: random.Random, order: Order) -> Garment:
    """One of that kind; without its stock, which takes no time."""
    measurements = {}
    for one in order.measurements:
        value = one.default.value * rng.uniform(0.75, 1.35)
        value = min(max(value, one.least.value), one.most.value)
        if one.default.dimension == COUNT:
            value = float(round(value))
        measurements[one.id] = replace(one.default, value=value)
    choices = {one.id: rng.choice(one.options).id for one in order.choices}
    made = split(order, Answers(measurements=measurements, choices=choices)).garment
    return replace(made, steps=tuple(replace(one, uses=(), instead=()) for one in made.steps))


@cache
def wardrobe(seed: int, number: int = 4, garments: int | None = None) -> tuple[Ensemble, ...]:
    """So many random ensembles of one maker."""
    rng = random.Random(f"wardrobe {seed}")
    return tuple(ensemble(rng, f"e{k}", garments) for k in range(number))


def estimated(made: Sequence[Ensemble]) -> dict[str, Operation]:
    """Every step at the catalogue's pace."""
    return {op.id: op for one in made for op in operations(one, techniques())}


class Maker:
    """A maker with a pace of their own for every technique."""

    def __init__(self, truth: Truth, seed: int) -> None:
        self.truth = truth
        self.rng = random.Random(f"maker {seed}")
        self.kinds: dict[Work, float] = {}
        self.techniques: dict[str, float] = {}

    def pace(self, op: Operation) -> float:
        """The true pace of a technique: what it takes them in the median."""
        truth = self.truth
        if op.work not in self.kinds:
            self.kinds[op.work] = self.rng.gauss(0, truth.between * sqrt(truth.by_kind))
        name = op.technique or ""
        if name not in self.techniques:
            own = self.rng.gauss(0, truth.between * sqrt(1 - truth.by_kind))
            self.techniques[name] = truth.median * exp(self.kinds[op.work] + own)
        return self.techniques[name]

    def takes(self, op: Operation) -> int:
        """How long a step really takes this time, in whole minutes."""
        noise = exp(self.rng.gauss(0, self.truth.within))
        return max(1, round(op.by_catalogue.typical * self.pace(op) * noise))

    def works(self, ops: Mapping[str, Operation]) -> Diary:
        """The diary of having done these steps."""
        entries: list[Entry] = []
        at = BEGAN
        for name, op in ops.items():
            at += timedelta(hours=5)
            minutes = self.takes(op)
            if self.rng.random() < self.truth.unticked:
                entries.append(Entry(at=at, step=name, done=True))
                continue
            sittings = min(minutes, self.rng.choice((1, 1, 1, 2, 3)))
            share = minutes // sittings
            for k in range(sittings):
                last = k == sittings - 1
                mine = minutes - share * k if last else share
                entries.append(Entry(at=at, step=name, minutes=mine, done=last))
        return Diary(entries=tuple(entries))
