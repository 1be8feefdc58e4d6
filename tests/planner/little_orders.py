"""Little orders of construction, made without files, and ensembles to join them to."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from planner.catalogue import techniques
from planner.catalogue.common import COMMON
from planner.catalogue.order import Choice, Material, Measurement, Order, OrderStep, Over
from planner.model import (
    Ensemble,
    Garment,
    Occasion,
    OccasionKind,
    Project,
    Span,
    Step,
    Use,
    Work,
    Workroom,
)
from planner.network import order_problems
from planner.plan import Plan
from planner.planning import plan_project
from planner.quantity import LENGTH, Quantity
from planner.splitting.answers import usual
from planner.splitting.split import Split, split

NOW = datetime(2027, 5, 3, 9)
FITTING, TRIAL = OccasionKind.FITTING, OccasionKind.TRIAL_WEAR


def part(
    id: str,
    *after: str,
    stage: str | None = None,
    at: OccasionKind | None = None,
    over: tuple[tuple[str, str], ...] = (),
    when: Mapping[str, str] | None = None,
    uses: tuple[str, ...] = (),
    amount: tuple[str, ...] = (),
    technique: str = "try-on",
) -> OrderStep:
    """A step of an order; ``over`` as (role, stage), ``when`` with one option a choice."""
    return OrderStep(
        step=Step(
            id=id,
            technique=technique,
            amount=amount,
            after=after,
            stage=stage,
            uses=tuple(Use(stock=s, amount=("length",)) for s in uses),
        ),
        work=techniques()[technique].work,
        at=at,
        over=tuple(Over(roles=(role,), stage=to, why=f"over the {role}") for role, to in over),
        when={name: frozenset({option}) for name, option in (when or {}).items()},
    )


def order(
    id: str,
    *steps: OrderStep,
    layer: int = 5,
    roles: tuple[str, ...] = (),
    choices: tuple[Choice, ...] = (),
    materials: tuple[Material, ...] = (),
    pack: tuple[str, ...] = (),
) -> Order:
    """An order with one measurement, ``length``."""
    length = Quantity(value=1.0, dimension=LENGTH)
    return Order(
        id=id,
        name=id.replace("-", " "),
        group="little",
        layer=layer,
        roles=frozenset((id, *roles)),
        measurements=(
            Measurement(
                id="length",
                ask="Length",
                how="Top to bottom.",
                default=length,
                least=Quantity(value=0.1, dimension=LENGTH),
                most=Quantity(value=9.0, dimension=LENGTH),
            ),
        ),
        choices=(*choices, *COMMON),
        materials=materials,
        steps=steps,
        pack=pack,
    )


def cut_of(found: Order) -> Split:
    """The order split with all as usual."""
    return split(found, usual(found))


def occasion(id: str, kind: OccasionKind, days: int, **keys: object) -> Occasion:
    """An occasion at two in the afternoon, so many days from ``NOW``'s."""
    at = datetime(NOW.year, NOW.month, NOW.day, 14) + timedelta(days=days)
    return Occasion(id=id, kind=kind, at=at, **keys)  # type: ignore[arg-type]


FIRST = occasion("first-fitting", FITTING, 10)
SECOND = occasion("second-fitting", FITTING, 20)
TRIAL_WEAR = occasion("trial", TRIAL, 30)
BALL = occasion("ball", OccasionKind.EVENT, 40)


def ensemble(
    *garments: Garment, occasions: tuple[Occasion, ...] = (FIRST, SECOND, TRIAL_WEAR, BALL)
) -> Ensemble:
    """An ensemble ``e`` with two fittings, a trial wear and an event."""
    return Ensemble(id="e", occasions=occasions, garments=garments)


def task(id: str, *after: str, **keys: object) -> Step:
    """Half an hour of hand sewing."""
    return Step(id=id, hours=30, work=Work.HAND, after=after, **keys)  # type: ignore[arg-type]


def by_hand(id: str, *steps: Step, **keys: object) -> Garment:
    """A garment without an order."""
    return Garment(id=id, steps=steps, **keys)  # type: ignore[arg-type]


def step_of(found: Ensemble, name: str) -> Step:
    """The step ``garment/step``."""
    garment, step = name.split("/")
    (one,) = (s for g in found.garments if g.id == garment for s in g.steps if s.id == step)
    return one


def planned(found: Ensemble) -> Plan:
    """The plan of the ensemble with every evening free; it raises where there is a circle."""
    week = ((Span(start=19 * 60, end=22 * 60),),) * 7
    assert order_problems([found]) == ()
    return plan_project(
        Project(workroom=Workroom(workroom_hours=week, helper_hours=week), ensembles=(found,)), NOW
    )
