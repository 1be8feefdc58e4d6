"""A garment that isn't there yet, without a screen: what it takes, and what waits for what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from statistics import median

from planner.catalogue import techniques_with
from planner.catalogue.order import Order
from planner.catalogue.shelf import orders_with
from planner.editing import free_name, replace_ensemble
from planner.estimate import Operation, operations
from planner.model import Ensemble, Minutes, Project, Source
from planner.pace import Pace
from planner.pacing import pace_of
from planner.problems import InputError
from planner.quantity import Quantity
from planner.splitting.answers import asked, usual
from planner.splitting.ids import garment_name
from planner.splitting.joining import Joined, Link, join
from planner.splitting.split import Split, alone, split
from screens.forms import lookups
from screens.forms.fields import Change

# what there is to choose from


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """An order of construction as the maker chooses among them."""

    id: str
    name: str
    group: str
    layer: int
    own: bool
    """The maker's own."""
    words: str
    """What letters are looked for in."""
    asks: tuple[str, ...]
    """Labels of what is asked at once, of the usual source."""
    ways: Mapping[Source, tuple[Minutes, int]]
    """By source, the usual first: hours with all defaults, and the number of steps."""


def order_rows(project: Project) -> list[OrderRow]:
    """Every order there is, by group, from the skin outwards. Takes a moment."""
    shelf = orders_with(project.orders)
    pace = pace_of(project)
    rows = [_row(project, shelf[ident], pace) for ident in shelf]
    layers: dict[str, list[int]] = {}
    for row in rows:
        layers.setdefault(row.group, []).append(row.layer)
    out = {group: median(there) for group, there in layers.items()}
    return sorted(rows, key=lambda row: (out[row.group], row.group, row.layer, row.name))


def _row(project: Project, order: Order, pace: Pace) -> OrderRow:
    ways = {}
    for source in order.sources:
        try:
            there = split(order, usual(order, source, project.workroom.units))
            made = _operations(there, project, pace)
        except (InputError, KeyError):
            continue  # what is wrong is told when it is chosen
        ways[source] = total(made), len(made)
    questions = asked(order, usual(order))
    return OrderRow(
        id=order.id,
        name=order.name,
        group=order.group,
        layer=order.layer,
        own=bool(order.file),
        words=" ".join((order.name, order.id, order.group, *sorted(order.roles))).casefold(),
        asks=tuple(one.ask for one in questions if one.asked),
        ways=ways,
    )


def usual_name(order: Order) -> str:
    """What a garment of the order is called unless it is named: "Fitted bodice"."""
    return f"{order.name[:1].upper()}{order.name[1:]}"


# what it takes


def _operations(found: Split, project: Project, pace: Pace) -> tuple[Operation, ...]:
    return operations(alone(found), techniques_with(project.techniques), pace)


def total(made: tuple[Operation, ...]) -> Minutes:
    """Minutes of all steps together; low and high as if all were quick, or all slow."""
    return Minutes(
        low=sum(one.minutes.low for one in made),
        typical=sum(one.minutes.typical for one in made),
        high=sum(one.minutes.high for one in made),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """A garment as it is split with the answers so far, and estimated."""

    split: Split
    operations: tuple[Operation, ...]
    minutes: Minutes


def drafted(found: Split, project: Project, pace: Pace) -> Drafted:
    """The estimate of a split at a pace. Raises InputError where a technique isn't known."""
    made = _operations(found, project, pace)
    return Drafted(split=found, operations=made, minutes=total(made))


# what becomes of the ensemble


@dataclass(frozen=True, slots=True, kw_only=True)
class Details:
    """What is said of a new garment besides the answers to its order."""

    name: str = ""
    layer: int | None = None
    wearer: str = ""
    without: frozenset[tuple[str, str]] = frozenset()
    """Links that aren't wanted, as (step, to)."""
    have: Mapping[str, Quantity] = field(default_factory=dict)
    """What is there already, by material."""


def joined(
    project: Project, ensemble: str, found: Split, details: Details, now: datetime
) -> Joined:
    """The ensemble with the garment in it."""
    there = lookups.ensemble_of(project, ensemble)
    after = join(
        there,
        found,
        orders=orders_with(project.orders),
        now=now,
        id=free_name(project, ensemble, found.order.id),
        name=details.name or garment_name(there, usual_name(found.order)),
        layer=details.layer,
        wearer=details.wearer,
        without=details.without,
    )
    if not details.have:
        return after
    return replace(after, ensemble=_with_have(after, found, details.have))


def adding(ensemble: str, found: Split, details: Details, now: datetime) -> Change:
    """The edit that adds the garment to an ensemble."""

    def change(project: Project) -> Project:
        return replace_ensemble(project, joined(project, ensemble, found, details, now).ensemble)

    return change


def _with_have(after: Joined, found: Split, have: Mapping[str, Quantity]) -> Ensemble:
    """With what is there already in the stock of the new garment."""
    garment = next(one for one in after.ensemble.garments if one.id == after.garment)
    called = {
        old.stock: new.stock
        for before, step in zip(found.garment.steps, garment.steps, strict=True)
        for old, new in zip(before.uses, step.uses, strict=True)
    }
    there = {called[name]: amount for name, amount in have.items() if name in called}
    stock = tuple(
        replace(one, have=there[one.id]) if one.id in there else one for one in after.ensemble.stock
    )
    return replace(after.ensemble, stock=stock)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """Steps of one garment that wait for a stage of another, taken or left together."""

    garment: str
    """Id of the garment that waits."""
    to: str
    """What it waits for: "stays:fittable"."""
    links: tuple[Link, ...]

    @property
    def key(self) -> str:
        """Names it among all."""
        return f"{self.garment}>{self.to}"

    @property
    def other(self) -> str:
        """Id of the garment that is waited for."""
        return self.to.partition(":")[0]

    @property
    def stage(self) -> str:
        """The stage that is waited for."""
        return self.to.partition(":")[2]


def waitings(after: Joined) -> tuple[Waiting, ...]:
    """What would wait for what, those of the new garment first."""
    found: dict[tuple[str, str], list[Link]] = {}
    for link in after.links:
        found.setdefault((link.step.split("/")[0], link.to), []).append(link)
    made = [
        Waiting(garment=garment, to=to, links=tuple(links))
        for (garment, to), links in found.items()
    ]
    return tuple(sorted(made, key=lambda one: one.garment != after.garment))
