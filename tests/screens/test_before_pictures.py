"""Pictures of what occasions need, compared with golden files (WEARBY_GOLDEN=1 writes them)."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import SAMPLE, a_copy

AUGUST = datetime(2027, 8, 30)
OLDMERE = Path("sample_projects/oldmere_regatta")
JUNE = datetime(2027, 6, 7)


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("before_80x24", (80, 24), "b right"),
        ("before_120x40", (120, 40), "b right a"),
        ("before_list_80x24", (80, 24), "b right a"),
    ],
)
def test_a_fitting(name: str, size: tuple[int, int], keys: str) -> None:
    """The second of two fittings: the answer, the work, its list."""

    async def body(driven: Driven) -> None:
        await driven.press(*keys.split())
        same(f"{name}.svg", picture(driven))

    drive(body, size, SAMPLE, AUGUST)


def test_packing_by_daylight(tmp_path: Path) -> None:
    """The light colours: some of it packed, other things on the list."""
    path = a_copy(tmp_path, SAMPLE)
    file = path / "lamp_keeper.toml"
    text = file.read_text("utf-8").replace("pack = [", 'packed = ["shift"]\npack = [', 1)
    file.write_text(text, encoding="utf-8")

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await driven.press("b", "5", "a", "down")
        same("before_daylight_80x24.svg", picture(driven))

    drive(body, (80, 24), path, AUGUST)


def test_without_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set everything is there, without a hue; what is short and late is in words."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await driven.press("b", "3", "enter")
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("before_no_color_80x24.svg", svg)

    drive(body, (80, 24), OLDMERE, JUNE)
