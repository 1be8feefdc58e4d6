"""A complete schedule near an earlier plan, brought nearer.

Minutes go back to the windows they were wanted in where order and room allow, alone, against
others that weren't wanted there, or with a few steps laid anew together (large neighbourhood
search: Shaw 1998).
"""

from __future__ import annotations

import random
from bisect import bisect_left
from collections.abc import Mapping, Sequence

from planner.schedule.problem import HELPER, Problem
from planner.schedule.rebuilding import Rebuilding
from planner.schedule.search import Parts
from planner.schedule.spans import Spans

#: rounds of bringing minutes back
ROUNDS = 6


class Near(Rebuilding):
    """A schedule near an earlier one, which can be brought nearer."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        parts: Parts,
        wanted: Sequence[Mapping[int, int]],
        order: Mapping[int, Sequence[int]],
        caps: Sequence[int],
        apart: frozenset[tuple[int, int]] = frozenset(),
        chance: random.Random | None = None,
    ) -> None:
        """``wanted``: by step, window and minutes; ``order``: by window, its steps as done before.

        ``caps`` are never exceeded by what is brought here, ``parts`` is where it begins;
        ``apart``: (step, follower) with a wait in hours, to lie in windows so far apart.
        """
        super().__init__(problem, spans, parts, chance or random.Random(problem.steps))
        self.wanted, self.order, self.caps = wanted, order, caps
        self.laid: dict[int, list[int]] = {}
        for j, w, _ in parts:
            self.laid.setdefault(w, []).append(j)
        self._part(apart)

    def _part(self, apart: frozenset[tuple[int, int]]) -> None:
        """Have steps in windows as far apart as the wait in hours between them.

        Windows don't know their moments: inside one, only the clock says whether a wait is kept.
        """
        p = self.problem
        for k, j in apart:
            at = next(i for i, e in enumerate(p.before[j]) if e.other == k)
            wait = p.before[j][at].minutes
            _, table = self.above[j][at]
            after = [
                max(table[w], bisect_left(p.start, p.end[w] + wait)) for w in range(p.windows)
            ]
            self.above[j][at] = (k, [*after, 0])
            mirror = next(i for i, (f, _) in enumerate(self.below[k]) if f == j)
            _, table = self.below[k][mirror]
            until = [
                min(table[w], bisect_left(p.end, p.start[w] - wait + 1) - 1)
                for w in range(p.windows)
            ]
            self.below[k][mirror] = (j, [*until, p.windows - 1])

    def moved(self) -> int:
        """Minutes that aren't where they were wanted."""
        return sum(lacking for j in range(self.problem.steps) for _, lacking in self._lacking(j))

    def _lacking(self, j: int) -> list[tuple[int, int]]:
        """(window, minutes) wanted of a step and not there."""
        mine = self.of_step[j]
        return [(w, m - mine.get(w, 0)) for w, m in self.wanted[j].items() if m > mine.get(w, 0)]

    def _spare(self, j: int) -> list[tuple[int, int]]:
        """(window, minutes) of a step that are there and weren't wanted."""
        wanted = self.wanted[j]
        return [(w, m - wanted.get(w, 0)) for w, m in self.of_step[j].items()
                if m > wanted.get(w, 0)]  # fmt: skip

    def bring_back(self) -> None:
        """Have minutes where they were wanted, as far as order and room allow."""
        steps = range(self.problem.steps)
        for round_ in range(ROUNDS):
            back = [self._bring(j) for j in (steps if round_ % 2 else reversed(steps))]
            if not any(back):
                break

    def _bring(self, j: int) -> bool:
        """Bring one step's minutes back; whether any came."""
        brought = False
        if self.problem.one_sitting[j]:
            return self._bring_whole(j)
        for w, lacking in self._lacking(j):
            for v, spare in self._spare(j):
                take = min(lacking, spare)
                if take <= 0 or not self.allowed(j, w):
                    continue
                done = self._move(j, v, w, min(take, self._room(j, w)))
                done += self._exchange(j, v, w, take - done)
                lacking -= done
                brought |= done > 0
                if not lacking:
                    break
        return brought

    def _room(self, j: int, w: int) -> int:
        room = self.caps[w] - self.load[w]
        if self.problem.need[j] == HELPER:
            room = min(room, self.problem.size[w] - self.two[w])
        return max(0, room)

    def _move(self, j: int, v: int, w: int, minutes: int) -> int:
        if minutes <= 0:
            return 0
        self._add(j, v, -minutes)
        self._add(j, w, minutes)
        return minutes

    def _exchange(self, j: int, v: int, w: int, minutes: int) -> int:
        """Minutes of a step from ``v`` to ``w`` against others that weren't wanted in ``w``."""
        p, done = self.problem, 0
        if minutes <= 0:
            return 0
        for k in list(self.of_window[w]):
            if k == j or p.one_sitting[k] or HELPER in (p.need[k], p.need[j]):
                continue
            extra = self.of_window[w].get(k, 0) - self.wanted[k].get(w, 0)
            take = min(minutes - done, extra)
            if take <= 0 or not self.allowed(k, v):
                continue
            self._move(k, w, v, take)
            self._move(j, v, w, take)
            if self.allowed(k, v) and self.allowed(j, w):
                done += take
            else:
                self._move(j, w, v, take)
                self._move(k, v, w, take)
            if done == minutes:
                break
        return done

    def _bring_whole(self, j: int) -> bool:
        """Bring a step of one sitting back as a whole."""
        wanted, mine = self.wanted[j], self.of_step[j]
        if len(wanted) != 1 or len(mine) != 1 or wanted.keys() == mine.keys():
            return False
        (w, minutes), v = next(iter(wanted.items())), next(iter(mine))
        if not self.allowed(j, w) or self._room(j, w) < minutes:
            return False
        self._move(j, v, w, minutes)
        return True

    # sittings too short to be worth while

    def tidy(self, least: Sequence[int]) -> None:
        """Join new sittings that are shorter than ``least`` to others of their step, or make them
        longer by minutes that lie nowhere they were wanted."""
        p = self.problem
        for j in range(p.steps):
            if p.one_sitting[j]:
                continue
            enough = min(least[j], p.minutes[j])
            for w in list(self.of_step[j]):
                # sittings before may have given to this one, or taken from it
                minutes = self.of_step[j].get(w, 0)
                if not 0 < minutes < enough or self.wanted[j].get(w):
                    continue
                others = sorted((v for v in self.of_step[j] if v != w), key=lambda v: abs(v - w))
                if not any(self._joined(j, w, v, minutes) for v in others):
                    self._lengthen(j, w, enough - minutes, others)

    def _joined(self, j: int, w: int, v: int, minutes: int) -> bool:
        """Move all minutes of a sitting to another of its step, where there is room."""
        if self._room(j, v) < minutes:
            return False
        self._move(j, w, v, minutes)
        return True

    def _lengthen(self, j: int, w: int, minutes: int, others: Sequence[int]) -> None:
        """Have minutes of other sittings in one, as far as they weren't wanted where they lie."""
        for v in others:
            extra = self.of_step[j].get(v, 0) - self.wanted[j].get(v, 0)
            take = min(minutes, extra, self._room(j, w))
            if take > 0 and self.of_step[j][v] - take not in range(1, minutes):
                minutes -= self._move(j, v, w, take)
            if minutes <= 0:
                return

    # laying a few steps anew

    def improve(self, tries: int) -> None:
        """Lay a few steps anew where less is moved then, nothing being over.

        Large neighbourhood search as in ``rebuilding``, about what isn't where it was wanted.
        """
        astray = [sum(m for _, m in self._lacking(j)) for j in range(self.problem.steps)]
        for _ in range(tries):
            lost = [j for j, minutes in enumerate(astray) if minutes]
            if not lost:
                break
            steps = self._about(self.chance.choice(lost))
            mark = len(self.done)
            if self._lay_near(steps):
                now = {j: sum(m for _, m in self._lacking(j)) for j in steps}
                if sum(now.values()) <= sum(astray[j] for j in steps):
                    for j, minutes in now.items():
                        astray[j] = minutes
                    self.done.clear()
                    continue
            self._back_to(mark)

    def _about(self, j: int) -> list[int]:
        """A step, some of those that keep it from where it was wanted, and pieces of chains."""
        chance, found = self.chance, {j}
        for w, _ in self._lacking(j):
            here = [k for k in self.of_window[w] if k != j]
            found.update(k for k in here if chance.random() < 0.5)
        for k in list(found):
            for links in (self.above, self.below):
                at = k
                for _ in range(chance.choice((0, 1, 1, 2, 4, 8))):
                    if not links[at]:
                        break
                    at = chance.choice(links[at])[0]
                    found.add(at)
        return sorted(found) if chance.random() < 0.5 else self._shuffled(sorted(found))

    def _lay_near(self, steps: Sequence[int]) -> bool:
        """Take steps out and lay them where they were wanted, else as near as there is room."""
        for j in steps:
            for w, minutes in list(self.of_step[j].items()):
                self._add(j, w, -minutes)
        forward = self.chance.random() < 0.5
        limit = self._limits(steps, forward)
        if limit is None:
            return False
        for j in steps if forward else reversed(steps):
            if forward:
                first, last = self._first(j), limit[j]
            else:
                first, last = limit[j], self._last(j)
            if not self._near(j, first, last):
                return False
        return True

    def _near(self, j: int, first: int, last: int) -> bool:
        """Lay a step between two windows within the caps; False where there is no room."""
        p, wanted = self.problem, self.wanted[j]
        inside = [w for w in range(first, last + 1) if p.kind[w] <= p.need[j]]
        if p.one_sitting[j]:
            inside.sort(key=lambda w: self._far(w, wanted))
            for w in inside:
                if self._room(j, w) >= p.minutes[j]:
                    self._add(j, w, p.minutes[j])
                    return True
            return False
        left = p.minutes[j]
        for w in inside:
            take = min(wanted.get(w, 0), self._room(j, w))
            if take > 0:
                self._add(j, w, take)
                left -= take
        if left:
            inside.sort(key=lambda w: self._far(w, wanted))
            left = self._fill(j, inside, self.caps, left)
        return left == 0

    @staticmethod
    def _far(w: int, wanted: Mapping[int, int]) -> int:
        return min((abs(w - v) for v in wanted), default=0)

    def _back_to(self, mark: int) -> None:
        """Back to how it was when so much was done."""
        for j, w, minutes in reversed(self.done[mark:]):
            self._add(j, w, -minutes)
        del self.done[mark:]

    # as parts

    def parts(self) -> Parts:
        """Latest window first; within one as before, what is new near what it belongs to."""
        return tuple(
            (j, w, self.of_window[w][j])
            for w in range(self.problem.windows - 1, -1, -1)
            for j in reversed(self._done_in(w))
        )

    def _done_in(self, w: int) -> list[int]:
        """The steps of a window in the order in which they are done.

        What they follow comes first (Kahn 1962); else as before, and what is new just before
        what follows it.
        """
        here = set(self.of_window[w])
        was = reversed(self.laid[w]) if w in self.laid else self.order.get(w, ())
        place: dict[int, float] = {j: k for k, j in enumerate(j for j in was if j in here)}
        for j in sorted(here - place.keys(), reverse=True):
            behind = [place[k] for k, _ in self.below[j] if k in here]
            before = [place[k] for k, _ in self.above[j] if k in place]
            place[j] = min(behind) - 0.5 if behind else max(before, default=len(here)) + 0.5
        waiting = {j: sum(k in here for k, _ in self.above[j]) for j in here}
        found: list[int] = []
        ready = [j for j in here if not waiting[j]]
        while ready:
            j = min(ready, key=lambda k: (place[k], k))
            ready.remove(j)
            found.append(j)
            for k, _ in self.below[j]:
                if k in here:
                    waiting[k] -= 1
                    if not waiting[k]:
                        ready.append(k)
        return found
