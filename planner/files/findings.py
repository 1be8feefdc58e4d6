"""What reading finds: problems and warnings of one file, and how places are named."""

from __future__ import annotations

import re
from collections.abc import Iterable

import planner.nearest
from planner.model import Warned
from planner.problems import Problem

_BARE = re.compile(r"^[A-Za-z0-9_-]+$")
_SHOWN = 60


def key_path(where: str, key: str) -> str:
    """The path of ``key`` in the table at ``where``: ``garment[2].hours``, ``a."b c"``."""
    name = key if _BARE.match(key) else '"' + key.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return f"{where}.{name}" if where else name


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word nearest to a misspelt one, capitals or not; None when none is near."""
    by_lower = {k.lower(): k for k in known}
    found = planner.nearest.nearest(word.lower(), by_lower)
    return by_lower[found] if found else None


def shown(value: object) -> str:
    """A value as a message repeats it: short, on one line, text in quotes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    text = " ".join(text.split())
    return text if len(text) <= _SHOWN else text[: _SHOWN - 3] + "..."


class Findings:
    """Problems and warnings of one file, collected while it is read."""

    __slots__ = ("file", "problems", "warnings")

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.warnings: list[Warned] = []

    def problem(self, place: str, text: str) -> None:
        """Note something wrong at a key path, with its remedy."""
        self.problems.append(Problem(file=self.file, place=place, text=text))

    def warn(self, place: str, text: str) -> None:
        """Note something odd at a key path that stops nothing."""
        self.warnings.append(Warned(file=self.file, place=place, text=text))
