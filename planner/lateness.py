"""By when each step is wanted, what is late for which occasion, and what can't be placed.

Spans only: releases, waits, ready-bys, days with usable hours; minutes are ignored.
Occasion by occasion in order of date, a step whose span is empty is late for it (the one
furthest along the order first) and wanted by the next that wants it; after the last it is
unplaced.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta

from planner.model import Wait
from planner.occasions import Dated
from planner.schedule.problem import FAR, Problem
from planner.schedule.spans import heads, tails
from planner.timeline import to_clock


def due_of(occasion: Dated, wait: Wait) -> tuple[int, int]:
    """(clock moment, last day) by which a step with this wait must be done for an occasion.

    A wait also counts before an occasion: glue is dry by ready-by; after n nights the last
    sitting is at least n dates before the ready-by's date.
    """
    by = occasion.wanted_by
    day = (by - timedelta(days=wait.nights)).toordinal() if wait.nights else FAR
    return to_clock(by) - wait.minutes, day


@dataclass(slots=True)
class Demands:
    """Which occasions still want each step; what they lack moves on to later ones."""

    order: tuple[str, ...]
    """Occasions not past, in order of time."""
    wants: dict[str, set[int]] = field(default_factory=dict)
    """By step, positions in ``order``."""
    late_for: dict[str, list[str]] = field(default_factory=dict)
    unplaced: set[str] = field(default_factory=set)

    def late(self, step: str, occasion: str) -> None:
        """``step`` can't be there by ``occasion``."""
        self.wants[step].discard(self.order.index(occasion))
        self.late_for.setdefault(step, []).append(occasion)
        if not self.wants[step]:
            self.unplaced.add(step)


def demands_of(
    occasions: Mapping[str, Dated], wanted: Mapping[str, Sequence[str]], open_steps: Sequence[str]
) -> Demands:
    """The demands before anything is late."""
    order = tuple(o.id for o in occasions.values() if not o.past)
    found = Demands(order=order, wants={s: set() for s in open_steps})
    for k, name in enumerate(order):
        for step in wanted[name]:
            if step in found.wants:
                found.wants[step].add(k)
    return found


def dues(
    demands: Demands,
    occasions: Mapping[str, Dated],
    waits: Mapping[str, Wait],
    upto: int | None = None,
) -> dict[str, tuple[int, int, str | None]]:
    """Of each step: clock moment, last day, and the occasion that sets them (None: no due)."""
    found: dict[str, tuple[int, int, str | None]] = {}
    # most steps have one of few waits: each is worked out once for an occasion
    known: dict[tuple[int, int, int], tuple[int, int]] = {}
    for step, wanting in demands.wants.items():
        wait = waits[step]
        best: tuple[int, int, str | None] = (FAR, FAR, None)
        for k in sorted(wanting):
            if upto is not None and k > upto:
                break
            name = demands.order[k]
            key = (k, wait.nights, wait.minutes)
            if key not in known:
                known[key] = due_of(occasions[name], wait)
            clock, day = known[key]
            if best[2] is None or clock < best[0]:
                best = (min(best[0], clock), min(best[1], day), name)
            else:
                best = (best[0], min(best[1], day), best[2])
        found[step] = best
    return found


def settle(
    demands: Demands,
    occasions: Mapping[str, Dated],
    waits: Mapping[str, Wait],
    names: Sequence[str],
    assembled: Callable[[frozenset[str]], Problem],
) -> None:
    """Find what is late and what is unplaced, in one sweep an occasion.

    ``names`` are the open steps in order of work and ``assembled`` makes the problem of some
    of them, in that order; its own dues are not looked at. Going backwards along the order, a
    step can only be empty by its own demand (the spans of what follows it are settled), so
    the furthest along comes first. What is unplaced hands on its releases and waits and holds
    nobody up, so the spans of the others are looked at without it.
    """
    left = _Left.of(frozenset(names), names, assembled)
    for k, occasion in enumerate(demands.order):
        if not any(k in w for w in demands.wants.values()):
            continue
        while True:
            empty = left.empty(dues(demands, occasions, waits, upto=k), demands, k)
            if not empty:
                break
            # steps without a follower among the empty ones are furthest along
            held = {e.other for j in empty for e in left.problem.before[j]}
            for j in [j for j in empty if j not in held] or empty[-1:]:
                demands.late(left.names[j], occasion)
            kept = frozenset(left.names) - demands.unplaced
            if len(kept) < len(left.names):
                left = _Left.of(kept, names, assembled)


@dataclass(frozen=True, slots=True)
class _Left:
    """The steps that can still be placed, with their earliest places."""

    names: tuple[str, ...]
    problem: Problem
    head: Sequence[int]
    begin: Sequence[int]

    @classmethod
    def of(
        cls,
        kept: frozenset[str],
        order: Sequence[str],
        assembled: Callable[[frozenset[str]], Problem],
    ) -> _Left:
        problem = assembled(kept)
        head, _, begin = heads(problem)
        return cls(tuple(n for n in order if n in kept), problem, head, begin)

    def empty(
        self, due: Mapping[str, tuple[int, int, str | None]], demands: Demands, k: int
    ) -> list[int]:
        """Steps that occasion ``k`` wants and whose span up to it is empty."""
        trial = with_dues(self.problem, [due[n][:2] for n in self.names])
        tail, _, finish = tails(trial, self.head)
        return [
            j
            for j, n in enumerate(self.names)
            if (self.head[j] > tail[j] or self.begin[j] >= finish[j]) and k in demands.wants[n]
        ]


def with_dues(problem: Problem, due: Sequence[tuple[int, int]]) -> Problem:
    """The problem with other due moments and days."""
    return replace(problem, due=tuple(d for d, _ in due), due_day=tuple(d for _, d in due))
