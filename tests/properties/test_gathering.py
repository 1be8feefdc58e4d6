"""Gathering slivers costs nothing: no window holds more, no minute is lost, fewer are short."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest

from planner.schedule import plan_steps
from planner.schedule.clock import by_clock
from planner.schedule.gathering import CRUMB, gather
from planner.schedule.laying import Wishes
from planner.schedule.problem import WORKROOM, Problem
from planner.schedule.search import Parts
from planner.schedule.spans import Spans, spans
from tests.oracle.known import planned

Given = tuple[Problem, Spans, Parts, Wishes, Fraction, bool]


def slivers(problem: Problem, parts: Parts, wishes: Wishes) -> int:
    """Sittings shorter than is worth while, of steps that are longer and may be split."""
    return sum(
        minutes < min(wishes.least[j], problem.minutes[j])
        for j, _, minutes in parts
        if not problem.one_sitting[j]
    )


def loads(parts: Parts) -> Counter[int]:
    """Minutes by window."""
    found: Counter[int] = Counter()
    for _, w, minutes in parts:
        found[w] += minutes
    return found


def in_order(problem: Problem, parts: Parts) -> bool:
    """Whether every step begins in or behind the last window, and night, of what it follows."""
    windows: dict[int, list[int]] = {}
    for j, w, _ in parts:
        windows.setdefault(j, []).append(w)
    for j, mine in windows.items():
        for edge in problem.before[j]:
            theirs = windows.get(edge.other)
            if theirs is None:
                continue
            late = problem.day[min(mine)] < problem.day[max(theirs)] + edge.nights
            if min(mine) < max(theirs) or late:
                return False
    return True


@pytest.mark.parametrize("seed", [3, 57, 120, 181, 246, 290])
def test_it_costs_nothing(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every problem the planner lays for a drawn workroom, before and after."""
    asked: list[Given] = []

    def watched(*given: object) -> Parts:
        asked.append(given)  # type: ignore[arg-type]  # as gather is called
        return gather(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(plan_steps, "gather", watched)
    planned(tmp_path, seed)
    assert asked
    for problem, inside, before, wishes, fill_to, clocked in asked:
        after = gather(problem, inside, before, wishes, fill_to, clocked)
        minutes = Counter(dict.fromkeys(range(problem.steps), 0))
        for j, w, m in after:
            assert m > 0 and inside.head[j] <= w <= inside.tail[j]
            assert problem.kind[w] <= problem.need[j]
            minutes[j] += m
        assert [minutes[j] for j in range(problem.steps)] == list(problem.minutes)
        was, filled = loads(before), problem.caps(min(fill_to, Fraction(1)))
        crumbs = CRUMB if any(kind > WORKROOM for kind in problem.kind) else 0
        for w, m in loads(after).items():
            stretches = crumbs if problem.kind[w] <= WORKROOM else 0
            assert m <= max(was[w], filled[w]) + stretches
        fullest = problem.peak([was[w] for w in range(problem.windows)])
        now = loads(after)
        assert problem.peak([now[w] for w in range(problem.windows)]) <= max(fullest, fill_to)
        assert slivers(problem, after, wishes) <= slivers(problem, before, wishes)
        assert in_order(problem, after)
        assert not by_clock(problem, before) or by_clock(problem, after)


def test_it_gathers() -> None:
    """Two steps cut in the same two windows are exchanged, so that each lies in one."""
    problem = Problem(
        start=(0, 1440), end=(60, 1500), size=(60, 60), kind=(1, 1), day=(0, 1),
        touches=(False, False), minutes=(60, 60), need=(1, 1), one_sitting=(False, False),
        release=(0, 0), due=(10**9, 10**9), due_day=(10**9, 10**9), fixed=(None, None),
        before=((), ()), behind=((), ()),
    )  # fmt: skip
    wishes = Wishes(rank=(0, 1), least=(20, 20))
    cut = ((0, 1, 59), (1, 1, 1), (1, 0, 59), (0, 0, 1))
    found = gather(problem, spans(problem), cut, wishes, Fraction(1), False)
    assert sorted(found) in ([(0, 0, 60), (1, 1, 60)], [(0, 1, 60), (1, 0, 60)])
