"""Earlier states of a workroom's files, as they are listed to bring one back."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.files.backups import FOLDER, OURS, Earlier, earlier_states
from screens.forms.fields import Option
from screens.wording import count, named_date


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One earlier state."""

    file: Path
    """The file it is one of."""
    earlier: Earlier
    differs: int
    """Lines that only it has, or only the file as it is now."""

    @property
    def key(self) -> str:
        """What tells it from all others."""
        return str(self.earlier.path)


def states_of(folder: Path) -> list[State]:
    """All that say something else than their file does now, the newest first."""
    found = []
    for file in _files(folder):
        now = _lines(file)
        for one in earlier_states(file):
            then = _lines(one.path)
            if then is not None and then != now:
                differs = sum(((now or Counter()) - then).values())
                differs += sum((then - (now or Counter())).values())
                found.append(State(file=file, earlier=one, differs=max(1, differs)))
    return sorted(found, key=lambda one: one.earlier.at, reverse=True)


def _files(folder: Path) -> Iterator[Path]:
    """The files that have earlier states."""
    kept = folder / OURS / FOLDER
    for within in ("", "orders"):
        try:
            names = sorted(os.listdir(kept / within))
        except OSError:
            continue
        yield from (folder / within / name for name in names if name.endswith(".toml"))


def _lines(file: Path) -> Counter[bytes] | None:
    try:
        return Counter(file.read_bytes().splitlines())
    except OSError:
        return None


def as_options(states: list[State], today: date) -> list[Option]:
    """A line for each."""
    return [
        Option(
            key=one.key,
            name=f"{one.file.name}  {named_date(one.earlier.at.date(), today)}, "
            f"{one.earlier.at:%H:%M:%S}",
            told=f"{count(one.differs, 'line')} other than now",
        )
        for one in states
    ]
