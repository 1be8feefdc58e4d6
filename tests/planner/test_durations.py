"""Durations, waits, margins, shares and days as the maker writes them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planner.durations import (
    parse_days,
    parse_duration,
    parse_margin,
    parse_share,
    parse_wait,
)
from planner.model import Margin, Wait


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("1h30", 90),
        ("1h30m", 90),
        ("1h05", 65),
        ("2h", 120),
        ("45m", 45),
        ("90m", 90),
        ("0m", 0),
        (" 1h 15m ", 75),
    ],
)
def test_durations(text: str, minutes: int) -> None:
    """Hours and minutes come as whole minutes."""
    assert parse_duration(text) == minutes


@pytest.mark.parametrize(
    ("text", "wait"),
    [
        ("1 night", Wait(nights=1)),
        ("2 nights", Wait(nights=2)),
        ("20m", Wait(minutes=20)),
        ("1h30", Wait(minutes=90)),
    ],
)
def test_waits(text: str, wait: Wait) -> None:
    """A wait is nights or time by the clock, never turned into the other."""
    assert parse_wait(text) == wait


@pytest.mark.parametrize(
    ("text", "margin"),
    [
        ("1 day", Margin(days=1)),
        ("2 days", Margin(days=2)),
        ("36h", Margin(minutes=2160)),
    ],
)
def test_margins(text: str, margin: Margin) -> None:
    """A margin is whole days or time by the clock: a day is not 24 hours."""
    assert parse_margin(text) == margin


def test_shares() -> None:
    """Per cent come as a share of one, with or without decimals."""
    assert parse_share("70%") == pytest.approx(0.7)
    assert parse_share("2.5 %") == pytest.approx(0.025)


def test_days() -> None:
    """Days are counted, one or several."""
    assert parse_days("1 day") == 1
    assert parse_days("10 days") == 10


@pytest.mark.parametrize(
    ("read", "text", "remedy"),
    [
        (parse_duration, "1.5h", '"1h30"'),
        (parse_duration, "1h75", '"1h30"'),
        (parse_duration, "90", '"45m"'),
        (parse_duration, "", '"1h30"'),
        (parse_duration, "-5m", '"45m"'),
        (parse_wait, "overnight", '"1 night"'),
        (parse_wait, "2 days", '"2 nights"'),
        (parse_margin, "1 week", '"2 days"'),
        (parse_margin, "1 night", '"1 day"'),
        (parse_share, "0.7", '"70%"'),
        (parse_days, "10", '"10 days"'),
        (parse_days, "2h", '"10 days"'),
    ],
)
def test_a_wrong_text_is_told_with_its_remedy(
    read: Callable[[str], object], text: str, remedy: str
) -> None:
    """What can't be read is quoted, with an example of what can."""
    with pytest.raises(ValueError) as raised:
        read(text)
    assert f'"{text}"' in str(raised.value)
    assert remedy in str(raised.value)
