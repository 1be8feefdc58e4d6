"""What all tests share: no test reaches the state of whoever runs it."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _state_of_its_own(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a program keeps beside the workroom goes into a folder of the test run."""
    folder: Path = tmp_path_factory.getbasetemp() / "state"
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
