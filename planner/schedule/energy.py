"""Heads and tails by energy: before a step, all it follows must have fitted.

At a given theta the work of all ancestors, taken per kind of hours, can't be done before
the hours hold it; so the step can't begin earlier (energetic reasoning). Mirrored for
tails. Valid at that theta and below.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate

from planner.schedule.bound import Demands
from planner.schedule.problem import HELPER, KINDS, WORKROOM, Problem, next_of_kind

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
        hours = Hours(
            kind=p.kind, day=p.day, caps=p.caps(theta), size=p.size, touches=p.touches
        )
        links = [[(e.other, e.nights) for e in row] for row in p.before]
        return _pushed(p, hours, self.head, self.tail, self.above, links, range(p.steps))

    def tails(self, theta: Fraction) -> list[int]:
        """Tails at ``theta``; below 0 where there is no room at all."""
        assert self.below is not None
        p, w = self.problem, self.problem.windows
        hours = Hours(
            kind=p.kind[::-1],
            day=tuple(-d for d in reversed(p.day)),
            caps=p.caps(theta)[::-1],
            size=p.size[::-1],
            touches=(*p.touches[-2::-1], False),
        )
        links = [[(e.other, e.nights) for e in row] for row in p.behind]
        head, tail = [w - 1 - t for t in self.tail], [w - 1 - h for h in self.head]
        order = range(p.steps - 1, -1, -1)
        return [w - 1 - h for h in _pushed(p, hours, head, tail, self.below, links, order)]

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


class Hours:
    """Windows at given caps, in one direction of time."""

    def __init__(
        self,
        *,
        kind: Sequence[int],
        day: Sequence[int],
        caps: Sequence[int],
        size: Sequence[int],
        touches: Sequence[bool],
    ) -> None:
        self.windows = len(kind)
        self.kind, self.day, self.caps, self.touches = kind, day, caps, touches
        self.next = next_of_kind(tuple(kind))
        two = [min(c, m) if k == HELPER else 0 for c, m, k in zip(caps, size, kind, strict=True)]
        self.before = [_summed(two)]
        for need in range(1, KINDS):
            self.before.append(
                _summed([c if k <= need else 0 for c, k in zip(caps, kind, strict=True)])
            )

    def whole(self, need: int, minutes: int, w: int) -> int:
        """The first window from ``w`` on in which a sitting of so many minutes can begin."""
        w = self.next[need][w]
        while w < self.windows and self.caps[w] < minutes:
            if (
                self.touches[w]
                and self.kind[w + 1] <= need
                and self.caps[w] + self.caps[w + 1] >= minutes
            ):
                break
            w = self.next[need][w + 1]
        return w


def _summed(values: Sequence[int]) -> list[int]:
    """Sums of the first 0, 1, 2 ... values."""
    return [0, *accumulate(values)]


def _pushed(
    problem: Problem,
    hours: Hours,
    head: Sequence[int],
    tail: Sequence[int],
    above: Sequence[Sequence[int]],
    links: Sequence[Sequence[tuple[int, int]]],
    order: Sequence[int],
) -> list[int]:
    """Heads pushed by the work of all ancestors, per kind of hours.

    Of each step also the window in which it can end at the earliest: what follows it after
    nights can't begin before that. A step that can't end in time gets no window at all.
    """
    windows, day = hours.windows, hours.day
    need, minutes = problem.need, problem.minutes
    pushed, end = list(head), list(head)
    for j in order:
        at = pushed[j]
        for p, nights in links[j]:
            if end[p] >= windows:
                at = windows
                break
            at = max(at, bisect_left(day, day[end[p]] + nights) if nights else end[p])
        if at < windows:
            ranked = sorted([(pushed[p], minutes[p], need[p]) for p in above[j]])
            at, last = _fitted(hours, ranked, at, need[j], minutes[j], problem.one_sitting[j])
            end[j] = last if last <= tail[j] else windows
        else:
            end[j] = windows
        pushed[j] = at if end[j] < windows else windows
    return pushed


def _fitted(
    hours: Hours,
    ranked: Sequence[tuple[int, int, int]],
    at: int,
    need: int,
    minutes: int,
    one_sitting: bool,
) -> tuple[int, int]:
    """First window, and the one of the last minute, of a step behind all that it follows.

    ``ranked``: head, minutes and need of these, by head.
    """
    windows, done_by = hours.windows, [0] * KINDS
    for k in {q for _, _, q in ranked}:
        row, done = hours.before[k], 0
        for h, m, q in ranked:
            if q <= k:
                # max() written out: this runs for every pair of step and ancestor
                gone = row[h]
                done = (done if done > gone else gone) + m
        # the window in which the last minute of them falls; the step may share it
        done_by[k] = done
        at = max(at, bisect_left(row, done) - 1)
    at = hours.next[need][min(at, windows)]
    if one_sitting:
        at = hours.whole(need, minutes, at)
    last = at
    for k in range(need, KINDS):
        if at < windows and (k == need or done_by[k]):
            row = hours.before[k]
            last = max(last, bisect_left(row, max(done_by[k], row[at]) + minutes) - 1)
    return at, min(last, windows)
