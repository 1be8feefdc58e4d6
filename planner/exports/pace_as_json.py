"""The maker's pace as plain JSON values; the keys are documented in ``JSON.md``."""

from __future__ import annotations

from typing import Any

from planner.pace import Pace, PaceRow, far_off, pace_table


def pace_as_json(pace: Pace) -> dict[str, Any]:
    """Every pace there is anything to say of, and the steps they rest on."""
    far = {one.step for one in far_off(pace)}
    return {
        "learn": pace.choices.learn,
        "by_hand": dict(pace.choices.by_hand),
        "paces": [_row(row) for row in pace_table(pace)],
        "steps": [
            {
                "step": one.step,
                "work": one.work.value,
                "technique": one.technique,
                "by_catalogue": one.estimate,
                "took": one.took,
                "at": one.at.isoformat(),
                "weight": round(weight, 3),
                "far": one.step in far,
            }
            for one, weight in zip(pace.steps, pace.weights, strict=True)
        ],
    }


def _row(row: PaceRow) -> dict[str, Any]:
    return {
        "level": row.level.value,
        "key": row.key,
        "work": row.work.value if row.work else None,
        "ratio": row.ratio,
        "low": round(row.low, 3),
        "high": round(row.high, 3),
        "steps": [one.step for one in row.rests],
        "set_by": row.set_by,
        "learnt": row.learnt,
    }
