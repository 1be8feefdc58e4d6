"""Flatten a complete schedule towards the levels its intervals could have.

Where places, waits or one-sitting steps keep a list pass from the levels, minutes are
shifted out of windows above their level; what is stuck keeps the least level its windows
need together (the critical interval of what can still be moved).
"""

from __future__ import annotations

import random
from collections.abc import Sequence

from planner.schedule.bound import least_theta
from planner.schedule.problem import WORKROOM
from planner.schedule.shifting import MOST_PATHS, Link, Shifting

#: rounds of raising what is stuck
ROUNDS = 60


class Flattening(Shifting):
    """A complete schedule on its way to its levels."""

    def level(self, caps: Sequence[int], chance: random.Random) -> list[int]:
        """Shift what exceeds ``caps``; returns caps that the schedule now keeps."""
        held = list(caps)
        for _ in range(ROUNDS):
            over = [w for w in range(self.problem.windows) if self.load[w] > held[w]]
            if not over:
                break
            # the fullest first: what it sheds may go into the others
            w = max(over, key=lambda v: self.load[v] / self.problem.size[v])
            if not self._shed(w, held, chance):
                self._raise(w, held)
        return [max(c, m) for c, m in zip(held, self.load, strict=True)]

    def _shed(self, w: int, held: Sequence[int], chance: random.Random) -> bool:
        """Shift minutes out of a window until it keeps its cap; False where it is stuck."""
        banned: set[Link] = set()
        for _ in range(MOST_PATHS):
            if self.load[w] <= held[w]:
                return True
            path = self._path(w, held, banned, chance)
            if path is None:
                return False
            self._apply(path, held, banned)
        return self.load[w] <= held[w]

    def _raise(self, w: int, held: list[int]) -> None:
        """Give the windows that share their minutes with a stuck one the level they need."""
        p = self.problem
        inside = [v for v in {w, *self.reached} if p.kind[v] <= WORKROOM]
        theta = least_theta(sum(self.load[v] for v in inside), [p.size[v] for v in inside])
        before = held[w]
        if theta is not None:
            for v in inside:
                at = theta.numerator * p.size[v] // theta.denominator
                held[v] = max(held[v], min(at, self.load[w] * p.size[v] // p.size[w] + 1))
        if held[w] == before:
            held[w] = self.load[w]
