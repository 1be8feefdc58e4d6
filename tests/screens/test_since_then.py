"""What is said where days have gone by since the plan that was held on to."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from planner.kept import kept_of
from planner.planning import plan_project
from screens.since_then import since_sentences
from screens.state import State
from tests.planner.little import EVENINGS, ensemble, garment
from tests.planner.little import project as written

MONDAY = datetime(2027, 5, 3, 18)


def _since(folder: Path, now: datetime, *steps: str) -> str:
    """What is said at ``now`` of a plan made on Monday."""
    it = written(folder, ensemble(garment(*steps)), EVENINGS, fill="50%")
    held = replace(it, kept=kept_of(plan_project(it, MONDAY)))
    return since_sentences(State(project=held, plan=plan_project(held, now), now=now))


def test_evenings_that_went_by(tmp_path: Path) -> None:
    """What was planned on them and not done, which steps moved for that, what is short now."""
    assert _since(tmp_path, datetime(2027, 5, 6, 18), "a 300") == (
        "Since Monday 3 May: 1 step moved later, 3 h planned and not done."
        " Newly short before the ball: 1 h."
    )


def test_nothing_is_said_on_the_same_day(tmp_path: Path) -> None:
    """Nor where nothing was planned on the days that went by, nor without a plan before."""
    assert _since(tmp_path, MONDAY.replace(hour=20), "a 300") == ""
    assert _since(tmp_path, datetime(2027, 5, 6, 18), "a 60") == ""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    now = datetime(2027, 5, 6, 18)
    assert since_sentences(State(project=it, plan=plan_project(it, now), now=now)) == ""
