"""The palette with names that look like markup."""

from __future__ import annotations

from pathlib import Path

from textual.command import CommandList

from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy

BRUSHED = 'Brush the "pile" [nap] [/] [b]up\\'


def with_brackets(folder: Path) -> Path:
    """The small workroom with a first step of a bracketed name."""
    path = a_copy(folder)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"cut the layers"', f"'{BRUSHED}'"), encoding="utf-8")
    return path


def offered(driven: Driven) -> list[str]:
    """What the palette shows, by title and what is told beneath, as drawn."""
    (commands,) = driven.app.screen.query(CommandList)
    return [str(option.prompt) for option in commands.options]


def test_names_are_never_markup(tmp_path: Path) -> None:
    """All brackets of a name are shown, in the whole list and among the found."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "enter", "ctrl+p")
        assert any(one.startswith(f"Duplicate {BRUSHED}\n") for one in offered(driven))
        await driven.press(*"dupl nap")
        assert offered(driven)[0].startswith(f"Duplicate {BRUSHED}\n")
        assert driven.shows(f"Duplicate {BRUSHED}")

    drive(body, (100, 30), with_brackets(tmp_path), MONDAY)


def test_what_is_told_is_no_markup_either(tmp_path: Path) -> None:
    """The edit that can be taken back is told with its brackets, and what is found is done."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "enter", "x", "ctrl+p")
        told = f"Takes back: “{BRUSHED}” (Stays) left off"
        assert f"Undo the last edit\n{told}" in offered(driven)
        await driven.press(*"undo last")
        assert f"Undo the last edit\n{told}" in offered(driven)
        await driven.press("enter")
        assert driven.screen == "Garments"
        assert driven.shows("Undone")

    drive(body, (100, 30), with_brackets(tmp_path), MONDAY)


def test_it_asks_in_our_words(tmp_path: Path) -> None:
    """What stands in the empty line is our own; pressed again nothing opens twice."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", "ctrl+p")
        assert driven.shows("What shall be done? A few letters")
        assert not any("Search for" in line for line in driven.text())
        await driven.press("escape")
        assert driven.screen == "RunUp"

    drive(body, path=a_copy(tmp_path), now=MONDAY)
