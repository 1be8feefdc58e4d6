"""Pictures of what happened, of what would move, and of the printed answer."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.command import main
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import SMALL

TUESDAY = datetime(2027, 5, 4, 9)
MASQUE = Path("sample_projects/copper_wood_masque")
SATURDAY = datetime(2027, 3, 6, 9)

PICTURES = {
    "delay_what_80x24": ((80, 24), "d down", SMALL, TUESDAY),
    "delay_80x24": ((80, 24), "d 2", SMALL, TUESDAY),
    "delay_120x40": ((120, 40), "d 4 enter", MASQUE, SATURDAY),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The dialog looks as it did when somebody last looked at it."""
    size, keys, path, now = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, path=path, now=now)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("d", "2")
        same("delay_daylight_80x24.svg", picture(driven))

    drive(body, path=SMALL, now=TUESDAY)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("d", "2")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("delay_no_color_80x24.svg", svg)

    drive(body, path=SMALL, now=TUESDAY)


def test_printed_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """The printed answer reads as it did when somebody last read it."""
    main(["delay", str(SMALL), "away", "Thursday", "--today", "2027-05-04"])
    same("delay.txt", capsys.readouterr().out)
