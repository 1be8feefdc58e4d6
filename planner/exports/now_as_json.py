"""What can be done this minute, and the bag, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from planner.bag import Bag, First, Packed
from planner.candidates import Candidate, Hindrance, Taken
from planner.doable import Answer, Doable, Kept


def answer_as_json(answer: Answer, found: Sequence[Candidate]) -> dict[str, Any]:
    """The choices, and steps by what can be made of them."""
    by_id = {one.id: one for one in found}
    choices = answer.choices
    return {
        "minutes": choices.minutes,
        "place": choices.place.value.replace("-", "_"),
        "tired": choices.tired,
        "helper": choices.helper,
        "doable": [_doable(one, by_id[one.step]) for one in answer.doable],
        "left_out": [_kept(one) for one in answer.left_out],
        "nearly": [_kept(one) for one in answer.nearly],
        "in_workroom": [_doable(one, by_id[one.step]) for one in answer.elsewhere],
        "not_yet": [{"step": step, "first": first} for step, first in answer.not_yet],
    }


def bag_as_json(bag: Bag) -> dict[str, Any]:
    """The bag."""
    return {
        "date": _day(bag.day),
        "minutes": bag.minutes,
        "windows": [{"start": _at(w.start), "end": _at(w.end)} for w in bag.windows],
        "first": [_first(one) for one in bag.first],
        "take": [_packed(one) for one in bag.packed],
        "also": [_packed(one) for one in bag.more],
        "empty": bag.idle,
        "would_fill": [
            {**_packed(one.packed), "first": [_first(first) for first in one.first]}
            for one in bag.ahead
        ],
        "nearest": _kept(bag.next) if bag.next is not None else None,
    }


def _doable(one: Doable, candidate: Candidate) -> dict[str, Any]:
    use = candidate.use
    return {
        "step": one.step,
        "minutes": one.minutes,
        "left": one.left,
        "late_for": use.late_for,
        "late_step": use.late_step,
        "no_time_left": use.unplaced,
        "hours_too_few": use.short,
        "latest": _at(use.latest),
        "room": use.room,
        "wearable": use.wearable,
        "waiting": use.behind,
        "uses": [_taken(taken) for taken in candidate.uses],
    }


def _kept(one: Kept) -> dict[str, Any]:
    return {"step": one.step, "left": one.left, "kept": [_hindrance(by) for by in one.by]}


def _hindrance(by: Hindrance) -> dict[str, Any]:
    found: dict[str, Any] = {"by": by.keeps.value}
    if by.names:
        found["names"] = list(by.names)
    if by.until is not None:
        found["until"] = _at(by.until)
    if by.minutes is not None:
        found["minutes"] = by.minutes
    if by.wait:
        found["wait"] = {"nights": by.wait.nights, "minutes": by.wait.minutes}
    if by.stock_missing:
        found["stock_missing"] = True
    if by.text:
        found["text"] = by.text
    return found


def _packed(one: Packed) -> dict[str, Any]:
    return {
        "step": one.step,
        "minutes": one.minutes,
        "left": one.left,
        "uses": [_taken(taken) for taken in one.uses],
    }


def _first(one: First) -> dict[str, Any]:
    return {
        "step": one.step,
        "minutes": one.minutes,
        "date": _day(one.day),
        "where": one.where.value if one.where is not None else None,
    }


def _taken(one: Taken) -> dict[str, Any]:
    return {"stock": one.stock, "amount": one.amount}


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def _at(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment is not None else None
