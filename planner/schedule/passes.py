"""One backward list pass: steps into windows at given caps, latest windows first.

Mirrored in time the same pass works forwards, so there is one piece of code for both
(earliest due date with modified due dates: Lawler; Baker, Lawler, Lenstra, Rinnooy Kan
1983; mirrored it is latest release first).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from planner.schedule.problem import FAR, HELPER, KINDS, Problem
from planner.schedule.sides import Side

Weights = tuple[tuple[int, ...], ...]
"""By kind of window and need of step: added to a step's key, so that it comes later there."""

EQUALS: Weights = ((0, 0, 0, 0),) * KINDS
URGENT: Weights = ((0, 0, 5, 5), (0, 0, 5, 5), (0, 0, 0, 5), (0, 0, 0, 0))
LAST: Weights = ((0, 0, FAR, FAR), (0, 0, FAR, FAR), (0, 0, 0, FAR), (0, 0, 0, 0))
"""Three ways to weigh steps that could go elsewhere: as equals, only when five windows more
urgent, last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What a pass came to."""

    parts: tuple[tuple[int, int, int], ...]
    """(step, window, minutes) in the order laid: within a window, the last comes first."""
    failed: int | None
    """The first step that found no room; None when all are laid."""
    at: int
    """The window at which it failed."""


class _Filling:
    """A window being filled, from its end."""

    __slots__ = ("aside", "blocked", "ended", "room", "two_hand", "used")

    def __init__(self, room: int, two_hand: int) -> None:
        self.room, self.two_hand = room, two_hand
        self.used = 0
        self.ended = 0
        self.aside: list[int] = []
        self.blocked: list[tuple[int, int]] = []
        """(minutes from the window's end from which it may lie, step)."""


class Pass:
    """A pass under way. Numbered as in the recommended method:

    1. a step is ready when all that unlock it are laid; its window is then known from
       their days and waits;
    2. window by window from the last, the ready step with the smallest key fills what the
       cap leaves (steps that could go elsewhere weighed by ``weights``);
    3. one-sitting steps go in whole, or across one cut; two-hand minutes stay within the
       helper's own; waits in hours are kept by what lies between, else by a gap;
    4. a step whose first window has passed with minutes left fails the pass.
    """

    def __init__(
        self,
        side: Side,
        caps: Sequence[int],
        keys: Sequence[int],
        weights: Weights,
        least: Sequence[int] | None = None,
        hand: tuple[Sequence[bool], int] | None = None,
    ) -> None:
        """``least``: least sitting by step; ``hand``: hand steps and their minutes a day."""
        self.hand = hand
        self.hand_minutes: dict[int, int] = {}
        self.felt: set[str] = set()
        """Which of "hand", "crosses" and "least" have kept minutes out so far: without one that
        isn't named the pass would go just the same."""
        self.side, self.caps, self.keys, self.weights = side, list(caps), keys, weights
        self.least = least
        self.left = list(side.minutes)
        self.locks = list(side.locks)
        self.last = list(side.tail)
        self.parts: list[tuple[int, int, int]] = []
        self.failed: tuple[int, int] | None = None
        self.heaps: list[list[tuple[int, int]]] = [[] for _ in range(KINDS)]
        self.arrivals: dict[int, list[int]] = {}
        self.ends_by = list(side.ends_by) if side.clocked else []
        self.begun_in: list[int] = [-1] * len(self.left) if side.clocked else []
        self.begun_after: list[int] = [0] * len(self.left) if side.clocked else []
        self.crossing: tuple[int, int] | None = None

    def run(self) -> Laid:
        """Lay all steps, or stop at the first that finds no room."""
        side = self.side
        for j, head in enumerate(side.head):
            if head > side.tail[j]:
                return Laid(parts=(), failed=j, at=max(0, min(head, side.windows - 1)))
        for j, locks in enumerate(self.locks):
            if locks == 0 and not self._ready(j, side.windows):
                assert self.failed is not None
                return Laid(parts=(), failed=self.failed[0], at=self.failed[1])
        fill = self._by_the_clock if side.clocked else self._window
        for w in range(side.windows - 1, -1, -1):
            for j in self.arrivals.get(w, ()):
                heappush(self.heaps[side.need[j]], (self.keys[j], j))
            fill(w)
            if self.failed is None:
                for j in side.beginning[w]:
                    if self.left[j]:
                        self.failed = (j, w)
                        break
            if self.failed is not None:
                j, at = self.failed
                return Laid(parts=tuple(self.parts), failed=j, at=at)
        return Laid(parts=tuple(self.parts), failed=None, at=-1)

    def _ready(self, j: int, now: int) -> bool:
        """A step is unlocked: put it where its last window is. False when that is too early."""
        w = self.last[j]
        if w < self.side.head[j]:
            self.failed = (j, max(w, 0))
            return False
        if w < now:
            self.arrivals.setdefault(w, []).append(j)
        else:
            heappush(self.heaps[self.side.need[j]], (self.keys[j], j))
        return True

    def _window(self, w: int) -> None:
        """Fill one window, where moments inside it don't matter."""
        side, left = self.side, self.left
        kind, room = side.kind[w], self.caps[w]
        heaps, weights = self.heaps, self.weights[kind]
        two_hand = side.size[w] if kind == HELPER else 0
        aside: list[int] = []
        if self.crossing is not None:
            j, rest = self.crossing
            self.crossing = None
            two_hand -= rest if side.need[j] == HELPER else 0
            room -= rest
            self._lay(j, w, rest, rest)
        while room > 0 and self.failed is None:
            # as ``_pick``, written out: this is the innermost loop of planning
            best, at = FAR * 4, -1
            for need in range(kind, KINDS):
                if heaps[need]:
                    value = heaps[need][0][0] + weights[need]
                    if value < best:
                        best, at = value, need
            if at < 0:
                break
            j = heappop(heaps[at])[1]
            take = left[j]
            if take > room or at == HELPER or self.hand is not None:
                take = self._take(j, w, room, two_hand)
                if take == 0:
                    aside.append(j)
                    continue
            room -= take
            if at == HELPER:
                two_hand -= take
            self._lay(j, w, take, 0)
            if left[j] and self.crossing is None:
                aside.append(j)
        for j in aside:
            heappush(heaps[side.need[j]], (self.keys[j], j))

    def _by_the_clock(self, w: int) -> None:
        """Fill one window, where moments inside it matter."""
        side = self.side
        kind = side.kind[w]
        fill = _Filling(self.caps[w], side.size[w] if kind == HELPER else 0)
        if self.crossing is not None:
            self._cross(w, fill)
        while fill.room > 0 and self.failed is None:
            at = self._pick(kind)
            if at < 0:
                if not fill.blocked:
                    break
                self._wait_for_first(fill)
                continue
            j = heappop(self.heaps[at])[1]
            if not self._timely(j, w, fill):
                continue
            take = self._take(j, w, fill.room, fill.two_hand)
            if take == 0:
                fill.aside.append(j)
                continue
            fill.room -= take
            fill.used += take
            fill.ended = fill.used
            if at == HELPER:
                fill.two_hand -= take
            self._lay(j, w, take, fill.used)
            if self.left[j] and self.crossing is None:
                fill.aside.append(j)
            if fill.blocked:
                self._unblock(fill)
        for j in fill.aside:
            self._push(j)
        for _, j in fill.blocked:
            self._push(j)
        # what the window is used to, without idle minutes at its end
        self.caps[w] = fill.ended

    def _push(self, j: int) -> None:
        heappush(self.heaps[self.side.need[j]], (self.keys[j], j))

    def _pick(self, kind: int) -> int:
        """The need whose first ready step comes next in a window of this kind; -1 for none."""
        best, at = FAR * 4, -1
        weights, heaps = self.weights[kind], self.heaps
        for need in range(kind, KINDS):
            if heaps[need]:
                value = heaps[need][0][0] + weights[need]
                if value < best:
                    best, at = value, need
        return at

    def _wait_for_first(self, fill: _Filling) -> None:
        """Nothing can be done meanwhile: leave a gap until the first that waits is free."""
        free, j = min(fill.blocked)
        fill.blocked.remove((free, j))
        if free - fill.used >= fill.room:
            fill.aside.append(j)
            return
        fill.room -= max(0, free - fill.used)
        fill.used = max(fill.used, free)
        self._push(j)

    def _timely(self, j: int, w: int, fill: _Filling) -> bool:
        """Whether waits in hours let a step lie here now; else it is put by."""
        gap = self._gap(j, w)
        if gap is None:
            fill.aside.append(j)
            return False
        if gap <= 0:
            return True
        if fill.used < gap:
            fill.blocked.append((gap, j))
            return False
        # a window that keeps a wait can't run over: its last moments must be real ones
        fill.room = min(fill.room, self.side.size[w] - fill.used)
        if fill.room <= 0:
            fill.aside.append(j)
            return False
        return True

    def _unblock(self, fill: _Filling) -> None:
        """Steps that waited for what now lies behind them are ready again."""
        for b in [b for b in fill.blocked if b[0] <= fill.used]:
            fill.blocked.remove(b)
            self._push(b[1])

    def _take(self, j: int, w: int, room: int, two_hand: int) -> int:
        """Minutes of a step that go into the window now."""
        left = self.left[j]
        side = self.side
        whole = room
        if side.need[j] == HELPER:
            room = min(room, two_hand)
        if self.hand is not None and self.hand[0][j]:
            free = self.hand[1] - self.hand_minutes.get(side.day[w], 0)
            if free < room:
                room = free
                self.felt.add("hand")
                if room <= 0:
                    return 0
        if left <= room:
            return left
        if side.one_sitting[j]:
            # what crosses into the window before must be the first thing in this one
            if room != whole:
                return 0
            if not side.crosses[j]:
                self.felt.add("crosses")
                return 0
            return self._across(j, w, room)
        if self.least is None:
            return room
        least = self.least[j]
        take = room if left - room >= least else left - least
        if take < room or take < least:
            self.felt.add("least")
        return take if take >= least else 0

    def _across(self, j: int, w: int, room: int) -> int:
        """A one-sitting step that is longer than the window may cross into the one before."""
        side = self.side
        before = w - 1
        if room <= 0 or before < 0 or not side.touches_before[w] or before < side.head[j]:
            return 0
        if side.kind[before] > side.need[j]:
            return 0
        there = self.caps[before]
        if side.need[j] == HELPER:
            there = min(there, side.size[before])
        if self.left[j] - room > there:
            return 0
        self.crossing = (j, self.left[j] - room)
        return room

    def _cross(self, w: int, fill: _Filling) -> None:
        """Lay the rest of the one-sitting step that crosses into this window."""
        assert self.crossing is not None
        j, rest = self.crossing
        self.crossing = None
        if self.side.need[j] == HELPER:
            fill.two_hand -= rest
        fill.room -= rest
        fill.used = fill.ended = rest
        self._lay(j, w, rest, rest)

    def _gap(self, j: int, w: int) -> int | None:
        """Minutes from the window's used end that must lie behind the step; None: not here.

        The sittings are laid from the window's beginning, so the step ends ``used`` minutes
        before what is used in all, which is at most the cap and the window's own minutes.
        """
        side = self.side
        by, gap = self.ends_by[j], 0
        for f, minutes in side.timed[j]:
            if not minutes:
                continue
            if self.begun_in[f] == w:
                gap = max(gap, self.begun_after[f] + minutes)
            else:
                v = self.begun_in[f]
                begins = side.start[v] + max(0, self.caps[v] - self.begun_after[f])
                by = min(by, min(begins, side.end[v]) - minutes)
        if side.end[w] > by:
            if side.start[w] >= by:
                return None
            longest = min(self.caps[w], side.size[w])
            gap = max(gap, side.start[w] + longest - by, 1)
            if gap >= longest and side.start[w] + longest > by:
                return None
        return gap

    def _lay(self, j: int, w: int, take: int, used: int) -> None:
        """Put minutes of a step into a window and unlock what it unlocks."""
        self.parts.append((j, w, take))
        if self.hand is not None and self.hand[0][j]:
            day = self.side.day[w]
            self.hand_minutes[day] = self.hand_minutes.get(day, 0) + take
        self.left[j] -= take
        if self.left[j]:
            return
        side = self.side
        if side.clocked:
            self.begun_in[j], self.begun_after[j] = w, used
        for p, nights, _minutes in side.unlocks[j]:
            at = w if not nights else bisect_right(side.day, side.day[w] - nights) - 1
            if at < self.last[p]:
                self.last[p] = at
            self.locks[p] -= 1
            if self.locks[p] == 0 and not self._ready(p, w):
                return


def peak_planned(problem: Problem, parts: Sequence[tuple[int, int, int]]) -> list[int]:
    """Minutes planned in each window."""
    planned = [0] * problem.windows
    for _, w, minutes in parts:
        planned[w] += minutes
    return planned


def unmirrored(laid: Laid, windows: int) -> tuple[tuple[int, int, int], ...]:
    """Parts of a mirrored pass in true time, in the order a backward pass would lay them."""
    return tuple((j, windows - 1 - w, m) for j, w, m in reversed(laid.parts))

