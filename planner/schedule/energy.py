"""Heads and tails by energy: before a step, all it follows must have fitted.

At a given theta the work of all ancestors, taken per kind of hours, can't be done before
the hours hold it; so the step can't begin earlier (energetic reasoning). Mirrored for
tails. Valid at that theta and below.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction

from planner.schedule.bound import Demands
from planner.schedule.problem import KINDS, WORKROOM, Problem, next_of_kind

#: pairs of step and ancestor above which energy costs more than it shows
MOST_PAIRS = 150_000


def closure(links: Sequence[Sequence[int]], order: Sequence[int]) -> list[list[int]] | None:
    """All ancestors of each step along ``links``; None when there are too many pairs.

    ``order`` visits every step after what it links to.
    """
    sets: list[set[int]] = [set() for _ in links]
    total = 0
    for j in order:
        mine = sets[j]
        for p in links[j]:
            mine.add(p)
            mine |= sets[p]
        total += len(mine)
        if total > MOST_PAIRS:
            return None
    return [sorted(s) for s in sets]


class Energy:
    """Ancestors and descendants of a problem, gathered once."""

    def __init__(self, problem: Problem, head: Sequence[int], tail: Sequence[int]) -> None:
        self.problem, self.head, self.tail = problem, head, tail
        n = problem.steps
        before = [[e.other for e in row] for row in problem.before]
        behind = [[e.other for e in row] for row in problem.behind]
        self.above = closure(before, range(n))
        self.below = closure(behind, range(n - 1, -1, -1))

    @property
    def usable(self) -> bool:
        """Whether the network is small enough."""
        return self.above is not None and self.below is not None

    def heads(self, theta: Fraction) -> list[int]:
        """Heads at ``theta``; the number of windows where there is no room at all."""
        assert self.above is not None
        p = self.problem
        return _pushed(
            p.kind, p.caps(theta), p.day, p.minutes, p.need, self.head, self.above,
            [[(e.other, e.nights) for e in row] for row in p.before], range(p.steps),
        )

    def tails(self, theta: Fraction) -> list[int]:
        """Tails at ``theta``; below 0 where there is no room at all."""
        assert self.below is not None
        p = self.problem
        w = p.windows
        pushed = _pushed(
            tuple(reversed(p.kind)), p.caps(theta)[::-1], tuple(-d for d in reversed(p.day)),
            p.minutes, p.need, [w - 1 - t for t in self.tail], self.below,
            [[(e.other, e.nights) for e in row] for row in p.behind],
            range(p.steps - 1, -1, -1),
        )
        return [w - 1 - h for h in pushed]

    def refutes(self, theta: Fraction) -> bool:
        """Whether no plan has a peak of ``theta`` or less, by energy and interval demand."""
        head, tail = self.heads(theta), self.tails(theta)
        if any(h > t for h, t in zip(head, tail, strict=True)):
            return True
        caps = self.problem.caps(theta)
        room = [0]
        for c, k in zip(caps, self.problem.kind, strict=True):
            room.append(room[-1] + (c if k <= WORKROOM else 0))
        demands = Demands(self.problem, head, tail, nested_ends=24)
        return any(m > room[last + 1] - room[first] for first, last, m in demands.all())


def _pushed(
    kind: Sequence[int],
    caps: Sequence[int],
    day: Sequence[int],
    minutes: Sequence[int],
    need: Sequence[int],
    head: Sequence[int],
    above: Sequence[Sequence[int]],
    before: Sequence[Sequence[tuple[int, int]]],
    order: Sequence[int],
) -> list[int]:
    """Heads pushed by the work of all ancestors, per kind of hours."""
    windows = len(kind)
    nxt = next_of_kind(tuple(kind))
    sums: list[list[int]] = []
    for k in range(KINDS):
        row = [0]
        for c, q in zip(caps, kind, strict=True):
            row.append(row[-1] + (c if q <= k else 0))
        sums.append(row)
    pushed = list(head)
    for j in order:
        at = pushed[j]
        for p, nights in before[j]:
            if pushed[p] >= windows:
                at = windows
                break
            first = pushed[p] if not nights else bisect_left(day, day[pushed[p]] + nights)
            at = max(at, first)
        if at < windows and above[j]:
            kinds = {need[p] for p in above[j]}
            ranked = sorted((pushed[p], minutes[p], need[p]) for p in above[j])
            for k in kinds:
                row, done = sums[k], 0
                for h, m, q in ranked:
                    if q <= k:
                        done = max(done, row[min(h, windows)]) + m
                # the window in which the last minute of them falls; the step may share it
                at = max(at, bisect_left(row, done) - 1)
        pushed[j] = nxt[need[j]][min(at, windows)]
    # a step needs room for itself too
    for j in order:
        w = pushed[j]
        if w < windows and sums[need[j]][windows] - sums[need[j]][w] < minutes[j]:
            pushed[j] = windows
    return pushed



