"""The key that says what went wrong, the same on every screen, and what is meant there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from textual.binding import Binding

DELAY: Final = Binding(
    "d",
    "app.delay",
    "delay",
    id="page.delay",
    tooltip="Say what went wrong, and see what that would move",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """What is under the cursor of the screen from which it is asked."""

    day: date | None = None
    occasion: str | None = None
    """Full id."""
    stock: str | None = None
    """Full id."""
