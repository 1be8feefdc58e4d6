"""What is being worked out is said so: nothing older stands there as if it were the answer."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from screens import app as program
from screens.dialogs.done_before import DoneBefore
from screens.then import PLANNING
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy

EVENING = datetime(2027, 5, 3, 20)


def test_the_log_sheet_while_it_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once anything is logged there, not that nothing is."""

    async def body(driven: Driven) -> None:
        monkeypatch.setattr(type(driven.app), "preview", lambda *_, **__: 0)
        await driven.press("space", "space")
        assert driven.screen == "LogSheet"
        assert driven.shows(PLANNING) and not driven.shows("nothing is logged yet")

    drive(body, path=SMALL, now=EVENING)


def test_ticks_while_they_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once anything is ticked, not that nothing is."""

    async def body(driven: Driven) -> None:
        assert driven.app.state is not None
        monkeypatch.setattr(type(driven.app), "preview", lambda *_, **__: 0)
        driven.app.push_screen(DoneBefore(driven.app.state))
        await driven.settle()
        assert driven.shows("nothing is ticked yet")
        await driven.press("space")
        assert driven.shows(PLANNING) and not driven.shows("nothing is ticked yet")

    drive(body, path=SMALL, now=MONDAY)


def test_an_edit_says_at_once_that_it_is_planned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beneath the plan of before nothing stands longer than a blink without that."""
    waits: list[float] = []

    async def body(driven: Driven) -> None:
        app = driven.app
        real = type(app).set_timer

        def set_timer(self: object, delay: float, *given: object, **named: object) -> object:
            if "_say_planning" in repr(given):
                waits.append(delay)
            return real(app, delay, *given, **named)  # type: ignore[arg-type]

        monkeypatch.setattr(type(app), "set_timer", set_timer)
        app.edit("nothing", lambda project: project)
        await driven.settle()

    drive(body, path=a_copy(tmp_path), now=MONDAY)
    assert waits == [program.BLINK]
