"""The week goes wrong: a key says what happened, and shows what would move before that is kept."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from screens.dialogs.delay import WAIT, DelayDialog
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy

TUESDAY = datetime(2027, 5, 4, 9)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The small workroom, to be written in."""
    return a_copy(tmp_path)


def _text(driven: Driven) -> str:
    return "\n".join(driven.text())


def test_nothing_done_tonight_is_three_keys(path: Path) -> None:
    """d, 1, enter: the evening is gone, and what moved is said beneath the verdict; ^z brings
    it back, by that name."""

    async def body(driven: Driven) -> None:
        await driven.press("d")
        assert "What happened?" in _text(driven)
        await driven.press("1")
        told = _text(driven)
        lost = "2 h of hours today are lost: 1 h 45 in the workroom and 15 min"
        assert lost in " ".join(told.split())
        assert "Worse than now. Does not fit: 1 h 05 short before the Body" in told
        assert "c  cut the layers (Stays)      " in told and "Tue  4 May → Thu  6 May" in told
        assert read_project(path).workroom.changes == ()
        await driven.press("enter")
        assert driven.screen == "RunUp"
        assert driven.shows("Nothing done tonight. Now it doesn't fit;")
        (change,) = read_project(path).workroom.changes
        assert (change.first, change.reason) == (date(2027, 5, 4), "nothing done")
        await driven.press("ctrl+z")
        assert driven.shows("Undone: nothing done tonight.")
        assert read_project(path).workroom.changes == ()

    drive(body, path=path, now=TUESDAY)


def test_the_same_keys_in_one_burst(path: Path) -> None:
    """Keys sent at once do what they do one by one."""

    async def body(driven: Driven) -> None:
        for key in ("d", "1", "enter"):
            driven.send(key)
        await driven.settle()
        assert driven.screen == "RunUp"
        assert len(read_project(path).workroom.changes) == 1

    drive(body, path=path, now=TUESDAY)


def test_escape_leaves_everything_as_it_is(path: Path) -> None:
    """At the list, at which one is meant, and at what would move."""
    before = {one.name: one.read_text() for one in path.glob("*.toml")}

    async def body(driven: Driven) -> None:
        for keys in ("d", "d 4", "d 2", "d 1"):
            await driven.press(*keys.split(), "escape")
            assert driven.screen == "RunUp"
        assert driven.app.session.done == []

    drive(body, path=path, now=MONDAY)
    assert {one.name: one.read_text() for one in path.glob("*.toml")} == before


def test_arrows_and_enter_choose_as_digits_do(path: Path) -> None:
    """The list has a mark that moves; enter takes what it stands at."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "down", "down", "down", "enter")
        assert "Which occasion?" in _text(driven)
        await driven.press("down", "up", "enter")
        assert "Body fitting, moves to: Sunday 9 May" in _text(driven)
        await driven.press("enter")
        assert driven.shows("Body fitting moved to Sunday 9 May, 14:00. Two steps move")

    drive(body, path=path, now=MONDAY)
    assert read_project(path).ensembles[0].occasions[0].at == datetime(2027, 5, 9, 14)


def test_a_proposal_is_typed_over(path: Path) -> None:
    """What stands there is selected; what would move follows what is typed, and what can't be
    read is said while nothing can be accepted."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "2", *"Thx")
        assert "“Thx” is no date" in _text(driven)
        assert not any("accept" in line for line in driven.text())
        await driven.press("enter")
        assert driven.screen == "DelayDialog"
        await driven.press("backspace", *"ursday")
        assert "back on Thursday 6 May" in _text(driven)
        await driven.press("enter")
        assert driven.shows("Away until Thursday 6 May.")

    drive(body, path=path, now=MONDAY)
    (change,) = read_project(path).workroom.changes
    assert (change.first, change.last) == (date(2027, 5, 3), date(2027, 5, 5))


def test_the_day_under_the_cursor_is_proposed(path: Path) -> None:
    """Away until that day."""

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "down", "d", "2")
        assert "Away, back on: Thursday 6 May" in _text(driven)

    drive(body, path=path, now=MONDAY)


def test_what_has_moved_is_marked(path: Path) -> None:
    """The day has an arrow, its step too, with the day it was on; ^z brings all back, unmarked."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "1", "enter", "end", "home", "down", "down")
        assert driven.day == "2027-05-06"
        assert any("→ Stays" in line and "Thu  6 May" in line for line in driven.text())
        assert any("c →cut the layers" in line for line in driven.text())
        assert "was today" in _text(driven)
        await driven.press("ctrl+z")
        assert any("Tue  4 May" in line and "Stays" in line for line in driven.text())
        assert not any("→ Stays" in line or "→cut" in line for line in driven.text())

    drive(body, (120, 40), path=path, now=TUESDAY)


def test_from_now_and_from_the_palette(path: Path) -> None:
    """The key on Now; elsewhere by its name, where d may do something else."""

    async def body(driven: Driven) -> None:
        await driven.press("n", "d")
        assert isinstance(driven.app.screen, DelayDialog)
        await driven.press("escape", "s", "ctrl+p", *"went wrong", "enter")
        assert isinstance(driven.app.screen, DelayDialog)
        await driven.press("6")
        assert "Spread out afresh" in _text(driven)
        await driven.press("enter")
        assert driven.shows("Spread out afresh.")

    drive(body, path=path, now=MONDAY)


def test_a_helper_who_cannot_come(path: Path) -> None:
    """Asked for the day, the next with helper hours standing there; then these are gone."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "5")
        assert "The helper, can't come on: Saturday 8 May" in _text(driven)
        await driven.press("enter")
        assert driven.shows("No helper on Saturday 8 May.")

    drive(body, path=path, now=TUESDAY)
    (change,) = read_project(path).workroom.changes
    assert (change.first, change.helper, change.workroom) == (date(2027, 5, 8), (), None)


def test_what_is_meant_on_other_screens(path: Path) -> None:
    """From before an occasion it is that occasion."""

    async def body(driven: Driven) -> None:
        await driven.press("b", "2", "ctrl+p", *"went wrong", "enter", "4", "enter")
        assert "Regatta, moves to: Saturday 29 May" in _text(driven)

    drive(body, path=path, now=MONDAY)


def test_before_it_is_known_what_would_move(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the plan is made it says so, and enter asks again."""

    async def body(driven: Driven) -> None:
        monkeypatch.setattr(type(driven.app), "preview", lambda *_, **__: 0)
        await driven.press("d", "1")
        assert "planning …" in _text(driven)
        await driven.press("enter")
        assert WAIT[:40] in _text(driven) and driven.screen == "DelayDialog"
        await driven.press("enter")
        assert driven.screen == "RunUp"
        assert len(read_project(path).workroom.changes) == 1

    drive(body, path=path, now=MONDAY)


def test_what_cannot_be_saved(path: Path) -> None:
    """It is said why, nothing is written, and the dialog stays."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "1")
        file = path / "workroom.toml"
        text = file.read_text()
        file.write_text("format = 1\nunits = [")
        await driven.press("enter")
        assert driven.screen == "DelayDialog"
        assert "Not done: nothing done tonight." in _text(driven)
        file.write_text(text)
        await driven.press("enter")
        assert driven.screen == "RunUp"

    drive(body, path=path, now=TUESDAY)


def test_the_help_of_the_dialog(path: Path) -> None:
    """f1 says what it is for and what the keys do."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "f1")
        assert "Nothing is kept before" in _text(driven)
        assert "Choose what is marked, or accept what would move" in _text(driven)

    drive(body, path=path, now=TUESDAY)


def test_nothing_to_be_done_about(path: Path) -> None:
    """Where today has no hours left it says so, and nothing can be accepted."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "1")
        assert "Today has no hours left: nothing of it can be lost." in _text(driven)
        assert not any("accept" in line for line in driven.text())
        await driven.press("enter", "escape")
        assert driven.screen == "RunUp"

    away = '\n[[change]]\non = 2027-05-03\nworkroom = []\nsofa = []\ntake_along = []\n'
    file = path / "workroom.toml"
    file.write_text(file.read_text() + away)
    drive(body, path=path, now=MONDAY)


def test_a_click_chooses(path: Path) -> None:
    """The mouse does what digits do."""

    async def body(driven: Driven) -> None:
        await driven.press("d")
        await driven.pilot.click("#choices", offset=(6, 1))
        await driven.settle()
        assert "Away, back on:" in _text(driven)

    drive(body, path=path, now=MONDAY)


def test_an_occasion_is_not_moved_past_what_it_prepares_by_one_enter(path: Path) -> None:
    """The warning stands there; enter asks again, and only the next moves it."""

    async def body(driven: Driven) -> None:
        await driven.press("d", "4", "1", *"23 May")
        assert "It would be after the Regatta" in " ".join(_text(driven).split())
        await driven.press("enter")
        assert driven.screen == "DelayDialog"
        assert "Enter again moves it all the same." in " ".join(_text(driven).split())
        assert read_project(path).ensembles[0].occasions[0].at.day == 8
        await driven.press("enter")
        assert driven.screen == "RunUp"

    drive(body, path=path, now=MONDAY)
    assert read_project(path).ensembles[0].occasions[0].at == datetime(2027, 5, 23, 14)


def test_a_long_name_is_told_whole_and_what_may_be_typed_too(path: Path) -> None:
    """At 80 columns neither is cut: the name has a line of its own, the help stands beneath."""
    name = "Bodice and stays on the body, with Hanne, at the ferry house"
    file = next(path.glob("ferry*.toml"))
    file.write_text(file.read_text().replace('name = "Body fitting"', f'name = "{name}"'))

    async def body(driven: Driven) -> None:
        await driven.press("d", "4", "1")
        assert name in _text(driven) and "Moves to: Sunday 9 May" in _text(driven)
        await driven.press("backspace")
        assert "The day, and the time where that changes too: Sunday, 9 May 16:00." in _text(driven)

    drive(body, path=path, now=MONDAY)


@pytest.mark.parametrize("screen", ["u", "g", "h", "l"])
def test_each_is_found_by_its_plain_words(path: Path, screen: str) -> None:
    """From any screen, whatever its letters do there; the dialog goes straight to it."""
    found = {
        "nothing done": "tonight", "away until": "away", "delivery": "delivery",
        "occasion moves": "occasion", "helper": "helper", "spread out": "afresh",
    }  # fmt: skip

    async def body(driven: Driven) -> None:
        await driven.press(screen)
        for words, what in found.items():
            await driven.press("ctrl+p", *words, "enter")
            dialog = driven.app.screen
            assert isinstance(dialog, DelayDialog), (words, driven.text())
            assert dialog.asking is not None and dialog.asking.what == what
            await driven.press("escape")

    drive(body, path=path, now=MONDAY)
