"""Keys that come all at once: each has the effect it has when they come one by one."""

from __future__ import annotations

from pathlib import Path
from time import monotonic

import pytest
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Input

from screens import in_turn
from screens.adding import Adding
from screens.forms.form import Form
from screens.hours import Hours
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy


async def at_once(driven: Driven, *keys: str) -> None:
    """Send keys in one burst."""
    for key in keys:
        driven.send(key)
    await driven.settle()


def test_a_burst_goes_through_the_screens_it_opens(tmp_path: Path) -> None:
    """Letters behind the key that asks for a garment are looked for; those behind enter are an
    answer in the form that opens, and none falls to a screen beneath."""

    async def body(driven: Driven) -> None:
        await at_once(driven, "g", "a", *"hat", "enter", *"Green hat", "tab", "escape")
        form = driven.app.screen
        assert isinstance(form, Adding)
        assert form.questions.title.startswith("New: ") and "hat" in form.questions.title
        assert form.rows["name"].text == "Green hat"
        assert form.asking and not driven.app.session.done
        await at_once(driven, "escape", "o")
        assert isinstance(driven.app.screen, Hours)

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_a_burst_is_typed_whole(tmp_path: Path) -> None:
    """A form that opens in a burst takes all that comes behind, in its fields in turn."""

    async def body(driven: Driven) -> None:
        await at_once(driven, "g", "down", "enter", "e", *"One", "down", "down", "down", *"4h")
        form = driven.app.screen
        assert isinstance(form, Form)
        assert form.rows["name"].text == "One" and form.rows["hours"].text == "4h"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def _after(folder: Path, keys: tuple[str, ...], *, burst: bool) -> list[str]:
    """What is drawn after keys in one burst, or after the same keys one by one."""
    shown: list[str] = []

    async def body(driven: Driven) -> None:
        await (at_once(driven, *keys) if burst else driven.press(*keys))
        shown.extend(driven.text())

    folder.mkdir()
    drive(body, path=a_copy(folder), now=MONDAY)
    return shown


@pytest.mark.parametrize(
    "keys",
    [
        ("down", "down", "a"),
        ("down", "down", "down", "enter", "down", "f", "home", "delete"),
        ("down", "i", "down", "enter", "x", "y", "z"),
        ("n", "down", "d"),
        ("b", "right", "down", "enter", "r"),
        ("h", "down", "down", "r"),
        ("s", "down", "enter"),
        ("o", "down", "down", "down", "a"),
        ("g", "down", "enter", "down", "r"),
        ("g", "a", "h", "a", "t"),
        ("slash", "h", "e", "m", "enter"),
        ("ctrl+p", "t", "o", "d", "a", "y", "enter"),
    ],
    ids=" ".join,
)
def test_a_burst_is_the_same_as_its_keys_one_by_one(tmp_path: Path, keys: tuple[str, ...]) -> None:
    """On every screen, through lists, forms and the palette, no key is lost or about another."""
    one_by_one = _after(tmp_path / "one", keys, burst=False)
    assert _after(tmp_path / "burst", keys, burst=True) == one_by_one


class NeverThere(Screen[None]):
    """Says that it is still coming, for ever."""

    is_coming = True

    def compose(self) -> ComposeResult:
        """A line to type in."""
        yield Input()


def test_nothing_waits_for_ever(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keys for a screen that never comes are handed on after a while all the same."""
    monkeypatch.setattr(in_turn, "LONGEST", 0.2)

    async def body(driven: Driven) -> None:
        driven.app.push_screen(NeverThere())
        begun = monotonic()
        await at_once(driven, "a", "b")
        assert driven.app.screen.query_one(Input).value == "ab"
        assert monotonic() > begun + 0.2

    drive(body, path=a_copy(tmp_path), now=MONDAY)
