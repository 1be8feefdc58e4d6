"""Splitting: an order of construction and a maker's answers into a garment and its stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from planner.catalogue.conditions import all_hold, any_holds
from planner.catalogue.order import Choice, Material, Option, Order, OrderStep
from planner.estimate import operations
from planner.model import Ensemble, Garment, Minutes, Step, Stock, Technique, Use
from planner.pace import Pace
from planner.quantity import Quantity
from planner.splitting.answers import Answers, chosen, working_order
from planner.splitting.figures import Amounts, rounded_up


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """How much of a material all steps together take, what is on top for waste included."""

    material: Material
    amount: Quantity
    """Rounded up to the centimetre or the piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A garment as an order and its answers make it."""

    order: Order
    """Its kind, roles and layer."""
    working: Order
    """The order whose questions, steps and materials it has: a short one unless it is made."""
    answers: Answers
    garment: Garment
    """With the order's id; nothing done, dated or at an occasion."""
    wanted: tuple[Wanted, ...]
    """In the order's order; materials that no step takes are left out."""
    parts: Mapping[str, OrderStep]
    """What the order says of each step of the garment, by the step's id."""


def split(order: Order, answers: Answers) -> Split:
    """The garment of the order's kind with these answers.

    Of the steps those that the choices ask for and whose amount holds something; what they
    follow is looked through where it isn't there. Raises InputError where a rule can't be
    applied to the measurements, KeyError where there is no order for the source.
    """
    return split_by(order, working_order(order, answers.source), answers)


def split_by(order: Order, working: Order, answers: Answers) -> Split:
    """As ``split``, with the order given whose questions and steps count."""
    options = chosen(order, working, answers)
    asked = {
        m.id: _answered(answers.measurements.get(m.id), m.default)
        for m in working.measurements
        if all_hold(m.when, options, order.roles)
    }
    amounts = Amounts(working, asked, options, order.roles)
    parts = {
        part.step.id: part for part in working.steps if _is_there(part, options, order, amounts)
    }
    efforts = [
        (choice, _option(choice, options[choice.id]))
        for choice in working.choices
        if choice.id in options
    ]
    before = {part.step.id: part.step.after for part in working.steps}
    steps = tuple(_step(part, parts, before, efforts, amounts) for part in parts.values())
    garment = Garment(
        id=order.id,
        kind=order.id,
        layer=order.layer,
        source=answers.source,
        measurements=asked | {name: amounts[name] for name in _named(steps) if name not in asked},
        choices=options,
        steps=steps,
    )
    return Split(
        order=order,
        working=working,
        answers=answers,
        garment=garment,
        wanted=_wanted(working, steps, amounts),
        parts=parts,
    )


def _answered(answer: Quantity | None, default: Quantity) -> Quantity:
    """The answer, unless there is none or it is of another sort."""
    return answer if answer is not None and answer.dimension == default.dimension else default


def _option(choice: Choice, id: str) -> Option:
    return next(option for option in choice.options if option.id == id)


def _is_there(part: OrderStep, options: Mapping[str, str], order: Order, amounts: Amounts) -> bool:
    """Whether the choices ask for the step and its amount holds something."""
    if part.when and not all_hold(part.when, options, order.roles):
        return False
    if part.unless and any_holds(part.unless, options, order.roles):
        return False
    return amounts.product(part.step.amount).value > 0


def _step(
    part: OrderStep,
    parts: Mapping[str, OrderStep],
    before: Mapping[str, Sequence[str]],
    efforts: Sequence[tuple[Choice, Option]],
    amounts: Amounts,
) -> Step:
    """The step as a garment has it."""
    step = part.step
    uses = step.uses
    if any(use.amount is not None and not amounts.product(use.amount).value for use in uses):
        uses = tuple(u for u in uses if u.amount is None or amounts.product(u.amount).value)
    return replace(
        step,
        after=_looked_through(step.after, parts, before),
        effort=_effort(part, efforts),
        uses=uses,
        where="",
    )


def _looked_through(
    after: Sequence[str], parts: Mapping[str, OrderStep], before: Mapping[str, Sequence[str]]
) -> tuple[str, ...]:
    """The steps there are among ``after``, and what stands before those that aren't.

    Of the latter only what the others don't follow anyway.
    """
    if all(name in parts for name in after):
        return tuple(after)
    found: dict[str, None] = {}
    todo, seen = list(after), set()
    while todo:
        name = todo.pop(0)
        if name in parts:
            found[name] = None
        elif name not in seen:
            seen.add(name)
            todo = [*before[name], *todo]
    followed = {name for step in found for name in _all_before(step, before)}
    return tuple(name for name in found if name not in followed)


def _all_before(step: str, before: Mapping[str, Sequence[str]]) -> set[str]:
    """Every step that stands before one, near or far."""
    found: set[str] = set()
    todo = list(before[step])
    while todo:
        name = todo.pop()
        if name not in found:
            found.add(name)
            todo += before[name]
    return found


def _effort(part: OrderStep, efforts: Sequence[tuple[Choice, Option]]) -> float:
    """What the minutes of a step are multiplied by, all choices together."""
    effort = part.step.effort
    for choice, option in efforts:
        touched = part.work in (option.works or choice.works)
        if option.effort != 1 and touched and choice.id not in part.spared:
            effort *= option.effort
    return round(effort, 4)


def _named(steps: Sequence[Step]) -> dict[str, None]:
    """Every measurement and figure that the steps and their other ways name, in their order."""
    found: dict[str, None] = {}
    for step in steps:
        amounts = [step.amount, *(way.amount for way in step.instead)]
        amounts += [use.amount for use in _all_uses(step)]
        for amount in amounts:
            found.update((factor, None) for factor in amount or () if isinstance(factor, str))
    return found


def _all_uses(step: Step) -> list[Use]:
    """What the step uses, and what it would, done in another way."""
    return [*step.uses, *(use for way in step.instead for use in way.uses or ())]


def _wanted(working: Order, steps: Sequence[Step], amounts: Amounts) -> tuple[Wanted, ...]:
    """What the steps take of each material."""
    totals: dict[str, float] = {}
    for step in steps:
        for use in step.uses:
            taken = amounts.product(step.amount if use.amount is None else use.amount).value
            totals[use.stock] = totals.get(use.stock, 0.0) + taken * (1 + use.extra)
    return tuple(
        Wanted(
            material=material,
            amount=rounded_up(Quantity(value=totals[material.id], dimension=material.dimension)),
        )
        for material in working.materials
        if totals.get(material.id)
    )


def materials(split: Split) -> tuple[Material, ...]:
    """The materials that the steps or their other ways name, in the order's order."""
    named = {use.stock for step in split.garment.steps for use in _all_uses(step)}
    return tuple(m for m in split.working.materials if m.id in named)


def alone(split: Split) -> Ensemble:
    """The garment and its stock, with nothing of it there yet, as an ensemble of its own."""
    return Ensemble(
        id=split.order.id,
        file=split.order.file,
        stock=tuple(
            Stock(
                id=material.id,
                name=material.name,
                have=Quantity(value=0.0, dimension=material.dimension),
                lead=material.lead,
            )
            for material in materials(split)
        ),
        garments=(split.garment,),
    )


def hours(
    split: Split, techniques: Mapping[str, Technique], pace: Pace | None = None
) -> Minutes:
    """Minutes of all steps together; low and high as if all were quick, or all slow.

    At the maker's pace, or without one at the catalogue's.

    Raises InputError where a technique isn't among ``techniques``.
    """
    found = [operation.minutes for operation in operations(alone(split), techniques, pace)]
    return Minutes(
        low=sum(minutes.low for minutes in found),
        typical=sum(minutes.typical for minutes in found),
        high=sum(minutes.high for minutes in found),
    )


def trial(order: Order, techniques: Mapping[str, Technique]) -> None:
    """Split the order itself with its defaults and estimate it.

    Raises InputError with all problems, placed in the order's own file.
    """
    found = split_by(order, order, Answers())
    placed = {id: part.step.where for id, part in found.parts.items()}
    steps = tuple(replace(step, where=placed[step.id]) for step in found.garment.steps)
    ensemble = alone(found)
    garment = replace(found.garment, steps=steps)
    operations(replace(ensemble, garments=(garment,)), techniques)
