"""What holds on every screen: help, palette, finding, the mouse, any size, files that change."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from textual import actions, events

from screens.dialogs.find_step import FindStep
from screens.dialogs.help import Help
from screens.dialogs.what_to_do import WhatToDo
from screens.page import Page
from screens.registry import SCREENS, Registered
from screens.widgets.key_line import KeyLine
from screens.widgets.lines import Lines
from screens.wording import cells
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy

SIZES = [(80, 24), (160, 50), (120, 40), (109, 24), (110, 12), (60, 16), (40, 10), (20, 5), (8, 2)]
"""From wide to what nobody works in, and back."""

each_screen = pytest.mark.parametrize("one", SCREENS, ids=lambda one: one.name)


async def shown(driven: Driven, one: Registered) -> Page:
    """A screen, come to by its letter."""
    if driven.app.current_mode != one.name:
        await driven.press(one.key)
    screen = driven.app.screen
    assert isinstance(screen, Page) and driven.app.current_mode == one.name
    return screen


def done_by(callback: Callable[[], Any]) -> tuple[str, tuple[object, ...]]:
    """Name and parameters of the action a command does."""
    given: tuple[object, ...] = ()
    while isinstance(callback, partial):
        given = (*callback.args, *given)
        callback = callback.func
    name = getattr(callback, "__name__", "").removeprefix("action_")
    if name == "run_action":  # whatever has a key and no other command
        _, name, given = actions.parse(str(given[0]))
    return name, given


@each_screen
def test_whatever_has_a_key_has_a_command(one: Registered) -> None:
    """Every key that says what it does is in the palette, and nothing is there twice."""

    async def body(driven: Driven) -> None:
        screen = await shown(driven, one)
        commands = list(driven.app.get_system_commands(screen))
        offered = [done_by(command.callback) for command in commands]
        for active in screen.active_bindings.values():
            binding = active.binding
            moves = (binding.id or "").startswith("lines.")
            types = binding.key.isdigit() or binding.key == "backspace"
            if not binding.tooltip or binding.system or moves or types or not active.enabled:
                continue
            _, name, given = actions.parse(binding.action)
            # nothing was edited yet, and the palette is what we look at
            if name not in ("undo", "redo", "command_palette"):
                assert (name, given) in offered, binding.tooltip
        titles = [command.title for command in commands]
        assert len(titles) == len(set(titles)), titles
        assert all(title[:1].isupper() for title in titles), titles

    drive(body, path=SMALL, now=MONDAY)


def test_what_a_dialog_can_do_is_in_the_palette_too(tmp_path: Path) -> None:
    """Over a form there are the form's keys, and no way past it."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "e", "ctrl+p")
        form = driven.app.asked_of
        titles = [one.title for one in driven.app.get_system_commands(form)]
        assert "Keep what stands here" in titles
        assert not any(title.startswith(("Go to", "Undo", "Open another")) for title in titles)
        await driven.press(*"close without", "enter")
        assert driven.screen == "Garments"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


@each_screen
def test_help_tells_the_keys_there_are(one: Registered) -> None:
    """Each live key with what it does, the screen's own first, and what the screen shows."""

    async def body(driven: Driven) -> None:
        screen = await shown(driven, one)
        assert screen.told_in_help
        bindings = [active.binding for active in screen.active_bindings.values() if active.enabled]
        told = {binding.tooltip for binding in bindings if not (binding.id or "").startswith("lin")}
        await driven.press("question_mark")
        dialog = driven.app.screen
        assert isinstance(dialog, Help)
        lines = ["".join(run.text for run in line.runs) for line in dialog.lines.lines]
        room = dialog.lines.scrollable_content_region.width
        assert 40 < room <= 80 and all(cells(line) <= room for line in lines)
        text = " ".join(" ".join(lines).split())
        assert text.index("On this screen") < text.index("Everywhere")
        for meaning in told - {""}:
            assert meaning in text, meaning
        for word in screen.told_in_help.split():
            assert word in text
        await driven.press("f1")
        assert driven.app.screen is screen

    drive(body, path=SMALL, now=MONDAY)


def test_f1_helps_where_a_question_mark_is_typed(tmp_path: Path) -> None:
    """In a form ? is a letter; f1 tells the form's keys, and closes them."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "e", "question_mark")
        assert driven.screen == "Form"
        await driven.press("f1")
        assert driven.screen == "Help" and driven.shows("Keep what stands here")
        await driven.press("f1")
        assert driven.screen == "Form"

    drive(body, path=a_copy(tmp_path), now=MONDAY)


@each_screen
@pytest.mark.parametrize("key", ["slash", "ctrl+f"])
def test_a_step_is_found_from_anywhere(one: Registered, key: str) -> None:
    """A few letters, enter: the run-up opens it."""

    async def body(driven: Driven) -> None:
        await shown(driven, one)
        await driven.press(key)
        assert isinstance(driven.app.screen, FindStep)
        await driven.press(*"bon", "enter")
        assert driven.screen == "RunUp"
        assert driven.shows("bones in front")
        assert driven.focus == driven.run_up.opened.id

    drive(body, path=SMALL, now=MONDAY)


@each_screen
def test_any_size_can_be_drawn(one: Registered) -> None:
    """From wide to tiny and back nothing breaks, lines keep to the width, the verdict stays on
    top."""

    async def body(driven: Driven) -> None:
        screen = await shown(driven, one)
        for width, height in [*SIZES, SIZES[0]]:
            await driven.pilot.resize_terminal(width, height)
            await driven.settle()
            lines = driven.text()
            assert len(lines) == height
            assert all(cells(line) <= width for line in lines)
            if width >= 60:
                assert lines[0].strip().startswith("Ferrywoman's")
            await driven.press("down", "pagedown", "up")
            assert driven.app.screen is screen
        assert driven.shows("? help")

    drive(body, path=SMALL, now=MONDAY)


@each_screen
def test_the_mouse_does_what_keys_do(one: Registered) -> None:
    """A click on a line goes there, the wheel scrolls, a click on a key in the last line
    presses it."""

    async def body(driven: Driven) -> None:
        screen = await shown(driven, one)
        lines = next(iter(screen.query(Lines).exclude("#problems")))
        keyed = [y for y, line in enumerate(lines.lines) if line.key is not None]
        before = lines.cursor
        y = next(y for y in reversed(keyed) if y < lines.size.height)
        # a click where the cursor stands chooses: there is but one line in an empty diary
        if lines.cursor != lines.lines[y].key:
            await driven.pilot.click(lines, offset=(6, y))
        await driven.settle()
        assert lines.cursor == lines.lines[y].key
        assert before is not None
        top = lines.scroll_offset.y
        way = events.MouseScrollDown if top < lines.max_scroll_y else events.MouseScrollUp
        await driven.pilot._post_mouse_events([way], lines, offset=(6, 1))
        await driven.settle()
        assert lines.scroll_offset.y != top or lines.max_scroll_y == 0
        key_line = screen.query_one(KeyLine)
        at = next(at for at, key in key_line.placed(key_line.size.width) if key.action == "help")
        await driven.pilot.click(KeyLine, offset=(at + 2, 0))
        await driven.settle()
        assert driven.screen == "Help"

    drive(body, (80, 16), path=SMALL, now=MONDAY)


def test_the_key_line_is_clicked_for_other_screens() -> None:
    """A click on the letter of another screen goes there."""

    async def body(driven: Driven) -> None:
        key_line = driven.app.screen.query_one(KeyLine)
        placed = key_line.placed(key_line.size.width)
        at, key = next((at, key) for at, key in placed if key.action.startswith("switch_mode"))
        await driven.pilot.click(KeyLine, offset=(at + 1, 0))
        await driven.settle()
        assert f"'{driven.app.current_mode}'" in key.action

    drive(body, (120, 40), path=SMALL, now=MONDAY)


def test_the_palette_is_asked_of_the_screen_beneath() -> None:
    """While it is open it offers what the screen beneath can do, finding steps included."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p")
        assert isinstance(driven.app.screen, WhatToDo)
        await driven.press(*"find a step", "enter")
        assert isinstance(driven.app.screen, FindStep)

    drive(body, path=SMALL, now=MONDAY)
