"""Driving the program in tests: open it on a plan, press keys, look at what is drawn."""

from __future__ import annotations

import asyncio
import unicodedata
from collections.abc import Awaitable, Callable, Iterator
from datetime import datetime
from pathlib import Path

from textual import events
from textual.keys import REPLACED_KEYS, _character_to_key, _get_unicode_name_from_key
from textual.pilot import Pilot
from textual.worker import Worker

from screens.app import Wearby
from screens.run_up import RunUp
from tests.screens.a_plan import NOW

Body = Callable[["Driven"], Awaitable[None]]

ROUNDS = 500
"""How often what one message brings about may bring about another, which is drawn."""

KEY_UNDER_WAY = 0.0005
"""Seconds after which to look again whether a key has had its effect."""
HELD_BACK = 0.005
"""Seconds after which to look again whether the screen may be drawn."""


class Driven:
    """The program as a test holds it."""

    def __init__(self, app: Wearby, pilot: Pilot[int]) -> None:
        self.app = app
        self.pilot = pilot

    @property
    def run_up(self) -> RunUp:
        """The home screen."""
        home = self.app.screen_stack[0]
        assert isinstance(home, RunUp)
        return home

    @property
    def day(self) -> str | None:
        """The day under the cursor, or that of the occasion there."""
        day = self.run_up.days.day
        return day.isoformat() if day is not None else None

    @property
    def screen(self) -> str:
        """What sort of screen is on top."""
        return type(self.app.screen).__name__

    @property
    def focus(self) -> str | None:
        """Id of what has the focus."""
        return self.app.focused.id if self.app.focused is not None else None

    async def press(self, *keys: str) -> None:
        """Press keys, and wait until they have had their effect.

        Each key finds the screen quiet, with an edit planned and what is read beside the screen
        there; previews are waited for at the end only. (The pilot's own ``press`` waits at each
        key for the whole process to be idle.)
        """
        for key in keys:
            self.send(key)
            await self.take_in()
            while awaited := list(self._awaited()):
                await self.app.workers.wait_for_complete(awaited)
                await self.take_in()
        await self.settle()

    def send(self, key: str) -> None:
        """Press a key, and wait for nothing."""
        driver = self.app._driver
        assert driver is not None
        driver.send_message(_event(key, self.app))

    async def take_in(self) -> None:
        """Wait until nothing that was told to the screen, or comes of it, is left to do."""
        quiet = 0
        for _ in range(ROUNDS):
            while self.app.in_turn.busy and not self.app._exit:
                await asyncio.sleep(KEY_UNDER_WAY)
            await self.pilot._wait_for_screen()
            # messages on their way from a thread, and from one widget to another
            await asyncio.sleep(0 if not self.app._batch_count else HELD_BACK)
            quiet = quiet + 1 if self._is_quiet() else 0
            if quiet == 2 or self.app._exit or self.app._exception is not None:
                return
            self.app.screen._on_timer_update()
        raise AssertionError("the screen never comes to rest")

    async def settle(self) -> None:
        """Wait for plans and previews under way, and for the screen."""
        await self.take_in()
        while any(one.is_running for one in self.app.workers):
            await self.app.workers.wait_for_complete()
            await self.take_in()

    def _awaited(self) -> Iterator[Worker[object]]:
        """What is worked out beside the screen, but for previews."""
        return (one for one in self.app.workers if one.group != "preview" and one.is_running)

    def _is_quiet(self) -> bool:
        """Whether no message waits, and nothing is left to be laid out, drawn, or called then."""
        screen = self.app.screen
        pumps = [self.app, *self.app.screen_stack, *screen.walk_children()]
        if any(
            pump._next_callbacks
            or pump._pending_message is not None
            or not pump._message_queue.empty()
            for pump in pumps
        ):
            return False
        if self.app._batch_count:
            # the first picture is held back till there is a plan, others for a blink
            return any(one.is_running for one in self.app.workers)
        if screen._callbacks or screen._layout_required or screen._scroll_required:
            return False
        return not (screen._repaint_required or screen._recompose_required or screen._dirty_widgets)

    def text(self) -> list[str]:
        """What is drawn, line by line."""
        strips = self.app.screen._compositor.render_strips()
        return [strip.text.rstrip() for strip in strips]

    def shows(self, text: str) -> bool:
        """Whether a line of the screen holds this text."""
        return any(text in line for line in self.text())


def _event(key: str, app: Wearby) -> events.Key:
    """The event of a key by its name, or of a letter that is typed."""
    name = _character_to_key(key) if len(key) == 1 and not key.isalnum() else key
    original = REPLACED_KEYS.get(name, name)
    try:
        letter: str | None = unicodedata.lookup(_get_unicode_name_from_key(original))
    except KeyError:
        letter = name if len(name) == 1 else None
    event = events.Key(name, letter)
    event.set_sender(app)
    return event


def drive(
    body: Body, size: tuple[int, int] = (80, 24), path: Path | None = None, now: datetime = NOW
) -> None:
    """Open the program, wait for its first plan, and run ``body`` on it."""

    async def run() -> None:
        app = Wearby(path or Path("tests/screens"), lambda: now)
        async with app.run_test(size=size) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            await body(driven)

    asyncio.run(run())
