"""Pictures of the question what becomes of an edit that couldn't be saved."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.recovery import Unsaved, UnsavedFile
from screens.dialogs.not_saved import NotSavedYet
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same

EDIT = Unsaved(
    label="boning channels begun, 1 h 10 [by lamp] logged",
    at=datetime(2027, 5, 3, 19, 40),
    workroom=Path("/sewing/ferrywoman"),
    files=(UnsavedFile(name="diary.toml", before=None, after=""),),
    file=Path("/state/not-saved/one.toml"),
)
WORDS = [
    "Today, 19:40: “boning channels” (Stays), 1 h 10, begun, “the left busk sits a finger too "
    "high: unpick [by lamp] before the channels are closed”"
]
TWINS = ["Today, 19:52: “boning channels” (Stays), 50 min"]


def drawn(size: tuple[int, int], theme: str = "") -> str:
    """The picture."""
    found: list[str] = []

    async def body(driven: Driven) -> None:
        if theme:
            driven.app.theme = theme
        driven.app.push_screen(NotSavedYet(EDIT, WORDS, TWINS))
        await driven.settle()
        assert driven.shows("[by lamp]")
        found.append(picture(driven))

    drive(body, size, path=Path("tests/screens/a_workroom"), now=datetime(2027, 5, 3))
    return found[0]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
def test_pictures(size: tuple[int, int]) -> None:
    """The question and its three answers."""
    same(f"not_saved_{size[0]}x{size[1]}.svg", drawn(size))


def test_picture_by_daylight() -> None:
    """The light colours."""
    same("not_saved_daylight_80x24.svg", drawn((80, 24), DAYLIGHT.name))


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and words say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")
    svg = drawn((80, 24))
    colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
    assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
    same("not_saved_no_color_80x24.svg", svg)
