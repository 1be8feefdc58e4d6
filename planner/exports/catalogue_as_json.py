"""The catalogue as plain JSON values: orders of construction, techniques, a garment split.

The keys are documented in ``JSON.md`` beside this module. Minutes are numbers, lengths metres.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from planner.catalogue.order import Choice, Measurement, Order, Over
from planner.estimate import Operation
from planner.exports.as_json import place_as_json, wait_as_json
from planner.files.phrasing import write_quantity
from planner.model import Minutes, Technique
from planner.pace import Pace
from planner.quantity import AREA, COUNT, LENGTH, Quantity
from planner.splitting.answers import SOURCE, asked
from planner.splitting.split import Split, hours
from planner.splitting.working_order import in_working_order

Json = dict[str, Any]

UNITS = {COUNT: "piece", LENGTH: "m", AREA: "m2"}
"""The unit of an amount by its dimension."""


def order_as_json(order: Order, minutes: Minutes) -> Json:
    """An order of construction with its questions, and the minutes of its usual answers."""
    return {
        "id": order.id,
        "name": order.name,
        "group": order.group,
        "layer": order.layer,
        "roles": sorted(order.roles),
        "sources": [source.value for source in order.sources],
        "source": order.source,
        "own": bool(order.file),
        "measurements": [_measurement(one) for one in order.measurements],
        "choices": [_choice(one) for one in order.choices],
        "minutes": minutes_as_json(minutes),
        "pack": list(order.pack),
    }


def technique_as_json(technique: Technique, own: bool) -> Json:
    """A technique; ``own`` where it is the maker's."""
    return {
        "id": technique.id,
        "name": technique.name,
        "work": technique.work.value,
        "place": place_as_json(technique.place),
        "per": technique.per.value,
        "unit": technique.unit,
        "unit_size": technique.unit_size,
        "rate": _exactly(technique.rate),
        "each": None if technique.each is None else _exactly(technique.each),
        "set_up": technique.set_up,
        "hands": technique.hands,
        "one_sitting": technique.one_sitting,
        "wait": None if technique.wait is None else wait_as_json(technique.wait),
        "no_way_back": technique.no_way_back,
        "caution": technique.caution,
        "source": technique.source,
        "own": own,
    }


def split_as_json(
    split: Split, techniques: Mapping[str, Technique], units: str, pace: Pace | None = None
) -> Json:
    """A garment as it was split: answers, steps in working order, stock, total.

    Minutes are at the maker's pace, or without one at the catalogue's.
    Answers are as they may be typed, lengths in ``units``. Raises InputError where a technique
    isn't among ``techniques``.
    """
    questions = asked(split.order, split.answers)
    given = answers_as_json(split, units)
    return {
        "kind": split.order.id,
        "name": split.order.name,
        "source": split.answers.source.value,
        "answers": {SOURCE: split.answers.source.value, **given},
        "questions": [
            _measurement(one) if isinstance(one, Measurement) else _choice(one) for one in questions
        ],
        "steps": [_step(split, one) for one in in_working_order(split, techniques, pace)],
        "stock": [
            {
                "id": one.material.id,
                "name": one.material.name,
                **_amount(one.amount),
                "lead": one.material.lead,
            }
            for one in split.wanted
        ],
        "total": minutes_as_json(hours(split, techniques, pace)),
        "pack": list(packed(split)),
    }


def answers_as_json(split: Split, units: str) -> dict[str, int | float | str]:
    """What was answered to each question that applies, in order: as it may be typed."""
    measured, chosen = split.garment.measurements, split.garment.choices
    return {
        one.id: write_quantity(measured[one.id], units)
        if isinstance(one, Measurement)
        else chosen[one.id]
        for one in asked(split.order, split.answers)
    }


def packed(split: Split) -> tuple[str, ...]:
    """What must be there with the garment and isn't one, each once."""
    return tuple(dict.fromkeys((*split.order.pack, *split.working.pack)))


def minutes_as_json(minutes: Minutes) -> Json:
    """An estimate in whole minutes."""
    return {
        "low": round(minutes.low),
        "typical": round(minutes.typical),
        "high": round(minutes.high),
    }


def _exactly(minutes: Minutes) -> Json:
    """A rate: half a minute a bead counts."""
    return {"low": minutes.low, "typical": minutes.typical, "high": minutes.high}


def _amount(quantity: Quantity | None) -> Json:
    """An amount with its unit; both null where there is none."""
    if quantity is None:
        return {"amount": None, "unit": None}
    return {"amount": round(quantity.value, 6), "unit": UNITS[quantity.dimension]}


def _when(when: Mapping[str, frozenset[str]]) -> dict[str, list[str]]:
    return {name: sorted(options) for name, options in when.items()}


def _measurement(one: Measurement) -> Json:
    return {
        "id": one.id,
        "ask": one.ask,
        "how": one.how,
        "unit": UNITS[one.default.dimension],
        "default": one.default.value,
        "least": one.least.value,
        "most": one.most.value,
        "asked": one.asked,
        "when": _when(one.when),
    }


def _choice(one: Choice) -> Json:
    return {
        "id": one.id,
        "ask": one.ask,
        "how": one.how,
        "default": one.default,
        "options": [
            {"id": option.id, "name": option.name, "effort": option.effort}
            for option in one.options
        ],
        "asked": one.asked,
        "when": _when(one.when),
    }


def _over(overs: Sequence[Over]) -> list[Json]:
    return [{"roles": list(one.roles), "stage": one.stage, "why": one.why} for one in overs]


def _step(split: Split, operation: Operation) -> Json:
    """A step of a split garment."""
    step, part = operation.step, split.parts[operation.step.id]
    return {
        "id": step.id,
        "name": operation.name,
        "technique": operation.technique,
        "work": operation.work.value,
        "place": place_as_json(operation.place),
        **_amount(operation.quantity),
        "minutes": minutes_as_json(operation.minutes),
        "after": list(step.after),
        "stage": step.stage,
        "hands": operation.hands,
        "one_sitting": operation.one_sitting,
        "wait": wait_as_json(operation.wait),
        "optional": step.optional,
        "missed": step.missed,
        "at": part.at.value if part.at else None,
        "over": _over(part.over),
        "no_way_back": operation.no_way_back,
        "effort": step.effort,
        "caution": operation.caution,
        "uses": [
            {"stock": name.rsplit("/", 1)[-1], **_amount(quantity)}
            for name, quantity in operation.uses
        ],
    }
