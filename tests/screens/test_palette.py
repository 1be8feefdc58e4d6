"""The list of all that can be done: what is in it, how it is drawn, found and chosen."""

from __future__ import annotations

from pathlib import Path

from textual.app import SystemCommand

from screens.dialogs.what_to_do import NOTHING, Entries, WhatToDo
from screens.offered import Offered
from screens.wording import cells
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy

BRUSHED = 'Brush the "pile" [nap] [/] [b]up\\'


def with_brackets(folder: Path) -> Path:
    """The small workroom with a first step of a bracketed name."""
    path = a_copy(folder)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"cut the layers"', f"'{BRUSHED}'"), encoding="utf-8")
    return path


def entries(driven: Driven) -> Entries:
    """The list on top."""
    screen = driven.app.screen
    assert isinstance(screen, WhatToDo)
    return screen.entries


def told(driven: Driven) -> list[str]:
    """The lines of the list."""
    return ["".join(run.text for run in line.runs) for line in entries(driven).lines]


def some(*named: tuple[str, str], own: int = 1) -> Entries:
    """A list of entries by title and what they do, so many of them the screen's own."""
    made = tuple(SystemCommand(title, does, lambda: None) for title, does in named)
    return Entries(Offered(here=made[:own], everywhere=made[own:]))


def texts(found: Entries, width: int = 60) -> list[str]:
    """The lines at a width."""
    return [
        "".join(run.text for run in line.runs[:2]).rstrip() for line in found.compose_lines(width)
    ]


def test_names_are_never_markup(tmp_path: Path) -> None:
    """All brackets of a name are shown, in the whole list and among the found."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "enter", "ctrl+p")
        assert any(one.startswith(f"  Duplicate {BRUSHED}") for one in told(driven))
        await driven.press(*"nap dupl")
        assert told(driven)[1].startswith(f"▸ Duplicate {BRUSHED}")
        assert driven.shows(f"▸ Duplicate {BRUSHED}")

    drive(body, (100, 30), with_brackets(tmp_path), MONDAY)


def test_what_is_told_is_no_markup_either(tmp_path: Path) -> None:
    """The edit that can be taken back is told with its brackets, and what is found is done."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "enter", "x", "ctrl+p")
        line = f"Takes back: “{BRUSHED[:27]}"
        assert any(line in one and "  Undo the last edit  " in one for one in told(driven))
        await driven.press(*"undo last")
        assert told(driven)[1].startswith("▸ Undo the last edit  ") and line in told(driven)[1]
        assert driven.shows(f"Takes back: “{BRUSHED}” (Stays) left off")  # whole beneath
        await driven.press("enter")
        assert driven.screen == "Garments"
        assert driven.shows("Undone")

    drive(body, (100, 30), with_brackets(tmp_path), MONDAY)


def test_it_asks_in_our_words(tmp_path: Path) -> None:
    """What stands in the empty line is our own; pressed again nothing opens twice."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", "ctrl+p")
        assert driven.shows("What shall be done? A few letters")
        await driven.press(*"zzz")
        assert driven.shows("Nothing here has these letters.")
        await driven.press("enter")
        assert driven.screen == "WhatToDo"
        await driven.press("escape")
        assert driven.screen == "RunUp"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_it_offers_exactly_what_can_be_done() -> None:
    """Over a screen and over a form alike: the same entries in the same order, each one line."""

    async def body(driven: Driven) -> None:
        for keys in ((), ("g", "down"), ("e",)):
            await driven.press(*keys)
            beneath = driven.app.screen
            titles = [one.title for one in driven.app.get_system_commands(beneath)]
            await driven.press("ctrl+p")
            shown = entries(driven)
            assert [one.title for one in shown.commands] == titles
            keyed = [line for line in shown.lines if line.key is not None]
            assert [line.runs[1].text.rstrip() for line in keyed] == titles
            headings = [one.strip() for one in told(driven) if one.strip() in HEADINGS]
            assert headings == list(HEADINGS)
            await driven.press("escape")
            assert driven.app.screen is beneath

    drive(body, path=SMALL, now=MONDAY)


HEADINGS = ("On this screen", "Everywhere")


def test_all_words_count_in_any_order() -> None:
    """In titles first; only where no title has them in what the entries do."""
    found = some(("Add a hat", "For the head"), ("Leave", "Goes away"), ("Go home", "To the hat"))
    assert texts(found) == [
        " On this screen",
        "▸ Add a hat",
        "",
        " Everywhere",
        "  Leave",
        "  Go home",
    ]
    found.letters = "HAT a"
    assert texts(found) == [" On this screen", "▸ Add a hat"]
    found.letters = "away"
    assert texts(found) == [" Everywhere", "▸ Leave"]
    found.letters = "hat to"
    assert texts(found) == [" Everywhere", "▸ Go home"]
    found.letters = "cloak"
    assert texts(found) == [f" {NOTHING}"]


def test_what_is_cut_is_told_whole_beneath() -> None:
    """A line keeps to its width; what the entry under the cursor does stands whole below."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", *"read the files")
        await driven.pilot.resize_terminal(40, 24)
        await driven.settle()
        (line,) = [line for line in entries(driven).lines if line.key is not None]
        assert "And plan afresh" not in "".join(run.text for run in line.runs)
        assert driven.shows("And plan afresh")
        assert all(cells(text) <= 40 for text in driven.text())

    drive(body, path=SMALL, now=MONDAY)


def test_a_click_does_it() -> None:
    """A click on an entry closes the list and does what the entry says; on a heading nothing."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", *"go to gar")
        await driven.pilot.click(Entries, offset=(4, 0))
        await driven.settle()
        assert driven.screen == "WhatToDo"
        await driven.pilot.click(Entries, offset=(4, 1))
        await driven.settle()
        assert driven.screen == "Garments"

    drive(body, path=SMALL, now=MONDAY)


def test_beginnings_of_words_come_before_their_middles() -> None:
    """Letters inside of words count only where no word begins so, in what entries do neither."""
    found = some(("See what to do", "now"), ("Add a bonnet", "a hat"), ("Wait", "somewhat"))
    found.letters = "hat"
    assert texts(found) == [" Everywhere", "▸ Add a bonnet"]
    found.letters = "omewha"
    assert texts(found) == [" Everywhere", "▸ Wait"]


def test_the_list_follows_when_more_can_be_done(tmp_path: Path) -> None:
    """Opened before the first plan is there, and looked through for what needs one."""

    async def body(driven: Driven) -> None:
        driven.app.state = None
        await driven.press("ctrl+p", *"moved")
        assert any(NOTHING in one for one in told(driven))
        driven.app.replan()
        await driven.settle()
        assert any(one.startswith("▸ See what moved since an earlier day") for one in told(driven))
        await driven.press("enter")
        assert driven.screen == "WhatMoved"

    drive(body, path=a_copy(tmp_path), now=MONDAY)
