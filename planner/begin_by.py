"""The latest day to begin: without any hours before it the work still fits at 100 %."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from planner.deciding import Decision
from planner.schedule.passes import EQUALS, LAST, URGENT, Pass
from planner.schedule.problem import Problem
from planner.schedule.sides import side_of
from planner.schedule.spans import spans


def _fits_from(problem: Problem, decision: Decision, first: int) -> bool:
    """Whether all can be laid at 100 % in the windows from ``first`` on."""
    moment = problem.start[first]
    later = replace(problem, release=tuple(max(r, moment) for r in problem.release))
    found = spans(later)
    if any(found.empty(j) for j in range(problem.steps)):
        return False
    side = side_of(later, found.head, found.tail)
    caps = problem.caps(Fraction(1))
    by_head = tuple(-h for h in found.head)
    ways = [(by_head, w) for w in (URGENT, EQUALS, LAST)]
    ways.append((decision.scheduled.peak.keys, decision.scheduled.peak.weights))
    if decision.scheduled.search.mean is not None:
        ways.append((tuple(-m for m in decision.scheduled.search.mean), URGENT))
    return any(Pass(side, caps, keys, weights).run().failed is None for keys, weights in ways)


def begin_by(decision: Decision, fits: bool) -> date | None:
    """That day; of work that doesn't fit, the first day with hours; None with nothing to do."""
    problem = decision.scheduled.problem
    if not problem.windows:
        return None
    days = sorted(set(problem.day))
    if not problem.steps or not fits:
        return date.fromordinal(days[0]) if problem.steps else None
    first_of = {d: problem.day.index(d) for d in days}
    low, high = 0, len(days)
    while high - low > 1:
        middle = (low + high) // 2
        if _fits_from(problem, decision, first_of[days[middle]]):
            low = middle
        else:
            high = middle
    return date.fromordinal(days[low])
