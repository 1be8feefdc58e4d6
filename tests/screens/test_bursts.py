"""Keys that come in one burst, pasted or over a slow line: each finds done what came before it."""

import shutil
from datetime import date, datetime
from pathlib import Path

import pytest

from tests.screens.driving import Driven, drive

NOW = datetime(2027, 5, 3)


async def burst(driven: Driven, *keys: str) -> None:
    """Press keys without waiting for anything in between."""
    for key in keys:
        driven.send(key)
    await driven.settle()


def _after(tmp_path: Path, keys: tuple[str, ...], at_once: bool) -> list[str]:
    """What is drawn after keys in one burst, or after the same keys one by one."""
    shown: list[str] = []
    path = Path(shutil.copytree("tests/screens/a_workroom", tmp_path / str(at_once) / "workroom"))

    async def body(driven: Driven) -> None:
        await (burst(driven, *keys) if at_once else driven.press(*keys))
        shown.extend(driven.text())

    drive(body, path=path, now=NOW)
    return shown


@pytest.mark.parametrize(
    "keys",
    [
        ("down", "down", "a"),
        ("down", "down", "a", "enter", "enter"),
        ("down", "down", "down", "enter", "down", "f", "home", "delete"),
        ("down", "i", "down", "enter", "x", "y", "z"),
        ("n", "down", "r"),
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
    assert _after(tmp_path, keys, at_once=True) == _after(tmp_path, keys, at_once=False)


def test_a_burst_marks_the_day_away_on_which_the_cursor_is(tmp_path: Path) -> None:
    """Down, down, a, kept: not today, and not the day in between."""
    path = Path(shutil.copytree("tests/screens/a_workroom", tmp_path / "workroom"))

    async def body(driven: Driven) -> None:
        before = driven.app.session.project.workroom.changes
        await burst(driven, "down", "down", "a", "enter", "enter")
        changes = driven.app.session.project.workroom.changes
        assert [one.first for one in changes if one not in before] == [date(2027, 5, 5)]
        assert driven.day == "2027-05-05"

    drive(body, path=path, now=NOW)


def test_an_action_is_about_the_cursor_before_the_day_is_opened(tmp_path: Path) -> None:
    """What the run-up does to a day goes by the cursor, whatever is opened beneath yet."""
    path = Path(shutil.copytree("tests/screens/a_workroom", tmp_path / "workroom"))

    async def body(driven: Driven) -> None:
        driven.run_up.days.action_step(2)
        assert driven.run_up.opened.day == date(2027, 5, 3)
        assert driven.run_up.day == date(2027, 5, 5)
        driven.run_up.action_away()
        await driven.settle()
        assert driven.shows("Away from Wednesday 5 May")
        await driven.press("enter", "enter")
        assert driven.run_up.day == driven.run_up.opened.day == date(2027, 5, 5)
        assert driven.shows("Away on Wed 5 May.")

    drive(body, path=path, now=NOW)
