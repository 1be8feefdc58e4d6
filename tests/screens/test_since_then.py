"""What is said where days have gone by since the plan that was held on to."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from planner.files.plans_behind import remember_plan
from planner.kept import kept_of
from planner.planning import plan_project
from screens.moved_since import since_last
from screens.moved_told import summary
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


def test_it_compares_with_the_plan_that_the_list_of_what_moved_compares_with(
    tmp_path: Path,
) -> None:
    """The one the last day was set out with, though another was accepted that evening."""
    it = written(tmp_path, ensemble(garment("a 300")), EVENINGS, fill="50%")
    set_out = kept_of(plan_project(it, MONDAY))
    remember_plan(tmp_path, set_out, MONDAY)
    later = MONDAY.replace(day=4, hour=22)
    held = replace(it, kept=kept_of(plan_project(replace(it, kept=set_out), later)))
    now = datetime(2027, 5, 6, 18)
    plan = plan_project(held, now)
    said = since_sentences(State(project=held, plan=plan, now=now))
    found = since_last(held, plan)
    assert found is not None and said.startswith(summary(found, plan))
    assert said.startswith("Since Monday 3 May: ")


def test_nothing_is_said_on_the_same_day(tmp_path: Path) -> None:
    """Nor where nothing was planned on the days that went by, nor without a plan before."""
    assert _since(tmp_path, MONDAY.replace(hour=20), "a 300") == ""
    assert _since(tmp_path, datetime(2027, 5, 6, 18), "a 60") == ""
    it = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    now = datetime(2027, 5, 6, 18)
    assert since_sentences(State(project=it, plan=plan_project(it, now), now=now)) == ""
