"""Laws of every order of construction: with defaults, every option, and random measurements."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache

import pytest

from planner.catalogue import techniques
from planner.catalogue.conditions import all_hold
from planner.catalogue.order import Measurement, Order, OrderStep
from planner.catalogue.order_checks import MOST_ASKED
from planner.catalogue.shelf import orders, source_orders
from planner.estimate import Operation, operations
from planner.model import Source
from planner.network import build_network
from planner.quantity import COUNT, Quantity
from planner.splitting.answers import Answers, asked, usual
from planner.splitting.split import Split, alone, split, split_by

SETS = 200
"""Random measurements tried with every order."""
MOST_FIXED = 0.1
"""Share of a split's minutes that may be fixed hours."""
NO_STAGE_OF_THEIR_OWN = frozenset({"whole-ensemble"})


NAMES = (*orders(), *(f"{source} (short)" for source in source_orders()))
"""Every order by a name for the test."""


@cache
def order_and_kinds(name: str) -> tuple[Order, tuple[Order, ...]]:
    """The order of a name, and those whose garments it makes: itself.

    A short order works on the garments of every kind that can come from its source.
    """
    if name in orders():
        return orders()[name], (orders()[name],)
    source = Source(name.removesuffix(" (short)"))
    kinds = tuple(order for order in orders().values() if source in order.sources)
    return source_orders()[source], kinds


def trials(name: str) -> Iterator[tuple[Order, Order, Answers]]:
    """The order with its defaults and each option, on every kind of garment it makes."""
    working, kinds = order_and_kinds(name)
    for order in kinds:
        for answers in chosen_options(working):
            yield order, working, replace(answers, source=source_of(working))


def source_of(working: Order) -> Source:
    """The source of the garments that an order works on."""
    return next((s for s, order in source_orders().items() if order is working), Source.MAKE)


def draws(name: str) -> Iterator[Split]:
    """The order split with random measurements and options, for each of its kinds in turn."""
    working, kinds = order_and_kinds(name)
    for seed in range(SETS):
        answers = replace(random_answers(working, seed), source=source_of(working))
        yield split_by(kinds[seed % len(kinds)], working, answers)


def worked(found: Split) -> dict[str, Operation]:
    """Operations by step."""
    return {o.step.id: o for o in operations(alone(found), techniques())}


def chosen_options(order: Order) -> Iterator[Answers]:
    """The defaults, then each option of each choice in turn, with what it needs to be asked."""
    yield Answers()
    for choice in order.choices:
        for option in choice.options:
            choices = {choice.id: option.id}
            for name, needed in choice.when.items():
                choices[name] = sorted(needed)[0]
            yield Answers(choices=choices)


def a_value(measurement: Measurement, chance: random.Random) -> Quantity:
    """Anything between its bounds, often one of them; pieces whole."""
    low, high = measurement.least.value, measurement.most.value
    value = chance.choice((low, high, chance.uniform(low, high), chance.uniform(low, high)))
    dimension = measurement.default.dimension
    if dimension == COUNT and measurement.default.value.is_integer():
        value = max(float(round(value)), low)
    return Quantity(value=value, dimension=dimension)


def random_answers(order: Order, seed: int) -> Answers:
    """Random measurements and options."""
    chance = random.Random(f"{order.id} {seed}")
    return Answers(
        measurements={m.id: a_value(m, chance) for m in order.measurements},
        choices={c.id: chance.choice(c.options).id for c in order.choices},
    )


def check(found: Split) -> None:
    """One network without a circle; positive, known, reachable; stages; few questions."""
    order = found.order
    assert found.garment.steps, order.id
    made_of = worked(found)
    network = build_network([alone(found)], {o.id: o for o in made_of.values()})
    assert len(network.order) == len(found.garment.steps)
    assert set(network.order) == {o.id for o in made_of.values()}
    for step in found.garment.steps:
        minutes = made_of[step.id].minutes
        assert 1 <= minutes.low <= minutes.typical <= minutes.high, (order.id, step.id)
        assert step.technique is None or step.technique in techniques()
        assert step.amount == () or (made_of[step.id].quantity or Quantity(value=0)).value > 0
    if order.id not in NO_STAGE_OF_THEIR_OWN:
        stages = [step.stage for step in found.garment.steps if step.stage]
        assert "wearable" in stages, (order.id, dict(found.garment.choices))
        everywhere = any(part.step.stage == "fittable" for part in found.working.steps)
        assert "fittable" in stages or not everywhere, (order.id, dict(found.garment.choices))
    for wanted in found.wanted:
        assert wanted.amount.value > 0
    at_once = sum(question.asked for question in asked(order, found.answers))
    assert at_once <= MOST_ASKED, (order.id, at_once)


def test_there_are_enough_orders() -> None:
    """There are at least 24 kinds of garment, and a short order for every other source."""
    assert len(orders()) >= 24
    assert set(source_orders()) == set(Source) - {Source.MAKE}


@pytest.mark.parametrize("name", NAMES)
def test_defaults_and_every_option(name: str) -> None:
    """Every order splits soundly with its defaults and with every option of every choice."""
    for order, working, answers in trials(name):
        check(split_by(order, working, answers))


@pytest.mark.parametrize("name", NAMES)
def test_random_measurements(name: str) -> None:
    """Every order splits soundly with 200 sets of random measurements and options."""
    for found in draws(name):
        check(found)


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_there_for_some_answers(name: str) -> None:
    """No step of an order waits for a choice that is never made so."""
    splits = (*(split_by(*trial) for trial in trials(name)), *draws(name))
    there = {step.id for found in splits for step in found.garment.steps}
    assert there == {part.step.id for part in order_and_kinds(name)[0].steps}


@pytest.mark.parametrize("name", orders())
def test_every_source_it_can_come_from(name: str) -> None:
    """Also where it is owned, altered, borrowed or bought it splits soundly, and keeps its kind."""
    order = orders()[name]
    for source in order.sources:
        found = split(order, usual(order, source))
        assert (found.garment.kind, found.garment.source) == (order.id, source)
        assert worked(found)


def driven(
    order: Order, part: OrderStep, chosen: Mapping[str, str], roles: frozenset[str]
) -> set[str]:
    """Names of the measurements that a step's amount is a product of, near or far."""
    found: set[str] = set()
    todo = [factor for factor in part.step.amount if isinstance(factor, str)]
    figures = {}
    for figure in reversed(order.figures):
        if all_hold(figure.when, chosen, roles):
            figures[figure.id] = figure
    while todo:
        name = todo.pop()
        if name in found:
            continue
        found.add(name)
        if name in figures:
            todo += [factor for factor in figures[name].product if isinstance(factor, str)]
    return found


@pytest.mark.parametrize("name", NAMES)
def test_doubling_a_measurement_changes_what_it_drives(name: str) -> None:
    """A step takes longer when a measurement is doubled that its amount is a product of.

    Where the amount comes by a rule it may stay (two panels out of one width); where it
    changes, the minutes do.
    """
    for order, working, answers in trials(name):
        before = split_by(order, working, answers)
        then = worked(before)
        for measurement in (m for m in working.measurements if m.asked):
            value = before.garment.measurements.get(measurement.id)
            if value is None or not value.value:
                continue
            twice = {measurement.id: replace(value, value=2 * value.value)}
            now = worked(split_by(order, working, replace(answers, measurements=twice)))
            for id, part in before.parts.items():
                if measurement.id in driven(working, part, before.garment.choices, order.roles):
                    assert now[id].minutes.high > then[id].minutes.high, (id, measurement.id)
                elif now[id].quantity != then[id].quantity:
                    assert now[id].minutes != then[id].minutes, (id, measurement.id)


@pytest.mark.parametrize("name", NAMES)
def test_every_question_asked_at_once_changes_something(name: str) -> None:
    """No measurement is asked for nothing: with some option, doubling it changes what is seen."""
    working, _ = order_and_kinds(name)
    for question in (m for m in working.measurements if m.asked):
        value = question.default.value or question.most.value / 2
        single = {question.id: replace(question.default, value=value)}
        double = {question.id: replace(question.default, value=2 * value)}
        assert any(
            outcome(split_by(order, working, replace(answers, measurements=single)))
            != outcome(split_by(order, working, replace(answers, measurements=double)))
            for order, _, answers in trials(name)
        ), question.id


def outcome(found: Split) -> object:
    """What a maker sees of a split: minutes and stock."""
    return [(id, o.minutes) for id, o in worked(found).items()], found.wanted


@pytest.mark.parametrize("name", NAMES)
def test_fixed_hours_are_the_exception(name: str) -> None:
    """At most a tenth of the minutes are hours that no measurement changes."""
    for order, working, answers in trials(name):
        found = split_by(order, working, answers)
        all_of_them = worked(found)
        fixed = sum(
            all_of_them[step.id].minutes.typical
            for step in found.garment.steps
            if step.hours is not None
        )
        total = sum(operation.minutes.typical for operation in all_of_them.values())
        assert fixed <= MOST_FIXED * total, (order.id, fixed, total)


def test_roles_are_those_of_some_order() -> None:
    """What orders wait for, and what short ones ask a garment to be, are roles there are."""
    known = {role for order in orders().values() for role in order.roles} | {"*"}
    for order, _ in map(order_and_kinds, NAMES):
        for part in order.steps:
            for over in part.over:
                assert set(over.roles) <= known, (order.id, part.step.id)
            assert set(part.when.get("is", ())) <= known, (order.id, part.step.id)
            assert set(part.unless.get("is", ())) <= known, (order.id, part.step.id)
