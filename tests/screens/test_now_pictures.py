"""Pictures of the screen Now and its printed answer."""

from __future__ import annotations

import re

import pytest

from screens.command import main
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_now import MONDAY, SAMPLE
from tests.screens.test_pictures import RICHS_OWN, same

PICTURES = {
    "now_80x24": ((80, 24), "n 2 0 f"),
    "now_120x40": ((120, 40), "n 2 0 p p f down enter"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The screen looks as it did when somebody last looked at it."""
    size, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, path=SAMPLE, now=MONDAY)


def test_picture_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("n", "2", "0", "f")
        same("now_daylight_80x24.svg", picture(driven))

    drive(body, path=SAMPLE, now=MONDAY)


def test_picture_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("n", "2", "0", "f")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("now_no_color_80x24.svg", svg)

    drive(body, path=SAMPLE, now=MONDAY)


def test_printed_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """The printed answer reads as it did when somebody last read it."""
    main(["now", str(SAMPLE), "--now", "2027-06-07T20:45", "--minutes", "20", "--tired"])
    same("now.txt", capsys.readouterr().out)
