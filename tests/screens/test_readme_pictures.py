"""The README shows every screen as it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from screens.registry import SCREENS
from tests.pictures import KEYS, file_of, made
from tests.screens.test_pictures import same


@pytest.mark.parametrize("screen", [one.name for one in SCREENS])
def test_pictures_are_current(screen: str) -> None:
    """Each is what the program draws now: ``python -m tests.pictures`` makes them anew."""
    same(file_of(screen).name, made(screen))


def test_the_readme_shows_each_screen() -> None:
    """Every registered screen has its picture there, with a sentence, and no picture is left."""
    text = Path("README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[([^\]]{10,})\]\(([^)]+)\)", text)
    files = {file_of(one.name).as_posix() for one in SCREENS}
    assert {file for _, file in shown} == files
    assert set(KEYS) == {one.name for one in SCREENS}
    assert all(Path(file).is_file() for file in files)
