"""Take a few chains of steps out of a complete schedule and lay them anew.

Large neighbourhood search (Shaw 1998; ruin and recreate: Schrimpf and others 2000): some
pieces of chains about an overfull window are taken out and laid again in another order, from
either end; what then exceeds the caps of a trial theta is shifted along chains of windows. The
change is kept where no more is over than lately (late acceptance: Burke and Bykov 2017, with a
few minutes allowed on top). Once nothing is over, the trial theta goes down.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

from planner.schedule.effort import WHOLE, Effort
from planner.schedule.problem import (
    HELPER,
    WORKROOM,
    Problem,
    next_of_kind,
    previous_of_kind,
)
from planner.schedule.shifting import Parts, Shifting
from planner.schedule.spans import Spans

#: how many pieces are taken out, how far from the overfull window, how many steps either way
PIECES = (2, 4, 8, 12, 16)
REACH = (2, 8, 20)
LENGTHS = ((0, 1, 2), (0, 1, 2, 4, 8, 16), (99,))
#: a trial theta is so much below the best
LOWER = Fraction(9995, 10_000)
#: how many changes back "lately" is, and the minutes allowed on top
LATELY = 60
ON_TOP = 12
#: laid anew with so much more over (a factor, and minutes), shifting is not worth while
HOPELESS = (8, 150)
#: links that laying a step anew counts for, and links for settling after a success
LINKS_A_STEP = 3
LINKS_TO_SETTLE = 4_000


class Rebuilding(Shifting):
    """A complete schedule of which parts can be laid anew."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        parts: Parts,
        chance: random.Random,
        effort: Effort = WHOLE,
    ) -> None:
        super().__init__(problem, spans, parts)
        self.chance, self.effort = chance, effort
        self.next = next_of_kind(problem.kind)
        self.previous = previous_of_kind(problem.kind)
        self.best = self.peak()
        self.best_parts = parts

    def _undo(self) -> None:
        """Back to how it was when ``done`` was empty."""
        done = self.done[::-1]
        for j, w, minutes in done:
            self._add(j, w, -minutes)
        self.done.clear()

    def _over(self, caps: Sequence[int]) -> int:
        """Minutes above the caps."""
        return sum(a - c for a, c in zip(self.load, caps, strict=True) if a > c)

    def lower(self, least: Fraction, most: int) -> Fraction:
        """Bring the peak down towards ``least``; returns it, ``best_parts`` reach it.

        ``most``: how many links may be looked at in all.
        """
        while self.best > least and self.looked < most:
            theta = max(least, self.best * LOWER)
            caps = self.problem.caps(theta)
            over = self._over(caps)
            if over and not self._under(theta, caps, over, most):
                break
            self.settle(least, self.chance, self.looked + LINKS_TO_SETTLE)
            peak = self.peak()
            if peak >= self.best:
                break
            self.best, self.best_parts = peak, self.parts()
        return self.best

    def _under(self, theta: Fraction, caps: Sequence[int], over: int, most: int) -> bool:
        """Lay parts anew until nothing is over the caps of ``theta``; False if it stays so."""
        lately, k = [over] * LATELY, 0
        while over and self.looked < most:
            self.effort.go_on()
            k = (k + 1) % LATELY
            now = self._changed(theta, caps, over)
            if now is not None and (now <= over or now <= lately[k] + ON_TOP):
                lately[k] = over = now
            else:
                self._undo()
                lately[k] = min(lately[k], over)
        return over == 0

    def _changed(self, theta: Fraction, caps: Sequence[int], over: int) -> int | None:
        """Lay some steps anew; the minutes over the caps then, None where it can't be done."""
        self.done.clear()
        steps = self._chosen(caps)
        self.looked += LINKS_A_STEP * max(1, len(steps))
        if not steps or not self._relay(steps, caps):
            return None
        now = self._over(caps)
        if now > HOPELESS[0] * over + HOPELESS[1]:
            return now
        self._lower(theta, self.chance, self.looked + LINKS_TO_SETTLE)
        return self._over(caps)

    def _chosen(self, caps: Sequence[int]) -> list[int]:
        """Pieces of chains about an overfull window, in an order in which they can be laid."""
        chance, p = self.chance, self.problem
        at = chance.choice([w for w in range(p.windows) if self.load[w] > caps[w]])
        reach, lengths = chance.choice(REACH), chance.choice(LENGTHS)
        found: set[int] = set()
        for piece in range(chance.choice(PIECES)):
            w = at
            if piece or chance.random() < 0.3:
                w = min(p.windows - 1, max(0, at + chance.randint(-reach, reach)))
            if not self.of_window[w]:
                continue
            j = chance.choice(list(self.of_window[w]))
            found.add(j)
            for links in (self.above, self.below):
                k = j
                for _ in range(chance.choice(lengths)):
                    if not links[k]:
                        break
                    k = chance.choice(links[k])[0]
                    found.add(k)
        return sorted(found) if chance.random() < 0.5 else self._shuffled(sorted(found))

    def _shuffled(self, steps: Sequence[int]) -> list[int]:
        """Another order that the steps can be laid in, mostly chain by chain."""
        inside = set(steps)
        locks = {j: sum(k in inside for k, _ in self.above[j]) for j in steps}
        ready = [j for j in steps if not locks[j]]
        found: list[int] = []
        after: list[int] = []
        while ready:
            stay = after and self.chance.random() < 0.8
            j = self.chance.choice(after if stay else ready)
            ready.remove(j)
            found.append(j)
            after = []
            for k, _ in self.below[j]:
                if k in inside:
                    locks[k] -= 1
                    if not locks[k]:
                        after.append(k)
            ready += after
        return found

    def _relay(self, steps: Sequence[int], caps: Sequence[int]) -> bool:
        """Take steps out and lay them again, forwards or backwards; False where one can't be."""
        for j in steps:
            for w, minutes in list(self.of_step[j].items()):
                self._add(j, w, -minutes)
        forward = self.chance.random() < 0.5
        limit = self._limits(steps, forward)
        if limit is None:
            return False
        eager = self.chance.random()
        for j in steps if forward else reversed(steps):
            first, last = self._first(j), self._last(j)
            windows = range(first, limit[j] + 1) if forward else range(last, limit[j] - 1, -1)
            need, kind = self.problem.need[j], self.problem.kind
            if not self._put(j, [w for w in windows if kind[w] <= need], caps, eager):
                return False
        return True

    def _first(self, j: int) -> int:
        """First window by what the step follows, as far as that is laid."""
        at = [after[self.last[k]] for k, after in self.above[j]]
        return max(self.spans.head[j], *at) if at else self.spans.head[j]

    def _last(self, j: int) -> int:
        """Last window by what follows the step, as far as that is laid."""
        at = [until[self.first[k]] for k, until in self.below[j]]
        return min(self.spans.tail[j], *at) if at else self.spans.tail[j]

    def _limits(self, steps: Sequence[int], forward: bool) -> dict[int, int] | None:
        """The window at the far end of each step that leaves one for all that comes after it."""
        need = self.problem.need
        limit: dict[int, int] = {}
        for j in reversed(steps) if forward else steps:
            if forward:
                at = self._last(j)
                beyond = [until[limit[k]] for k, until in self.below[j] if k in limit]
                at = min(at, *beyond) if beyond else at
                at = self.previous[need[j]][at] if at >= 0 else -1
            else:
                at = self._first(j)
                beyond = [after[limit[k]] for k, after in self.above[j] if k in limit]
                at = max(at, *beyond) if beyond else at
                at = self.next[need[j]][at]
            if not 0 <= at < self.problem.windows:
                return None
            limit[j] = at
        return limit

    def _put(self, j: int, windows: Sequence[int], caps: Sequence[int], eager: float) -> bool:
        """Lay a step into the first of the windows with room; what is left into any of them."""
        p = self.problem
        if p.one_sitting[j]:
            return self._put_whole(j, windows, caps)
        left = p.minutes[j]
        if p.need[j] > WORKROOM and self.chance.random() > eager:
            left = self._fill(j, [w for w in windows if p.kind[w] > WORKROOM], caps, left)
        left = self._fill(j, windows, caps, left)
        if left:
            room = [
                w
                for w in windows
                if p.kind[w] <= WORKROOM
                and (p.need[j] != HELPER or p.size[w] - self.two[w] >= left)
            ]
            if not room:
                return False
            self._add(j, self.chance.choice(room), left)
        return True

    def _fill(self, j: int, windows: Sequence[int], caps: Sequence[int], left: int) -> int:
        """Put minutes of a step where there is room; how many are left over."""
        two_hand, size = self.problem.need[j] == HELPER, self.problem.size
        for w in windows:
            take = min(left, caps[w] - self.load[w])
            if two_hand:
                take = min(take, size[w] - self.two[w])
            if take > 0:
                self._add(j, w, take)
                left -= take
                if not left:
                    break
        return left

    def _put_whole(self, j: int, windows: Sequence[int], caps: Sequence[int]) -> bool:
        """Lay a one-sitting step whole, where least is over then."""
        p, best, at = self.problem, -1, -1
        for w in windows:
            if p.need[j] == HELPER and p.size[w] - self.two[w] < p.minutes[j]:
                continue
            lacking = max(0, p.minutes[j] - caps[w] + self.load[w])
            if lacking and p.kind[w] > WORKROOM:
                continue
            if at < 0 or lacking < best:
                best, at = lacking, w
            if not lacking:
                break
        if at < 0:
            return False
        self._add(j, at, p.minutes[j])
        return True
