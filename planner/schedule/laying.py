"""Lay the final plan backwards at the settled caps.

Every step as late as its dates allow; among equals, extras, trim and closures late, and
early what starts a wait, is uncertain or can't be bought again. Where the nicer order
doesn't find room, plainer ones are tried, down to the one that found the peak.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from planner.schedule.clock import by_clock
from planner.schedule.flattening import Flattening
from planner.schedule.levelling import ONE, UP, caps_at, exact_caps, exact_levels, levels
from planner.schedule.passes import EQUALS, LAST, URGENT, Pass, Weights, peak_planned
from planner.schedule.problem import WORKROOM
from planner.schedule.search import Parts, Peak, Search
from planner.schedule.sides import must_cross


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What makes one plan nicer than another of the same load, by step."""

    rank: tuple[int, ...]
    """Among equals the smaller is laid later; 0 up to the number of steps."""
    least: tuple[int, ...]
    """Least length of a sitting."""
    hand: tuple[bool, ...] = ()
    """Which steps are hand sewing."""
    hand_limit: int | None = None
    """Minutes of hand sewing a day that are better not exceeded."""


def _scaled(keys: Sequence[int], wishes: Wishes) -> tuple[int, ...]:
    unit = len(keys) + 1
    return tuple(k * unit + r for k, r in zip(keys, wishes.rank, strict=True))


def _scaled_weights(weights: Weights, unit: int) -> Weights:
    return tuple(tuple(min(w * unit, 10**9) for w in row) for row in weights)


_Way = tuple[tuple[int, ...], Weights, bool]


def _ways(search: Search, peak: Peak, wishes: Wishes) -> list[_Way]:
    """(keys, weights, whether slivers are avoided), nicest first."""
    unit = search.problem.steps + 1
    by_head = _scaled([-h for h in search.spans.head], wishes)
    # with one kind of hours nothing could go elsewhere: the pass with equals is exact
    one_kind = all(k <= WORKROOM for k in search.problem.kind)
    ways: list[_Way] = [
        (by_head, _scaled_weights(weights, unit), slivers)
        for slivers in (True, False)
        for weights in ((EQUALS,) if one_kind else (LAST, URGENT, EQUALS))
    ]
    found = _scaled(peak.keys, wishes)
    ways.append((found, _scaled_weights(peak.weights, unit), True))
    ways.append((found, _scaled_weights(peak.weights, unit), False))
    if search.mean is not None:
        by_mean = _scaled([-m for m in search.mean], wishes)
        ways.append((by_mean, _scaled_weights(URGENT, unit), False))
    return ways


class _Failed:
    """Passes that failed, so that one which would go just the same isn't run."""

    def __init__(self) -> None:
        self.by_way: dict[tuple[tuple[int, ...], Weights], list[tuple[frozenset[str], set[str]]]]
        self.by_way = {}

    def add(
        self, keys: tuple[int, ...], weights: Weights, strict: frozenset[str], felt: set[str]
    ) -> None:
        """A pass failed under what it was ``strict`` about, of which it ``felt`` some."""
        self.by_way.setdefault((keys, weights), []).append((strict, felt))

    def so(self, keys: tuple[int, ...], weights: Weights, strict: frozenset[str]) -> bool:
        """Whether a pass that failed differs only in strictness it didn't feel."""
        return any(
            strict <= more and not felt & (more - strict)
            for more, felt in self.by_way.get((keys, weights), ())
        )


def lay(search: Search, peak: Peak, wishes: Wishes, fill_to: Fraction) -> Parts:
    """Minutes of steps in windows, in the order laid (within a window the last comes first)."""
    problem = search.problem
    if not problem.steps:
        return ()
    level = levels(problem, search.demands, peak.theta, fill_to)
    ways = _ways(search, peak, wishes)

    sides = [search.back]
    if any(problem.one_sitting):
        few = must_cross(problem, search.spans.head, search.spans.tail)
        sides.insert(0, replace(search.back, crosses=few))

    # a hand step lies on a day under its limit where that costs nothing else
    limits = (wishes.hand_limit, None) if wishes.hand_limit is not None else (None,)

    def attempt(caps: Sequence[int]) -> Parts | None:
        failed = _Failed()
        for limited, side, (keys, weights, slivers) in product(limits, sides, ways):
            strict = frozenset(
                name
                for name, there in (
                    ("hand", limited is not None),
                    ("crosses", side is not search.back),
                    ("least", slivers),
                )
                if there
            )
            if failed.so(keys, weights, strict):
                continue
            least = wishes.least if slivers else None
            hand = (wishes.hand, limited) if limited is not None else None
            trial = Pass(side, caps, keys, weights, least, hand)
            laid = trial.run()
            if laid.failed is None and (not search.back.clocked or by_clock(problem, laid.parts)):
                return laid.parts
            failed.add(keys, weights, strict, trial.felt)
        return None

    if all(k <= WORKROOM for k in problem.kind) and peak.theta > fill_to:
        # with one kind of hours the flattest load is known in exact fractions; in a few
        # workrooms whole minutes at the least peak leave no room for it
        exact = exact_levels(problem, search.demands)
        for above in (UP, ONE) if exact is not None else ():
            flattest = attempt(exact_caps(problem, exact or (), peak.theta, fill_to, above))
            if flattest is not None:
                return flattest
    caps = caps_at(problem, level, fill_to)
    found = attempt(caps)
    if found is None and search.back.clocked:
        found = _relaxed(search, peak, level, fill_to, attempt)
    if found is not None or search.back.clocked:
        return found if found is not None else peak.parts
    return _flattened(search, peak, caps, attempt)


def _flattened(
    search: Search,
    peak: Peak,
    caps: Sequence[int],
    attempt: Callable[[Sequence[int]], Parts | None],
) -> Parts:
    """Shift a plan at the peak's caps down to the levels as far as it goes, then lay it again."""
    problem = search.problem
    start = attempt(problem.caps(peak.theta)) or peak.parts
    if max(problem.peak(peak_planned(problem, start)), peak.theta) > peak.theta:
        start = peak.parts
    flat = Flattening(problem, search.spans, start)
    held = flat.level(caps, random.Random(problem.steps))
    again = attempt(held)
    if again is not None:
        return again
    flat.justify(held)
    return flat.parts()


def _relaxed(
    search: Search,
    peak: Peak,
    level: Sequence[Fraction],
    fill_to: Fraction,
    attempt: Callable[[Sequence[int]], Parts | None],
) -> Parts | None:
    """Raise the lower levels towards the peak, as little as lets the plan be laid."""
    problem = search.problem
    top = attempt(caps_at(problem, level, peak.theta))
    if top is None:
        return None
    low, high, best = fill_to, peak.theta, top
    for _ in range(5):
        middle = Fraction(round((low + high) / 2 * 1000), 1000)
        found = attempt(caps_at(problem, level, middle))
        if found is None:
            low = middle
        else:
            high, best = middle, found
    return best


