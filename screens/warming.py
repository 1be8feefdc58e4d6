"""Making the other screens ready while nobody waits, so that the first way to each is short."""

from __future__ import annotations

from asyncio import sleep
from typing import TYPE_CHECKING

from screens.entering import BETWEEN as BETWEEN_WORKROOMS
from screens.registry import SCREENS
from screens.showing import ShowsState

if TYPE_CHECKING:
    from screens.app import Wearby

FIRST, BETWEEN = 0.5, 0.2
"""Seconds before the first screen is made ready, and between two."""


def warm(program: Wearby) -> None:
    """Import the screens beside the one that is shown; their looks are read when that is done."""

    def imported() -> None:
        made = [one.make() for one in SCREENS]
        program.call_from_thread(_read_looks, program, made)

    program.run_worker(imported, thread=True, group="warm", exit_on_error=False)
    program.run_worker(_mounted(program), group="warm", exit_on_error=False)


async def _mounted(program: Wearby) -> None:
    """Mount the screens one by one, with time for keys between them."""
    await sleep(FIRST)
    for one in SCREENS:
        await sleep(BETWEEN)
        # those of another workroom come in their place while it is entered
        known = one.name in program._modes and BETWEEN_WORKROOMS not in program._modes
        if known and one.name not in program._screen_stacks:
            await program._init_mode(one.name)


def _read_looks(program: Wearby, screens: list[ShowsState]) -> None:
    """Read all their stylesheets at once: read one by one each would be read with all others."""
    sheet = program.stylesheet
    paths = [path for screen in screens for path in screen.css_path]
    fresh = [path for path in dict.fromkeys(paths) if not sheet.has_source(str(path), "")]
    for path in fresh:
        sheet.read(path)
    if fresh:
        sheet.reparse()
