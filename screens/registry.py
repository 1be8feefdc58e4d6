"""The screens by name: the app opens the first, the palette goes to the others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from typing import cast

from screens.showing import ShowsState


@dataclass(frozen=True, slots=True, kw_only=True)
class Registered:
    """A screen as the app and the palette know it; its module is imported when first shown."""

    name: str
    title: str
    """After "Go to"."""
    short: str
    """At its letter in the key line."""
    key: str
    """The letter that goes to it from anywhere."""
    answers: str
    """What it answers, in a few words."""
    make: Callable[[], ShowsState]


def _made(module: str, name: str) -> ShowsState:
    """A screen by its class in ``screens``, imported now."""
    return cast("ShowsState", getattr(import_module(f"screens.{module}"), name)())


SCREENS = (
    Registered(
        name="run-up",
        title="the run-up",
        short="run-up",
        key="u",
        answers="Day by day to the occasion",
        make=partial(_made, "run_up", "RunUp"),
    ),
    Registered(
        name="now",
        title="what can be done now",
        short="now",
        key="n",
        answers="What can be done this minute, and what to put in the bag tonight",
        make=partial(_made, "now", "Now"),
    ),
    Registered(
        name="before",
        title="what must be there before an occasion",
        short="before",
        key="b",
        answers="What a fitting or another occasion needs, and what can wait",
        make=partial(_made, "before", "Before"),
    ),
    Registered(
        name="hand-sewing",
        title="the hand sewing",
        short="hand",
        key="h",
        answers="Every step by hand, against the day's limit, and where it can be done",
        make=partial(_made, "handwork", "HandSewing"),
    ),
    Registered(
        name="garments",
        title="the garments",
        short="garments",
        key="g",
        answers="What is worn, in dressing order, with its steps",
        make=partial(_made, "garments", "Garments"),
    ),
    Registered(
        name="stock",
        title="the stock",
        short="stock",
        key="s",
        answers="Wanted, there, coming; what runs out, and by when to order",
        make=partial(_made, "stock", "StockShelf"),
    ),
    Registered(
        name="hours",
        title="the hours",
        short="hours",
        key="o",
        answers="The weeks ahead: all places, days away, how full each is",
        make=partial(_made, "hours", "Hours"),
    ),
    Registered(
        name="diary",
        title="the diary",
        short="diary",
        key="l",
        answers="What was done, how it is going, and how quick you are",
        make=partial(_made, "diary", "Diary"),
    ),
)
"""The first is home."""
