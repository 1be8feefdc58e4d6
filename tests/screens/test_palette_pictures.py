"""Pictures of the list of what can be done."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import MONDAY, SMALL

MASQUE = Path("sample_projects/copper_wood_masque")
PICTURES = {
    "what_to_do_80x24": ((80, 24), SMALL, MONDAY, ("ctrl+p", "down")),
    "what_to_do_120x40": (
        (120, 40),
        MASQUE,
        datetime(2027, 3, 6),
        ("g", "down", "enter", "down", "ctrl+p"),
    ),
    "what_to_do_letters_80x24": ((80, 24), SMALL, MONDAY, ("g", "ctrl+p", *"the st")),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The whole list over the run-up and the garments, and what a few letters leave of it."""
    size, path, now, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys)
        same(f"{name}.svg", picture(driven))

    drive(body, size, path=path, now=now)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("ctrl+p", "down")
        same("what_to_do_daylight_80x24.svg", picture(driven))

    drive(body, path=SMALL, now=MONDAY)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set the mark says where the cursor is, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", "down")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("what_to_do_no_color_80x24.svg", svg)

    drive(body, path=SMALL, now=MONDAY)
