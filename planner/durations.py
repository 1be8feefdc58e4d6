"""Durations, waits, margins, shares and days as the maker writes them.

Each reader takes the maker's text and raises ValueError with a sentence that says what to
write instead. Whole minutes throughout.
"""

from __future__ import annotations

import re

from planner.model import Margin, Wait

_CLOCK = re.compile(
    r"^\s*(?:(?P<hours>\d{1,4})\s*h\s*(?:(?P<rest>[0-5]?\d)\s*m?)?|(?P<minutes>\d{1,6})\s*m)\s*$"
)
_NIGHTS = re.compile(r"^\s*(\d{1,4})\s*nights?\s*$")
_DAYS = re.compile(r"^\s*(\d{1,5})\s*days?\s*$")
_SHARE = re.compile(r"^\s*(\d{1,4}(?:\.\d+)?)\s*%\s*$")

_DURATION_FORMS = 'write hours and minutes as "1h30", "2h" or "45m"'


def _clock_minutes(text: str) -> int | None:
    """Minutes of "1h30", "2h" or "45m"; None when the text is none of these."""
    found = _CLOCK.match(text)
    if found is None:
        return None
    if found["minutes"] is not None:
        return int(found["minutes"])
    return 60 * int(found["hours"]) + int(found["rest"] or 0)


def parse_duration(text: str) -> int:
    """Read "1h30", "1h30m", "45m" or "2h" as minutes (0 and more).

    Raises ValueError with a sentence for the maker when the text is none of these.
    """
    minutes = _clock_minutes(text)
    if minutes is None:
        raise ValueError(f'"{text}" is not a duration: {_DURATION_FORMS}')
    return minutes


def parse_wait(text: str) -> Wait:
    """Read "1 night", "2 nights", "2h" or "20m".

    Raises ValueError with a sentence for the maker when the text is none of these.
    """
    nights = _NIGHTS.match(text)
    if nights is not None:
        return Wait(nights=int(nights[1]))
    minutes = _clock_minutes(text)
    if minutes is None:
        raise ValueError(
            f'"{text}" is not a wait: write nights as "1 night" or "2 nights", '
            'or time by the clock as "20m" or "2h"'
        )
    return Wait(minutes=minutes)


def parse_margin(text: str) -> Margin:
    """Read "1 day", "2 days" (whole days kept free) or "3h" (by the clock).

    Raises ValueError with a sentence for the maker when the text is none of these.
    """
    days = _DAYS.match(text)
    if days is not None:
        return Margin(days=int(days[1]))
    minutes = _clock_minutes(text)
    if minutes is None:
        raise ValueError(
            f'"{text}" is not a margin: write whole days as "1 day" or "2 days", '
            'or time by the clock as "3h"'
        )
    return Margin(minutes=minutes)


def parse_share(text: str) -> float:
    """Read "70%" as 0.7, "5%" as 0.05.

    Raises ValueError with a sentence for the maker when the text has no per cent sign.
    """
    found = _SHARE.match(text)
    if found is None:
        raise ValueError(f'"{text}" is not a share: write it in per cent, as "70%"')
    return float(found[1]) / 100


def parse_days(text: str) -> int:
    """Read "10 days" or "1 day" as a number of days.

    Raises ValueError with a sentence for the maker when the text is neither.
    """
    found = _DAYS.match(text)
    if found is None:
        raise ValueError(f'"{text}" is not a number of days: write it as "10 days"')
    return int(found[1])
