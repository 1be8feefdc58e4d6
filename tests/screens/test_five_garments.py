"""An ensemble of five garments entered from nothing, by a script of keys.

In a script what stands behind "=" is typed. Of each garment the keys are counted apart from
those that type its name and its numbers; letters that look for its order count.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import pytest

from planner.catalogue.shelf import orders
from planner.files.reading import read_project
from planner.model import Garment
from planner.splitting.answers import usual
from screens.app import Wearby
from screens.beginning import beginning_at
from screens.command import main
from tests.screens.driving import Driven

NOW = datetime(2027, 2, 1, 9)
MOST_KEYS = 40
"""Keys a garment may take apart from names and numbers."""
LETTERS = "look for "
"""Before letters that look for an order: they are typed, and counted."""

BEGUN = (
    "=Lantern walk at Pebble Quay", "tab", "=lantern walk", "tab", "=19 June", "tab", "=18:00",
    "tab", "=27 March, 24 April 15:00", "tab", "=5 June", "tab", "tab", "tab",
    "=tue thu 19:00-22:00, sat sun 10:00-13:00 14:00-18:00", "tab", "=mon wed fri 20:30-22:00",
    "tab", "=mon-fri 8:00-8:40", "tab", "=sat 14:00-18:00", "ctrl+s",
)  # fmt: skip

FIVE: dict[str, tuple[str, ...]] = {
    # the first is asked for as soon as the workroom is there
    "shift": (
        "look for shift", "enter", "=Linen shift", "tab", "tab", "=2.4 m", "tab", "=1.1 m", "tab",
        "=84 cm", "tab", "tab", "tab", "right", "ctrl+s",
    ),
    "stays": (
        "a", "look for stays", "enter", "=Blue stays", "tab", "tab", "=12", "tab", "=36", "tab",
        "=30 cm", "tab", "tab", "tab", "tab", "right", "ctrl+s",
    ),
    "petticoat": (
        "a", "look for petti", "enter", "=Madder petticoat", "tab", "tab", "=4", "tab", "=98 cm",
        "tab", "=3.6 m", "tab", "=74 cm", "tab", "tab", "tab", "right", "ctrl+s",
    ),
    "jacket": (
        "a", "look for jack", "enter", "=Short jacket", "tab", "tab", "=8", "tab", "=52 cm", "tab",
        "=58 cm", "tab", "tab", "=0", "tab", "=9", "tab", "right", "ctrl+s",
    ),
    "hat": (
        "a", "look for hat", "enter", "=Straw hat", "tab", "tab", "=56 cm", "tab", "=1.3 m", "tab",
        "=2 m", "tab", "=2", "tab", "tab", "right", "tab", "tab", "right", "ctrl+s",
    ),
}  # fmt: skip


def pressed(script: Sequence[str]) -> list[str]:
    """The keys of a script."""
    keys: list[str] = []
    for token in script:
        if token.startswith("="):
            keys += token[1:]
        elif token.startswith(LETTERS):
            keys += token.removeprefix(LETTERS)
        else:
            keys.append(token)
    return keys


def counted(script: Sequence[str]) -> int:
    """How many of them type neither a name nor a number."""
    return len(pressed([token for token in script if not token.startswith("=")]))


def enter(folder: Path) -> None:
    """Begin the workroom, and enter the garments."""

    async def run() -> None:
        app = Wearby(folder, lambda: NOW, beginning_at(folder, NOW))
        async with app.run_test(size=(80, 24)) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            await driven.press(*pressed(BEGUN))
            for script in FIVE.values():
                await driven.press(*pressed(script))
                assert driven.screen == "Garments", driven.text()

    asyncio.run(run())


def differing(garment: Garment) -> tuple[int, int]:
    """How many measurements and choices are not the usual ones."""
    as_usual = usual(orders()[garment.kind or ""], garment.source)
    measured = [n for n, q in as_usual.measurements.items() if garment.measurements.get(n, q) != q]
    chosen = [n for n, o in as_usual.choices.items() if garment.choices.get(n, o) != o]
    return len(measured), len(chosen)


def test_five_garments_from_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Five garments, each with three measurements and a choice of its own, in few keys."""
    folder = tmp_path / "new" / "workroom"
    enter(folder)
    keys = {kind: counted(script) for kind, script in FIVE.items()}
    with capsys.disabled():
        print(f"\nbeginning: {counted(BEGUN)} keys; garments: {keys}; allowed: {MOST_KEYS}")
    assert max(keys.values()) <= MOST_KEYS
    ensemble = read_project(folder).ensembles[0]
    garments = {one.kind: one for one in ensemble.garments}
    assert set(FIVE) <= set(garments) and len(ensemble.garments) == len(FIVE) + 1
    for kind in FIVE:
        measured, chosen = differing(garments[kind])
        assert measured >= 3 and chosen >= 1, (kind, measured, chosen)
    assert garments["shift"].name == "Linen shift"
    assert main(["plan", str(folder), "--now", "2027-02-01T09:00"]) in (0, 1)
    assert "Fits" in capsys.readouterr().out
