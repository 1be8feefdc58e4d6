"""What moved between two plans as plain data for ``--json``."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from planner.replanning.values import MoreOrLess, Moved, Shift, StepMoved, Why

Json = dict[str, Any]


def moved_as_json(moved: Moved) -> Json:
    """All that moved; ids are full, minutes whole."""
    return {
        "as_of": _moment(moved.since),
        "then": {"verdict": _value(moved.verdict_before), "full": moved.full_before},
        "full": moved.full,
        "minutes": moved.minutes,
        "lost": moved.lost,
        "worked": moved.done,
        "steps": [_step(one) for one in moved.steps],
        "resized": [_sized(one) for one in moved.resized],
        "new": [_sized(one) for one in moved.new],
        "gone": [
            {"step": one.step, "minutes": one.minutes, "became": one.became.value}
            for one in moved.gone
        ],
        "unplaced": list(moved.unplaced),
        "placed": list(moved.placed),
        "late": _pairs(moved.late),
        "in_time": _pairs(moved.in_time) if moved.in_time is not None else None,
        "nothing_to_spare": _listed(moved.nothing_to_spare),
        "short": {
            one.occasion: {"before": one.before, "after": one.after} for one in moved.short
        },
        "occasions": {
            one.occasion: {"before": _moment(one.before), "after": _moment(one.after)}
            for one in moved.occasions
        },
        "orders_missed": {one.stock: one.order_by.isoformat() for one in moved.orders_missed},
        "wearable": {
            one.ensemble: {"before": _day(one.before), "after": _day(one.after)}
            for one in moved.wearable
        },
    }


def _step(one: StepMoved) -> Json:
    return {
        "step": one.step,
        "minutes": one.minutes,
        "lost": one.lost,
        "direction": one.direction.value,
        "began": _day(one.began),
        "begins": _day(one.begins),
        "ended": _day(one.ended),
        "ends": _day(one.ends),
        "shifts": [_shift(shift) for shift in one.shifts],
        "why": _why(one.why),
    }


def _shift(one: Shift) -> Json:
    return {
        "from": _day(one.from_day),
        "to": _day(one.to_day),
        "minutes": one.minutes,
        "lost": one.lost,
    }


def _sized(one: MoreOrLess) -> Json:
    return {
        "step": one.step,
        "minutes": one.minutes,
        "days": [day.isoformat() for day in one.days],
        "why": _why(one.why),
    }


def _why(why: Why) -> Json:
    return {
        "cause": why.cause.value,
        "names": list(why.names),
        "day": _day(why.day),
        "minutes": why.minutes,
        "until": _moment(why.until),
        "reason": why.reason,
        "guessed": why.guessed,
    }


def _pairs(found: tuple[tuple[str, str], ...]) -> list[Json]:
    return [{"step": step, "occasion": occasion} for step, occasion in found]


def _listed(found: tuple[str, ...] | None) -> list[str] | None:
    return list(found) if found is not None else None


def _value(found: object) -> str | None:
    return str(found) if found is not None else None


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def _moment(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment is not None else None
