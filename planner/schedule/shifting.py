"""Bring a complete schedule's peak down by shifting minutes along chains of windows.

A list pass lays whole steps and can't keep a few minutes back for hours that only they can
use. From a complete schedule, minutes of an overfull window are moved to one with room,
directly or through windows between (augmenting paths: Ford and Fulkerson 1956; as ejection
chains in local search: Glover 1996), never breaking an order, a wait or a span.
"""

from __future__ import annotations

import random
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from planner.schedule.bound import least_theta
from planner.schedule.problem import HELPER, KINDS, WORKROOM, Problem
from planner.schedule.spans import Spans

Parts = tuple[tuple[int, int, int], ...]
Link = tuple[int, int, int]
"""(step, from window, to window)."""

#: paths tried for one overfull window before it is given up
MOST_PATHS = 40
#: how often the hours outside the workroom are rearranged without getting on
SHAKES = 3


class Shifting:
    """A complete schedule that can be changed."""

    def __init__(self, problem: Problem, spans: Spans, parts: Parts) -> None:
        self.problem, self.spans = problem, spans
        self.of_step: list[dict[int, int]] = [{} for _ in range(problem.steps)]
        self.of_window: list[dict[int, int]] = [{} for _ in range(problem.windows)]
        self.load = [0] * problem.windows
        self.two = [0] * problem.windows
        self.first = [problem.windows] * problem.steps
        self.last = [-1] * problem.steps
        self.serves = [
            sum(1 << w for w, k in enumerate(problem.kind) if k <= need) for need in range(KINDS)
        ]
        self._link()
        self.looked = 0
        self.done: list[tuple[int, int, int]] = []
        self.reached: dict[int, Link] = {}
        for j, w, minutes in parts:
            self._add(j, w, minutes)

    def _link(self) -> None:
        """What bounds a step's windows: what it follows, what follows it, and the nights between.

        A step without minutes has its first window behind all and its last before all; the
        tables have one entry more for it.
        """
        p = self.problem
        day, count = p.day, p.windows
        nights = {e.nights for row in p.before for e in row}
        after = {n: [*(bisect_left(day, d + n) for d in day), 0] for n in nights if n}
        until = {n: [*(bisect_right(day, d - n) - 1 for d in day), count - 1] for n in nights if n}
        after[0], until[0] = [*range(count), 0], [*range(count), count - 1]
        self.above = [[(e.other, after[e.nights]) for e in row] for row in p.before]
        self.below = [[(e.other, until[e.nights]) for e in row] for row in p.behind]
        self.onward = [-1 << w for w in range(count + 1)]

    def _add(self, j: int, w: int, minutes: int) -> None:
        """Put minutes (or take them, where negative), and note it in ``done``."""
        mine = self.of_step[j]
        left = mine.get(w, 0) + minutes
        if left:
            mine[w] = self.of_window[w][j] = left
            if w < self.first[j]:
                self.first[j] = w
            if w > self.last[j]:
                self.last[j] = w
        else:
            del mine[w], self.of_window[w][j]
            if not mine:
                self.first[j], self.last[j] = self.problem.windows, -1
            elif w == self.first[j]:
                self.first[j] = min(mine)
            elif w == self.last[j]:
                self.last[j] = max(mine)
        self.load[w] += minutes
        if self.problem.need[j] == HELPER:
            self.two[w] += minutes
        self.done.append((j, w, minutes))

    def parts(self) -> Parts:
        """As a backward pass would lay them: latest window first, within one the last step."""
        found = [
            (j, w, self.of_window[w][j])
            for w in range(self.problem.windows - 1, -1, -1)
            for j in sorted(self.of_window[w], reverse=True)
        ]
        return tuple(found)

    def peak(self) -> Fraction:
        """The fullest workroom window."""
        return self.problem.peak(self.load)

    def allowed(self, j: int, v: int) -> bool:
        """Whether minutes of a step may lie in a window, everything else where it is."""
        return bool(self._windows_for(j) >> v & 1)

    def settle(
        self, least: Fraction, chance: random.Random, most: int, hopeless: Fraction | None = None
    ) -> Fraction:
        """Lower the peak towards ``least``; returns the peak reached.

        1. Shift what exceeds the caps of a trial theta. 2. Where no path leads on, the windows
        reached hold more than their caps whatever is shifted, and tell the theta they need
        (discrete Newton: Dinkelbach 1967). 3. Try that, until nothing exceeds it.

        ``most``: how many links may be looked at in all; ``hopeless``: a peak above which
        rearranging is not worth while.
        """
        theta = least
        best, tries = self.peak(), 0
        while best > least and tries < SHAKES and self.looked < most:
            theta = least
            while self.looked < most:
                needed = self._lower(theta, chance, most)
                if needed <= theta:
                    break
                theta = needed
            peak = self.peak()
            tries = 0 if peak < best else tries + 1
            best = min(best, peak)
            if hopeless is not None and best > hopeless:
                break
            earlier = chance.random() < 0.5
            if tries % 2:
                self.justify(self.problem.caps(peak), earlier)
            self.compact(earlier)
        return self.peak()

    def _lower(self, theta: Fraction, chance: random.Random, most: int) -> Fraction:
        """Shift what exceeds caps of ``theta``; the theta that what is stuck needs, or less.

        What can't be shifted stays, so the schedule is complete at any time.
        """
        caps = self.problem.caps(theta)
        over = [w for w in range(self.problem.windows) if self.load[w] > caps[w]]
        chance.shuffle(over)
        needed = theta
        stuck: set[int] = set()
        roomy = sum(1 << v for v, c in enumerate(caps) if c > self.load[v])
        for w in over:
            if self.looked >= most:
                break
            if w in stuck:
                continue
            banned: set[Link] = set()
            for _ in range(MOST_PATHS):
                if self.load[w] <= caps[w]:
                    break
                path = self._path(w, caps, banned, chance, roomy)
                if path is None:
                    needed = max(needed, self._needed(w, theta))
                    stuck |= self.reached.keys()
                    break
                self._apply(path, caps, banned)
                end = path[0][2]
                if self.load[end] >= caps[end]:
                    roomy &= ~(1 << end)
                if self.load[w] < caps[w]:
                    roomy |= 1 << w
            else:
                needed = max(needed, Fraction(self.load[w], self.problem.size[w]))
        return needed

    def _needed(self, source: int, theta: Fraction) -> Fraction:
        """The least theta at which the windows reached from ``source`` hold their minutes."""
        p = self.problem
        inside = [w for w in {source, *self.reached} if p.kind[w] <= WORKROOM]
        found = least_theta(sum(self.load[w] for w in inside), [p.size[w] for w in inside])
        if found is None or found <= theta:
            # a whole one-sitting step stands in the way: its window stays as it is
            return Fraction(self.load[source], p.size[source])
        return found

    def _path(
        self, source: int, caps: Sequence[int], banned: set[Link], chance: random.Random,
        roomy: int | None = None,
    ) -> list[Link] | None:
        """A shortest chain of links from an overfull window to a roomy one.

        Sets of windows are bits of whole numbers, so that a step's windows are met at once.
        """
        if roomy is None:
            roomy = sum(1 << v for v, c in enumerate(caps) if c > self.load[v])
        came: dict[int, Link] = {}
        self.reached = came
        unseen = (1 << self.problem.windows) - 1 - (1 << source)
        queue = [source]
        met: set[int] = set()
        for w in queue:
            steps = list(self.of_window[w])
            if chance.random() < 0.5:
                steps.reverse()
            for j in steps:
                if j in met and not banned:
                    continue  # all its windows are seen
                met.add(j)
                self.looked += 1
                if self.problem.one_sitting[j]:
                    to = self._whole(j, w, source, caps, unseen & roomy, banned)
                else:
                    to = self._open(j, w, self._windows_for(j) & unseen, banned)
                if not to:
                    continue
                if to & roomy:
                    v = (to & roomy).bit_length() - 1
                    came[v] = (j, w, v)
                    return self._traced(came, v, source)
                unseen &= ~to
                for v in _bits(to):
                    came[v] = (j, w, v)
                    queue.append(v)
        return None

    def _open(self, j: int, w: int, to: int, banned: set[Link]) -> int:
        """Of some windows those not banned for the step, with two hands left if it needs them."""
        p = self.problem
        if to and banned:
            to &= ~sum(1 << v for k, a, v in banned if k == j and a == w)
        if to and p.need[j] == HELPER:
            to &= ~sum(1 << v for v in _bits(to) if self.two[v] >= p.size[v])
        return to

    def _windows_for(self, j: int) -> int:
        """The windows a step's minutes may lie in, everything else where it is, as bits."""
        low, high = self.spans.head[j], self.spans.tail[j]
        last, first = self.last, self.first
        for k, after in self.above[j]:
            at = after[last[k]]
            if at > low:
                low = at
        for k, until in self.below[j]:
            at = until[first[k]]
            if at < high:
                high = at
        if low > high:
            return 0
        return self.onward[low] & ~self.onward[high + 1] & self.serves[self.problem.need[j]]

    def _whole(
        self,
        j: int,
        w: int,
        source: int,
        caps: Sequence[int],
        windows: int,
        banned: set[Link],
    ) -> int:
        """A window, as a bit, that takes a one-sitting step of the overfull one as a whole."""
        p = self.problem
        if w != source or len(self.of_step[j]) > 1:
            return 0
        for v in _bits(self._windows_for(j) & windows):
            room = caps[v] - self.load[v]
            if p.need[j] == HELPER:
                room = min(room, p.size[v] - self.two[v])
            if room >= p.minutes[j] and (j, w, v) not in banned:
                return 1 << v
        return 0

    def _traced(self, came: dict[int, Link], end: int, source: int) -> list[Link]:
        path = [came[end]]
        while path[-1][1] != source:
            path.append(came[path[-1][1]])
        return path  # the last link first

    def _apply(self, path: list[Link], caps: Sequence[int], banned: set[Link]) -> None:
        """Move as much as the path holds, its far end first; undo where an order would break."""
        p = self.problem
        source, end = path[-1][1], path[0][2]
        amount = min(self.load[source] - caps[source], caps[end] - self.load[end])
        for j, w, v in path:
            amount = min(amount, self.of_window[w].get(j, 0))
            if p.need[j] == HELPER:
                amount = min(amount, p.size[v] - self.two[v])
        first = path[-1][0]
        if p.one_sitting[first]:
            amount = p.minutes[first]
        if amount <= 0:
            banned.update(path)
            return
        done: list[Link] = []
        for j, w, v in path:
            if not self.allowed(j, v) or self.of_window[w].get(j, 0) < amount:
                for k, a, b in reversed(done):
                    self._add(k, b, -amount)
                    self._add(k, a, amount)
                banned.add((j, w, v))
                return
            self._add(j, w, -amount)
            self._add(j, v, amount)
            done.append((j, w, v))

    def compact(self, earlier: bool) -> None:
        """Move minutes into free sofa and take-along hours, and those towards one end.

        Out of the workroom that always helps; among the other hours it makes room for what
        follows (or comes before).
        """
        p = self.problem
        order = range(p.steps) if earlier else range(p.steps - 1, -1, -1)
        for j in order:
            if p.need[j] <= WORKROOM or p.one_sitting[j]:
                continue
            for w in sorted(self.of_step[j], reverse=earlier):
                self._fill_elsewhere(j, w, earlier)

    def _fill_elsewhere(self, j: int, w: int, earlier: bool) -> None:
        """Move a step's minutes of one window into free hours outside the workroom."""
        p = self.problem
        windows = list(_bits(self._windows_for(j)))
        for v in windows if earlier else reversed(windows):
            if p.kind[v] <= WORKROOM or v == w:
                continue
            if p.kind[w] > WORKROOM and (v > w) == earlier:
                continue
            take = min(self.of_step[j].get(w, 0), p.size[v] - self.load[v])
            if take > 0:
                self._add(j, w, -take)
                self._add(j, v, take)

    def justify(self, caps: Sequence[int], earlier: bool = False) -> None:
        """Push minutes towards one end where the caps leave room (double justification).

        Later: the last steps first; earlier: the first ones.
        """
        p = self.problem
        order = range(p.steps) if earlier else range(p.steps - 1, -1, -1)
        for j in order:
            if p.one_sitting[j] and len(self.of_step[j]) > 1:
                continue
            for w in sorted(self.of_step[j], reverse=earlier):
                self._push(j, w, caps, earlier)

    def _push(self, j: int, w: int, caps: Sequence[int], earlier: bool) -> None:
        """Move a step's minutes of one window as far towards one end as they go."""
        p = self.problem
        to = self._windows_for(j)
        to &= (1 << w) - 1 if earlier else -1 << (w + 1)
        windows = list(_bits(to))
        for v in windows if earlier else reversed(windows):
            minutes = self.of_step[j].get(w, 0)
            room = caps[v] - self.load[v]
            if p.need[j] == HELPER:
                room = min(room, p.size[v] - self.two[v])
            take = min(minutes, room)
            if take <= 0 or (p.one_sitting[j] and take < minutes):
                continue
            self._add(j, w, -take)
            self._add(j, v, take)


def _bits(windows: int) -> Iterator[int]:
    """The windows of a set, first to last."""
    while windows:
        low = windows & -windows
        yield low.bit_length() - 1
        windows ^= low
