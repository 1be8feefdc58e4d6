"""The sittings of a plan by the clock.

In a window sittings are laid from its beginning, without gaps but for waits. Minutes beyond
the window's end are over and have no clock time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.schedule.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One sitting in whole minutes of the problem's clock."""

    step: int
    window: int
    minutes: int
    begin: int
    """The window's end where the sitting is wholly over."""
    end: int
    over: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """What makes two steps alike, so that they are best done one after the other."""

    garment: tuple[int, ...]
    work: tuple[int, ...]


def _chronological(
    problem: Problem, laid: Sequence[tuple[int, int]], like: Likeness, pinned: bool
) -> list[tuple[int, int]]:
    """(step, minutes) of a window in the order they are done.

    ``laid`` is in backward order. Orders among the steps hold; otherwise like follows like,
    unless ``pinned``.
    """
    parts = list(reversed(laid))
    if pinned or len(parts) < 3:
        return parts
    here = {j for j, _ in parts}
    waiting = {j: {e.other for e in problem.before[j]} & here for j, _ in parts}
    order: list[tuple[int, int]] = []
    rest = parts
    while rest:
        last = order[-1][0] if order else None
        ready = [p for p in rest if not waiting[p[0]]]
        best = ready[0] if last is None else max(ready, key=lambda p: _alike(last, p[0], like))
        order.append(best)
        rest = [p for p in rest if p is not best]
        for j, _ in rest:
            waiting[j].discard(best[0])
    return order


def _alike(a: int, b: int, like: Likeness) -> int:
    """Three when both are the same, two for the same work, one for the same garment."""
    return 2 * (like.work[a] == like.work[b]) + (like.garment[a] == like.garment[b])


def sittings(
    problem: Problem, parts: Sequence[tuple[int, int, int]], like: Likeness
) -> list[Stretch]:
    """All sittings in order of time; like follows like where waits in hours allow."""
    timed = any(e.minutes for row in problem.before for e in row)
    found = _lay(problem, parts, like, pinned=False)
    if timed and not kept(problem, found):
        found = _lay(problem, parts, like, pinned=True)
    return found


def _lay(
    problem: Problem, parts: Sequence[tuple[int, int, int]], like: Likeness, pinned: bool
) -> list[Stretch]:
    by_window: dict[int, list[tuple[int, int]]] = {}
    windows_of: dict[int, list[int]] = {}
    for j, w, minutes in parts:
        by_window.setdefault(w, []).append((j, minutes))
        windows_of.setdefault(j, []).append(w)
    ended = [-1] * problem.steps
    found: list[Stretch] = []
    for w in sorted(by_window):
        crossing = {
            j: windows_of[j]
            for j, _ in by_window[w]
            if problem.one_sitting[j] and len(windows_of[j]) > 1
        }
        fixed = pinned or bool(crossing)
        clock, end = problem.start[w], problem.end[w]
        for j, minutes in _at_cuts(
            _chronological(problem, by_window[w], like, fixed), w, crossing
        ):
            waits = [ended[e.other] + e.minutes for e in problem.before[j] if e.minutes]
            begin = max([clock, *(v for v in waits if v <= end)])
            if j in crossing and w < max(crossing[j]) and problem.touches[w]:
                begin = max(begin, end - minutes)  # its first part ends at the cut
            clock = begin + minutes
            over = min(minutes, max(0, clock - end))
            found.append(
                Stretch(
                    step=j,
                    window=w,
                    minutes=minutes,
                    begin=min(begin, end),
                    end=min(clock, end),
                    over=over,
                )
            )
            ended[j] = min(clock, end)
    return found


def by_clock(problem: Problem, parts: Sequence[tuple[int, int, int]]) -> bool:
    """Whether a laid plan keeps its waits in hours by the clock."""
    nothing = (0,) * problem.steps
    like = Likeness(garment=nothing, work=nothing)
    return kept(problem, _lay(problem, parts, like, pinned=True))


def broken_waits(
    problem: Problem, parts: Sequence[tuple[int, int, int]]
) -> frozenset[tuple[int, int]]:
    """(step, follower) of the waits in hours that a laid plan breaks by the clock, or that push
    work past the end of a window whose minutes would suffice."""
    nothing = (0,) * problem.steps
    found = _lay(problem, parts, Likeness(garment=nothing, work=nothing), pinned=True)
    pushed = {s.window for s in found if s.over}
    begun: dict[int, Stretch] = {}
    ended: dict[int, Stretch] = {}
    for s in found:
        begun.setdefault(s.step, s)
        ended[s.step] = s
    broken = set()
    for j, end in ended.items():
        for e in problem.behind[j]:
            follower = begun.get(e.other)
            if not e.minutes or follower is None:
                continue
            free = end.end + e.minutes
            pushes = follower.window in pushed and free > problem.start[follower.window]
            if follower.begin < free or pushes:
                broken.add((j, e.other))
    return frozenset(broken)


def _at_cuts(
    parts: list[tuple[int, int]], w: int, crossing: Mapping[int, Sequence[int]]
) -> list[tuple[int, int]]:
    """What crosses a cut stands last in its first window and first in the next.

    Nothing it follows can lie behind the cut, and nothing that follows it before.
    """
    if not crossing:
        return parts
    first = [p for p in parts if p[0] in crossing and w == max(crossing[p[0]])]
    last = [p for p in parts if p[0] in crossing and w == min(crossing[p[0]])]
    return [*first, *(p for p in parts if p not in first and p not in last), *last]


def kept(problem: Problem, found: Sequence[Stretch]) -> bool:
    """Whether waits in hours and dates inside windows hold by the clock.

    Also that no wait pushes work past the end of a window whose minutes would suffice.
    """
    planned: dict[int, int] = {}
    for s in found:
        planned[s.window] = planned.get(s.window, 0) + s.minutes
    if any(s.over and planned[s.window] <= problem.size[s.window] for s in found):
        return False
    begun: dict[int, int] = {}
    ended: dict[int, int] = {}
    for s in found:
        begun.setdefault(s.step, s.begin)
        ended[s.step] = s.end
    for j, end in ended.items():
        if end > problem.due[j]:
            return False
        for e in problem.behind[j]:
            if e.minutes and e.other in begun and begun[e.other] < end + e.minutes:
                return False
    return True
