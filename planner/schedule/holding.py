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
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from planner.schedule.clock import broken_waits, by_clock
from planner.schedule.passes import LAST, URGENT, Pass
from planner.schedule.problem import HELPER, WORKROOM, Problem
from planner.schedule.rebuilding import Rebuilding
from planner.schedule.search import Parts, Peak, Search
from planner.schedule.shifting import MOST_PATHS, Link
from planner.schedule.spans import Spans

#: a plan is held on to while it is no fuller than this, or than the least peak by ``POINTS``
FULL = Fraction(1)
POINTS = Fraction(1, 50)
#: between the level to which days are filled and full, left-over work looks for room in steps
STEP = Fraction(1, 20)
#: how often a step is pushed on to make room, and overfull windows looked at for one push
PUSHES = 24
PLACES = 4
#: how many windows a step is moved on over full ones before it overfills one
REACHES = (1000, 8, 2)
#: rounds of laying steps farther apart for the waits in hours between them
WAITS = 8
#: how often a few steps are laid anew
TRIES = 400
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
    # waits in hours as far apart as they were; then only as far as the clock asks for
    loose = frozenset[tuple[int, int]]()
    was = tuple((j, w, m) for j, mine in enumerate(wanted) for w, m in mine.items())
    starts = (_apart(problem, was), _apart(problem, was, gap=True), loose)
    for reach, begin in product(REACHES, dict.fromkeys(starts) if clocked else (loose,)):
        apart = begin
        for _ in range(WAITS if clocked else 1):
            first = Holding(problem, spans, (), wanted, held.order, caps, apart)
            first.reach = reach
            if not (first.insert(fill_to) and first.make_room()):
                break
            first.bring_back()
            parts = first.parts()
            if kept(parts):
                found.append(parts)
                if not first.moved():
                    return parts
                break
            more = apart | broken_waits(problem, parts)
            if more == apart:
                break
            apart = more
    if not found:
        begun = _in_old_order(search, wanted, caps)
        found += [one for one in (begun, fresh) if one is not None and kept(one)]
    nearest = min(found, key=lambda parts: moved(wanted, parts), default=fresh)
    near = Holding(problem, spans, nearest, wanted, held.order, caps, _apart(problem, nearest))
    near.bring_back()
    near.improve(TRIES)
    near.bring_back()
    better = near.parts()
    return better if kept(better) else nearest


def _apart(
    problem: Problem, parts: Parts, gap: bool = False
) -> frozenset[tuple[int, int]]:
    """(step, follower) with a wait in hours that lie in two windows, or nowhere yet; ``gap``:
    that lie in windows as far apart as the wait."""
    first, last = [problem.windows] * problem.steps, [-1] * problem.steps
    for j, w, _ in parts:
        first[j], last[j] = min(first[j], w), max(last[j], w)

    def are(k: int, j: int, wait: int) -> bool:
        if not gap:
            return first[j] == problem.windows or first[j] != last[k]
        if first[j] == problem.windows or last[k] < 0:
            return False
        return problem.start[first[j]] >= problem.end[last[k]] + wait

    return frozenset(
        (e.other, j)
        for j in range(problem.steps)
        for e in problem.before[j]
        if e.minutes and are(e.other, j, e.minutes)
    )


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


class Holding(Rebuilding):
    """A schedule near an earlier one."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        parts: Parts,
        wanted: Sequence[Mapping[int, int]],
        order: Mapping[int, Sequence[int]],
        caps: Sequence[int],
        apart: frozenset[tuple[int, int]] = frozenset(),
    ) -> None:
        """``parts``: where to begin; without any, ``insert`` begins with what is wanted.

        ``apart``: (step, follower) with a wait in hours that are to lie in windows so far apart.
        """
        super().__init__(problem, spans, parts, random.Random(problem.steps))
        self.wanted, self.order, self.caps = wanted, order, caps
        self.laid: dict[int, list[int]] = {}
        for j, w, _ in parts:
            self.laid.setdefault(w, []).append(j)
        self.reach = problem.windows
        self.levels: list[list[int]] = [list(caps)]
        self.complete = True
        """Whether every minute lies somewhere its order allows."""
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

    # laying what is left over

    def insert(self, fill_to: Fraction) -> bool:
        """Lay what is wanted, and the rest where there is room; False where some has no place.

        Backwards, so that what follows lies already, and then once forwards: what has to lie
        later than that allows moves what follows it on. A window without room is overfilled, if
        it can be.
        """
        self.levels = self._levels(fill_to)
        for j, mine in enumerate(self.wanted):
            for w, minutes in mine.items():
                self._add(j, w, minutes)
        for j in range(self.problem.steps - 1, -1, -1):
            self._settle_before(j, max(self._high(j), self.spans.head[j]))
        self.complete = self._forward()
        return self.complete

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
        for some, levels in ((near, self.levels), (far, self.levels[-1:])):
            windows = [w for w in some if p.kind[w] <= p.need[j]]
            if some is near:
                # sittings there are already are made longer first
                windows.sort(key=lambda w: w not in self.of_step[j])
            for caps in levels:
                left = self._fill_up(j, windows, caps, left)
                if not left:
                    return True
        return any(self._overfill(j, some, left) for some in (near, far))

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

    def _fill_up(self, j: int, windows: Sequence[int], caps: Sequence[int], left: int) -> int:
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
        elif self._fill_up(j, [v for v in windows if p.kind[v] <= p.need[j]], self.caps, take):
            return False
        return self._forward() if later else self._backward()

    def _back_to(self, mark: int) -> None:
        """Back to how it was when so much was done."""
        for j, w, minutes in reversed(self.done[mark:]):
            self._add(j, w, -minutes)
        del self.done[mark:]

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
            left = self._fill_up(j, inside, self.caps, left)
        return left == 0

    @staticmethod
    def _far(w: int, wanted: Mapping[int, int]) -> int:
        return min((abs(w - v) for v in wanted), default=0)

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
