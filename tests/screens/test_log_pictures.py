"""Pictures of the log sheet."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same

SAMPLE = Path("sample_projects/oldmere_regatta")
EVENING = datetime(2027, 6, 7, 21)
SAID = ("space", "space", "4", "5", "down", "space", "space", "down", "tab", "3", "0")
"""Of an evening's steps one is done, one half done, and of one half an hour is left."""
PICTURES = {
    "log_80x24": (80, 24),
    "log_120x40": (120, 40),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The sheet looks as it did when somebody last looked at it."""

    async def body(driven: Driven) -> None:
        await driven.press(*SAID)
        same(f"{name}.svg", picture(driven))

    drive(body, PICTURES[name], path=SAMPLE, now=EVENING)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press(*SAID)
        same("log_daylight_80x24.svg", picture(driven))

    drive(body, path=SAMPLE, now=EVENING)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press(*SAID)
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("log_no_color_80x24.svg", svg)

    drive(body, path=SAMPLE, now=EVENING)
