"""Long work: keys are handled while it goes on, and it is said that it does."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

from planner.files.reading import read_project
from screens import state
from screens.forms.form import Form
from screens.registry import SCREENS
from screens.warming import warm
from tests.bench.large import SIZES, write
from tests.oracle.drawn import NOW
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy


def test_keys_move_while_a_plan_is_made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """While a plan is on its way, for however long, each key is drawn, and a word says so."""
    come = threading.Event()
    read = state.read_and_plan
    calls: list[datetime] = []

    def slow(
        path: Path, now: datetime, *, thorough: bool = True, **more: Any
    ) -> state.State:
        calls.append(now)
        if len(calls) > 1:
            assert come.wait(20)
        return read(path, now, thorough=thorough, **more)

    monkeypatch.setattr(state, "read_and_plan", slow)
    monkeypatch.setattr("screens.app.SLOW", 0.01)

    async def body(driven: Driven) -> None:
        app = driven.app
        assert not driven.shows("planning …")
        app.replan()
        await _until(lambda: driven.shows("planning …"), driven)
        before = driven.day
        app.simulate_key("down")
        await driven.take_in()
        assert driven.day != before
        app.simulate_key("g")
        await driven.take_in()
        assert driven.screen == "Garments"
        come.set()
        await driven.settle()
        assert not driven.shows("planning …")

    drive(body, path=a_copy(tmp_path), now=MONDAY)


def test_a_thousand_steps_keep_no_key_waiting(tmp_path: Path) -> None:
    """While a plan of a thousand steps is made, keys are handled long before it is there."""
    path = write(tmp_path, SIZES[0], 1)
    waits: list[float] = []
    planning: list[bool] = []

    async def body(driven: Driven) -> None:
        app = driven.app
        app.replan()
        number = app.requested
        while app.answered < number:
            before = monotonic()
            app.simulate_key("down")
            await driven.take_in()
            waits.append(monotonic() - before)
            planning.append(app.answered < number)

    drive(body, path=path, now=NOW)
    # at least one was wholly within the time of planning; how long each took the bench tells
    assert any(planning)
    assert len(waits) >= 2


def test_a_file_changed_on_disk_is_noticed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Nobody asks for it: a little later the plan follows; an open form keeps what was typed, and
    says what the files say now before it writes over that."""
    monkeypatch.setattr("screens.app.LOOK_EVERY", 0.05)
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"

    def edit(old: str, new: str) -> None:
        text = file.read_text(encoding="utf-8")
        assert old in text
        file.write_text(text.replace(old, new, 1), encoding="utf-8")

    async def body(driven: Driven) -> None:
        edit("Ferrywoman's Sunday clothes", "Ferrywoman's Monday clothes")
        await _until(lambda: driven.shows("Ferrywoman's Monday clothes"), driven)
        await driven.press("g", "e", "end", *" of linen")
        form = driven.app.screen
        assert isinstance(form, Form) and form.texts["name"] == "Stays of linen"
        edit('name = "Stays"', 'name = "Stays, boned"')
        await _until(lambda: bool(form.meanwhile.now), driven)
        assert form.texts["name"] == "Stays of linen"
        await driven.press("ctrl+s")
        assert driven.app.screen is form
        assert driven.shows("The file says “Stays, boned” now; ^s again keeps yours.")
        await driven.press("ctrl+s")
        assert driven.screen == "Garments"
        names = [one.name for one in read_project(path).ensembles[0].garments]
        assert "Stays of linen" in names

    drive(body, path=path, now=MONDAY)


def test_a_file_that_is_broken_on_disk_is_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Where it is and what to mend; mended, the plan is there again."""
    monkeypatch.setattr("screens.app.LOOK_EVERY", 0.05)
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    whole = file.read_text(encoding="utf-8")

    async def body(driven: Driven) -> None:
        file.write_text(whole + "\n[[", encoding="utf-8")
        await _until(lambda: driven.shows("to mend in the files"), driven)
        file.write_text(whole, encoding="utf-8")
        await _until(lambda: not driven.shows("to mend in the files"), driven)
        assert driven.shows("Regatta")

    drive(body, path=path, now=MONDAY)


def test_the_other_screens_are_made_ready_meanwhile(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody goes to them, and they are there; going to one shows it as it would have been."""
    monkeypatch.setattr("screens.warming.FIRST", 0.0)
    monkeypatch.setattr("screens.warming.BETWEEN", 0.0)
    drawn: list[list[str]] = []

    async def went(driven: Driven) -> None:
        drawn.append(driven.text())
        for one in SCREENS[1:]:
            await driven.press(one.key)
            drawn.append(driven.text())

    async def ready(driven: Driven) -> None:
        warm(driven.app)
        names = {one.name for one in SCREENS}
        await _until(lambda: names <= set(driven.app._screen_stacks), driven)
        await driven.settle()
        await went(driven)

    drive(went, path=SMALL, now=MONDAY)
    cold = drawn.copy()
    drawn.clear()
    drive(ready, path=SMALL, now=MONDAY)
    assert drawn == cold
    assert len(cold) == len(SCREENS)


async def _until(holds: Callable[[], bool], driven: Driven, seconds: float = 15.0) -> None:
    """Wait till something holds."""
    begun = monotonic()
    while not holds():
        assert monotonic() - begun < seconds, driven.text()
        await asyncio.sleep(0.02)
        await driven.take_in()
