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
