"""The bottom line: what fits of the keys, and clicks on it."""

from __future__ import annotations

import pytest

from screens.widgets.key_line import KeyLine, key_at
from tests.screens.conftest import Given
from tests.screens.driving import Driven, drive


@pytest.mark.parametrize("width", [40, 60, 80, 120, 160])
def test_what_fits_is_shown(given: Given, width: int) -> None:
    """No key is cut, none overlaps another, help and the palette are always there."""

    async def body(driven: Driven) -> None:
        line = driven.app.screen.query_one(KeyLine)
        placed = line.placed(width)
        ends = 0
        for begin, one in placed:
            assert begin >= ends
            ends = begin + one.width
        assert ends <= width
        assert [one.action for _, one in placed[-2:]] == ["help", "command_palette"]

    drive(body)


def test_a_click_presses_a_key(given: Given) -> None:
    """A click on a key of the line does what the key does; beside a key it does nothing."""

    async def body(driven: Driven) -> None:
        line = driven.app.screen.query_one(KeyLine)
        begin = next(
            at for at, one in line.placed(line.content_size.width) if one.action == "help"
        )
        await driven.pilot.click(KeyLine, offset=(begin, 0))
        await driven.settle()
        assert driven.screen == "RunUp"  # the gap before it
        await driven.pilot.click(KeyLine, offset=(begin + 2, 0))
        await driven.settle()
        assert driven.screen == "Help"

    drive(body)


def test_between_keys_there_is_none() -> None:
    """Where nothing stands nothing is pressed."""
    assert key_at([], 3) is None
