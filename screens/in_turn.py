"""Keys one after another: each finds the screen as the key before it has left it.

A terminal may send several keys at once: a paste, a slow line, a quick hand. Handed on as they
come they would all reach what has the focus just then, though the first may open another screen
or move a cursor. So a key waits till all that the one before it brought about has been taken in:
what was told to the widgets of the screen and to the program, and a new screen that isn't there
yet. Nothing waits longer than ``LONGEST``.
"""

from __future__ import annotations

import asyncio
from collections import deque
from time import monotonic
from typing import Any

from textual import events
from textual.app import App, ScreenStackError
from textual.message_pump import MessagePump

LONGEST = 2.0
"""Seconds a key waits at most for what the one before it brings about."""
LOOK_AGAIN = 0.05
"""Seconds after which to look whether what is waited for is there at all."""
QUIET = 2
"""How often in turn everything must have been found at rest."""


class InTurn:
    """Holds keys back till it is their turn."""

    def __init__(self, app: App[Any]) -> None:
        self.app = app
        self._held: deque[events.Event] = deque()
        self._next: events.Event | None = None
        """Let go of, and on its way back to the program."""
        self._watching: asyncio.Task[None] | None = None
        """Waits for what the last key brings about."""

    @property
    def busy(self) -> bool:
        """Whether a key is still being taken in, or waits."""
        return self._watching is not None or self._next is not None or bool(self._held)

    def holds(self, event: events.Event) -> bool:
        """Whether a key, or what is pasted, is to wait; it comes back to the app by itself then."""
        if event is self._next:
            self._next = None
        elif self.busy:
            self._held.append(event)
            return True
        self._watching = asyncio.create_task(self._watch())
        return False

    async def _watch(self) -> None:
        """Let the next go once all is taken in."""
        try:
            await self._rest(monotonic() + LONGEST)
        except ScreenStackError:
            pass  # the program is closing
        finally:
            self._watching = None
            if self._held:
                self._next = self._held.popleft()
                if not self.app.post_message(self._next):
                    self._next = None
                    self._held.clear()

    async def _rest(self, until: float) -> None:
        """Wait till nothing is left to be done on the screen on top, but not for ever."""
        quiet = 0
        await _heard(self.app, until)
        while quiet < QUIET and monotonic() < until:
            screen, focused = self.app.screen, self.app.focused
            pumps = list((focused or screen).ancestors_with_self)
            for pump in pumps:
                await _heard(pump, until)
            same = self.app.screen is screen and self.app.focused is focused
            if same and self._at_rest():
                quiet += 1
            else:
                quiet = 0
                await asyncio.sleep(0.001)

    def _at_rest(self) -> bool:
        """Whether no message waits anywhere, and nothing that is to be called after drawing."""
        screen = self.app.screen
        if screen._callbacks or getattr(screen, "is_coming", False):
            return False
        return all(map(_is_quiet, (self.app, *screen.walk_children(with_self=True))))


def _is_quiet(pump: MessagePump) -> bool:
    """Whether no message waits there."""
    return (
        pump._message_queue.empty() and pump._pending_message is None and not pump._next_callbacks
    )


async def _heard(pump: MessagePump, until: float) -> None:
    """Wait till it has come through all it was told so far; not where it is no longer there."""
    there = asyncio.Event()
    if not pump.call_later(there.set):
        return
    while not there.is_set() and monotonic() < until:
        try:
            await asyncio.wait_for(there.wait(), LOOK_AGAIN)
        except TimeoutError:
            if pump._closing or pump._closed:
                return
