"""Earlier states of the maker's files: numbered, with the moment they were saved, thinned with age.

They lie in ``.wearby/backups/`` of the workroom, in a folder for each file, and hold what wearby
found before it replaced a file as well as what it wrote: an editor that saves an older text over
it loses nothing. Whatever fails here never fails a save.
"""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from planner.files.saving import discard

OURS: Final = ".wearby"
"""The folder, inside a workroom's, of all that is no maker's file."""
FOLDER: Final = "backups"
MOST_OF_AN_HOUR: Final = 120
"""States of the last hour that are kept; of more, the oldest go."""
MOST_MONTHS: Final = 36
"""Months of which a state is kept."""

_NAME: Final = re.compile(r"(\d{4,})_(\d{4}-\d\d-\d\d_\d{6})\.toml")
_MOMENT: Final = "%Y-%m-%d_%H%M%S"


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """An earlier state of a file."""

    number: int
    at: datetime
    """When it was saved, by the disk's clock."""
    path: Path


def home_of(file: Path) -> Path:
    """The folder of the workroom that a file belongs to."""
    return file.parent.parent if file.parent.name == "orders" else file.parent


def folder_of(file: Path) -> Path:
    """Where the earlier states of a file are; of an own order, in a folder of that name."""
    home = home_of(file)
    return home / OURS / FOLDER / file.relative_to(home)


def earlier_states(file: Path) -> list[Earlier]:
    """The earlier states there are of a file, the oldest first."""
    folder = folder_of(file)
    found = []
    try:
        names = os.listdir(folder)
    except OSError:
        return []
    for name in names:
        matched = _NAME.fullmatch(name)
        if matched is None:
            continue
        with contextlib.suppress(ValueError):  # a day there isn't: not ours
            at = datetime.strptime(matched[2], _MOMENT)
            found.append(Earlier(number=int(matched[1]), at=at, path=folder / name))
    return sorted(found, key=lambda one: one.number)


def keep_states(file: Path, aside: Path | None, old: bytes, new: bytes | None) -> None:
    """Keep what a file held and what it holds now; then thin out. Never fails.

    ``aside`` is the very file that was replaced; it becomes the earlier state, so that a program
    that still has it open writes into that.
    """
    try:
        _keep(file, aside, old, new)
    except OSError:
        if aside is not None:
            discard(aside)


def _keep(file: Path, aside: Path | None, old: bytes, new: bytes | None) -> None:
    states = earlier_states(file)
    folder = folder_of(file)
    folder.mkdir(parents=True, exist_ok=True)
    number = states[-1].number if states else 0
    if aside is not None:
        if states and states[-1].path.read_bytes() == old:
            _move(aside, states[-1].path, old)
        else:
            number += 1
            at = datetime.fromtimestamp(aside.stat().st_mtime)
            _move(aside, folder / _name(number, at), old)
    newest = None
    if new is not None:
        number += 1
        path = folder / f"new-{number}"
        path.write_bytes(new)
        newest = datetime.fromtimestamp(path.stat().st_mtime)
        os.replace(path, folder / _name(number, newest))
    states = earlier_states(file)
    now = newest or states[-1].at
    kept = to_keep([one.at for one in states], now)
    for one, stays in zip(states, kept, strict=True):
        if not stays:
            discard(one.path)


def _move(aside: Path, to: Path, old: bytes) -> None:
    """Move what was replaced; from another disk, where a link led there, copy it."""
    try:
        os.replace(aside, to)
    except OSError:
        to.write_bytes(old)
        discard(aside)


def _name(number: int, at: datetime) -> str:
    return f"{number:04}_{at.strftime(_MOMENT)}.toml"


def to_keep(moments: Sequence[datetime], now: datetime) -> list[bool]:
    """Which states are kept, of moments from the oldest: all of the last hour, then the last of
    each hour for a day, of each day for thirty, of each month for three years."""
    taken: set[object] = set()
    kept = []
    lately = 0
    for at in reversed(moments):
        age = now - at
        if age <= timedelta(hours=1):
            lately += 1
            kept.append(lately <= MOST_OF_AN_HOUR)
            continue
        months = (now.year - at.year) * 12 + now.month - at.month
        part: object = ("month", at.year, at.month)
        if age <= timedelta(days=1):
            part = ("hour", at.date(), at.hour)
        elif age <= timedelta(days=30):
            part = ("day", at.date())
        kept.append(part not in taken and months <= MOST_MONTHS)
        taken.add(part)
    return kept[::-1]
