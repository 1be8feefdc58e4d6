"""How it is going as plain data: the key `going` of `wearby plan --json` and `check --json`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planner.going import Going
from planner.in_hand import InHand


def going_as_json(going: Going, sentences: Sequence[str]) -> dict[str, Any]:
    """Every answer of it; the keys are described in JSON.md."""
    done, kept = going.so_far, going.kept_up
    return {
        "occasion": going.occasion,
        "sentences": list(sentences),
        "first_day": None if going.first is None else going.first.isoformat(),
        "left": going.left,
        "by": [
            {"occasion": one.occasion, "in_hand": one.in_hand, "at_pace": one.at_pace}
            for one in going.by
        ],
        "behind": _moments(going.behind),
        "ahead": _moments(going.ahead),
        "at_pace": _moments(going.at_pace),
        "so_far": None
        if done is None
        else {
            "steps": done.steps,
            "planned": done.planned,
            "logged": done.logged,
            "ratio": round(done.ratio, 4),
            "ahead": round(done.ahead, 4),
            "enough": done.enough,
        },
        "kept_up": None
        if kept is None
        else {
            "since": kept.since.isoformat(),
            "days": kept.days,
            "planned": kept.planned,
            "done": kept.done,
        },
    }


def _moments(moments: Sequence[InHand]) -> list[dict[str, Any]]:
    return [
        {"at": one.at.isoformat(), "hours": one.hours, "left": one.left, "in_hand": one.minutes}
        for one in moments
    ]
