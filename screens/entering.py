"""Entering a workroom from within the program: whatever was open is left behind."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.screen import Screen

from screens.recent import as_opened
from screens.registry import SCREENS
from screens.session import Session

if TYPE_CHECKING:
    from screens.app import Wearby

BETWEEN = "between"
"""Name of the empty mode that is there while the screens of one workroom give way."""


def standing_at(day: date) -> Callable[[], datetime]:
    """A clock that always shows the beginning of a day."""
    return lambda: datetime.combine(day, time())


async def enter(
    program: Wearby, path: Path, *, as_of: date | None = None, mode: str = SCREENS[0].name
) -> None:
    """Leave what is open, and open the workroom at ``path`` on a screen.

    ``as_of`` is the day it is looked at from; None: the day of the clock one started with.
    """
    program.end_preview()
    # a plan of the other workroom that is still under way comes too late
    program.requested += 1
    program.state, program.problems, program.cursor = None, (), None
    program.beginning = None
    program.path, program.as_of = path, as_of
    program.clock = standing_at(as_of) if as_of is not None else program.started_with
    program.session.close()
    program.left_unsaved += program.session.aside.in_memory
    program.session = Session(path, program.clock)
    with program.batch_update():
        await _fresh_screens(program, mode)
    program.replan()


async def _fresh_screens(program: Wearby, mode: str) -> None:
    """Screens that have seen nothing of the other workroom."""
    program.add_mode(BETWEEN, Screen)
    await program.switch_mode(BETWEEN)
    for one in SCREENS:
        await program.remove_mode(one.name)
        program.add_mode(one.name, one.make)
    await program.switch_mode(mode)
    await program.remove_mode(BETWEEN)


def remember(program: Wearby) -> None:
    """Keep in mind that this workroom was opened, beside the screen, when its plan is there."""
    state, recent = program.state, program.recent
    if recent is None or state is None or program.remembered == program.path:
        return
    program.remembered = program.path
    opened = as_opened(program.path, state.plan, program.as_of)
    program.run_worker(
        partial(recent.remember, opened), thread=True, group="remember", exit_on_error=False
    )
