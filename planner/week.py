"""A week's hours as one typed line: "tue thu 19:30-21:30, sat 10:00-13:00 14:00-17:00"."""

from __future__ import annotations

import re
from itertools import groupby
from typing import Final

from planner.files.clock import format_span, parse_span
from planner.model import Span, WeekHours
from planner.nearest import nearest

_DAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LONG: Final = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
)  # fmt: skip
_SETS: Final = {"daily": range(7), "weekdays": range(5), "weekend": range(5, 7)}
_NOTHING: Final = ("", "none", "-")
_SPAN = re.compile(r"^(\d{1,2})(:\d{2})?-(\d{1,2})(:\d{2})?$")
_EXAMPLE: Final = "tue thu 19:30-21:30, sat 10:00-13:00"


def parse_week(text: str) -> WeekHours:
    """Seven days' spans of a line, Monday first.

    Days, then their hours, as often as there are different ones: "mon-fri 19:00-21:00, sat
    10:00-13:00 14:00-17:00". Days may be written out, as a range, or as "daily", "weekdays",
    "weekend"; full hours without minutes ("19-21"); hours after midnight belong to the evening
    ("22:00-01:00"). Commas are for the reader's eye. A day named again has those hours too. An
    empty line, or "none", is no hours.

    Raises ValueError with a sentence for the maker.
    """
    week: list[list[Span]] = [[] for _ in _DAYS]
    days: list[int] = []
    named: list[str] = []
    served = True
    for word in _words(text):
        if word[0].isdigit():
            if not days:
                raise ValueError(f'"{word}" is for no day: write days first, "{_EXAMPLE}"')
            for day in days:
                week[day].append(_span(word))
            served = True
        else:
            if served:
                days, named = [], []
            days += [day for day in _days(word) if day not in days]
            named.append(word)
            served = False
    if not served:
        hours = f'"{" ".join(named)} 19:30-21:30"'
        raise ValueError(f'"{" ".join(named)}" has no hours: write them behind, {hours}')
    return tuple(tuple(spans) for spans in week)


def parse_spans(text: str) -> tuple[Span, ...]:
    """The spans of one day: "19:30-21:30", "10-13 14-17", "10-13, 14-17".

    Nothing, or "none", is no hours. Raises ValueError with a sentence for the maker.
    """
    return tuple(_span(word) for word in _words(text))


def format_spans(spans: tuple[Span, ...]) -> str:
    """Spans as ``parse_spans`` reads them; "none" where there are none."""
    return " ".join(format_span(span) for span in spans) or _NOTHING[1]


def _words(text: str) -> list[str]:
    """Days and hours, each one word whatever dashes and spaces were typed."""
    text = re.sub(r"\s*[-–—−]\s*", "-", text.strip().lower())
    if text in _NOTHING:
        return []
    return [word for word in re.split(r"[\s,;]+", text) if word not in ("", "and", "&")]


def _span(word: str) -> Span:
    found = _SPAN.match(word)
    if found is None:
        raise ValueError(f'"{word}" is not a span of hours: write it as "19:30-21:30"')
    return parse_span(f"{found[1]}{found[2] or ':00'}-{found[3]}{found[4] or ':00'}")


def _days(word: str) -> list[int]:
    """The weekdays a word names, 0 for Monday."""
    if word in _SETS:
        return list(_SETS[word])
    first, dash, last = word.partition("-")
    if not dash:
        return [weekday_of(word)]
    start, end = weekday_of(first), weekday_of(last)
    return [day % 7 for day in range(start, end + 1 + (7 if end < start else 0))]


def weekday_of(word: str) -> int:
    """The weekday of a word of three letters and more: "tue", "thurs", "saturday"."""
    bare = word.rstrip(".")
    for index, name in enumerate(_LONG):
        if len(bare) >= len(_DAYS[0]) and (name.startswith(bare) or f"{name}s" == bare):
            return index
    near = nearest(bare, (*_LONG, *_SETS)) or nearest(bare, _DAYS)
    hint = f'did you mean "{near}"?' if near else f'write mon to sun and hours, "{_EXAMPLE}"'
    raise ValueError(f'"{word}" is neither a weekday nor hours: {hint}')


def format_week(week: WeekHours) -> str:
    """The shortest line that ``parse_week`` reads as this week; empty where it has no hours."""
    groups: dict[tuple[Span, ...], list[int]] = {}
    for day, spans in enumerate(week):
        if spans:
            groups.setdefault(spans, []).append(day)
    return ", ".join(
        " ".join((*_named(days), *(format_span(span) for span in spans)))
        for spans, days in groups.items()
    )


def _named(days: list[int]) -> list[str]:
    """Days in words: runs of three and more as a range, all of them as "daily"."""
    if len(days) == len(_DAYS):
        return ["daily"]
    words: list[str] = []
    for _, run in groupby(enumerate(days), key=lambda pair: pair[1] - pair[0]):
        names = [_DAYS[day] for _, day in run]
        words += names if len(names) < 3 else [f"{names[0]}-{names[-1]}"]
    return words
