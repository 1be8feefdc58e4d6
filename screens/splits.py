"""Garments by their orders of construction, without a screen: split again, and where from."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import datetime

from planner.catalogue import techniques_with
from planner.catalogue.order import Order
from planner.catalogue.shelf import orders_with
from planner.editing import replace_ensemble, replace_garment
from planner.estimate import operations
from planner.model import Ensemble, Garment, Minutes, Project, Source, Step
from planner.pace import Pace
from planner.problems import InputError
from planner.splitting.again import answers_of, split_again
from planner.splitting.answers import Answers, usual
from planner.splitting.fittings import gather
from planner.splitting.split import split
from screens.forms import lookups
from screens.forms.fields import Change


def order_of(project: Project, garment: Garment) -> Order | None:
    """The order of construction of its kind; None of a garment without one."""
    orders = orders_with(project.orders)
    return orders[garment.kind] if garment.kind is not None and garment.kind in orders else None


def answered(project: Project, garment: Garment) -> Answers:
    """What it was split with. Raises KeyError where its kind has no order."""
    return answers_of(garment, orders_with(project.orders))


def with_answers(ident: str, answers: Answers, now: datetime) -> Change:
    """A garment split again with other answers; what its maker changed in it stays.

    Where it comes from elsewhere than before, steps of its own that are still to do and that the
    new order doesn't know are left off: nobody sews what is bought.
    """
    ensemble, _, garment = ident.partition("/")

    def change(project: Project) -> Project:
        there = lookups.ensemble_of(project, ensemble)
        begun = frozenset(entry.step for entry in project.diary.entries)
        orders = orders_with(project.orders)
        before = lookups.garment_of(project, ident)
        after = split_again(there, garment, answers, orders=orders, now=now, begun=begun)
        if before.source is not answers.source:
            known = split(orders[before.kind or ""], answers).garment.steps
            after = _others_left_off(after, garment, {step.id for step in known}, begun)
        return replace_ensemble(project, after)

    return change


def _others_left_off(
    ensemble: Ensemble, ident: str, known: Collection[str], begun: Collection[str]
) -> Ensemble:
    """The garment with what isn't known, done or begun left off."""

    def kept(step: Step) -> bool:
        return step.id in known or step.done or f"{ensemble.id}/{ident}/{step.id}" in begun

    return replace(
        ensemble,
        garments=tuple(
            one
            if one.id != ident
            else replace(
                one,
                steps=tuple(
                    step if kept(step) else replace(step, left_off=True) for step in one.steps
                ),
            )
            for one in ensemble.garments
        ),
    )


def gathered(project: Project, ensemble: str, occasion: str, now: datetime) -> Project:
    """Body steps that are at no occasion yet brought to a fitting or trial wear."""
    there = lookups.ensemble_of(project, ensemble)
    return replace_ensemble(project, gather(there, occasion, orders_with(project.orders), now))


@dataclass(frozen=True, slots=True, kw_only=True)
class From:
    """A garment from one of the places it can come from."""

    source: Source
    minutes: Minutes | None
    """All its work; None where that isn't known."""
    steps: int
    now: bool
    """Whether it comes from there as it stands."""
    change: Change | None
    """None where it is so already."""
    anew: bool = True
    """Whether its steps are made anew; else only the word changes."""


def each_way(project: Project, ident: str, now: datetime, pace: Pace) -> list[From]:
    """A garment made, owned, altered, borrowed and bought, each with its hours at that pace."""
    garment = lookups.garment_of(project, ident)
    order = order_of(project, garment)
    return [_as_it_stands(project, ident, garment, pace)] + [
        _otherwise(project, ident, garment, order, source, now, pace)
        for source in (order.sources if order is not None else tuple(Source))
        if source is not garment.source
    ]


def _as_it_stands(project: Project, ident: str, garment: Garment, pace: Pace) -> From:
    """With the steps it has."""
    minutes, steps = _work(project, ident, pace)
    return From(source=garment.source, minutes=minutes, steps=steps, now=True, change=None)


def _work(project: Project, ident: str, pace: Pace) -> tuple[Minutes | None, int]:
    """All work of a garment and in how many steps; None where that can't be told."""
    garment = lookups.garment_of(project, ident)
    ensemble = lookups.ensemble_of(project, ident.split("/")[0])
    kept = [step.id for step in garment.steps if not step.left_off]
    try:
        made = operations(
            replace(ensemble, garments=(garment,)), techniques_with(project.techniques), pace
        )
    except InputError:
        return None, len(kept)
    counted = [op.minutes for op in made if op.step.id in kept]
    minutes = Minutes(
        low=sum(one.low for one in counted),
        typical=sum(one.typical for one in counted),
        high=sum(one.high for one in counted),
    )
    return minutes, len(kept)


def _otherwise(
    project: Project,
    ident: str,
    garment: Garment,
    order: Order | None,
    source: Source,
    now: datetime,
    pace: Pace,
) -> From:
    """From elsewhere: split again; without an order its steps stay, and only the word changes."""
    if order is None:

        def renamed(there: Project) -> Project:
            mine = lookups.garment_of(there, ident)
            return replace_garment(there, ident, replace(mine, source=source))

        kept = sum(not step.left_off for step in garment.steps)
        return From(
            source=source, minutes=None, steps=kept, now=False, change=renamed, anew=False
        )
    change = with_answers(ident, usual(order, source, project.workroom.units), now)
    try:
        minutes, steps = _work(change(project), ident, pace)
    except InputError:
        minutes, steps = None, 0  # what is wrong is said when it is tried
    return From(source=source, minutes=minutes, steps=steps, now=False, change=change)
