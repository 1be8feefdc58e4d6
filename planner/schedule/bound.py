"""The least peak, proven from below.

Work that must lie in an interval of windows can't exceed the hours in it (processor
demand: Baruah, Rosier, Howell 1990). Places nest: of the sofa and take-along work in an
interval, only what exceeds the sofa and take-along hours of disjoint sub-intervals must go
into the workroom (Hall's theorem on the transport problem). For an interval A::

    demand(A) = workroom minutes in A
              + max over disjoint T in A of sum (
                    sofa minutes in T - sofa hours in T
                    + max over disjoint U in T of sum (take-along minutes - hours in U))

and the peak is at least the theta at which the workroom hours of A, stretched and in whole
minutes, hold demand(A).
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.schedule.problem import SOFA, TAKE_ALONG, WORKROOM, Problem

#: more pairs of ends than this, and the nested places are left out of the bound
NESTED_ENDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Windows ``first`` to ``last`` and the sub-intervals whose other hours count."""

    first: int
    last: int
    sofa: tuple[tuple[int, int], ...] = ()
    take_along: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Minutes that must be done in the workroom windows of an interval."""

    interval: Interval
    minutes: int


def _prefix(values: Sequence[int]) -> list[int]:
    total, row = 0, [0]
    for v in values:
        total += v
        row.append(total)
    return row


class Demands:
    """Demand of every interval between a head and a tail; independent of theta.

    ``head`` and ``tail`` give each step's first and last window. Steps with an empty span
    are left out.
    """

    def __init__(
        self,
        problem: Problem,
        head: Sequence[int],
        tail: Sequence[int],
        nested_ends: int = NESTED_ENDS,
    ) -> None:
        steps = [j for j in range(problem.steps) if head[j] <= tail[j]]
        self.problem = problem
        self.heads = sorted({head[j] for j in steps})
        self.tails = sorted({tail[j] for j in steps})
        at_head = {h: k for k, h in enumerate(self.heads)}
        at_tail = {t: k for k, t in enumerate(self.tails)}
        width = len(self.tails)
        self._own = [[[0] * width for _ in self.heads] for _ in range(3)]
        for j in steps:
            level = max(0, problem.need[j] - WORKROOM)
            self._own[level][at_head[head[j]]][at_tail[tail[j]]] += problem.minutes[j]
        hours = list(zip(problem.size, problem.kind, strict=True))
        self._hours = [
            _prefix([m if k == place else 0 for m, k in hours])
            for place in (SOFA, TAKE_ALONG)
        ]
        self._inside = [self._sums(level) for level in self._own]
        self.nested = len(self.heads) <= nested_ends and width <= nested_ends
        self._build()

    def _sums(self, own: list[list[int]]) -> list[list[int]]:
        """Minutes of steps whose span lies in [heads[a], tails[b]]."""
        width = len(self.tails)
        rows = [[0] * width for _ in self.heads]
        below = [0] * width
        for a in range(len(self.heads) - 1, -1, -1):
            running, row, mine = 0, rows[a], own[a]
            for b in range(width):
                running += mine[b]
                row[b] = running + below[b]
            below = row
        return rows

    def _build(self) -> None:
        """The best sub-intervals at each place, innermost first."""
        zero = [[0] * len(self.tails) for _ in self.heads]
        take, sofa = self._inside[2], self._inside[1]
        sofa_hours, take_hours = self._hours
        if self.nested:
            ex_take = self._excess(take, take_hours, zero)
            self.take_best, self.take_pick = self._disjoint(ex_take)
            ex_sofa = self._excess(sofa, sofa_hours, self.take_best)
            self.sofa_best, self.sofa_pick = self._disjoint(ex_sofa)
        else:
            self.take_best = self._positive(self._excess(take, take_hours, zero))
            self.sofa_best = self._positive(self._excess(sofa, sofa_hours, self.take_best))
            self.take_pick, self.sofa_pick = {}, {}

    def _excess(
        self, inside: list[list[int]], hours: list[int], more: list[list[int]]
    ) -> list[list[int]]:
        rows = []
        for a, h in enumerate(self.heads):
            rows.append(
                [
                    inside[a][b] + more[a][b] - (hours[t + 1] - hours[h]) if t >= h else 0
                    for b, t in enumerate(self.tails)
                ]
            )
        return rows

    def _positive(self, excess: list[list[int]]) -> list[list[int]]:
        return [[max(0, v) for v in row] for row in excess]

    def _disjoint(
        self, excess: list[list[int]]
    ) -> tuple[list[list[int]], dict[tuple[int, int], tuple[int, int]]]:
        """Largest sum of ``excess`` over disjoint intervals within each interval.

        Returns the sums and, where an interval's last piece ends at its own end, the pick
        ``(a, b) -> (first index of that piece, index of the tail before it or -1)``.
        """
        heads, tails = self.heads, self.tails
        best = [[0] * len(tails) for _ in heads]
        pick: dict[tuple[int, int], tuple[int, int]] = {}
        before = []  # for each head, the index of the last tail before it
        k = -1
        for h in heads:
            while k + 1 < len(tails) and tails[k + 1] < h:
                k += 1
            before.append(k)
        pieces = [
            [(c, excess[c][b]) for c in range(len(heads)) if heads[c] <= t and excess[c][b] > 0]
            for b, t in enumerate(tails)
        ]
        for a, h in enumerate(heads):
            row = best[a]
            for b, t in enumerate(tails):
                if t < h:
                    continue
                value = row[b - 1] if b else 0
                for c, gain in pieces[b]:
                    if c < a:
                        continue
                    left = before[c]
                    total = gain + (row[left] if left >= 0 else 0)
                    if total > value:
                        value, pick[a, b] = total, (c, left)
                row[b] = value
        return best, pick

    def minutes(self, a: int, b: int) -> int:
        """Demand of the interval from heads[a] to tails[b]."""
        return self._inside[0][a][b] + self.sofa_best[a][b]

    def all(self) -> list[tuple[int, int, int]]:
        """(first window, last window, demand) of every interval with work."""
        found = []
        for a, h in enumerate(self.heads):
            work, extra = self._inside[0][a], self.sofa_best[a]
            for b, t in enumerate(self.tails):
                if t >= h and work[b] + extra[b] > 0:
                    found.append((h, t, work[b] + extra[b]))
        return found

    def interval(self, first: int, last: int) -> Interval:
        """The interval with the sub-intervals that make its demand, for the certificate."""
        a, b = self.heads.index(first), self.tails.index(last)
        sofa = self._picked(a, b, self.sofa_best, self.sofa_pick)
        take: list[tuple[int, int]] = []
        for c, d in sofa:
            take += self._picked(c, d, self.take_best, self.take_pick)
        as_windows = [(self.heads[c], self.tails[d]) for c, d in sofa]
        return Interval(
            first=first,
            last=last,
            sofa=tuple(as_windows),
            take_along=tuple((self.heads[c], self.tails[d]) for c, d in take),
        )

    def _picked(
        self,
        a: int,
        b: int,
        best: list[list[int]],
        pick: dict[tuple[int, int], tuple[int, int]],
    ) -> list[tuple[int, int]]:
        if not self.nested:
            return [(a, b)] if best[a][b] > 0 else []
        found: list[tuple[int, int]] = []
        while b >= 0 and best[a][b] > 0:
            if (a, b) in pick:
                c, left = pick[a, b]
                found.append((c, b))
                b = left
            else:
                b -= 1
        return found[::-1]


def least_theta(demand: int, sizes: Sequence[int], fixed: int = 0) -> Fraction | None:
    """The smallest theta at which windows of ``sizes`` hold ``demand - fixed`` whole minutes.

    None where there are no minutes to stretch and some are wanted.
    """
    wanted = demand - fixed
    total = sum(sizes)
    if wanted <= 0:
        return Fraction(0)
    if total == 0:
        return None
    base = Fraction(wanted, total)
    a, b = base.numerator, base.denominator
    held = sum(a * m // b for m in sizes)
    if held >= wanted:
        return _lowered(wanted, sizes, base)
    steps = [((a * m // b + 1) / m, a * m // b + 1, m) for m in sizes if m]
    heapq.heapify(steps)
    at = steps[0]
    while held < wanted:
        at = heapq.heappop(steps)
        held += 1
        heapq.heappush(steps, ((at[1] + 1) / at[2], at[1] + 1, at[2]))
    return Fraction(at[1], at[2])


def _lowered(wanted: int, sizes: Sequence[int], theta: Fraction) -> Fraction:
    """``theta`` brought down to the largest load it really gives; it holds exactly enough."""
    a, b = theta.numerator, theta.denominator
    return max(Fraction(a * m // b, m) for m in sizes if m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """A proven lower bound of the peak and the interval that proves it."""

    theta: Fraction | None
    """None: impossible at any load (no workroom hours in the interval)."""
    first: int
    last: int


def peak_bound(
    problem: Problem,
    demands: Demands,
    closed: Sequence[int | None] | None = None,
) -> Bound | None:
    """The largest least-theta over all intervals; None where nothing is wanted.

    ``closed`` gives the settled cap of windows whose load is no longer stretched.
    """
    room = [
        m if k <= WORKROOM and (closed is None or closed[w] is None) else 0
        for w, (m, k) in enumerate(zip(problem.size, problem.kind, strict=True))
    ]
    shut = [
        (closed[w] or 0) if closed is not None and closed[w] is not None else 0
        for w in range(problem.windows)
    ]
    open_sum, shut_sum = _prefix(room), _prefix(shut)
    ranked = []
    for first, last, minutes in demands.all():
        wanted = minutes - (shut_sum[last + 1] - shut_sum[first])
        if wanted <= 0:
            continue
        total = open_sum[last + 1] - open_sum[first]
        if total == 0:
            if closed is None:
                return Bound(theta=None, first=first, last=last)
            continue
        ranked.append((-wanted / total, first, last, wanted))
    ranked.sort()
    best: Bound | None = None
    held: list[int] = []
    for _, first, last, wanted in ranked:
        if best is not None and held[last + 1] - held[first] >= wanted:
            continue
        theta = least_theta(wanted, room[first : last + 1])
        if theta is None or (best is not None and best.theta is not None and theta <= best.theta):
            continue
        best = Bound(theta=theta, first=first, last=last)
        a, b = theta.numerator, theta.denominator
        held = _prefix([a * m // b for m in room])
    return best


def one_sitting_bound(problem: Problem, head: Sequence[int], tail: Sequence[int]) -> Fraction:
    """No peak is lower than what the largest one-sitting step needs of its roomiest window."""
    least = Fraction(0)
    groups = touching_groups(problem)
    for j in range(problem.steps):
        if not problem.one_sitting[j] or problem.need[j] > WORKROOM:
            continue
        best: Fraction | None = None
        for first, last in groups:
            lo, hi = max(first, head[j]), min(last, tail[j])
            sizes = [
                problem.size[w] for w in range(lo, hi + 1) if problem.kind[w] <= problem.need[j]
            ]
            theta = least_theta(problem.minutes[j], sizes) if sizes else None
            if theta is not None and (best is None or theta < best):
                best = theta
        if best is not None:
            least = max(least, best)
    return least


def touching_groups(problem: Problem) -> list[tuple[int, int]]:
    """Runs of windows that touch, as (first, last)."""
    groups: list[tuple[int, int]] = []
    first = 0
    for w in range(problem.windows):
        if not problem.touches[w]:
            groups.append((first, w))
            first = w + 1
    return groups
