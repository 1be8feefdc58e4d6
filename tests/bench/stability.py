"""How much a lost evening moves, against what must move: ``python -m tests.bench.stability``.

For random workrooms: the plan is made and kept; then nothing is done on the first day with work,
and the plan is made again from the next midnight. What moves are minutes that were planned for a
coming day and no longer are. What must move is bounded from below by a linear program over the
steps and windows of the new plan's problem:

- minutes x[step, window] >= 0 where the step's span and place allow; they sum to the step's;
- no window holds more than its cap (100 %, or the least peak and two points, whichever is more);
  two-hand minutes of a window no more than its own;
- of a step no larger share is done by the end of a window than of what it follows (where nights
  lie between, by the end of the last window so many nights before);
- least: the sum over steps and days of what is planned there less than the kept plan had.

Every plan that holds on to the kept one satisfies all that, so no plan moves less. Seeds may be
named on the command line; ``--list`` shows each.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from ortools.linear_solver import pywraplp

from planner.deciding import Decision, decide
from planner.files.reading import read_project
from planner.ground import Ground, lay_ground
from planner.holding_on import held_in
from planner.kept import kept_of
from planner.model import Project
from planner.planning import plan_project
from planner.schedule.holding import cap_of
from planner.schedule.problem import HELPER, last_on_or_before
from tests.independent import random_workrooms
from tests.oracle import workrooms
from tests.oracle.drawn import NOW as DRAWN_NOW

SEEDS = (*range(1, 103), *(-seed for seed in workrooms.seeds()[:100]))
"""Positive: workrooms with every feature of the files; negative: drawn ones of the oracle's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One workroom."""

    seed: int
    steps: int
    remaining: int
    """Minutes left to place."""
    lost: int
    moved: int
    bound: float
    """What must move at least."""
    seconds: float

    @property
    def beyond(self) -> float:
        """What moved beyond that, as a share of what remains."""
        return max(0.0, self.moved - self.bound) / self.remaining if self.remaining else 0.0


def measured(seed: int) -> Row | None:
    """One workroom's evening lost; None where nothing is planned."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        if seed > 0:
            random_workrooms.write_workroom(folder, seed)
            now = random_workrooms.NOW
        else:
            folder = workrooms.write(folder, -seed)
            now = DRAWN_NOW
        project = read_project(folder)
    before = plan_project(project, now, thorough=False)
    days = [s.date for s in before.sittings if s.window is not None]
    if not days:
        return None
    then = datetime.combine(min(days) + timedelta(days=1), time())
    kept = replace(project, kept=kept_of(before))
    begun = perf_counter()
    ground = lay_ground(kept, then)
    decision = decide(ground)
    seconds = perf_counter() - begun
    return _row(seed, kept, ground, decision, seconds)


def _row(
    seed: int, project: Project, ground: Ground, decision: Decision, seconds: float
) -> Row:
    problem = decision.scheduled.problem
    wanted: dict[tuple[int, int], int] = {}
    held = held_in(project.kept, ground.windows, decision.names)
    for j, mine in enumerate(held.minutes if held is not None else ()):
        for w, minutes in mine.items():
            key = (j, problem.day[w])
            wanted[key] = wanted.get(key, 0) + minutes
    there: dict[tuple[int, int], int] = {}
    for j, w, minutes in decision.scheduled.parts:
        key = (j, problem.day[w])
        there[key] = there.get(key, 0) + minutes
    remaining = sum(problem.minutes)
    return Row(
        seed=seed,
        steps=problem.steps,
        remaining=remaining,
        lost=remaining - sum(wanted.values()),
        moved=sum(max(0, m - there.get(key, 0)) for key, m in wanted.items()),
        bound=must_move(decision, wanted),
        seconds=seconds,
    )


def must_move(decision: Decision, wanted: dict[tuple[int, int], int]) -> float:
    """The least minutes that leave their day, by the linear program."""
    found = decision.scheduled
    p, spans = found.problem, found.search.spans
    caps = p.caps(cap_of(found.peak.theta))
    solver = pywraplp.Solver.CreateSolver("GLOP")
    x: list[dict[int, pywraplp.Variable]] = []
    for j in range(p.steps):
        inside = range(max(0, spans.head[j]), min(p.windows - 1, spans.tail[j]) + 1)
        mine = {w: solver.NumVar(0, p.minutes[j], "") for w in inside if p.kind[w] <= p.need[j]}
        x.append(mine)
        solver.Add(sum(mine.values()) == p.minutes[j])
    for w in range(p.windows):
        here = [x[j][w] for j in range(p.steps) if w in x[j]]
        if here:
            solver.Add(sum(here) <= caps[w])
        two = [x[j][w] for j in range(p.steps) if w in x[j] and p.need[j] == HELPER]
        if two:
            solver.Add(sum(two) <= p.size[w])
    for j in range(p.steps):
        for e in p.before[j]:
            for w in x[j]:
                until = last_on_or_before(p.day, p.day[w] - e.nights) if e.nights else w
                ours = sum(v for u, v in x[j].items() if u <= w)
                theirs = sum(v for u, v in x[e.other].items() if u <= until)
                solver.Add(ours * p.minutes[e.other] <= theirs * p.minutes[j])
    least = []
    for (j, day), minutes in wanted.items():
        gone = solver.NumVar(0, minutes, "")
        solver.Add(gone >= minutes - sum(v for w, v in x[j].items() if p.day[w] == day))
        least.append(gone)
    solver.Minimize(sum(least))
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return 0.0
    return float(solver.Objective().Value())


def rows(seeds: Sequence[int]) -> Iterator[Row]:
    """The workrooms in which anything is planned."""
    for seed in seeds:
        row = measured(seed)
        if row is not None:
            yield row


def at(values: Sequence[float], share: float) -> float:
    """The value below which that share of them lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def main(words: Sequence[str]) -> int:
    """Measure, and print."""
    seeds = [int(w) for w in words if w.lstrip("-").isdigit()] or list(SEEDS)
    found = []
    for row in rows(seeds):
        found.append(row)
        if "--list" in words:
            print(
                f"{row.seed:5}  {row.steps:4} steps, {row.remaining:6} min left, lost {row.lost:4},"
                f" moved {row.moved:5}, must {row.bound:7.1f}, beyond {row.beyond:6.1%},"
                f" {row.seconds:.2f} s",
                flush=True,
            )
    beyond = [row.beyond for row in found]
    print(
        f"{len(found)} workrooms: beyond what must move, median {median(beyond):.1%} of the"
        f" remaining minutes, p95 {at(beyond, 0.95):.1%}, worst {max(beyond):.1%};"
        f" moved in all median {median(r.moved / max(1, r.remaining) for r in found):.1%}"
    )
    return 0 if median(beyond) <= 0.05 and at(beyond, 0.95) <= 0.15 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
