"""List passes: good schedules soon, as upper bounds and as hints for the solver."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from random import Random

from tests.oracle.core import Amounts, Core

MODES = ("equal", "urgent", "last")
"""How steps that could go elsewhere are weighed in workroom windows."""


class Pass:
    """One forward pass at given caps; smaller keys go first."""

    def __init__(self, core: Core, caps: Sequence[int], key: Sequence[float], mode: str) -> None:
        self.core = core
        self.key = key
        self.mode = mode
        self.room = list(caps)
        self.helper = [m if h else 0 for m, h in zip(core.minutes, core.helper, strict=True)]
        self.left = list(core.need)
        self.amounts: Amounts = [{} for _ in core.need]
        self.failed = -1
        """The step that missed its last window."""
        self._waiting = [len(pairs) for pairs in core.before]
        self._from = [own[0] for own in core.use]
        self._day = [core.day[0]] * len(core.need)
        self._ready = {j for j, n in enumerate(self._waiting) if not n}
        self._own = [frozenset(own) for own in core.use]

    def run(self) -> bool:
        """Fill window after window; whether every step found its place."""
        for w in range(len(self.room)):
            self._fill(w)
            late = [j for j, left in enumerate(self.left) if left and self.core.use[j][-1] <= w]
            if late:
                self.failed = min(late, key=lambda j: (self.core.use[j][-1], j))
                return False
        return True

    def _fill(self, w: int) -> None:
        passed: set[int] = set()
        while self.room[w]:
            eligible = [j for j in self._ready if j not in passed and self._fits(j, w)]
            if not eligible:
                return
            j = min(eligible, key=lambda j: (self._weight(j, w), j))
            if not self._give(j, w):
                passed.add(j)

    def _fits(self, j: int, w: int) -> bool:
        later = w >= self._from[j] and self.core.day[w] >= self._day[j]
        return later and w in self._own[j]

    def _weight(self, j: int, w: int) -> float:
        core = self.core
        if core.place[w] == 0 and core.kind[j]:
            return self.key[j] + {"equal": 0.0, "urgent": 5.0, "last": 1e6}[self.mode]
        if core.two[j] or core.place[w]:
            return self.key[j] - 3 * max(core.two[j], core.kind[j] == core.place[w])
        return self.key[j]

    def _give(self, j: int, w: int) -> bool:
        """Plan what goes into the window; False where none does, or no more."""
        core = self.core
        given = min(self.room[w], self.left[j])
        if core.two[j]:
            given = min(given, self.helper[w])
            self.helper[w] -= given
        rest = self.left[j] - given
        if core.one[j] and rest:
            if not (core.touch[w] and w + 1 in self._own[j] and self.room[w + 1] >= rest):
                return False
            self._put(j, w + 1, rest)
        self._put(j, w, given)
        if not self.left[j]:
            self._finish(j)
        return given > 0 and not (core.two[j] and rest)

    def _put(self, j: int, w: int, minutes: int) -> None:
        if minutes:
            self.amounts[j][w] = minutes
            self.room[w] -= minutes
            self.left[j] -= minutes

    def _finish(self, j: int) -> None:
        self._ready.discard(j)
        end = max(self.amounts[j])
        for k, nights in self.core.after[j]:
            self._waiting[k] -= 1
            self._from[k] = max(self._from[k], end)
            self._day[k] = max(self._day[k], self.core.day[end] + nights)
            if not self._waiting[k]:
                self._ready.add(k)


class Search:
    """Passes in both directions at falling caps, with failing steps moved up."""

    def __init__(self, core: Core, seed: int) -> None:
        self.ways = (core, core.mirrored())
        self.random = Random(seed)
        self.best: Amounts | None = None
        self.peak = Fraction(10**6)

    def better(self, caps: Sequence[int], tries: int) -> bool:
        """Whether a schedule was found at these caps; the best is kept."""
        starts = [(back, mode) for back in (True, False) for mode in MODES]
        return any(self._from(back, mode, caps, tries) for back, mode in starts)

    def _from(self, back: bool, mode: str, caps: Sequence[int], tries: int) -> bool:
        core = self.ways[back]
        caps = caps[::-1] if back else caps
        key = tails(core)
        for _ in range(tries):
            one = Pass(core, caps, key, mode)
            if one.run():
                self._keep(one.amounts, back)
                return True
            bump = self.random.uniform(0.5, 4.0)
            key[one.failed] -= bump
            for i in core.ancestors[one.failed]:
                key[i] -= bump
        return False

    def _keep(self, amounts: Amounts, back: bool) -> None:
        if back:
            last = len(self.ways[0].minutes) - 1
            amounts = [{last - w: p for w, p in own.items()} for own in amounts[::-1]]
        peak = self.ways[0].peak(amounts)
        if peak < self.peak:
            self.peak, self.best = peak, amounts

    def narrow(self, low: Fraction, tries: int, rounds: int = 14) -> None:
        """Bisect between a lower bound and the best, then try the bound itself."""
        core = self.ways[0]
        high = Fraction(2)
        while not self.better(core.caps(high), tries) and high < 64:
            high *= 2
        if self.better(core.caps(low), tries):
            return
        for _ in range(rounds):
            if core.step_up(core.caps(low)) >= self.peak:
                return
            middle = (low + self.peak) / 2
            if not self.better(core.caps(middle), tries):
                low = middle


def tails(core: Core) -> list[float]:
    """For each step the last window it must be done by, the priority of a first pass."""
    return [float(own[-1]) for own in core.use]
