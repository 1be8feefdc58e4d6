"""Pictures of the garments and their forms, of a real plan; see ``test_pictures``."""

from __future__ import annotations

import re

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import MONDAY, SMALL

STEP = "g down enter down down down e"
PICTURES = {
    "garments_80x24": ((80, 24), "g down"),
    "garments_120x40": ((120, 40), "g down enter down down enter"),
    "garments_occasion_80x24": ((80, 24), "g down down"),
    "where_from_80x24": ((80, 24), "g w down"),
    "step_form_80x24": ((80, 24), f"{STEP} down down down 6 h"),
    "step_form_120x40": ((120, 40), f"{STEP} down down down 6 x down f3"),
    "occasion_form_80x24": ((80, 24), "g down down e"),
    "pick_80x24": ((80, 24), f"{STEP} down ctrl+f s e a m"),
    "garments_help_80x24": ((80, 24), "g question_mark"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    """The garments and their forms look as they did when somebody last looked at them."""
    size, keys = PICTURES[name]

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, SMALL, MONDAY)


def test_pictures_by_daylight() -> None:
    """The light colours, of the garments and of a form."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("g", "enter")
        same("garments_daylight_120x40.svg", picture(driven))
        await driven.press("e", "down", "down", "down", *"6x", "down")
        same("step_form_daylight_120x40.svg", picture(driven))

    drive(body, (120, 40), SMALL, MONDAY)


def test_pictures_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set nothing is told by a hue: marks, words and letters say it all."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("g", "enter")
        for name, keys in (("garments", ()), ("step_form", ("e", "down", "down", "down", "6"))):
            await driven.press(*keys)
            svg = picture(driven)
            colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
            assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
            same(f"{name}_no_color_80x24.svg", svg)

    drive(body, (80, 24), SMALL, MONDAY)
