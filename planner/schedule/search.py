"""The least peak, from above: list passes at a trial theta, and bisection.

At a theta eighteen passes are tried (backwards and forwards, three weights, three sources
of priority); if all fail, the failing step and all that must be laid before it is unlocked
are moved up by a random amount and the pass is tried again (squeaky wheel optimisation:
Joslin and Clements 1999). Tries are counted and seeded, so the same input gives the same
plan everywhere.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.schedule.bound import Demands, one_sitting_bound, peak_bound
from planner.schedule.effort import WHOLE, Effort
from planner.schedule.energy import Energy
from planner.schedule.passes import (
    EQUALS,
    LAST,
    URGENT,
    Pass,
    Weights,
    peak_planned,
    unmirrored,
)
from planner.schedule.problem import HELPER, WORKROOM, Problem
from planner.schedule.rebuilding import Rebuilding
from planner.schedule.shifting import Shifting
from planner.schedule.sides import mirrored, side_of
from planner.schedule.spans import Spans
from planner.schedule.spans import spans as spans_of

Parts = tuple[tuple[int, int, int], ...]

#: laid minutes of steps (tries x steps) spent at one theta, and in all
STEPS_A_THETA = 6_000
STEPS_IN_ALL = 20_000
#: tries at a theta at which nothing is known yet: the ways to begin
AT_ONCE = 18
#: links of shifting looked at for one plan, and in laying parts of it anew
LINKS_AT_ONCE = 8_000
LINKS_OF_REBUILDING = 200_000
#: where energy refutes this share of a peak, it is low enough
ENOUGH = Fraction(998, 1000)
#: loads are whole minutes over at most a day's: over 1 is at least this much over
OVER = Fraction(10_001, 10_000)
#: a gap between bound and plan that is not worth more tries
CLOSE = Fraction(1, 2000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The least peak found, with what is proven about it."""

    theta: Fraction
    """The caps at which ``parts`` were laid."""
    parts: Parts
    keys: tuple[int, ...]
    """Keys with which a backward pass lays them."""
    weights: Weights
    forward: bool
    """Laid by a forward pass: a backward one with these keys may not do it."""
    bound: Fraction
    """No plan has a lower peak."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuck:
    """No theta was found at which all steps can be laid."""

    step: int
    window: int


class Search:
    """The tries at one problem."""

    def __init__(self, problem: Problem, spans: Spans, effort: Effort = WHOLE) -> None:
        problem, spans = narrowed(problem, spans)
        self.problem, self.spans = problem, spans
        self.effort = effort
        self.cut = False
        """Whether more effort might have found a lower peak: then the peak's parts are no plan
        to live by, and only what they prove is to be said."""
        self.back = side_of(problem, spans.head, spans.tail)
        self.forth = mirrored(problem, spans.head, spans.tail)
        self.energy = Energy(problem, spans.head, spans.tail)
        self.demands = Demands(problem, spans.head, spans.tail)
        self.spent = 0
        self.links = 0
        self.mean: list[int] | None = None
        self.failed = (0, 0)
        self.behind = self.energy.below

    def bound(self) -> Fraction | None:
        """The proven lower bound; None where no load is enough."""
        found = peak_bound(self.problem, self.demands)
        least = Fraction(0)
        if found is not None:
            if found.theta is None:
                return None
            least = found.theta
        two = two_hand_bound(self.problem, self.spans)
        if two is None:
            return None
        return max(least, two, one_sitting_bound(self.problem, self.spans.head, self.spans.tail))

    def attempt(self, theta: Fraction, tries: int) -> Peak | None:
        """A plan with caps of ``theta``, in at most ``tries`` passes."""
        caps = self.problem.caps(theta)
        seeds: list[tuple[bool, tuple[int, ...], Weights]] = []
        for forward, keys, weights in self._starts(theta):
            if tries <= 0:
                return None
            tries -= 1
            found = self._try(forward, caps, keys, weights, theta)
            if found is not None:
                return found
            seeds.append((forward, keys, weights))
        return self._squeaky(theta, caps, seeds[:4], tries)

    def _try(
        self,
        forward: bool,
        caps: Sequence[int],
        keys: Sequence[int],
        weights: Weights,
        theta: Fraction,
    ) -> Peak | None:
        self.effort.go_on()
        side = self.forth if forward else self.back
        self.spent += self.problem.steps
        laid = Pass(side, caps[::-1] if forward else caps, keys, weights).run()
        if laid.failed is not None:
            self.failed = (laid.failed, laid.at)
            return None
        parts = unmirrored(laid, self.problem.windows) if forward else laid.parts
        self._remember(parts)
        if forward and self.back.clocked:
            # a forward pass doesn't keep waits in hours; it only teaches the order
            keys = tuple(-m for m in self.mean or ())
            return self._try(False, caps, keys, weights, theta)
        return Peak(
            theta=theta,
            parts=parts,
            keys=tuple(keys),
            weights=weights,
            forward=forward,
            bound=Fraction(0),
        )

    def shifted(
        self, peak: Peak, least: Fraction, most: int, hopeless: Fraction | None = None
    ) -> Peak:
        """The plan with minutes shifted out of its fullest windows (not by the clock)."""
        if self.back.clocked or peak.theta <= least:
            return peak
        found = Shifting(self.problem, self.spans, peak.parts)
        theta = found.settle(least, random.Random(self.links), most, hopeless)
        self.links += found.looked
        if theta >= peak.theta:
            return peak
        parts = found.parts()
        self._remember(parts)
        return replace(peak, theta=theta, parts=parts, forward=True)

    def rebuilt(self, best: Peak, least: Fraction) -> Peak:
        """The plan with parts laid anew as long as that lowers the peak (not by the clock)."""
        if self.back.clocked or best.theta <= least:
            return best
        if self.energy.usable and self.energy.refutes(best.theta * ENOUGH):
            return best
        chance = random.Random(self.problem.windows)
        found = Rebuilding(self.problem, self.spans, best.parts, chance, self.effort)
        theta = found.lower(least, LINKS_OF_REBUILDING)
        self.links += found.looked
        if theta >= best.theta:
            return best
        self._remember(found.best_parts)
        return replace(best, theta=theta, parts=found.best_parts, forward=True)

    def _remember(self, parts: Parts) -> None:
        """Mean position of each step in the best schedule so far."""
        total = [0] * self.problem.steps
        for j, w, minutes in parts:
            total[j] += w * minutes
        self.mean = [t // m for t, m in zip(total, self.problem.minutes, strict=True)]

    def _starts(self, theta: Fraction) -> Iterator[tuple[bool, tuple[int, ...], Weights]]:
        """Eighteen ways to begin, the ones that succeed most often first."""
        windows = self.problem.windows
        back = [tuple(-h for h in self.spans.head)]
        forth = [tuple(t - windows for t in self.spans.tail)]
        for weights in (URGENT, EQUALS, LAST):
            yield False, back[0], weights
        for weights in (URGENT, EQUALS, LAST):
            yield True, forth[0], weights
        if self.energy.usable:
            heads, tails = self.energy.heads(theta), self.energy.tails(theta)
            for weights in (URGENT, EQUALS, LAST):
                yield False, tuple(-h for h in heads), weights
            for weights in (URGENT, EQUALS, LAST):
                yield True, tuple(t - windows for t in tails), weights
        if self.mean is not None:
            for weights in (URGENT, EQUALS, LAST):
                yield False, tuple(-m for m in self.mean), weights
            for weights in (URGENT, EQUALS, LAST):
                yield True, tuple(m - windows for m in self.mean), weights

    def _squeaky(
        self,
        theta: Fraction,
        caps: Sequence[int],
        seeds: Sequence[tuple[bool, tuple[int, ...], Weights]],
        tries: int,
    ) -> Peak | None:
        """Move up what fails, and what must be laid before it, and try again."""
        chance = random.Random(theta.numerator * 1009 + theta.denominator)
        windows = self.problem.windows
        share = max(1, tries // max(1, len(seeds)))
        for forward, first, weights in seeds:
            keys = list(first)
            links = self.energy.above if forward else self.energy.below
            for _ in range(min(share, tries)):
                found = self._try(forward, caps, keys, weights, theta)
                if found is not None:
                    return found
                j = self.failed[0]
                push = chance.randint(1, max(2, windows // 3))
                keys[j] -= push
                for k in links[j] if links is not None else ():
                    keys[k] -= push
            tries -= share
            if tries <= 0:
                break
        return None


def narrowed(problem: Problem, spans: Spans) -> tuple[Problem, Spans]:
    """One-sitting steps kept out of places whose windows are all too short for them.

    Sofa and take-along windows don't stretch, so such a step needs workroom hours whatever the
    load, and what it follows must be done before the last of these.
    """
    need = list(problem.need)
    for j in range(problem.steps):
        if not problem.one_sitting[j]:
            continue
        while need[j] > WORKROOM and not _holds(problem, spans, j, need[j]):
            need[j] -= 1
    if need == list(problem.need):
        return problem, spans
    fewer = replace(problem, need=tuple(need))
    found = spans_of(fewer)
    if any(found.empty(j) and not spans.empty(j) for j in range(problem.steps)):
        return problem, spans
    return fewer, found


def _holds(problem: Problem, spans: Spans, j: int, place: int) -> bool:
    """Whether a window of the place, or two that touch, holds the step whole."""
    size, last = problem.size, spans.tail[j]
    return any(
        problem.kind[w] == place
        and size[w] + (size[w + 1] if w < last and problem.touches[w] else 0) >= problem.minutes[j]
        for w in range(spans.head[j], last + 1)
    )


def two_hand_bound(problem: Problem, spans: Spans) -> Fraction | None:
    """The bound of two-hand work in helper windows alone; None where these can't hold it."""
    steps = [
        j
        for j in range(problem.steps)
        if problem.need[j] == HELPER and not spans.empty(j)
    ]
    if not steps:
        return Fraction(0)
    size = [m if k == HELPER else 0 for m, k in zip(problem.size, problem.kind, strict=True)]
    least = Fraction(0)
    for first in {spans.head[j] for j in steps}:
        for last in {spans.tail[j] for j in steps}:
            wanted = sum(
                problem.minutes[j]
                for j in steps
                if spans.head[j] >= first and spans.tail[j] <= last
            )
            if not wanted:
                continue
            there = sum(size[first : last + 1])
            if wanted > there:
                return None
            least = max(least, Fraction(wanted, there))
    return least


def least_peak(search: Search, fill_to: Fraction) -> Peak | Stuck:
    """The least peak of a problem, or ``fill_to`` where that is enough.

    1. Prove a bound. 2. Try the bound (or ``fill_to``). 3. Else raise theta until a pass
    succeeds, and bisect. 4. Try to prove what the bound alone did not.
    """
    problem = search.problem
    bound = search.bound()
    if bound is None:
        return Stuck(step=-1, window=0)
    if problem.steps == 0:
        return Peak(
            theta=fill_to, parts=(), keys=(), weights=URGENT, forward=False,
            bound=Fraction(0),
        )
    a_theta = AT_ONCE if search.effort.hurried else max(19, STEPS_A_THETA // problem.steps)
    low = max(bound, fill_to)
    found = search.attempt(low, a_theta)
    if found is None:
        search.cut = search.effort.hurried or not search.effort.goes_on
        found, bound = _from_above(search, low, bound, a_theta)
    if found is None:
        return Stuck(step=search.failed[0], window=search.failed[1])
    return replace(found, bound=_proven(search, bound, found.theta))


def _from_above(
    search: Search, low: Fraction, bound: Fraction, a_theta: int
) -> tuple[Peak | None, Fraction]:
    """Raise theta until a plan is found, then bisect down to the bound.

    Returns the plan, and the bound raised by what energy refutes on the way.
    """
    problem = search.problem
    best: Peak | None = None
    raises: tuple[int, ...] = (21, 22, 24, 28, 40, 80, 400, 20_000)
    if search.cut:
        bound = _proven(search, bound, max(low, OVER))
        # where all is clear any plan will do, and is found sooner with more room
        raises = raises if bound <= 1 else (400, *raises)
    for raised in raises:
        theta = low * Fraction(raised, 20) if low else Fraction(raised, 40)
        best = search.attempt(theta, AT_ONCE)
        if best is not None:
            break
    if best is None:
        return None, bound
    best = _tightened(problem, best)
    if not search.cut or best.theta > 1 >= bound:
        best = search.shifted(best, low, LINKS_AT_ONCE)
    if search.cut:
        return best, bound
    while best.theta - low > CLOSE and search.spent < STEPS_IN_ALL:
        middle = Fraction(round((low + best.theta) / 2 * 100_000), 100_000)
        if search.energy.usable and search.energy.refutes(middle):
            low = bound = max(bound, middle)
            continue
        found = search.attempt(middle, a_theta)
        if found is None:
            low = middle
        else:
            best = search.shifted(_tightened(problem, found), low, LINKS_AT_ONCE)
    if best.theta - bound > CLOSE:
        best = search.rebuilt(best, bound)
    return best, bound


def _tightened(problem: Problem, peak: Peak) -> Peak:
    """The same plan with theta brought down to what it really needs."""
    return replace(
        peak, theta=min(peak.theta, problem.peak(peak_planned(problem, peak.parts)))
    )


def _proven(search: Search, bound: Fraction, theta: Fraction) -> Fraction:
    """The bound, raised over 100 % by energy where the plan is over and the bound is not."""
    if theta > 1 >= bound and search.energy.usable and search.energy.refutes(Fraction(1)):
        return OVER
    return bound
