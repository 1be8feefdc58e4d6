"""A problem to a schedule: fixed days kept where they can be, the least peak, the final laying."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.schedule.bound import peak_bound
from planner.schedule.effort import WHOLE, Effort
from planner.schedule.gathering import gather
from planner.schedule.holding import Held, hold
from planner.schedule.laying import Wishes, lay
from planner.schedule.passes import peak_planned
from planner.schedule.problem import HELPER, Problem
from planner.schedule.search import Parts, Peak, Search, Stuck, least_peak, two_hand_bound
from planner.schedule.spans import Spans, spans


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheduled:
    """The schedule of a problem."""

    problem: Problem
    """With the fixed days that are kept, and long one-sitting steps made splittable."""
    search: Search
    peak: Peak
    parts: Parts
    load: Fraction
    """The fullest workroom window of ``parts``."""
    not_kept: tuple[int, ...]
    """Steps whose fixed day can't be kept."""
    too_long: tuple[int, ...]
    """One-sitting steps longer than every window they could lie in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoRoom:
    """Steps that no load makes room for."""

    steps: tuple[int, ...]
    """Those that compete for the hours; the one furthest along is to give way."""
    proven: bool


def split_long(problem: Problem, spans_: Spans) -> tuple[Problem, tuple[int, ...]]:
    """One-sitting steps longer than every window in their span, planned as if splittable."""
    long = [
        j
        for j in range(problem.steps)
        if problem.one_sitting[j]
        and problem.minutes[j] > _longest(problem, j, spans_.head[j], spans_.tail[j])
    ]
    if not long:
        return problem, ()
    whole = tuple(o and j not in long for j, o in enumerate(problem.one_sitting))
    return replace(problem, one_sitting=whole), tuple(long)


def _longest(problem: Problem, j: int, head: int, tail: int) -> int:
    """The most minutes a sitting of the step can have: one window, or two across a cut."""

    def room(w: int) -> int:
        return problem.size[w] if problem.kind[w] <= problem.need[j] else 0

    alone = [room(w) for w in range(head, tail + 1)]
    across = [
        room(w) + room(w + 1)
        for w in range(head, tail)
        if problem.touches[w] and room(w) and room(w + 1)
    ]
    return max([*alone, *across], default=0)


def schedule(
    problem: Problem,
    on: Sequence[tuple[int, int]],
    wishes: Wishes,
    fill_to: Fraction,
    effort: Effort = WHOLE,
    held: Held | None = None,
) -> Scheduled | NoRoom:
    """The plan of a problem whose spans are not empty, near the one ``held`` on to.

    ``on``: (step, day) for the days the maker fixed, in the order in which they are to be kept.
    Those that are kept anyway change nothing, so that nothing moves when a step is fixed where
    it is planned already: only days that are missed without it are asked for. Where the
    least peak isn't found at once without them, all are.
    """
    asked: list[tuple[int, int]] = []
    while len(asked) < len(on):
        quick = replace(effort, goes_on=False)
        found = _with_days(problem, asked, wishes, fill_to, quick, held)
        if isinstance(found, NoRoom) or found.search.cut:
            break
        missed = _missed(found, [one for one in on if one not in asked])
        if not missed:
            return _with_the_rest(found, on, effort)
        asked = [one for one in on if one in asked or one in missed]
    return _with_days(problem, on, wishes, fill_to, effort, held)


def _missed(found: Scheduled, on: Sequence[tuple[int, int]]) -> set[tuple[int, int]]:
    """Which of some fixed days a plan doesn't keep."""
    days = dict(on)
    return {
        (j, days[j]) for j, w, _ in found.parts if j in days and found.problem.day[w] != days[j]
    }


def _with_the_rest(found: Scheduled, on: Sequence[tuple[int, int]], effort: Effort) -> Scheduled:
    """The plan with the days fixed that it keeps anyway: no minute to spare lies behind them."""
    fixed = list(found.problem.fixed)
    for j, day in on:
        if j not in found.not_kept:
            fixed[j] = day
    problem = found.problem.with_fixed(tuple(fixed))
    search = Search(problem, spans(problem), effort)
    search.cut = found.search.cut
    return replace(found, problem=search.problem, search=search)


def _with_days(
    problem: Problem,
    on: Sequence[tuple[int, int]],
    wishes: Wishes,
    fill_to: Fraction,
    effort: Effort,
    held: Held | None,
) -> Scheduled | NoRoom:
    """The plan with these days asked for."""
    first = spans(problem)
    problem, too_long = split_long(problem, first)
    problem, not_kept = _with_fixed_days(problem, on)
    found = spans(problem)
    search = Search(problem, found, effort)
    problem, found = search.problem, search.spans
    peak = least_peak(search, fill_to)
    if isinstance(peak, Stuck):
        kept = [j for j, _ in on if problem.fixed[j] is not None]
        if kept:
            # a fixed day must leave no minute unplaced: give the last one up and try again
            fewer = [(j, d) for j, d in on if j != kept[-1]]
            free = problem.with_fixed((None,) * problem.steps)
            again = _with_days(free, fewer, wishes, fill_to, effort, held)
            return _noting(again, kept[-1], too_long)
        return _competing(problem, found, search, peak)
    parts = peak.parts
    if not search.cut:
        parts = lay(search, peak, wishes, fill_to)
        parts = gather(problem, found, parts, wishes, fill_to, search.back.clocked)
        if held is not None:
            parts = hold(search, peak, held, parts, fill_to, wishes.least)
    return Scheduled(
        problem=problem,
        search=search,
        peak=peak,
        parts=parts,
        load=problem.peak(peak_planned(problem, list(parts))),
        not_kept=not_kept,
        too_long=too_long,
    )


def _noting(found: Scheduled | NoRoom, step: int, too_long: tuple[int, ...]) -> Scheduled | NoRoom:
    if isinstance(found, NoRoom):
        return found
    return replace(
        found,
        not_kept=tuple(sorted({*found.not_kept, step})),
        too_long=tuple(sorted({*found.too_long, *too_long})),
    )


def _with_fixed_days(
    problem: Problem, on: Sequence[tuple[int, int]]
) -> tuple[Problem, tuple[int, ...]]:
    """Keep each fixed day, in their order, where no span becomes empty and all can be laid."""
    if not on:
        return problem, ()
    fixed: list[int | None] = [None] * problem.steps
    not_kept: list[int] = []
    for j, day in on:
        fixed[j] = day
        trial = problem.with_fixed(tuple(fixed))
        found = spans(trial)
        allowed = not any(found.empty(k) for k in range(trial.steps))
        if not allowed or Search(trial, found).attempt(Fraction(1000), 24) is None:
            fixed[j] = None
            not_kept.append(j)
    return problem.with_fixed(tuple(fixed)), tuple(not_kept)


def _competing(problem: Problem, found: Spans, search: Search, stuck: Stuck) -> NoRoom:
    """Which steps compete for hours that no load stretches."""
    if two_hand_bound(problem, found) is None:
        return NoRoom(steps=_two_handed(problem, found), proven=True)
    bound = peak_bound(problem, search.demands)
    if bound is not None and bound.theta is None:
        inside = tuple(
            j
            for j in range(problem.steps)
            if found.head[j] >= bound.first and found.tail[j] <= bound.last
        )
        return NoRoom(steps=inside, proven=True)
    return NoRoom(steps=_confined(problem, found, stuck.step), proven=False)


def _confined(problem: Problem, found: Spans, j: int) -> tuple[int, ...]:
    """A step that found no room, and what follows it within the same span."""
    chain = [j]
    for k in range(j + 1, problem.steps):
        if found.head[k] < found.head[j] or found.tail[k] > found.tail[j]:
            continue
        if any(e.other in chain for e in problem.before[k]):
            chain.append(k)
    return tuple(chain)


def _two_handed(problem: Problem, found: Spans) -> tuple[int, ...]:
    """The two-hand steps of the earliest span whose helper hours can't hold them."""
    steps = [j for j in range(problem.steps) if problem.need[j] == HELPER]
    size = [m if k == HELPER else 0 for m, k in zip(problem.size, problem.kind, strict=True)]
    for last in sorted({found.tail[j] for j in steps}):
        for first in sorted({found.head[j] for j in steps}, reverse=True):
            inside = [j for j in steps if found.head[j] >= first and found.tail[j] <= last]
            if sum(problem.minutes[j] for j in inside) > sum(size[first : last + 1]):
                return tuple(inside)
    return tuple(steps)
