"""Steps and windows as the schedule's problem, in whole numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planner.chains import after_wait
from planner.hours import Window
from planner.model import Wait
from planner.schedule.problem import FAR, Edge, Problem
from planner.timeline import kind_of, to_clock, to_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """An open step as the schedule needs it."""

    id: str
    minutes: int
    need: int
    one_sitting: bool
    release: int
    """Clock moment."""
    wait: Wait
    after: tuple[str, ...]
    """Open steps it follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tie:
    """What a step hands on to its followers through what can't be placed."""

    nights: int
    minutes: int


def assemble(windows: Sequence[Window], jobs: Sequence[Job], placed: frozenset[str]) -> Problem:
    """The problem of the ``placed`` jobs, in the order of ``jobs`` (an order of work).

    A job that is not placed hands on its releases and waits, but its minutes hold nobody up.
    Dues are set apart (``lateness``).
    """
    number = {j.id: k for k, j in enumerate(j for j in jobs if j.id in placed)}
    wait = {j.id: j.wait for j in jobs}
    handed: dict[str, tuple[int, dict[str, _Tie]]] = {}
    before: list[tuple[Edge, ...]] = []
    release: list[int] = []
    for job in jobs:
        moment, ties = _what_holds(job, wait, number, handed)
        if job.id in number:
            release.append(moment)
            before.append(
                tuple(
                    Edge(other=number[p], nights=t.nights, minutes=t.minutes)
                    for p, t in ties.items()
                )
            )
        else:
            handed[job.id] = _handed_on(job, moment, ties)
    behind: list[list[Edge]] = [[] for _ in before]
    for k, row in enumerate(before):
        for e in row:
            behind[e.other].append(Edge(other=k, nights=e.nights, minutes=e.minutes))
    mine = [j for j in jobs if j.id in number]
    n = len(mine)
    return Problem(
        start=tuple(to_clock(w.start) for w in windows),
        end=tuple(to_clock(w.end) for w in windows),
        size=tuple(w.minutes for w in windows),
        kind=tuple(kind_of(w) for w in windows),
        day=tuple(to_day(w.day) for w in windows),
        touches=tuple(
            a.end == b.start and a.place is b.place
            for a, b in pairwise(windows)
        )
        + ((False,) if windows else ()),
        minutes=tuple(j.minutes for j in mine),
        need=tuple(j.need for j in mine),
        one_sitting=tuple(j.one_sitting for j in mine),
        release=tuple(release),
        due=(FAR,) * n,
        due_day=(FAR,) * n,
        fixed=(None,) * n,
        before=tuple(before),
        behind=tuple(tuple(row) for row in behind),
    )


def _what_holds(
    job: Job,
    wait: Mapping[str, Wait],
    number: Mapping[str, int],
    handed: Mapping[str, tuple[int, dict[str, _Tie]]],
) -> tuple[int, dict[str, _Tie]]:
    """A job's release and its ties to placed jobs, through what is not placed."""
    moment = job.release
    ties: dict[str, _Tie] = {}
    for p in job.after:
        if p in handed:
            later, theirs = handed[p]
            moment = max(moment, later)
            for q, tie in theirs.items():
                ties[q] = _stronger(ties.get(q), tie)
        elif p in number:
            ties[p] = _stronger(ties.get(p), _Tie(nights=wait[p].nights, minutes=wait[p].minutes))
    return moment, ties


def _stronger(a: _Tie | None, b: _Tie) -> _Tie:
    if a is None:
        return b
    return _Tie(nights=max(a.nights, b.nights), minutes=max(a.minutes, b.minutes))


def _handed_on(
    job: Job, moment: int, ties: Mapping[str, _Tie]
) -> tuple[int, dict[str, _Tie]]:
    """What a job without a place hands to its followers: releases and waits with its own."""
    wait = job.wait
    # a wait runs from the moment it could have been done at the earliest
    later = after_wait(moment, wait) if moment > 0 and wait else moment
    return later, {
        p: _Tie(nights=t.nights + wait.nights, minutes=t.minutes + wait.minutes)
        for p, t in ties.items()
    }
