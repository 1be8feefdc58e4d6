"""What a program left beside the files that was killed while it saved: taken away, or set aside."""

from __future__ import annotations

import contextlib
import os
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from planner.files.backups import OURS as HIDDEN
from planner.files.backups import keep_states
from planner.files.lock import WRITING
from planner.files.saving import OURS, TEMPORARY, discard

YOUNG: Final = 60.0
"""Seconds for which one may still be on its way, of a program without the lock."""

_NAME: Final = re.compile(rf"{re.escape(OURS)}[0-9a-f]+-(.+){re.escape(TEMPORARY)}")


def clear_leftovers(folder: Path, *, young: float = YOUNG) -> None:
    """Take away what killed programs left in a workroom; to be called by the one that may write.

    What is a whole file, and says something else than the file it was for, goes to that one's
    earlier states: an editor's words may be in it. Never fails.
    """
    with contextlib.suppress(OSError):
        now = _now(folder)
        for file, target in _leftovers(folder):
            if now - file.stat().st_mtime >= young:
                _clear(file, target)


def _leftovers(folder: Path) -> Iterator[tuple[Path, Path]]:
    """What was left, with the file it was for."""
    for within in (folder, folder / "orders"):
        with contextlib.suppress(OSError):
            for name in os.listdir(within):
                if found := _NAME.fullmatch(name):
                    yield within / name, within / found[1]


def _clear(file: Path, target: Path) -> None:
    data = file.read_bytes()
    with contextlib.suppress(OSError):
        if target.suffix == ".toml" and data and data != target.read_bytes() and _is_whole(data):
            keep_states(target, file, data, None)
    discard(file)


def _is_whole(data: bytes) -> bool:
    try:
        tomllib.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        return False
    return True


def _now(folder: Path) -> float:
    """The disk's time."""
    mark = folder / HIDDEN / WRITING
    os.utime(mark)
    return mark.stat().st_mtime
