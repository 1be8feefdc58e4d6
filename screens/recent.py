"""The workrooms opened lately, kept in a small file of the maker's own state."""

from __future__ import annotations

import contextlib
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from planner.files.saving import save_atomically
from planner.plan import Plan
from planner.problems import InputError
from screens.verdict import goal
from screens.wording import clean, count, occasion_name

MOST = 9
"""As many as there are digits to choose one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recent:
    """A workroom that was opened."""

    path: Path
    """Its folder, or the file of the ensemble that was opened alone."""
    name: str = ""
    """What is made in it."""
    occasion: str = ""
    """What that is for; empty where nothing was ahead."""
    on: date | None = None
    """The day of the occasion."""
    as_of: date | None = None
    """The day it is looked at from, where that isn't the day one looks: a sample's own."""


def recent_file() -> Path:
    """Where they are kept: the platform's folder for a program's state."""
    from platformdirs import user_state_path

    return user_state_path("wearby", appauthor=False) / "recent.toml"


def as_opened(path: Path, plan: Plan, as_of: date | None = None) -> Recent:
    """A workroom that has just been opened, as it will be listed."""
    ensembles = [clean(name) for ident, name in plan.names.items() if "/" not in ident]
    several = count(len(ensembles), "ensemble") if ensembles else ""
    occasion = goal(plan)
    return Recent(
        path=path.resolve(),
        name=ensembles[0] if len(ensembles) == 1 else several,
        occasion=occasion_name(occasion) if occasion is not None else "",
        on=occasion.at.date() if occasion is not None else None,
        as_of=as_of,
    )


class RecentWorkrooms:
    """The list in its file. A file that is missing, broken or can't be written hurts nothing."""

    def __init__(self, file: Path) -> None:
        self.file = file

    def read(self) -> tuple[Recent, ...]:
        """The workrooms, the last opened first; at most nine."""
        try:
            found = tomllib.loads(self.file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return ()
        listed = found.get("workroom")
        if not isinstance(listed, list):
            return ()
        read = [_read(one) for one in listed if isinstance(one, dict)]
        return tuple(one for one in read if one is not None)[:MOST]

    def remember(self, opened: Recent) -> None:
        """Put a workroom first, once."""
        rest = [one for one in self.read() if one.path != opened.path]
        self._write([opened, *rest][:MOST])

    def without_vanished(self) -> tuple[tuple[Recent, ...], tuple[Recent, ...]]:
        """The workrooms that are there, and those that no longer are, which are forgotten."""
        listed = self.read()
        there = tuple(one for one in listed if _exists(one.path))
        gone = tuple(one for one in listed if one not in there)
        if gone:
            self._write(there)
        return there, gone

    def _write(self, listed: Sequence[Recent]) -> None:
        import tomlkit

        document = tomlkit.document()
        document.add(tomlkit.comment("The workrooms opened lately; wearby writes this itself."))
        tables = tomlkit.aot()
        for one in listed:
            table = tomlkit.table()
            table.update(_written(one))
            tables.append(table)
        document["workroom"] = tables
        # what can't be kept is only a convenience
        with contextlib.suppress(OSError, InputError):
            self.file.parent.mkdir(parents=True, exist_ok=True)
            save_atomically(self.file, tomlkit.dumps(document))


def _read(table: dict[str, Any]) -> Recent | None:
    """One entry; None where it says no path."""
    path = table.get("path")
    if not isinstance(path, str) or not path or "\0" in path:
        return None
    return Recent(
        path=Path(path),
        name=_text(table.get("name")),
        occasion=_text(table.get("occasion")),
        on=_day(table.get("on")),
        as_of=_day(table.get("as_of")),
    )


def _text(value: object) -> str:
    return clean(value) if isinstance(value, str) else ""


def _day(value: object) -> date | None:
    return value if isinstance(value, date) and not isinstance(value, datetime) else None


def _written(one: Recent) -> dict[str, Any]:
    """The entry's keys as the file has them."""
    said: dict[str, Any] = {
        "path": str(one.path),
        "name": one.name,
        "occasion": one.occasion,
        "on": one.on,
        "as_of": one.as_of,
    }
    return {key: value for key, value in said.items() if value}


def _exists(path: Path) -> bool:
    """Whether it is there, as far as one may look."""
    try:
        return path.exists()
    except OSError:
        return True
