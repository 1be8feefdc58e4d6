"""Driving the program in tests: open it on a plan, press keys, look at what is drawn."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path

from textual.pilot import Pilot

from screens.app import Wearby
from screens.run_up import RunUp
from tests.screens.a_plan import NOW

Body = Callable[["Driven"], Awaitable[None]]


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
        """The day under the cursor."""
        return self.run_up.days.cursor

    @property
    def screen(self) -> str:
        """What sort of screen is on top."""
        return type(self.app.screen).__name__

    @property
    def focus(self) -> str | None:
        """Id of what has the focus."""
        return self.app.focused.id if self.app.focused is not None else None

    async def press(self, *keys: str) -> None:
        """Press keys, and wait until they have had their effect."""
        await self.pilot.press(*keys)
        await self.settle()

    async def settle(self) -> None:
        """Wait for plans under way and for the screen."""
        await self.app.workers.wait_for_complete()
        await self.pilot.pause()
        await self.pilot.pause()

    def text(self) -> list[str]:
        """What is drawn, line by line."""
        strips = self.app.screen._compositor.render_strips()
        return [strip.text.rstrip() for strip in strips]

    def shows(self, text: str) -> bool:
        """Whether a line of the screen holds this text."""
        return any(text in line for line in self.text())


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
