"""Making the other screens ready while nobody waits, so that the first way to each is short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from screens.registry import SCREENS
from screens.showing import ShowsState

if TYPE_CHECKING:
    from screens.app import Wearby


def warm(program: Wearby) -> None:
    """Import the screens beside the one that is shown; their looks are read when that is done."""

    def imported() -> None:
        screens = [one.make for one in SCREENS]
        made = [make() for make in screens]
        program.call_from_thread(_read_looks, program, made)

    program.run_worker(imported, thread=True, group="warm", exit_on_error=False)


def _read_looks(program: Wearby, screens: list[ShowsState]) -> None:
    """Read all their stylesheets at once: read one by one each would be read with all others."""
    sheet = program.stylesheet
    paths = [path for screen in screens for path in screen.css_path]
    fresh = [path for path in dict.fromkeys(paths) if not sheet.has_source(str(path), "")]
    for path in fresh:
        sheet.read(path)
    if fresh:
        sheet.reparse()
