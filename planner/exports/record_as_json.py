"""The record of an ensemble as plain data, for `wearby export record --json`."""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.exports.record import Again, Answered, GarmentMade, Record, StepMade, TechniqueUsed
from planner.exports.record_stock import Material
from planner.quantity import AREA, COUNT, Quantity

UNITS = {COUNT: "", 1: "m", AREA: "m2"}
"""In what amounts are given."""


def record_as_json(record: Record) -> dict[str, Any]:
    """Every answer of it; the keys are described in JSON.md."""
    return {
        "ensemble": record.id,
        "name": record.name,
        "finished": record.finished,
        "occasions": [
            {
                "id": one.id,
                "name": one.name,
                "kind": one.kind.value,
                "at": one.at.isoformat(),
                "past": one.past,
                "held": one.held,
                "said": one.said,
            }
            for one in record.occasions
        ],
        "garments": [_garment(one) for one in record.garments],
        "steps": [_step(one) for one in record.steps],
        "materials": [_material(one) for one in record.materials],
        "techniques": [_technique(one) for one in record.techniques],
        "notes": [
            {"at": one.at.isoformat(), "step": one.step, "note": one.note} for one in record.notes
        ],
        "pack": list(record.pack),
    }


def _garment(one: GarmentMade) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "kind": one.kind or None,
        "layer": one.layer,
        "source": one.source.value,
        "wearer": one.wearer or None,
        "answers": [_answer(answer) for answer in one.answers],
        "estimate": sum(step.estimate for step in one.steps),
        "logged": sum(step.logged for step in one.steps),
        "left_off": [_step(step) for step in one.left_off],
    }


def _answer(one: Answered) -> dict[str, Any]:
    return {"asked": one.asked, "amount": _amount(one.amount), "answer": one.answer or None}


def _amount(one: Quantity | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {"value": round(one.value, 6), "unit": UNITS[one.dimension]}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _step(one: StepMade) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "technique": one.technique or None,
        "work": one.work.value,
        "amount": _amount(one.amount),
        "hands": one.hands,
        "estimate": one.estimate,
        "logged": one.logged,
        "timed": one.timed,
        "done": one.done,
        "before": one.before,
        "taken": one.taken,
        "first_day": _day(one.first),
        "last_day": _day(one.last),
        "during": one.during,
        "rounds": [_round(again) for again in one.rounds],
        "instead": one.instead or None,
        "caution": one.caution or None,
        "uses": [{"stock": name, "amount": _amount(used)} for name, used in one.uses],
        "follows": list(one.follows),
        "wait": {"nights": one.wait.nights, "minutes": one.wait.minutes},
        "aftercare": one.aftercare,
    }


def _round(one: Again) -> dict[str, Any]:
    return {
        "first_day": one.first.isoformat(),
        "last_day": one.last.isoformat(),
        "logged": one.logged,
        "done": one.done,
    }


def _material(one: Material) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "unit": UNITS[one.dimension],
        "wanted": round(one.wanted, 6),
        "used": round(one.used, 6),
        "counted": one.counted,
        "to_come": round(one.to_come, 6),
        "there": round(one.there, 6),
        "again": one.again,
    }


def _technique(one: TechniqueUsed) -> dict[str, Any]:
    return {
        "id": one.technique.id,
        "name": one.technique.name,
        "work": one.technique.work.value,
        "steps": one.steps,
        "estimate": one.estimate,
        "logged": one.logged,
        "timed": one.timed,
    }
