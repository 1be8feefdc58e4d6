"""Pictures of the page that opens a workroom."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from screens.recent import Recent, RecentWorkrooms
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.test_which import at_first


@pytest.fixture
def recent(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> RecentWorkrooms:
    """Three workrooms opened lately in a home folder, and one that has vanished."""
    monkeypatch.setenv("HOME", str(tmp_path))
    home = tmp_path / "sewing"
    for name in ("ferrywoman", "lamp-ball", "copper_wood_masque"):
        (home / name).mkdir(parents=True)
    kept = RecentWorkrooms(tmp_path / "recent.toml")
    kept.remember(Recent(path=home / "cloak", name="Bottle-green cloak"))
    kept.remember(
        Recent(
            path=home / "copper_wood_masque",
            name="Beetle-knight of the Copper Wood",
            occasion="The Copper Wood masque, Quillbeck",
            on=date(2027, 3, 20),
            as_of=date(2027, 3, 6),
        )
    )
    kept.remember(Recent(path=home / "lamp-ball", name="2 ensembles"))
    kept.remember(
        Recent(
            path=home / "ferrywoman",
            name="Ferrywoman's Sunday clothes",
            occasion="Regatta",
            on=date(2027, 5, 22),
        )
    )
    return kept


PICTURES = {
    "which_80x24": ((80, 24), ""),
    "which_120x40": ((120, 40), "down down"),
    "which_folder_80x24": ((80, 24), "o l"),
    "which_sample_80x24": ((80, 24), "end enter"),
}


def drawn(
    recent: RecentWorkrooms, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int], *keys: str
) -> str:
    """The picture after some keys, made in the home folder of the fixture."""
    found: list[str] = []

    async def body(driven: Driven) -> None:
        for key in keys:
            if key == "daylight":
                driven.app.theme = DAYLIGHT.name
            else:
                await driven.press(key)
        found.append(picture(driven))

    root = Path.cwd()
    monkeypatch.chdir(recent.file.parent / "sewing")
    at_first(body, recent, size)
    monkeypatch.chdir(root)
    return found[0]


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str, recent: RecentWorkrooms, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page, a folder looked for, and a sample about to be copied."""
    size, keys = PICTURES[name]
    same(f"{name}.svg", drawn(recent, monkeypatch, size, *keys.split()))


def test_picture_by_daylight(recent: RecentWorkrooms, monkeypatch: pytest.MonkeyPatch) -> None:
    """The light colours."""
    same("which_daylight_80x24.svg", drawn(recent, monkeypatch, (80, 24), "daylight", "down"))


def test_picture_without_colour(recent: RecentWorkrooms, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and words say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")
    svg = drawn(recent, monkeypatch, (80, 24))
    colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
    assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
    same("which_no_color_80x24.svg", svg)
