"""Hold on to an earlier plan: minutes stay where they were, and only what must move moves.

Rescheduling with least perturbation, by repair (as in constraint-based repair: Minton and others
1992) with augmenting paths (Ford and Fulkerson 1956):

1. What was planned and can still be so stays. What is left over (lost evenings, longer work, new
   steps) is laid into the room there is, as late as what follows it allows, at the lowest level
   that holds it.
2. Where there is no room it overfills a window, whose minutes are then shifted along shortest
   chains of windows to where room is.
3. Where that leads nowhere parts are laid anew, or at last the plan made afresh is begun with.
4. Whatever was moved needlessly on the way goes back.

Caps are 100 % or the least peak plus two points, whichever is more; inside them the level of a
window is the earlier plan's.
"""

from __future__ import annotations

import random
from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.schedule.clock import by_clock
from planner.schedule.passes import LAST, URGENT, Pass
from planner.schedule.problem import HELPER, WORKROOM, Problem
from planner.schedule.rebuilding import Rebuilding
from planner.schedule.search import Parts, Peak, Search
from planner.schedule.shifting import MOST_PATHS, Link, Shifting
from planner.schedule.spans import Spans

#: a plan is held on to while it is no fuller than this, or than the least peak by ``POINTS``
FULL = Fraction(1)
POINTS = Fraction(1, 50)
#: between the level to which days are filled and full, left-over work looks for room in steps
STEP = Fraction(1, 20)
#: links looked at when parts are laid anew
LINKS = 60_000
#: rounds of bringing minutes back
ROUNDS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What was planned before, in the windows of a problem."""

    minutes: tuple[Mapping[int, int], ...]
    """By step: window and minutes."""
    order: Mapping[int, tuple[int, ...]]
    """By window, its steps in the order in which they were to be done."""


def cap_of(peak: Fraction) -> Fraction:
    """How full a window may be while the earlier plan is held on to."""
    return max(FULL, peak + POINTS)


def hold(search: Search, peak: Peak, held: Held, fresh: Parts, fill_to: Fraction) -> Parts:
    """The plan that keeps most of the one before; ``fresh`` is the one made without it."""
    problem, spans = search.problem, search.spans
    theta = cap_of(peak.theta)
    caps = problem.caps(theta)
    wanted = fitting(problem, spans, held)
    clocked = search.back.clocked

    def kept(parts: Parts) -> bool:
        return not clocked or by_clock(problem, parts)

    found: list[Parts] = []
    first = Holding(problem, spans, (), wanted, held.order, caps)
    if first.insert(fill_to) and first.shed():
        first.bring_back()
        parts = first.parts()
        if kept(parts):
            if first.moved() == 0:
                return parts
            found.append(parts)
    elif not clocked and first.complete:
        again = _laid_anew(problem, spans, first.parts(), theta)
        if again is not None:
            found.append(_brought_back(problem, spans, again, wanted, held, caps, kept))
    for begun in (_in_old_order(search, wanted, caps), fresh):
        if begun is not None and kept(begun):
            found.append(_brought_back(problem, spans, begun, wanted, held, caps, kept))
    return min(found, key=lambda parts: moved(wanted, parts), default=fresh)


def fitting(problem: Problem, spans: Spans, held: Held) -> list[dict[int, int]]:
    """What of an earlier plan lies where its steps can still be, and isn't more than is left.

    Where less is left than was planned, the first minutes go: they are done. A step of one
    sitting is held as a whole or not at all.
    """
    found: list[dict[int, int]] = []
    for j, planned in enumerate(held.minutes):
        left, mine = problem.minutes[j], dict[int, int]()
        for w in sorted(planned, reverse=True):
            inside = spans.head[j] <= w <= spans.tail[j] and problem.kind[w] <= problem.need[j]
            take = min(left, planned[w]) if inside else 0
            if take > 0:
                mine[w] = take
                left -= take
        if problem.one_sitting[j] and (left or not _one(problem, mine)):
            mine = {}
        found.append(mine)
    return found


def _one(problem: Problem, mine: Mapping[int, int]) -> bool:
    """Whether minutes lie in one window, or in two that touch."""
    first, last = min(mine), max(mine)
    return first == last or (len(mine) == 2 and last == first + 1 and problem.touches[first])


def moved(wanted: Sequence[Mapping[int, int]], parts: Parts) -> int:
    """Minutes that are no longer in the window they were planned in."""
    there: list[dict[int, int]] = [{} for _ in wanted]
    for j, w, minutes in parts:
        there[j][w] = there[j].get(w, 0) + minutes
    return sum(
        max(0, minutes - there[j].get(w, 0))
        for j, mine in enumerate(wanted)
        for w, minutes in mine.items()
    )


class Holding(Shifting):
    """A schedule near an earlier one."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        parts: Parts,
        wanted: Sequence[Mapping[int, int]],
        order: Mapping[int, Sequence[int]],
        caps: Sequence[int],
    ) -> None:
        """``parts``: where to begin; without any, ``insert`` begins with what is wanted."""
        super().__init__(problem, spans, parts)
        self.wanted, self.order, self.caps = wanted, order, caps
        self.laid: dict[int, list[int]] = {}
        for j, w, _ in parts:
            self.laid.setdefault(w, []).append(j)
        self.chance = random.Random(problem.steps)
        self.complete = True
        """Whether every minute lies somewhere its order allows."""
        self._part_by_hours()

    def _part_by_hours(self) -> None:
        """Have steps with a wait in hours between them in windows so far apart.

        Windows don't know their moments; where the earlier plan keeps such a wait inside a
        window, or over a shorter gap, the clock decides in the end.
        """
        p = self.problem
        for j, row in enumerate(p.before):
            for at, e in enumerate(row):
                if not e.minutes or self._close(e.other, j):
                    continue
                k, table = self.above[j][at]
                after = [max(table[w], bisect_left(p.start, p.end[w] + e.minutes))
                         for w in range(p.windows)]  # fmt: skip
                self.above[j][at] = (k, [*after, 0])
                until = [bisect_left(p.end, p.start[w] - e.minutes + 1) - 1
                         for w in range(p.windows)]  # fmt: skip
                mirror = next(i for i, (f, _) in enumerate(self.below[k]) if f == j)
                _, before = self.below[k][mirror]
                least = [min(a, b) for a, b in zip(until, before, strict=False)]
                self.below[k][mirror] = (j, [*least, p.windows - 1])

    def _close(self, k: int, j: int) -> bool:
        """Whether the earlier plan has a step's beginning in the window of another's end."""
        mine, theirs = self.wanted[j], self.wanted[k]
        return bool(mine and theirs) and min(mine) == max(theirs)

    # laying what is left over

    def insert(self, fill_to: Fraction) -> bool:
        """Lay what is wanted, and the rest where there is room; False where some has no place.

        Backwards, so that what follows lies already: what stands in the way of that is left over
        itself. A window without room is overfilled, if it can be.
        """
        p = self.problem
        for j, mine in enumerate(self.wanted):
            for w, minutes in mine.items():
                self._add(j, w, minutes)
        levels = self._levels(fill_to)
        for j in range(p.steps - 1, -1, -1):
            high = self._high(j)
            for w in [w for w in self.of_step[j] if w > high]:
                self._add(j, w, -self.of_step[j][w])
            if p.one_sitting[j]:
                if self._sum(j) < p.minutes[j]:
                    for w in list(self.of_step[j]):
                        self._add(j, w, -self.of_step[j][w])
                    self.complete &= self._put_whole(j, high)
            else:
                self.complete &= self._put(j, high, levels)
        self.complete = self.complete and all(self._in_order(j) for j in range(p.steps))
        return self.complete

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
        """The last window by what follows the step, as far as there is one from its head on."""
        high, low = self.spans.tail[j], self.spans.head[j]
        for k, until in self.below[j]:
            high = min(high, until[self.first[k]])
        return max(high, low)

    def _soft_low(self, j: int) -> int:
        """The first window by what the step follows, as that was planned."""
        low = self.spans.head[j]
        for k, after in self.above[j]:
            low = max(low, after[self.last[k]])
        return low

    def _in_order(self, j: int) -> bool:
        return all(after[self.last[k]] <= self.first[j] for k, after in self.above[j])

    def _put(self, j: int, high: int, levels: Sequence[Sequence[int]]) -> bool:
        """Lay a step's left-over minutes: latest first, at the lowest level with room."""
        p = self.problem
        left = p.minutes[j] - self._sum(j)
        if left <= 0:
            return True
        low = min(self._soft_low(j), high)
        for first in (low, self.spans.head[j]):
            windows = [w for w in range(high, first - 1, -1) if p.kind[w] <= p.need[j]]
            # sittings there are already are made longer first
            windows.sort(key=lambda w: w not in self.of_step[j])
            for caps in levels:
                left = self._fill(j, windows, caps, left)
                if not left:
                    return True
        windows = [w for w in range(self.spans.head[j], high + 1) if p.kind[w] <= WORKROOM]
        if p.need[j] == HELPER:
            windows = [w for w in windows if p.kind[w] == HELPER and p.size[w] - self.two[w]]
        if not windows:
            return self._put_late(j, high, left)
        return self._overfill(j, windows, left)

    def _overfill(self, j: int, windows: Sequence[int], left: int) -> bool:
        """Lay minutes where least is over then."""
        p = self.problem
        for w in sorted(windows, key=lambda v: Fraction(self.load[v] + left, max(1, p.size[v]))):
            take = left if p.need[j] != HELPER else min(left, p.size[w] - self.two[w])
            if take > 0:
                self._add(j, w, take)
                left -= take
            if not left:
                return True
        return False

    def _put_late(self, j: int, high: int, left: int) -> bool:
        """No window up to what follows: lay minutes after it, which then moves on itself."""
        p = self.problem
        for w in range(high + 1, self.spans.tail[j] + 1):
            if p.kind[w] > p.need[j]:
                continue
            room = self.caps[w] - self.load[w] if p.kind[w] > WORKROOM else left
            if p.need[j] == HELPER:
                room = min(room, p.size[w] - self.two[w])
            take = min(left, room)
            if take > 0:
                self._add(j, w, take)
                left -= take
            if not left:
                break
        return left == 0

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

    def _put_whole(self, j: int, high: int) -> bool:
        """Lay a step of one sitting: in the last window with room, else where least is over."""
        p = self.problem
        minutes = p.minutes[j]
        best: tuple[int, int] | None = None
        for w in range(high, self.spans.head[j] - 1, -1):
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
            return False
        self._add(j, best[1], minutes)
        return True

    # making room

    def shed(self) -> bool:
        """Shift what exceeds the caps along shortest chains; False where some is stuck."""
        over = [w for w in range(self.problem.windows) if self.load[w] > self.caps[w]]
        for w in over:
            banned: set[Link] = set()
            for _ in range(MOST_PATHS):
                if self.load[w] <= self.caps[w]:
                    break
                path = self._path(w, self.caps, banned, self.chance)
                if path is None:
                    return False
                self._apply(path, self.caps, banned)
            if self.load[w] > self.caps[w]:
                return False
        return True

    # bringing minutes back

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

    # as parts

    def parts(self) -> Parts:
        """Latest window first; within one as it was planned, what is new by its place in the
        order of work."""
        found = []
        for w in range(self.problem.windows - 1, -1, -1):
            laid = [j for j in self._was(w) if j in self.of_window[w]]
            for j in sorted(self.of_window[w].keys() - set(laid), reverse=True):
                behind = (i for i, k in enumerate(laid) if k < j)
                laid.insert(next(behind, len(laid)), j)
            found += [(j, w, self.of_window[w][j]) for j in laid]
        return tuple(found)

    def _was(self, w: int) -> Iterator[int]:
        """The steps of a window as they lay before, the last one first."""
        if w in self.laid:
            return iter(self.laid[w])
        return reversed(self.order.get(w, ()))


def _laid_anew(problem: Problem, spans: Spans, parts: Parts, theta: Fraction) -> Parts | None:
    """A complete but overfull schedule with parts laid anew until nothing is over."""
    found = Rebuilding(problem, spans, parts, random.Random(problem.windows))
    if found.lower(theta, LINKS) > theta:
        return None
    return found.best_parts


def _in_old_order(
    search: Search, wanted: Sequence[Mapping[int, int]], caps: Sequence[int]
) -> Parts | None:
    """A backward pass that lays steps in the order in which they lay before."""
    keys = []
    for j, mine in enumerate(wanted):
        total = sum(mine.values())
        middle = sum(w * m for w, m in mine.items()) // total if total else search.spans.tail[j]
        keys.append(-middle)
    for weights in (URGENT, LAST):
        laid = Pass(search.back, caps, keys, weights).run()
        if laid.failed is None:
            return laid.parts
    return None


def _brought_back(
    problem: Problem,
    spans: Spans,
    parts: Parts,
    wanted: Sequence[Mapping[int, int]],
    held: Held,
    caps: Sequence[int],
    kept: Callable[[Parts], bool],
) -> Parts:
    """A schedule with what was moved needlessly brought back, if it keeps its waits then."""
    near = Holding(problem, spans, parts, wanted, held.order, caps)
    near.bring_back()
    found = near.parts()
    return found if kept(found) else parts
