"""Level what the peak leaves: the critical interval again and again, closed ones removed.

Speed scaling's way to the lexicographically flattest load (Yao, Demers, Shenker 1995):
exact for one kind of hours; a target for nested ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planner.schedule.bound import Demands, peak_bound
from planner.schedule.problem import WORKROOM, Problem

#: interval pairs times rounds: beyond, the rest is left at the last level
MOST_PAIRS = 400_000


def levels(
    problem: Problem, demands: Demands, peak: Fraction, fill_to: Fraction
) -> list[Fraction]:
    """The level of each window: ``peak`` in the critical interval, less where less will do.

    Never below ``fill_to``; windows of sofa and take-along hours have level 1.
    """
    closed: list[int | None] = [None] * problem.windows
    level: list[Fraction | None] = [
        None if k <= WORKROOM else Fraction(1) for k in problem.kind
    ]
    pairs = max(1, len(demands.heads) * len(demands.tails))
    rounds = min(problem.windows, max(4, MOST_PAIRS // pairs))
    theta = peak
    for k in range(rounds):
        if theta <= fill_to:
            break
        found = peak_bound(problem, demands, closed)
        if found is None or found.theta is None:
            theta = fill_to
            break
        theta = peak if k == 0 else min(theta, found.theta)
        if theta <= fill_to:
            break
        for w in range(found.first, found.last + 1):
            if closed[w] is None and problem.kind[w] <= WORKROOM:
                closed[w] = theta.numerator * problem.size[w] // theta.denominator
                level[w] = theta
    else:
        theta = max(theta, fill_to)
    rest = max(fill_to, theta) if theta > fill_to else fill_to
    return [rest if v is None else v for v in level]


def exact_levels(problem: Problem, demands: Demands) -> list[Fraction] | None:
    """The flattest load of each workroom window in exact fractions; None for too many pairs.

    Of windows in which nothing must lie, 0.
    """
    intervals = demands.all()
    if len(intervals) * problem.windows > MOST_PAIRS:
        return None
    level: list[Fraction | None] = [None] * problem.windows
    while True:
        best: tuple[Fraction, int, int] | None = None
        for first, last, minutes in intervals:
            left, room = Fraction(minutes), 0
            for w in range(first, last + 1):
                at = level[w]
                if problem.kind[w] <= WORKROOM and at is None:
                    room += problem.size[w]
                elif at is not None:
                    left -= at * problem.size[w]
            if room and left > 0 and (best is None or left / room > best[0]):
                best = (left / room, first, last)
        if best is None:
            return [v or Fraction(0) for v in level]
        for w in range(best[1], best[2] + 1):
            if problem.kind[w] <= WORKROOM and level[w] is None:
                level[w] = best[0]


#: rounds an exact level up to whole minutes: levels are fractions of far fewer minutes
UP = 1 - Fraction(1, 10**9)
ONE = Fraction(1)


def exact_caps(
    problem: Problem,
    level: Sequence[Fraction],
    peak: Fraction,
    floor: Fraction,
    above: Fraction,
) -> list[int]:
    """The exact level in whole minutes, never above the peak; not below ``floor``.

    ``above``: minutes by which a level may be exceeded; just below 1 rounds it up, 1 leaves
    room for what the peak rounds down elsewhere.
    """
    caps = []
    for m, v in zip(problem.size, level, strict=True):
        most = min(peak.numerator * m // peak.denominator, int(v * m + above))
        caps.append(max(most, floor.numerator * m // floor.denominator))
    return caps


def caps_at(problem: Problem, level: Sequence[Fraction], floor: Fraction) -> list[int]:
    """Whole minutes of each window at its level, or at ``floor`` where that is more."""
    caps = []
    for m, k, v in zip(problem.size, problem.kind, level, strict=True):
        theta = max(v, floor)
        caps.append(theta.numerator * m // theta.denominator if k <= WORKROOM else m)
    return caps
