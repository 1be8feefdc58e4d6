"""Bad input: one problem with its place, and the error that carries all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong in the maker's files."""

    file: str
    """Path as the maker would name it."""
    place: str
    """Key path such as "garment[2].step[0].hours", or "line 3, column 7"."""
    text: str
    """What is wrong and what to do about it, in one or two plain sentences."""
    circle: tuple[str, ...] = field(default=(), compare=False)
    """Where it is a circle: full ids of steps and occasions, each before the next, the last
    before the first."""

    def __str__(self) -> str:
        where = ", ".join(part for part in (self.file, self.place) if part)
        return f"{where}: {self.text}" if where else self.text


class InputError(Exception):
    """All problems of an input at once, in the order of the files."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(str(p) for p in problems))
        self.problems = tuple(problems)
