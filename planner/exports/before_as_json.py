"""What an occasion needs, as plain data for `wearby before --json`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planner.before import Before, Item, Must, Thing
from planner.exports.as_json import occasion_as_json, step_as_json
from planner.plan import Plan, PlannedStep


def before_as_json(plan: Plan, needed: Before) -> dict[str, Any]:
    """Every answer of it; the keys are described in JSON.md."""
    steps = {step.id: step for step in plan.steps}
    occasion = needed.occasion

    def listed(ids: Iterable[str]) -> list[dict[str, Any]]:
        return [step_as_json(steps[one]) for one in ids]

    order = {ident: place for place, ident in enumerate(occasion.wants)}
    working = sorted(needed.open, key=lambda one: (_day(steps[one]), order.get(one, len(order))))
    return {
        "occasion": occasion_as_json(occasion),
        "by": needed.by.isoformat(),
        "steps": listed(working),
        "left": needed.hours.left,
        "also": needed.hours.also,
        "also_for": list(needed.hours.also_for),
        "also_of": list(needed.hours.also_of),
        "available": needed.hours.there,
        "serving": needed.hours.serving,
        "short": occasion.short,
        "late": list(occasion.late),
        "tight": needed.tight,
        "garments": [_must(one) for one in needed.musts],
        "parts": [{"part": part.value, "steps": list(ids)} for part, ids in needed.parts],
        "can_wait": list(needed.can_wait),
        "during": listed(thing.step for thing in needed.things),
        "takes": needed.kept,
        "at_it": needed.at_it,
        "things": [_thing(one) for one in needed.things],
        "worn": [_item(one) for one in needed.worn],
        "packing": [_item(one) for one in needed.packing],
        "lacked": list(needed.lacked),
        "done_since": list(needed.done_since),
    }


def _day(step: PlannedStep) -> str:
    """The day it begins on; what has none stands last."""
    return step.first_day.isoformat() if step.first_day is not None else "9999"


def _must(must: Must) -> dict[str, Any]:
    return {
        "garment": must.garment,
        "stage": must.stage,
        "worn": must.worn,
        "last": list(must.last),
        "steps": list(must.open),
        "left": must.left,
        "on": must.on.isoformat() if must.on is not None else None,
        "can_wait": list(must.waits),
    }


def _thing(thing: Thing) -> dict[str, Any]:
    return {"step": thing.step, "over": list(thing.under), "decides": list(thing.decides)}


def _item(item: Item) -> dict[str, Any]:
    return {
        "ensemble": item.ensemble,
        "thing": item.thing,
        "garment": item.garment,
        "wearer": item.wearer,
        "packed": item.packed,
        "steps": list(item.open),
        "left": item.left,
        "ready": item.ready.isoformat() if item.ready is not None else None,
        "in_time": item.in_time,
    }
