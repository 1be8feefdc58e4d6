"""What the tests of screens share: a state without files, and a quiet environment."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planner.plan import Plan
from planner.problems import InputError
from screens import state
from tests.screens.a_plan import NOW, a_plan, a_project

Given = Callable[[Plan | InputError], None]


@pytest.fixture(autouse=True)
def _quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same terminal everywhere."""
    for name in ("NO_COLOR", "COLUMNS", "LINES", "TEXTUAL", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def given(monkeypatch: pytest.MonkeyPatch) -> Given:
    """Say which plan (or which problems) the next reading brings; at first the hand-made one."""
    held: list[Plan | InputError] = [a_plan()]

    def read_and_plan(
        path: Path, now: datetime, *, thorough: bool = True, **more: Any
    ) -> state.State:
        if isinstance(held[0], InputError):
            raise held[0]
        return state.State(project=a_project(), plan=held[0], now=NOW)

    monkeypatch.setattr(state, "read_and_plan", read_and_plan)

    def give(what: Plan | InputError) -> None:
        held[0] = what

    return give
