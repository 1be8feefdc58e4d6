"""The key that says what went wrong, the same on every screen that has it."""

from __future__ import annotations

from typing import Final

from textual.binding import Binding

DELAY: Final = Binding(
    "d",
    "app.delay",
    "delay",
    id="page.delay",
    tooltip="Say what went wrong, and see what that would move",
)
