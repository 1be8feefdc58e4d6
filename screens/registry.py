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
    key: str
    """The letter that goes to it from anywhere."""
    answers: str
    """What it answers, in a few words."""
    make: Callable[[], ShowsState]


def _run_up() -> ShowsState:
    from screens.run_up import RunUp

    return RunUp()


def _garments() -> ShowsState:
    from screens.garments import Garments

    return Garments()


SCREENS = (
    Registered(
        name="run-up",
        title="the run-up",
        key="u",
        answers="Day by day to the occasion",
        make=_run_up,
    ),
    Registered(
        name="garments",
        title="the garments",
        key="g",
        answers="What is worn, in dressing order, with its steps",
        make=_garments,
    ),
)
"""The first is home."""
