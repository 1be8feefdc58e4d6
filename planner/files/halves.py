"""An edit of several files that a program was killed amid: the next one finishes it.

Between changing one file and the next there is a moment in which an edit is there by half. What
is to take whose place is noted before, in ``.wearby/unfinished.toml``, and struck out after; all
texts are on the disk by then. The note isn't synced: it is for killed programs, not for power cuts.
"""

from __future__ import annotations

import contextlib
import hashlib
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from planner.files.backups import OURS, keep_states
from planner.files.rendering import render_value
from planner.files.saving import discard
from planner.files.swapping import put_new, swap

NOTE: Final = "unfinished.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One file of an edit."""

    path: Path
    """Its own path."""
    target: Path
    """The file behind the links."""
    temporary: Path | None
    """What is to take its place; None: it is to go."""
    old: str
    """The sum of what it holds; empty: there is none."""
    new: str
    """The sum of what it is to hold."""


def sum_of(data: bytes | None) -> str:
    """What tells one content from another; empty of none."""
    return "" if data is None else hashlib.sha256(data).hexdigest()


@contextmanager
def noted(folder: Path, parts: Sequence[Part]) -> Iterator[None]:
    """While files change places, have it noted which; a single one needs no note."""
    note = folder / OURS / NOTE
    notes = len(parts) > 1 and note.parent.is_dir()
    if notes:
        # a name that is no text can't be noted
        with contextlib.suppress(OSError, ValueError):
            note.write_text("\n".join(_lines(part) for part in parts), encoding="utf-8")
    try:
        yield
    finally:
        if notes:
            discard(note)


def _lines(part: Part) -> str:
    said = {
        "path": str(part.path),
        "target": str(part.target),
        "temporary": str(part.temporary or ""),
        "old": part.old,
        "new": part.new,
    }
    lines = [f"{key} = {render_value(value)}" for key, value in said.items()]
    return "\n".join(["[[part]]", *lines]) + "\n"


def finish(folder: Path) -> None:
    """Finish what was begun, where a part of it is done; to be called by the one that may write.

    A file that somebody has changed since stays as it is. Never fails.
    """
    note = folder / OURS / NOTE
    try:
        found = tomllib.loads(note.read_text(encoding="utf-8"))
        parts = [_part(one) for one in found["part"]]
    except FileNotFoundError:
        return
    except (OSError, ValueError, KeyError, TypeError):
        discard(note)
        return
    with contextlib.suppress(OSError):
        if any(_sum(part.target) == part.new for part in parts):
            for part in parts:
                _finish(part)
    discard(note)


def _part(said: dict[str, str]) -> Part:
    return Part(
        path=Path(said["path"]),
        target=Path(said["target"]),
        temporary=Path(said["temporary"]) if said["temporary"] else None,
        old=said["old"],
        new=said["new"],
    )


def _finish(part: Part) -> None:
    """Have one file say what it is to, if it says what it did."""
    if part.old == part.new or _sum(part.target) != part.old:
        return
    old = _content(part.target)
    if part.temporary is None:
        keep_states(part.path, None, b"", old)
        discard(part.target)
        return
    new = _content(part.temporary)
    if sum_of(new) != part.new:
        return
    if old is None:
        put_new(part.temporary, part.target)
    else:
        swap(part.temporary, part.target)
        keep_states(part.path, part.temporary, old, new)


def _sum(path: Path) -> str:
    return sum_of(_content(path))


def _content(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None
