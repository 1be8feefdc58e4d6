"""Pictures of the hand sewing and the stock, three evenings behind; see ``test_pictures``."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same

BEHIND = Path("sample_projects/oldmere_regatta")
TODAY = datetime(2027, 6, 7)

PICTURES = {
    "80x24": ((80, 24), {"handwork": "h down", "handwork_garments": "y end up", "stock": "s"}),
    "120x40": ((120, 40), {"handwork": "h down", "stock": "s down"}),
}


@pytest.mark.parametrize("size", PICTURES)
def test_pictures(size: str) -> None:
    """The screens look as they did when somebody last looked at them."""
    columns, screens = PICTURES[size]

    async def body(driven: Driven) -> None:
        for name, keys in screens.items():
            await driven.press(*keys.split())
            same(f"{name}_{size}.svg", picture(driven))

    drive(body, columns, BEHIND, TODAY)


def test_pictures_by_daylight() -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        for name, keys in (("handwork", "h"), ("stock", "s")):
            await driven.press(*keys.split())
            same(f"{name}_daylight_80x24.svg", picture(driven))

    drive(body, (80, 24), BEHIND, TODAY)


def test_pictures_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set nothing is told by a hue; a count is being typed."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        for name, keys in (("handwork", "h"), ("stock", "s c 3")):
            await driven.press(*keys.split())
            svg = picture(driven)
            colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
            assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
            same(f"{name}_no_color_80x24.svg", svg)

    drive(body, (80, 24), BEHIND, TODAY)
