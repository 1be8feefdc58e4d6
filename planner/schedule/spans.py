"""Where each step can lie: its first and last window by orders, waits and dates.

Minutes are ignored, waits in hours count from the moments they would at the least. An
empty span means impossible at any load.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from planner.schedule.problem import (
    FAR,
    Problem,
    first_on_or_after,
    last_on_or_before,
    next_of_kind,
    previous_of_kind,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spans:
    """First and last window of every step; empty where the first is behind the last."""

    head: tuple[int, ...]
    """At most the number of windows (meaning none)."""
    tail: tuple[int, ...]
    """At least -1 (meaning none)."""
    head_from: tuple[int | None, ...]
    """The predecessor that sets the head; None: its own release."""
    tail_from: tuple[int | None, ...]
    """The follower that sets the tail; None: its own due date."""
    begin: tuple[int, ...]
    """Clock moment from which each could begin."""
    finish: tuple[int, ...]
    """Clock moment by which each must have ended."""

    def empty(self, j: int) -> bool:
        """Whether the step has no window at all."""
        return self.head[j] > self.tail[j] or self.begin[j] >= self.finish[j]


def heads(problem: Problem) -> tuple[list[int], list[int | None], list[int]]:
    """First window of every step, the predecessor that sets it, and the moment it could begin."""
    nxt = next_of_kind(problem.kind)
    begin: list[int] = []  # clock moment from which the step could begin
    head: list[int] = []
    handed: list[int] = []  # what a step hands on: its head, without a window what it was handed
    cause: list[int | None] = []
    for j in range(problem.steps):
        clock, first, of = problem.release[j], 0, None
        for e in problem.before[j]:
            p = e.other
            at = handed[p]
            if e.nights and at < problem.windows:
                at = first_on_or_after(problem.day, problem.day[at] + e.nights)
            moment = begin[p] + e.minutes
            if at > first or moment > clock:
                of = p
            first, clock = max(first, at), max(clock, moment)
        # the first window that ends after the moment: part of it may still be used
        w = max(first, bisect_right(problem.end, clock))
        handed.append(w)
        w = nxt[problem.need[j]][w]
        fixed = problem.fixed[j]
        if fixed is not None:
            w = nxt[problem.need[j]][max(w, first_on_or_after(problem.day, fixed))]
        head.append(w)
        if w < problem.windows:
            handed[j] = w
        begin.append(max(clock, problem.start[w]) if w < problem.windows else clock)
        cause.append(of)
    return head, cause, begin


def tails(
    problem: Problem, head: Sequence[int]
) -> tuple[list[int], list[int | None], list[int]]:
    """Last window of every step, the follower that sets it, and the moment it must have ended.

    A step whose span is empty hands on its date, not its lack of hours: what it follows may
    still be there in time.
    """
    prv = previous_of_kind(problem.kind)
    n = problem.steps
    tail, finish, handed = [0] * n, [0] * n, [0] * n
    cause: list[int | None] = [None] * n
    for j in range(n - 1, -1, -1):
        clock: int = problem.due[j]
        of: int | None = None
        last = last_on_or_before(problem.day, problem.due_day[j])
        for e in problem.behind[j]:
            f = e.other
            at = handed[f]
            if e.nights and at >= 0:
                at = last_on_or_before(problem.day, problem.day[at] - e.nights)
            moment = finish[f] - e.minutes
            if at < last or moment < clock:
                of = f
            last, clock = min(last, at), min(clock, moment)
        # the last window that begins before the moment
        w = plain = min(last, bisect_left(problem.start, clock) - 1)
        w = prv[problem.need[j]][w] if w >= 0 else -1
        fixed = problem.fixed[j]
        if fixed is not None and w >= 0:
            w = min(w, last_on_or_before(problem.day, fixed))
            w = prv[problem.need[j]][w] if w >= 0 else -1
        tail[j] = w
        handed[j] = w if w >= head[j] else plain
        at_end = problem.end[handed[j]] if handed[j] >= 0 else -FAR
        finish[j] = min(clock, at_end)
        cause[j] = of
    return tail, cause, finish


def spans(problem: Problem) -> Spans:
    """The spans of all steps; O(edges x log windows)."""
    head, head_from, begin = heads(problem)
    tail, tail_from, finish = tails(problem, head)
    return Spans(
        head=tuple(head),
        tail=tuple(tail),
        head_from=tuple(head_from),
        tail_from=tuple(tail_from),
        begin=tuple(begin),
        finish=tuple(finish),
    )
