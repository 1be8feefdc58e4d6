"""Earlier states of a workroom's files, as they are listed to bring one back."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from planner.files.backups import FOLDER, OURS, Earlier, earlier_states
from screens.forms.fields import Option
from screens.wording import clean, count, short_date

PARTS: Final = {b"[[entry]]": ("entry", "entries"), b"[[garment.step]]": ("step", "steps")}
"""Headings whose number says most about a file, with what they head."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One earlier state."""

    file: Path
    """The file it is one of."""
    earlier: Earlier
    comes: tuple[str, ...]
    """Lines that only it has: they would come back."""
    goes: tuple[str, ...]
    """Lines that only the file as it is now has: they would go."""
    differs: str
    """How it differs, in a few words."""

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return str(self.earlier.path)


def states_of(folder: Path) -> list[State]:
    """All that say something else than their file does now, the newest first."""
    found = []
    for file in _files(folder):
        now = _lines(file) or []
        for one in earlier_states(file):
            then = _lines(one.path)
            if then is not None and then != now:
                found.append(
                    State(
                        file=file,
                        earlier=one,
                        comes=_only_in(then, now),
                        goes=_only_in(now, then),
                        differs=_differs(then, now),
                    )
                )
    return sorted(found, key=lambda one: (one.earlier.at, one.earlier.number), reverse=True)


def _differs(then: list[bytes], now: list[bytes]) -> str:
    """ "3 entries fewer than now", "4 lines other than now"."""
    was, is_now = Counter(map(bytes.strip, then)), Counter(map(bytes.strip, now))
    for heading, (one, many) in PARTS.items():
        if number := was[heading] - is_now[heading]:
            how = "more" if number > 0 else "fewer"
            return f"{count(abs(number), one, many)} {how} than now"
    number = sum((was - is_now).values()) + sum((is_now - was).values())
    return f"{count(number, 'line')} other than now" if number else "lines in another order"


def _only_in(these: list[bytes], those: list[bytes]) -> tuple[str, ...]:
    """The lines of the first that the second hasn't, or has less often; empty ones aside."""
    there = Counter(map(bytes.strip, those))
    found = []
    for line in map(bytes.strip, these):
        if there[line]:
            there[line] -= 1
        elif line and line not in PARTS:
            found.append(line.decode("utf-8", "replace"))
    return tuple(found)


def _files(folder: Path) -> Iterator[Path]:
    """The files that have earlier states."""
    kept = folder / OURS / FOLDER
    for within in ("", "orders"):
        try:
            names = sorted(os.listdir(kept / within))
        except OSError:
            continue
        yield from (folder / within / name for name in names if name.endswith(".toml"))


def _lines(file: Path) -> list[bytes] | None:
    try:
        return file.read_bytes().splitlines()
    except OSError:
        return None


def moment_of(one: State, today: date) -> str:
    """ "today      19:40:12", "Sat  1 May  19:40:12": of one width, to tell states apart."""
    day = one.earlier.at.date()
    told = "today" if day == today else short_date(day)
    year = f" {day.year}" if day.year != today.year else ""
    return f"{told:<10}{year} {one.earlier.at:%H:%M:%S}"


def as_options(states: list[State], today: date) -> list[Option]:
    """A line for each."""
    return [
        Option(
            key=one.key, name=f"{moment_of(one, today)}  {one.file.name}", told=one.differs
        )
        for one in states
    ]


def look_at(one: State) -> tuple[str, str]:
    """What would come back and what would go, each on a line."""
    return _told("Comes back", one.comes), _told("Goes", one.goes)


def _told(what: str, lines: tuple[str, ...]) -> str:
    return f"{what}: {'; '.join(map(clean, lines)) or 'nothing'}"
