"""A plan that was kept follows what is renamed: nothing moves by another name."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from planner.editing import rename_garment, rename_occasion, rename_step
from planner.kept import kept_of, kept_renamed
from planner.model import Kept, Project
from planner.planning import plan_project
from planner.replan import what_moves
from screens.session import Session
from tests.planner.little import BALL, EVENINGS, NOW, ensemble, garment, project

STEPS = garment("a 200", 'b 200 after=["a"]', "ab 300")


@pytest.fixture
def held(tmp_path: Path) -> Project:
    """A week that doesn't suffice, with its plan kept."""
    read = project(tmp_path, ensemble(STEPS, BALL), EVENINGS)
    kept = kept_of(plan_project(read, NOW))
    assert kept.short
    return replace(read, kept=kept)


def _steps(kept: Kept) -> set[str]:
    return {step for hours in kept.hours for step, _ in hours.planned}


def test_what_was_planned_follows_a_new_name(held: Project) -> None:
    """Of a garment, a step, an occasion; what only begins with the same letters stays."""
    assert _steps(rename_garment(held, "e/g", "coat").kept) == {
        "e/coat/a", "e/coat/b", "e/coat/ab",
    }  # fmt: skip
    assert _steps(rename_step(held, "e/g/a", "cut").kept) == {"e/g/cut", "e/g/b", "e/g/ab"}
    assert set(rename_occasion(held, "e/ball", "dance").kept.short) == {"e/dance"}
    assert kept_renamed(held.kept, "e/x", "e/y") is held.kept


def test_nothing_moves_by_another_name(held: Project) -> None:
    """Planned again under the new name it is where it was."""
    after = rename_step(held, "e/g/a", "cut")
    found = plan_project(after, NOW)
    moved = what_moves(after.kept, found, after)
    assert (moved.steps, moved.new, moved.gone, moved.short) == ((), (), (), ())


def test_a_session_holds_on_under_the_new_name_and_back(held: Project, tmp_path: Path) -> None:
    """Renamed, taken back, made again."""
    session = Session(tmp_path, lambda: datetime(2027, 5, 3) + timedelta(hours=8))
    session.read()
    session.keep(plan_project(session.project, NOW))
    session.apply("renamed", lambda of: rename_step(of, "e/g/a", "cut"))
    assert _steps(session.project.kept) == {"e/g/cut", "e/g/b", "e/g/ab"}
    session.undo()
    assert _steps(session.project.kept) == {"e/g/a", "e/g/b", "e/g/ab"}
    session.redo()
    assert _steps(session.project.kept) == {"e/g/cut", "e/g/b", "e/g/ab"}
