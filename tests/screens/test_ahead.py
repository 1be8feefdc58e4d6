"""The first plan made ahead by another process: the same as ever, or none at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from screens.ahead import Ahead, plan_ahead
from screens.state import fingerprint, read_and_plan
from tests.screens.workrooms import MONDAY, SMALL, a_copy

forks = pytest.mark.skipif(
    not hasattr(os, "fork") or (os.cpu_count() or 1) < 2, reason="no second process here"
)


def ahead(path: Path) -> Ahead:
    """A plan under way."""
    found = plan_ahead(path, MONDAY)
    assert found is not None
    return found


@forks
@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # of forking beside pytest's threads
def test_it_is_the_plan_the_program_would_make() -> None:
    """What comes from the other process is equal, to the last field."""
    assert ahead(SMALL).state(fingerprint(SMALL)) == read_and_plan(SMALL, MONDAY, thorough=False)


@forks
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_files_changed_since_are_read_again(tmp_path: Path) -> None:
    """A plan of other files than there are now is none."""
    path = a_copy(tmp_path)
    changed = (*fingerprint(path), ("diary.toml", 1, 2))
    assert ahead(path).state(changed) is None


@forks
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_what_cannot_be_read_is_left_to_the_program(tmp_path: Path) -> None:
    """No plan, no message, no hanging: the program reads them itself and says what is wrong."""
    path = a_copy(tmp_path)
    (path / "workroom.toml").write_text("not = [closed", encoding="utf-8")
    assert ahead(path).state(fingerprint(path)) is None


def test_where_there_is_no_second_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """One processor, or none to be had: the program plans as ever."""
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    assert plan_ahead(SMALL, MONDAY) is None
