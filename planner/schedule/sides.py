"""A problem as a pass sees it: backwards, or mirrored in time, so that one pass works both ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.schedule.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A problem as seen by a backward pass; of the mirrored one, time runs the other way."""

    windows: int
    start: tuple[int, ...]
    end: tuple[int, ...]
    size: tuple[int, ...]
    kind: tuple[int, ...]
    day: tuple[int, ...]
    touches_before: tuple[bool, ...]
    """Whether a window touches the one before it."""
    minutes: tuple[int, ...]
    need: tuple[int, ...]
    one_sitting: tuple[bool, ...]
    crosses: tuple[bool, ...]
    """Whether a one-sitting step may cross a cut between windows that touch."""
    head: tuple[int, ...]
    tail: tuple[int, ...]
    beginning: tuple[tuple[int, ...], ...]
    """By window, the steps whose head it is."""
    ends_by: tuple[int, ...]
    """Clock moment by which the step must have ended."""
    unlocks: tuple[tuple[tuple[int, int, int], ...], ...]
    """Of each step: (step it unlocks, nights, minutes between)."""
    locks: tuple[int, ...]
    """How many steps unlock each step."""
    timed: tuple[tuple[tuple[int, int], ...], ...]
    """Of each step: (what follows it, minutes between) where there is a wait in hours."""
    clocked: bool
    """Whether moments inside windows matter (waits in hours)."""


def must_cross(problem: Problem, head: Sequence[int], tail: Sequence[int]) -> tuple[bool, ...]:
    """Which one-sitting steps fit into no single window of their span.

    The plan is laid with only these crossing a cut where it can be.
    """
    return tuple(
        one
        and all(
            problem.size[w] < problem.minutes[j]
            for w in range(head[j], tail[j] + 1)
            if problem.kind[w] <= problem.need[j]
        )
        for j, one in enumerate(problem.one_sitting)
    )


def by_head(head: Sequence[int], windows: int) -> tuple[tuple[int, ...], ...]:
    """By window, the steps whose head it is; those without a window are left out."""
    found: list[list[int]] = [[] for _ in range(windows)]
    for j, first in enumerate(head):
        if first < windows:
            found[first].append(j)
    return tuple(map(tuple, found))


def side_of(problem: Problem, head: Sequence[int], tail: Sequence[int]) -> Side:
    """The problem for a backward pass."""
    last_end = [problem.end[t] if t >= 0 else 0 for t in tail]
    ends_by = tuple(problem.due)
    clocked = any(e.minutes for row in problem.before for e in row) or any(
        d < e for d, e in zip(ends_by, last_end, strict=True)
    )
    return Side(
        windows=problem.windows,
        start=problem.start,
        end=problem.end,
        size=problem.size,
        kind=problem.kind,
        day=problem.day,
        touches_before=(False, *problem.touches[:-1]) if problem.windows else (),
        minutes=problem.minutes,
        need=problem.need,
        one_sitting=problem.one_sitting,
        crosses=problem.one_sitting,
        head=tuple(head),
        tail=tuple(tail),
        beginning=by_head(head, problem.windows),
        ends_by=ends_by,
        unlocks=tuple(tuple((e.other, e.nights, e.minutes) for e in row) for row in problem.before),
        locks=tuple(len(row) for row in problem.behind),
        timed=tuple(
            tuple((e.other, e.minutes) for e in row if e.minutes) for row in problem.behind
        ),
        clocked=clocked,
    )


def mirrored(problem: Problem, head: Sequence[int], tail: Sequence[int]) -> Side:
    """The problem with time reversed: a backward pass on it is a forward one."""
    w = problem.windows
    heads = tuple(w - 1 - t for t in tail)
    return Side(
        windows=w,
        start=tuple(-e for e in reversed(problem.end)),
        end=tuple(-s for s in reversed(problem.start)),
        size=tuple(reversed(problem.size)),
        kind=tuple(reversed(problem.kind)),
        day=tuple(-d for d in reversed(problem.day)),
        touches_before=tuple(reversed(problem.touches)),
        minutes=problem.minutes,
        need=problem.need,
        one_sitting=problem.one_sitting,
        crosses=problem.one_sitting,
        head=heads,
        tail=tuple(w - 1 - h for h in head),
        beginning=by_head(heads, w),
        ends_by=tuple(-r for r in problem.release),
        unlocks=tuple(tuple((e.other, e.nights, e.minutes) for e in row) for row in problem.behind),
        locks=tuple(len(row) for row in problem.before),
        timed=(),
        clocked=False,
    )
