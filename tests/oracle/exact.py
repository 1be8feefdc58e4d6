"""The least peak of an instance, proven where the time allows it.

1. A lower bound (``bound``) and list passes (``greedy``); where they meet, that is the proof.
2. Else the model at fixed caps, solved between the two: a schedule lowers the best, a proof that
   there is none raises the bound to the next load at which any window holds a minute more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from time import monotonic

from ortools.sat.python import cp_model

from tests.oracle.bound import lower_bound, spans
from tests.oracle.core import Amounts, Core, core_of
from tests.oracle.greedy import Search
from tests.oracle.instance import Instance
from tests.oracle.model import Model, merged


@dataclass(frozen=True, kw_only=True)
class Result:
    """What is known of the least peak."""

    peak: Fraction
    """The best found."""
    bound: Fraction
    """No schedule is below it."""
    seconds: float
    amounts: Amounts

    @property
    def proven(self) -> bool:
        """Whether the best found is the least there is."""
        return self.peak == self.bound


class Solver:
    """Closes the gap between bound and best."""

    def __init__(self, core: Core, limit: float, seed: int = 1) -> None:
        self.core = core
        self.merged = merged(core)
        self.until = monotonic() + limit
        self.began = monotonic()
        self.low = lower_bound(self.core)
        self.search = Search(self.core, seed)

    @property
    def left(self) -> float:
        """Seconds left."""
        return self.until - monotonic()

    @property
    def open(self) -> bool:
        """Whether best and bound still differ and there is time."""
        return self.search.peak > self.low and self.left > 0

    def run(self, tries: int = 8) -> Result:
        """Passes first, then the solver."""
        self.search.narrow(self.low, tries)
        share = 0.0
        while self.open:
            theta = self.low + (self.search.peak - self.low) * Fraction(share)
            caps = self.core.caps(theta)
            if self.core.step_up(caps) > self.search.peak:
                caps = self.core.caps_below(self.search.peak)
            self._decide(caps, self.left)
            share = 0.5 if share == 0.0 else share
        best = self.search.best
        assert best is not None
        return Result(
            peak=self.search.peak,
            bound=self.low,
            seconds=monotonic() - self.began,
            amounts=best,
        )

    def _decide(self, caps: Sequence[int], seconds: float) -> None:
        amounts = solve(self.merged.core, caps, seconds)
        if amounts is None:
            return
        if not amounts:
            self.low = self.core.step_up(caps)
            return
        single = self.merged.taken_apart(amounts, self.core.need)
        self.search.best, self.search.peak = single, self.core.peak(single)


def solve(core: Core, caps: Sequence[int], seconds: float) -> Amounts | None:
    """A schedule at these caps; an empty one where there is none; None where undecided."""
    narrow = spans(core, caps)
    if narrow is None:
        return []
    model = Model(core, caps, narrow)
    model.build()
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = max(0.1, seconds)
    solver.parameters.linearization_level = 1
    status = solver.solve(model.solver_model)
    if status == cp_model.INFEASIBLE:
        return []
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return [
        {w: p for w in windows if (p := int(solver.value(model.minutes(j, w))))}
        for j, windows in enumerate(model.windows)
    ]


def least_peak(found: Instance, limit: float = 60.0) -> Result:
    """The least peak within so many seconds."""
    return Solver(core_of(found), limit).run()
