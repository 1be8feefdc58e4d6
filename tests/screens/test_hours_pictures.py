"""Pictures of the Hours, compared with golden files."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import same
from tests.screens.workrooms import MONDAY, SMALL

MASQUE = Path("sample_projects/copper_wood_masque")
REGATTA = Path("sample_projects/oldmere_regatta")
PICTURES = {
    "hours_80x24": ((80, 24), REGATTA, datetime(2027, 6, 7), "o down"),
    "hours_120x40": ((120, 40), MASQUE, datetime(2027, 3, 6), "o down"),
    "hours_week_80x24": ((80, 24), REGATTA, datetime(2027, 6, 7), "o w"),
    "hours_away_80x24": ((80, 24), SMALL, MONDAY, "o down down down a"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The screen looks as it did when somebody last looked at it."""
    size, path, now, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, path=path, now=now)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("o", "down")
        same("hours_daylight_80x24.svg", picture(driven))

    drive(body, path=SMALL, now=MONDAY)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR what is over is reversed and says so in words."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("o", "down")
        assert driven.shows("over ")
        same("hours_no_color_80x24.svg", picture(driven))

    drive(body, path=REGATTA, now=datetime(2027, 6, 7))
