"""What is asked of the schedule, in whole numbers.

Windows are numbered in order of time, steps in order of work (every step behind all it
follows). Clock moments are minutes from an arbitrary midnight, days are ordinals.
Kinds of hours nest: a step of need k can be done in windows of kind 0 to k.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, replace
from fractions import Fraction

#: kinds of windows, and needs of steps: two hands < workroom < sofa < take-along
HELPER, WORKROOM, SOFA, TAKE_ALONG = range(4)
KINDS = 4
FAR = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A follower's tie to what it follows (or the other way round)."""

    other: int
    nights: int
    """The follower's day is at least so many after the predecessor's last."""
    minutes: int
    """Clock minutes between them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Windows of hours, steps to lay into them, and the order between these."""

    start: tuple[int, ...]
    end: tuple[int, ...]
    size: tuple[int, ...]
    """Minutes of each window."""
    kind: tuple[int, ...]
    """HELPER, WORKROOM, SOFA or TAKE_ALONG."""
    day: tuple[int, ...]
    touches: tuple[bool, ...]
    """Whether the window touches the next at the same place, with no minute between."""

    minutes: tuple[int, ...]
    """Minutes left of each step, at least 1."""
    need: tuple[int, ...]
    one_sitting: tuple[bool, ...]
    release: tuple[int, ...]
    """Clock moment before which it can't begin."""
    due: tuple[int, ...]
    """Clock moment by which it must have ended; FAR for none."""
    due_day: tuple[int, ...]
    """Last day on which it may be worked on; FAR for none."""
    fixed: tuple[int | None, ...]
    """The day the maker fixed, where it is to be kept."""
    before: tuple[tuple[Edge, ...], ...]
    """What each step follows."""
    behind: tuple[tuple[Edge, ...], ...]
    """What follows each step."""

    @property
    def steps(self) -> int:
        """How many steps."""
        return len(self.minutes)

    @property
    def windows(self) -> int:
        """How many windows."""
        return len(self.size)

    def caps(self, theta: Fraction) -> list[int]:
        """Whole minutes each window holds at a peak of ``theta``; only workroom ones stretch."""
        a, b = theta.numerator, theta.denominator
        return [
            a * m // b if k <= WORKROOM else m for m, k in zip(self.size, self.kind, strict=True)
        ]

    def peak(self, planned: list[int]) -> Fraction:
        """The largest planned over available of the workroom windows."""
        loads = [
            Fraction(p, m)
            for p, m, k in zip(planned, self.size, self.kind, strict=True)
            if k <= WORKROOM
        ]
        return max(loads, default=Fraction(0))

    def with_fixed(self, fixed: tuple[int | None, ...]) -> Problem:
        """The same with other fixed days."""
        return replace(self, fixed=fixed)


def next_of_kind(kind: tuple[int, ...]) -> list[list[int]]:
    """For each need and window: the first window from there on that serves it (or how many)."""
    table: list[list[int]] = []
    for need in range(KINDS):
        row = [len(kind)] * (len(kind) + 1)
        for w in range(len(kind) - 1, -1, -1):
            row[w] = w if kind[w] <= need else row[w + 1]
        table.append(row)
    return table


def previous_of_kind(kind: tuple[int, ...]) -> list[list[int]]:
    """For each need and window: the last window up to there that serves it (or -1).

    Index -1 (the last entry of a row) stands for "before all".
    """
    table: list[list[int]] = []
    for need in range(KINDS):
        row = [-1] * (len(kind) + 1)
        for w in range(len(kind)):
            row[w] = w if kind[w] <= need else (row[w - 1] if w else -1)
        table.append(row)
    return table


def first_on_or_after(day: tuple[int, ...], wanted: int) -> int:
    """The first window of a day or a later one."""
    return bisect_left(day, wanted)


def last_on_or_before(day: tuple[int, ...], wanted: int) -> int:
    """The last window of a day or an earlier one, or -1."""
    return bisect_right(day, wanted) - 1
