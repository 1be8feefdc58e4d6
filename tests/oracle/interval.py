"""One kind of hours: the least peak and the flattest load, by intervals alone.

The least peak is the largest interval density (processor demand: Baruah, Rosier, Howell 1990),
with whole minutes in every window; the flattest load repeats the critical interval on what is
left (Yao, Demers, Shenker 1995), in exact fractions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tests.oracle.instance import Instance

Job = tuple[int, int, int]
"""First window, last window, minutes."""


def jobs(found: Instance) -> list[Job]:
    """Each step with its first and last window, consistent along the orders."""
    pairs = zip(found.tasks, found.usable(), strict=True)
    return [(own[0], own[-1], task.minutes) for task, own in pairs]


def least_peak(found: Instance) -> Fraction:
    """The least load at which every interval holds, in whole minutes, what must lie in it."""
    sizes = [w.minutes for w in found.windows]
    return _least(dict(enumerate(sizes)), jobs(found))


def _least(sizes: Mapping[int, int], work: Sequence[Job]) -> Fraction:
    peak = Fraction(0)
    for begin in sorted({a for a, _, _ in work}):
        for end in sorted({b for _, b, _ in work if b >= begin}):
            inside = [m for w, m in sizes.items() if begin <= w <= end]
            demand = sum(p for a, b, p in work if begin <= a and b <= end)
            if demand > _held(inside, peak):
                peak = _load_that_holds(inside, demand)
    return peak


def _held(sizes: list[int], load: Fraction) -> int:
    return sum(int(load * m) for m in sizes)


def _load_that_holds(sizes: list[int], demand: int) -> Fraction:
    """The least load at which windows of these sizes hold so many whole minutes."""
    load = Fraction(demand, sum(sizes))
    while _held(sizes, load) < demand:
        load = min(Fraction(int(load * m) + 1, m) for m in sizes)
    return load


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """Windows that are equally full in the flattest load."""

    load: Fraction
    """Their load, whole minutes ignored."""
    whole: Fraction
    """The least load at which they hold their work in whole minutes."""
    windows: tuple[int, ...]


def levelled(found: Instance) -> tuple[Level, ...]:
    """The lexicographically flattest load, fullest windows first; empty windows are left out."""
    sizes = {w: window.minutes for w, window in enumerate(found.windows)}
    work = jobs(found)
    levels: list[Level] = []
    while work:
        load, begin, end = _critical(sizes, work)
        inside = {w: m for w, m in sizes.items() if begin <= w <= end}
        closed = [job for job in work if begin <= job[0] and job[1] <= end]
        levels.append(Level(load=load, whole=_least(inside, closed), windows=tuple(inside)))
        sizes = {w: m for w, m in sizes.items() if w not in inside}
        work = [_moved_out(job, begin, end) for job in work if job not in closed]
    return tuple(levels)


def can_be_within_a_minute(found: Instance) -> bool:
    """Whether a plan of the least peak can keep every window within a minute of its level.

    Not always: where small windows round down at the peak, the others must hold more. Hall's
    condition on the caps that both demands leave decides it.
    """
    peak = least_peak(found)
    caps = dict.fromkeys(range(len(found.windows)), 0)
    for level in levelled(found):
        for w in level.windows:
            minutes = found.windows[w].minutes
            caps[w] = min(int(peak * minutes), int(level.load * minutes + 1))
    work = jobs(found)
    return all(
        sum(p for a, b, p in work if begin <= a and b <= end)
        <= sum(cap for w, cap in caps.items() if begin <= w <= end)
        for begin in {a for a, _, _ in work}
        for end in {b for _, b, _ in work}
    )


def _moved_out(job: Job, begin: int, end: int) -> Job:
    """The job with ends that lie in a closed interval moved to its far side."""
    first, last, minutes = job
    first = end + 1 if begin <= first <= end else first
    last = begin - 1 if begin <= last <= end else last
    return first, last, minutes


def _critical(sizes: Mapping[int, int], work: Sequence[Job]) -> tuple[Fraction, int, int]:
    """The interval of greatest density, the last of equals."""
    best = (Fraction(-1), 0, 0)
    for begin in {a for a, _, _ in work}:
        for end in {b for _, b, _ in work if b >= begin}:
            demand = sum(p for a, b, p in work if begin <= a and b <= end)
            hours = sum(m for w, m in sizes.items() if begin <= w <= end)
            if demand:
                best = max(best, (Fraction(demand, hours), begin, end))
    return best
