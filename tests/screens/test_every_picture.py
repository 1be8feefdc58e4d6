"""Every screen at both sizes, by lamplight, by daylight and without colour."""

from __future__ import annotations

import re

import pytest

from screens.registry import SCREENS
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import MONDAY, SMALL


@pytest.mark.parametrize("look", ["lamplight", "daylight", "no_color"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
def test_every_screen(
    size: tuple[int, int], look: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The screens look as they did when somebody last looked at them."""
    if look == "no_color":
        monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        if look == "daylight":
            driven.app.theme = DAYLIGHT.name
        for one in SCREENS:
            if driven.app.current_mode != one.name:
                await driven.press(one.key)
            await driven.settle()
            svg = picture(driven)
            if look == "no_color":
                colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg))
                hues = {c for c in colours - {RICHS_OWN} if len({c[1:3], c[3:5], c[5:]}) > 1}
                assert not hues
            same(f"every_{one.name.replace('-', '_')}_{size[0]}x{size[1]}_{look}.svg", svg)

    drive(body, size, path=SMALL, now=MONDAY)
