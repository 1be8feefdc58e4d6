"""Hold on to an earlier plan: minutes stay where they were, and only what must move moves.

Rescheduling with least perturbation, by repair (as in constraint-based repair: Minton and others
1992) with augmenting paths (Ford and Fulkerson 1956):

1. What was planned and can still be so stays. What is left over (lost evenings, longer work, new
   steps) is laid into the room there is, as late as what follows it allows, at the lowest level
   that holds it.
2. Where there is no room it overfills a window, whose minutes are then shifted along shortest
   chains of windows to where room is.
3. Where that leads nowhere parts are laid anew, or at last the plan made afresh is begun with.
4. Whatever was moved needlessly on the way goes back.

Caps are 100 % or the least peak plus two points, whichever is more; inside them the level of a
window is the earlier plan's.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from planner.schedule.clock import broken_waits, by_clock
from planner.schedule.nearing import Near
from planner.schedule.passes import LAST, URGENT, Pass, peak_planned
from planner.schedule.problem import Problem
from planner.schedule.repairing import FULL, Repair
from planner.schedule.search import Parts, Peak, Search
from planner.schedule.spans import Spans

#: a plan is held on to while it is no fuller than 100 %, or than the least peak by these points
POINTS = Fraction(1, 50)
#: so few minutes left over are none: a step that is begun has five more than planned, at most
LITTLE = 15
#: how many windows a step is moved on over full ones before it overfills one
REACHES = (1000, 8, 2)
#: rounds of laying steps farther apart for the waits in hours between them
WAITS = 8
#: how often a few steps are laid anew, and rounds of that between looks at the clock
TRIES = 120
ROUNDS = 6
#: so many of the plans repaired are improved
STARTS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What was planned before, in the windows of a problem."""

    minutes: tuple[Mapping[int, int], ...]
    """By step: window and minutes."""
    order: Mapping[int, tuple[int, ...]]
    """By window, its steps in the order in which they were to be done."""
    unchanged: bool = False
    """Whether hours and steps are as they were: only time has passed."""
    let_go: bool = False
    """Whether it is not to be held on to."""


def cap_of(peak: Fraction) -> Fraction:
    """How full a window may be while the earlier plan is held on to: what fits goes on fitting."""
    return FULL if peak <= FULL else peak + POINTS


def hold(
    search: Search, peak: Peak, held: Held, fresh: Parts, fill_to: Fraction, least: Sequence[int]
) -> Parts:
    """The plan that keeps most of the one before; ``fresh`` is the one made without it.

    ``least``: by step, the least length of a sitting. A plan that was let go of is only known:
    the fresh one wins unless it is fuller.
    """
    problem, spans = search.problem, search.spans
    caps = problem.caps(cap_of(peak.theta))
    wanted = fitting(problem, spans, held)
    little = sum(problem.minutes) - sum(map(_sum, wanted))
    if held.unchanged and little <= LITTLE:
        # it went as planned: what was accepted overfull isn't spread out otherwise
        loads = _loads(problem, wanted)
        caps = [
            max(cap, load + little) if load > size else cap
            for cap, load, size in zip(caps, loads, problem.size, strict=True)
        ]
    near = _nearest(search, wanted, held, caps, fresh, fill_to, least)
    if held.let_go:
        return min(fresh, near, key=lambda parts: _peak(problem, parts))
    return near


def _nearest(
    search: Search,
    wanted: Sequence[Mapping[int, int]],
    held: Held,
    caps: Sequence[int],
    fresh: Parts,
    fill_to: Fraction,
    least: Sequence[int],
) -> Parts:
    """The plan within the caps that keeps most of what is wanted."""
    found: list[Parts] = []
    for parts in _repaired(search, wanted, held, caps, fill_to, least):
        if not moved(wanted, parts):
            return parts
        found.append(parts)
    if len(found) < STARTS:
        begun = _in_old_order(search, wanted, caps)
        found += [one for one in (begun, fresh) if one and _kept(search, one)]
    best = fresh
    for parts in sorted(set(found), key=lambda one: moved(wanted, one))[:STARTS]:
        improved = _improved(search, wanted, held, caps, parts, least)
        if moved(wanted, improved) < moved(wanted, best) or best is fresh:
            best = improved
    return best


def _improved(
    search: Search,
    wanted: Sequence[Mapping[int, int]],
    held: Held,
    caps: Sequence[int],
    best: Parts,
    least: Sequence[int],
) -> Parts:
    """A plan with less moved, a few steps laid anew at a time, waits in hours being kept."""
    problem = search.problem
    apart = _apart(problem, best) if search.back.clocked else frozenset()
    chance = random.Random(problem.steps)
    for _ in range(ROUNDS):
        near = Near(problem, search.spans, best, wanted, held.order, caps, apart, chance)
        near.bring_back()
        near.improve(TRIES)
        near.bring_back()
        near.tidy(least)
        better = near.parts()
        if _kept(search, better):
            best = better
            if not moved(wanted, best):
                break
        else:
            apart |= broken_waits(problem, better)
    return best


def _peak(problem: Problem, parts: Parts) -> Fraction:
    return problem.peak(peak_planned(problem, list(parts)))


def _sum(mine: Mapping[int, int]) -> int:
    return sum(mine.values())


def _loads(problem: Problem, wanted: Sequence[Mapping[int, int]]) -> list[int]:
    """Minutes wanted in each window."""
    return peak_planned(problem, [(j, w, m) for j, mine in enumerate(wanted)
                                  for w, m in mine.items()])  # fmt: skip


def _kept(search: Search, parts: Parts) -> bool:
    """Whether a plan keeps its waits in hours."""
    return not search.back.clocked or by_clock(search.problem, parts)


def _repaired(
    search: Search,
    wanted: Sequence[Mapping[int, int]],
    held: Held,
    caps: Sequence[int],
    fill_to: Fraction,
    least: Sequence[int],
) -> Iterator[Parts]:
    """The earlier plan repaired in several ways.

    Waits in hours are kept as far apart as they were; then only as far as the clock asks for.
    """
    problem, clocked = search.problem, search.back.clocked
    was = tuple((j, w, m) for j, mine in enumerate(wanted) for w, m in mine.items())
    loose = frozenset[tuple[int, int]]()
    starts = (_apart(problem, was), _apart(problem, was, gap=True), loose)
    for reach, begin in product(REACHES, dict.fromkeys(starts) if clocked else (loose,)):
        apart = begin
        for _ in range(WAITS if clocked else 1):
            repair = Repair(problem, search.spans, wanted, held.order, caps, apart, reach)
            if not (repair.insert(fill_to, least) and repair.make_room()):
                break
            repair.bring_back()
            repair.tidy(least)
            parts = repair.parts()
            if _kept(search, parts):
                yield parts
                break
            more = apart | broken_waits(problem, parts)
            if more == apart:
                break
            apart = more


def _apart(
    problem: Problem, parts: Parts, gap: bool = False
) -> frozenset[tuple[int, int]]:
    """(step, follower) with a wait in hours that lie in two windows, or nowhere yet; ``gap``:
    that lie in windows as far apart as the wait."""
    first, last = [problem.windows] * problem.steps, [-1] * problem.steps
    for j, w, _ in parts:
        first[j], last[j] = min(first[j], w), max(last[j], w)

    def are(k: int, j: int, wait: int) -> bool:
        if not gap:
            return first[j] == problem.windows or first[j] != last[k]
        if first[j] == problem.windows or last[k] < 0:
            return False
        return problem.start[first[j]] >= problem.end[last[k]] + wait

    return frozenset(
        (e.other, j)
        for j in range(problem.steps)
        for e in problem.before[j]
        if e.minutes and are(e.other, j, e.minutes)
    )


def fitting(problem: Problem, spans: Spans, held: Held) -> list[dict[int, int]]:
    """What of an earlier plan lies where its steps can still be, and isn't more than is left.

    Where less is left than was planned, the first minutes go: they are done. A step of one
    sitting is held as a whole or not at all.
    """
    found: list[dict[int, int]] = []
    for j, planned in enumerate(held.minutes):
        left, mine = problem.minutes[j], dict[int, int]()
        for w in sorted(planned, reverse=True):
            inside = spans.head[j] <= w <= spans.tail[j] and problem.kind[w] <= problem.need[j]
            take = min(left, planned[w]) if inside else 0
            if take > 0:
                mine[w] = take
                left -= take
        if problem.one_sitting[j] and (left or not _one(problem, mine)):
            mine = {}
        found.append(mine)
    return found


def _one(problem: Problem, mine: Mapping[int, int]) -> bool:
    """Whether minutes lie in one window, or in two that touch."""
    first, last = min(mine), max(mine)
    return first == last or (len(mine) == 2 and last == first + 1 and problem.touches[first])


def moved(wanted: Sequence[Mapping[int, int]], parts: Parts) -> int:
    """Minutes that are no longer in the window they were planned in."""
    there: list[dict[int, int]] = [{} for _ in wanted]
    for j, w, minutes in parts:
        there[j][w] = there[j].get(w, 0) + minutes
    return sum(
        max(0, minutes - there[j].get(w, 0))
        for j, mine in enumerate(wanted)
        for w, minutes in mine.items()
    )


def _in_old_order(
    search: Search, wanted: Sequence[Mapping[int, int]], caps: Sequence[int]
) -> Parts | None:
    """A backward pass that lays steps in the order in which they lay before."""
    keys = []
    for j, mine in enumerate(wanted):
        total = sum(mine.values())
        middle = sum(w * m for w, m in mine.items()) // total if total else search.spans.tail[j]
        keys.append(-middle)
    for weights in (URGENT, LAST):
        laid = Pass(search.back, caps, keys, weights).run()
        if laid.failed is None:
            return laid.parts
    return None
