"""The contributors' guide says of every word at a key, in the palette and on the command line
where it comes from."""

from __future__ import annotations

import argparse
import inspect
import pkgutil
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest
from textual.binding import Binding
from textual.dom import DOMNode

import screens
from screens import arguments
from screens.app import Wearby
from screens.registry import SCREENS, Registered
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL

GUIDE = Path("DEVELOPERS.md")
SOURCES = (
    "trade",
    "standard",
    "literature",
    "habit",
    "plain words",
    "plain word",
    "own",
    "typography",
)


def _table() -> list[tuple[str, str, str]]:
    """The rows of "Words and marks": what, words, where from."""
    text = GUIDE.read_text(encoding="utf-8").split("## Words and marks")[1].split("\n## ")[0]
    rows = [line.strip().strip("|").split(" | ") for line in text.splitlines() if line[:1] == "|"]
    return [(row[0].strip(), row[1].strip(), row[2].strip()) for row in rows[2:]]


def _phrases() -> set[str]:
    """Every phrase of the table, as it stands between commas and semicolons."""
    return {
        phrase.strip(" `")
        for _, words, _ in _table()
        for phrase in re.split(r"[,;]|\band\b|\(.*?\)", words)
    } | {phrase.strip(" `") for _, words, _ in _table() for phrase in re.split(r"[,;]", words)}


def _bindings() -> Iterator[tuple[str, Binding]]:
    """Every binding of every class of ours, with the name of the class."""
    for module in pkgutil.walk_packages(screens.__path__, "screens."):
        for name, one in inspect.getmembers(import_module(module.name), inspect.isclass):
            if issubclass(one, DOMNode) and one.__module__ == module.name:
                for binding in one.__dict__.get("BINDINGS", ()):
                    assert isinstance(binding, Binding)
                    yield name, binding


def test_every_row_says_where_its_words_come_from() -> None:
    """Each row of the table has a known source."""
    rows = _table()
    assert len(rows) > 60
    for what, words, source in rows:
        assert words and any(one in source for one in (*SOURCES, "keys of the files")), what


def test_every_key_has_its_word_in_the_table() -> None:
    """What stands at a key in the last line of a screen is in the table, word for word."""
    phrases = _phrases()
    shown = {(name, one.description) for name, one in _bindings() if one.show and one.description}
    assert len(shown) > 30
    missing = sorted({f"{told} ({name})" for name, told in shown if told not in phrases})
    assert not missing, missing


@pytest.mark.parametrize("screen", SCREENS, ids=lambda one: one.name)
def test_every_command_of_the_palette_is_in_the_table(screen: Registered) -> None:
    """Each title is a phrase of the table; "..." in that stands for a name or a day."""
    phrases = _phrases()
    told = [re.escape(one).replace(re.escape("..."), ".+") for one in phrases if one != "..."]
    known = re.compile("|".join(told))

    async def body(driven: Driven) -> None:
        if driven.app.current_mode != screen.name:
            await driven.press(screen.key)
        titles = _titles(driven.app)
        assert len(titles) > 10
        missing = [one for one in titles if not known.fullmatch(one)]
        assert not missing, missing

    drive(body, path=SMALL, now=MONDAY)


def _titles(app: Wearby) -> list[str]:
    """What the palette offers, but for what only has a key: its words are the key's own."""
    commands = app.get_system_commands(app.screen)
    return [one.title for one in commands if not one.help.startswith("Key ")]


def test_commands_and_options_are_in_the_table() -> None:
    """Each command and option of the command line is in the table."""
    phrases = _phrases()
    commands = {one.name for one in arguments.COMMANDS}
    assert len(commands) > 10
    assert not sorted(commands - phrases)
    parser = arguments._parser()
    subparsers = next(one for one in parser._actions if isinstance(one, argparse._SubParsersAction))
    options = {
        option
        for one in (parser, *subparsers.choices.values())
        for action in one._actions
        for option in action.option_strings
    }
    assert len(options) > 15
    assert not sorted(options - phrases)
