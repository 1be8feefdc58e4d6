"""Pictures of the Run-up made from real plans, and in the light colours."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.conftest import Given
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import same
from tests.screens.workrooms import MONDAY, SMALL

BEHIND = Path("sample_projects/oldmere_regatta")
TWO = Path("sample_projects/hallow_skerry")
FIX = ["slash", *"channels", "enter", "f", "ctrl+u", *"6 May"]
CASES = {
    "run_up_behind_80x24": ((80, 24), BEHIND, datetime(2027, 6, 7), ["down"]),
    "run_up_behind_120x40": ((120, 40), BEHIND, datetime(2027, 6, 7), ["up"]),
    "run_up_alone_80x24": ((80, 24), TWO, datetime(2027, 8, 30), ["v", "v", *["down"] * 3]),
    "run_up_fix_80x24": ((80, 24), SMALL, MONDAY, FIX),
    "run_up_fix_120x40": ((120, 40), SMALL, MONDAY, FIX),
}


@pytest.mark.parametrize("name", CASES)
def test_pictures_of_real_plans(name: str) -> None:
    """Days behind above today; one of two ensembles alone; a day fixed, its effect shown."""
    size, path, now, keys = CASES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys)
        same(f"{name}.svg", picture(driven))

    drive(body, size, path, now)


def test_picture_by_daylight_where_there_is_little_room(given: Given) -> None:
    """The light colours at 80 columns, on a plan that doesn't fit."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("down", "down", "down")
        same("run_up_daylight_80x24.svg", picture(driven))

    drive(body)


def test_picture_without_colour_with_room(given: Given, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without colour at 120 columns: letters and marks say it all."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "down")
        same("run_up_no_color_120x40.svg", picture(driven))

    drive(body, (120, 40))
