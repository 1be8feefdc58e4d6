"""The screens by name: the app opens the first, the palette goes to the others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from screens.showing import ShowsState


@dataclass(frozen=True, slots=True, kw_only=True)
class Registered:
    """A screen as the app and the palette know it; its module is imported when first shown."""

    name: str
    title: str
    """After "Go to"."""
    answers: str
    """What it answers, in a few words."""
    make: Callable[[], ShowsState]


def _run_up() -> ShowsState:
    from screens.run_up import RunUp

    return RunUp()


SCREENS = (
    Registered(
        name="run-up",
        title="the run-up",
        answers="Day by day to the occasion",
        make=_run_up,
    ),
)
"""The first is home."""
