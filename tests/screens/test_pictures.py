"""Pictures of the screens and printed answers, compared with golden files.

Set WEARBY_GOLDEN=1 to write them afresh, then look at what has changed.
"""

from __future__ import annotations

import os
import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.command import main
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.a_plan import a_fitting_plan
from tests.screens.conftest import Given
from tests.screens.driving import Driven, drive

GOLDEN = Path("tests/golden")
RICHS_OWN = "#c5c8c6"
"""What the export gives to text without a colour."""


def same(name: str, found: str) -> None:
    """Compare with the golden file of this name, or write it."""
    file = GOLDEN / name
    if os.environ.get("WEARBY_GOLDEN") == "1":
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(found, encoding="utf-8")
    assert file.is_file(), f"no {file}; write it with WEARBY_GOLDEN=1"
    assert found == file.read_text(encoding="utf-8"), f"{file} differs; see WEARBY_GOLDEN=1"


PICTURES = {
    "run_up_80x24": ((80, 24), "down down down"),
    "run_up_120x40": ((120, 40), "down down down"),
    "reason_80x24": ((80, 24), "down down down enter enter"),
    "reason_120x40": ((120, 40), "down down down enter down enter"),
    "find_80x24": ((80, 24), "slash b o d"),
    "help_80x24": ((80, 24), "question_mark"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str, given: Given) -> None:
    """The screens look as they did when somebody last looked at them."""
    size, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size)


def test_picture_by_daylight(given: Given) -> None:
    """The light colours, on a plan that fits."""
    given(a_fitting_plan())

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("down")
        same("daylight_120x40.svg", picture(driven))

    drive(body, (120, 40))


def test_picture_without_colour(given: Given, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set there are letters, marks and reversed cells, and no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("down")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        inside = {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        assert not inside
        same("no_color_80x24.svg", svg)

    drive(body)


ANSWERS = {
    "plan": ("plan", "."),
    "check": ("check", "."),
    "before": ("before", ".", "body-fitting"),
    "day": ("day", ".", "2027-05-08"),
    "handwork": ("handwork", "."),
}


@pytest.mark.parametrize("name", ANSWERS)
def test_printed_answers(name: str, given: Given, capsys: pytest.CaptureFixture[str]) -> None:
    """The printed answers read as they did when somebody last read them."""
    main([*ANSWERS[name], "--today", "2027-05-05"])
    same(f"{name}.txt", capsys.readouterr().out)


WORKROOM = Path("tests/screens/a_workroom")
MONDAY = datetime(2027, 5, 3)


def test_picture_of_a_real_plan() -> None:
    """A workroom read from its files, planned, and drawn."""

    async def body(driven: Driven) -> None:
        await driven.press(*["down", "down", "down", "down", "down", "enter", "enter"])
        same("a_workroom_80x24.svg", picture(driven))

    drive(body, path=WORKROOM, now=MONDAY)


@pytest.mark.parametrize("command", ["plan", "check", "stock"])
def test_printed_answers_of_a_real_plan(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A workroom read from its files, planned, and printed."""
    main([command, str(WORKROOM), "--today", "2027-05-03"])
    same(f"a_workroom_{command}.txt", capsys.readouterr().out)
