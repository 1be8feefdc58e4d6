"""An earlier plan repaired: what is left over is laid into it, and room is made for that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planner.schedule.nearing import Near
from planner.schedule.problem import HELPER, WORKROOM, Problem
from planner.schedule.shifting import MOST_PATHS, Link
from planner.schedule.spans import Spans

#: up to this level left-over work looks for room
FULL = Fraction(1)
#: in such steps from the level to which days are filled
STEP = Fraction(1, 20)
#: how often a step is pushed on to make room, and overfull windows looked at for one push
PUSHES = 24
PLACES = 4


class Repair(Near):
    """An earlier plan with what is left over laid into it."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        wanted: Sequence[Mapping[int, int]],
        order: Mapping[int, Sequence[int]],
        caps: Sequence[int],
        apart: frozenset[tuple[int, int]],
        reach: int,
    ) -> None:
        """``reach``: how many windows a step is moved on over full ones before it overfills one."""
        super().__init__(problem, spans, (), wanted, order, caps, apart)
        self.reach = reach
        self.levels: list[list[int]] = [list(caps)]
        self.least: Sequence[int] = [1] * problem.steps

    def insert(self, fill_to: Fraction, least: Sequence[int] | None = None) -> bool:
        """Lay what is wanted, and the rest where there is room; False where some has no place.

        Backwards, so that what follows lies already, and then once forwards: what has to lie
        later than that allows moves what follows it on. A window without room is overfilled, if
        it can be.
        """
        self.levels = self._levels(fill_to)
        self.least = least if least is not None else [1] * self.problem.steps
        for j, mine in enumerate(self.wanted):
            for w, minutes in mine.items():
                self._add(j, w, minutes)
        for j in range(self.problem.steps - 1, -1, -1):
            self._settle_before(j, max(self._high(j), self.spans.head[j]))
        return self._forward()

    def _forward(self) -> bool:
        """Have every step begin after all it follows, moving on what doesn't; False if it can't."""
        return all(self._settle_after(j) for j in range(self.problem.steps))

    def _backward(self) -> bool:
        """Have every step end before all that follows it; False where it can't."""
        return all(
            self._settle_before(j, self._high(j)) for j in range(self.problem.steps - 1, -1, -1)
        )

    def _settle_before(self, j: int, high: int) -> bool:
        """Lay what of a step lies after ``high``, or nowhere, up to it; whether all of it lies."""
        p, head = self.problem, self.spans.head[j]
        missing = self._take_out(j, [w for w in self.of_step[j] if w > high])
        if not missing:
            return True
        if p.one_sitting[j]:
            return self._put_one(j, range(high, head - 1, -1))
        near = range(high, max(head, min(self._low(j), high)) - 1, -1)
        return self._put_in(j, missing, near, range(high, head - 1, -1))

    def _settle_after(self, j: int) -> bool:
        """Lay what of a step lies before what it follows, or nowhere, after that."""
        p, low, tail = self.problem, self._low(j), self.spans.tail[j]
        missing = self._take_out(j, [w for w in self.of_step[j] if w < low])
        if not missing:
            return True
        if p.one_sitting[j]:
            return self._put_one(j, range(low, tail + 1))
        last = min(tail, max(self._high(j), low))
        far = range(low, min(tail, last + self.reach) + 1)
        return self._put_in(j, missing, range(low, last + 1), far)

    def _take_out(self, j: int, windows: Sequence[int]) -> int:
        """Take a step out of windows (one of one sitting: wholly); how much of it lies nowhere."""
        if self.problem.one_sitting[j] and (windows or self._sum(j) < self.problem.minutes[j]):
            windows = list(self.of_step[j])
        for w in windows:
            self._add(j, w, -self.of_step[j][w])
        return self.problem.minutes[j] - self._sum(j)

    def _levels(self, fill_to: Fraction) -> list[list[int]]:
        """Caps of windows, from the level to which days are filled to the most allowed."""
        p = self.problem
        found, theta = [], fill_to
        while theta < FULL:
            found.append([min(a, b) for a, b in zip(p.caps(theta), self.caps, strict=True)])
            theta += STEP
        return [*found, list(self.caps)]

    def _sum(self, j: int) -> int:
        return sum(self.of_step[j].values())

    def _high(self, j: int) -> int:
        """The last window by what follows the step, where that lies."""
        high = self.spans.tail[j]
        for k, until in self.below[j]:
            at = until[self.first[k]]
            if at < high:
                high = at
        return high

    def _low(self, j: int) -> int:
        """The first window by what the step follows, where that lies."""
        low = self.spans.head[j]
        for k, after in self.above[j]:
            at = after[self.last[k]]
            if at > low:
                low = at
        return low

    def _put_in(self, j: int, left: int, near: Sequence[int], far: Sequence[int]) -> bool:
        """Lay minutes of a step in the first windows of these, the near ones at the lowest level
        that holds them; what lies far moves others, and lies no farther than it must."""
        p = self.problem
        near_ones = [w for w in near if p.kind[w] <= p.need[j]]
        # sittings there are already are made longer first
        near_ones.sort(key=lambda w: w not in self.of_step[j])
        far_ones = [w for w in far if p.kind[w] <= p.need[j]]
        for windows, levels in ((near_ones, self.levels), (far_ones, self.levels[-1:])):
            for least in (self.least[j], 1):
                for caps in levels:
                    roomy = [w for w in windows if self._worth(j, w, caps, left, least)]
                    left = self._fill(j, roomy, caps, left)
                    if not left:
                        return True
        return any(self._overfill(j, some, left) for some in (near, far))

    def _worth(self, j: int, w: int, caps: Sequence[int], left: int, least: int) -> bool:
        """Whether a window takes so much of a step that it is worth getting out for."""
        return w in self.of_step[j] or caps[w] - self.load[w] >= min(least, left)

    def _overfill(self, j: int, some: Sequence[int], left: int) -> bool:
        """Lay minutes where least is over then; False where there is no such window."""
        p = self.problem
        two_hand = p.need[j] == HELPER
        windows = [
            w
            for w in some
            if p.kind[w] <= min(WORKROOM, p.need[j])
            and (not two_hand or p.size[w] - self.two[w] >= left)
        ]
        if not windows:
            return False
        self._add(j, min(windows, key=lambda w: (self.load[w] + left) / p.size[w]), left)
        return True

    def _put_one(self, j: int, windows: Sequence[int]) -> bool:
        """Lay a step of one sitting: in the first window with room, else where least is over."""
        p = self.problem
        minutes = p.minutes[j]
        best: tuple[int, int] | None = None
        for w in windows:
            if p.kind[w] > p.need[j]:
                continue
            if p.need[j] == HELPER and p.size[w] - self.two[w] < minutes:
                continue
            lacking = max(0, self.load[w] + minutes - self.caps[w])
            if lacking and (p.kind[w] > WORKROOM or minutes > self.caps[w]):
                continue
            if best is None or lacking < best[0]:
                best = (lacking, w)
            if not lacking:
                break
        if best is None:
            return self._put_across(j, windows)
        self._add(j, best[1], minutes)
        return True

    def _put_across(self, j: int, windows: Sequence[int]) -> bool:
        """Lay a step of one sitting across a cut, where least is over then."""
        p, minutes = self.problem, self.problem.minutes[j]
        inside = set(windows)
        best: tuple[int, int, int] | None = None
        for w in windows:
            v = w + 1
            if not p.touches[w] or v not in inside or p.kind[w] > p.need[j]:
                continue
            if p.kind[v] > p.need[j] or minutes > self.caps[w] + self.caps[v]:
                continue
            here = min(self.caps[w], max(minutes - self.caps[v], self._room(j, w)))
            here = min(here, minutes - 1)
            lacking = max(0, here - self._room(j, w)) + max(0, minutes - here - self._room(j, v))
            if lacking and p.kind[w] > WORKROOM:
                continue
            if here > 0 and (best is None or lacking < best[0]):
                best = (lacking, w, here)
        if best is None:
            return False
        _, w, here = best
        self._add(j, w, here)
        self._add(j, w + 1, minutes - here)
        return True

    # making room

    def make_room(self) -> bool:
        """Move what exceeds the caps to where room is; False where some of it stays."""
        for _ in range(PUSHES):
            if self._shed():
                return True
            if not self._push_on():
                return False
        return False

    def _all_over(self) -> int:
        """Minutes above the caps."""
        return sum(a - c for a, c in zip(self.load, self.caps, strict=True) if a > c)

    def _shed(self) -> bool:
        """Shift what exceeds the caps along shortest chains; False where some is stuck."""
        free = True
        for w in range(self.problem.windows):
            banned: set[Link] = set()
            for _ in range(MOST_PATHS):
                if self.load[w] <= self.caps[w]:
                    break
                path = self._path(w, self.caps, banned, self.chance)
                if path is None:
                    break
                self._apply(path, self.caps, banned)
            free &= self.load[w] <= self.caps[w]
        return free

    def _push_on(self) -> bool:
        """Push a step out of an overfull window, and what stands in its way before it.

        Of the ways to do so the one that leaves least over, then moves least; False where none
        leaves less over than before.
        """
        p, best = self.problem, (self._all_over(), 0)
        chosen: tuple[int, int, bool] | None = None
        over = [w for w in range(p.windows) if self.load[w] > self.caps[w]][:PLACES]
        for w in over:
            for j in list(self.of_window[w]):
                for later in (True, False):
                    mark = len(self.done)
                    if self._pushed(j, w, later):
                        score = (self._all_over(), self.moved())
                        if score < best:
                            best, chosen = score, (j, w, later)
                    self._back_to(mark)
        if chosen is None:
            return False
        return self._pushed(*chosen)

    def _pushed(self, j: int, w: int, later: bool) -> bool:
        """Move a step's minutes that are over in a window beyond it, with what is in their way."""
        p = self.problem
        take = min(self.of_window[w][j], self.load[w] - self.caps[w])
        if p.one_sitting[j]:
            take = p.minutes[j]
            if len(self.of_step[j]) > 1:
                return False
        self._add(j, w, -take)
        if later:
            windows = range(w + 1, self.spans.tail[j] + 1)
        else:
            windows = range(w - 1, self.spans.head[j] - 1, -1)
        if p.one_sitting[j]:
            if not self._put_one(j, windows):
                return False
        elif self._fill(j, [v for v in windows if p.kind[v] <= p.need[j]], self.caps, take):
            return False
        return self._forward() if later else self._backward()
