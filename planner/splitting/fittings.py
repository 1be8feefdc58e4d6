"""Which steps on the body go to which fitting or trial wear.

A fitting holds the body steps of several garments. A step that follows one of them begins after
the fitting, so of two that follow one another only the first can be at the first fitting.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from planner.catalogue.order import Order, OrderStep
from planner.model import Ensemble, Garment, Occasion, OccasionKind, Source
from planner.occasions import AROUND_A_FITTING, TRIAL_WEAR
from planner.splitting.answers import working_order
from planner.splitting.order_of_work import OrderOfWork

BODY_OCCASIONS = (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR)
"""At which steps on the body are done."""


def order_of(garment: Garment, orders: Mapping[str, Order]) -> Order | None:
    """The order a garment's steps are from; None of one made up by hand."""
    order = orders.get(garment.kind) if garment.kind is not None else None
    if order is None:
        return None
    return order if garment.source is Source.MAKE else working_order(order, garment.source)


def ordered_parts(garment: Garment, orders: Mapping[str, Order]) -> Iterator[tuple[str, OrderStep]]:
    """The steps that come from the order of the garment's kind and are open: their names within
    the ensemble, and what the order says of them. Also those left off."""
    order = order_of(garment, orders)
    if order is None:
        return
    parts = {part.step.id: part for part in order.steps}
    for step in garment.steps:
        if step.id in parts and not step.done:
            yield f"{garment.id}/{step.id}", parts[step.id]


def is_coming(occasion: Occasion, now: datetime) -> bool:
    """Whether an occasion isn't over yet; without ``takes`` it takes the least its kind does."""
    usual = TRIAL_WEAR if occasion.kind is OccasionKind.TRIAL_WEAR else AROUND_A_FITTING
    takes = usual if occasion.takes is None else occasion.takes
    return occasion.at + timedelta(minutes=takes) > now


def open_occasions(ensemble: Ensemble, kind: OccasionKind, now: datetime) -> tuple[str, ...]:
    """Ids of the coming occasions of a kind, the earliest first."""
    found = [o for o in ensemble.occasions if o.kind is kind and is_coming(o, now)]
    return tuple(o.id for o in sorted(found, key=lambda o: o.at))


def place(work: OrderOfWork, wishes: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """Each step with the first occasion of those it wishes at which it can be done.

    ``wishes``: by step, which is at no occasion yet, the occasions in the order they are tried.
    In ``work`` the steps are at their occasions afterwards; one that could be at none is left
    out.
    """
    found: dict[str, str] = {}
    for step in work.in_sequence(wishes):
        for occasion in wishes[step]:
            if work.may_hold(step, occasion):
                work.hold(step, occasion)
                found[step] = occasion
                break
    return found


def held(ensemble: Ensemble, gathered: Mapping[str, str] | Mapping[str, str | None]) -> Ensemble:
    """The ensemble with steps (``garment/step``) at occasions, or at none."""
    if not gathered:
        return ensemble

    def with_steps(garment: Garment) -> Garment:
        if not any(f"{garment.id}/{step.id}" in gathered for step in garment.steps):
            return garment
        return replace(
            garment,
            steps=tuple(
                replace(step, during=gathered[f"{garment.id}/{step.id}"])
                if f"{garment.id}/{step.id}" in gathered
                else step
                for step in garment.steps
            ),
        )

    return replace(ensemble, garments=tuple(map(with_steps, ensemble.garments)))


def gather(
    ensemble: Ensemble, occasion_id: str, orders: Mapping[str, Order], now: datetime
) -> Ensemble:
    """The ensemble with every body step at an occasion that could be done there.

    Those of the garments' orders that are at no occasion yet, open and not left off: the
    fittings' at a fitting, the try-ons' at a trial wear. An occasion that is over, or of
    another kind, gets none. Raises KeyError where there is no such occasion.
    """
    occasion = next((o for o in ensemble.occasions if o.id == occasion_id), None)
    if occasion is None:
        raise KeyError(occasion_id)
    if occasion.kind not in BODY_OCCASIONS or not is_coming(occasion, now):
        return ensemble
    wishes: dict[str, tuple[str, ...]] = {}
    for garment in ensemble.garments:
        steps = {f"{garment.id}/{step.id}": step for step in garment.steps}
        for name, part in ordered_parts(garment, orders):
            step = steps[name]
            if part.at is occasion.kind and step.during is None and not step.left_off:
                wishes[name] = (occasion_id,)
    return held(ensemble, place(OrderOfWork(ensemble), wishes))
