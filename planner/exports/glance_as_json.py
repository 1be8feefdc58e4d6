"""A plan at a glance as plain data for ``--json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planner.glance import DaysWork, Glance
from planner.looking_back import DayLost

Json = dict[str, Any]


def glance_as_json(seen: Glance, lost: Sequence[DayLost]) -> Json:
    """What can be told without looking at any day."""
    late: dict[str, list[str]] = {}
    for step, occasion in seen.late:
        late.setdefault(occasion, []).append(step)
    return {
        "today": _work(seen.today),
        "ahead": _work(seen.ahead),
        "occasions": list(seen.occasions),
        "over": [{"date": day.isoformat(), "minutes": minutes} for day, minutes in seen.over],
        "fullest": (
            {"date": seen.fullest[0].isoformat(), "load": seen.fullest[1]} if seen.fullest else None
        ),
        "lost": [
            {
                "date": one.date.isoformat(),
                "minutes": one.minutes,
                "reason": one.reason,
                "planned": one.planned,
            }
            for one in lost
        ],
        "short": dict(seen.short),
        "late": late,
        "hand": {where.value: minutes for where, minutes in seen.hand},
        "outlooks": {
            one.ensemble: {
                "wearable_on": one.wearable_on.isoformat() if one.wearable_on else None,
                "finished_on": one.finished_on.isoformat() if one.finished_on else None,
                "wearable_now": one.wearable_now,
                "left": one.left,
                "extras": one.extras,
            }
            for one in seen.outlooks
        },
    }


def _work(work: DaysWork | None) -> Json | None:
    """A day's work; None where there is none."""
    if work is None:
        return None
    return {
        "date": work.day.isoformat(),
        "start": work.start.isoformat() if work.start else None,
        "minutes": work.minutes,
        "places": {where.value: minutes for where, minutes in work.places},
        "steps": list(work.steps),
        "over": work.over,
        "first": list(work.first),
    }
