"""The help read by keys alone, also where the terminal is low."""

from __future__ import annotations

from pathlib import Path

import pytest

from screens.dialogs.help import Help
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, a_copy

LOW = [(80, 24), (60, 12)]


@pytest.mark.parametrize("size", LOW, ids=str)
def test_every_line_is_reached_by_keys(tmp_path: Path, size: tuple[int, int]) -> None:
    """Page after page each line is seen; a sign says how much there is beneath, till there is
    nothing."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "question_mark")
        assert isinstance(driven.app.screen, Help)
        lines = driven.app.screen.lines
        more = lines.beneath
        assert more > 0
        assert driven.shows(f"{more} more lines beneath: down, page down, end")
        seen = set(driven.text())
        for _ in range(9):
            await driven.press("pagedown")
            seen |= set(driven.text())
        assert lines.beneath == 0
        assert driven.shows("esc closes") and not driven.shows("beneath:")
        drawn = "\n".join(seen)
        for line in lines.lines:
            assert "".join(run.text for run in line.runs).rstrip() in drawn

    drive(body, size, a_copy(tmp_path), MONDAY)


def test_by_lines_and_to_its_ends(tmp_path: Path) -> None:
    """Down and up go line by line, end and home to the ends, page up back."""

    async def body(driven: Driven) -> None:
        await driven.press("g", "question_mark")
        assert isinstance(driven.app.screen, Help)
        lines = driven.app.screen.lines
        more = lines.beneath
        await driven.press("down")
        assert lines.beneath == more - 1
        await driven.press("up")
        assert lines.beneath == more
        await driven.press("end")
        assert lines.beneath == 0
        await driven.press("pageup")
        assert lines.beneath > 0
        await driven.press("home")
        assert lines.beneath == more
        await driven.press("escape")
        assert driven.screen == "Garments"

    drive(body, (60, 12), a_copy(tmp_path), MONDAY)
