"""Pictures of the diary, of the clock, and of what is ticked from it."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.clock_running import write_clock
from planner.sitting_down import SatDown
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import a_copy

SAMPLE = Path("sample_projects/oldmere_regatta")
BEHIND = datetime(2027, 6, 7, 20)
PICTURES = {
    "diary_80x24": ((80, 24), "l down down down"),
    "diary_120x40": ((120, 40), "l down down down"),
    "diary_entry_80x24": ((80, 24), "l down down down enter"),
    "diary_over_80x24": ((80, 24), "l down down down f"),
    "diary_before_80x24": ((80, 24), "l j down down end space"),
    "diary_before_120x40": ((120, 40), "l j down down end space"),
    "diary_pace_80x24": ((80, 24), "l y down enter"),
    "diary_pace_120x40": ((120, 40), "l y down enter"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The screens look as they did when somebody last looked at them."""
    size, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, path=SAMPLE, now=BEHIND)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("l", "down", "down")
        same("diary_daylight_80x24.svg", picture(driven))

    drive(body, path=SAMPLE, now=BEHIND)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "down")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("diary_no_color_80x24.svg", svg)

    drive(body, path=SAMPLE, now=BEHIND)


@pytest.mark.parametrize("keys", ["", "k"])
def test_pictures_of_the_clock(keys: str, tmp_path: Path) -> None:
    """The line beneath the verdict, and what is asked when it is put down."""
    path = a_copy(tmp_path, SAMPLE)
    step = "signal_master/coat/tacks"
    write_clock(path, SatDown(step=step, since=datetime(2027, 6, 7, 19, 37)))

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        name = "clock_put_down_80x24" if keys else "clock_80x24"
        same(f"{name}.svg", picture(driven))

    drive(body, path=path, now=BEHIND)
