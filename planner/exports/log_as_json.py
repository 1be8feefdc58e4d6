"""Entries of the diary as plain data."""

from __future__ import annotations

from typing import Any

from planner.files.phrasing import write_quantity
from planner.model import Entry


def entry_as_json(entry: Entry, units: str) -> dict[str, Any]:
    """One entry, as the diary's file has it."""
    return {
        "at": entry.at.isoformat(),
        "step": entry.step,
        "minutes": entry.minutes,
        "done": entry.done,
        "left": entry.left,
        "note": entry.note,
        "used": [
            {"stock": one.stock, "amount": write_quantity(one.amount, units)} for one in entry.used
        ],
    }
