"""How much later each step could end with every other step still meeting its date.

From above: what must come behind a step (its followers, and steps that can't begin earlier)
has to fit into the hours behind it, by every date and kind of hours. From below: free
minutes in the plan, else a pass that lays the followers late and the step as late as it
goes. Where both agree the figure is exact. Minutes are usable ones of the step's own kinds
of hours, at 100 % or at the peak if that is more.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.schedule.clock import Stretch
from planner.schedule.passes import URGENT, Pass
from planner.schedule.problem import FAR, KINDS, Problem
from planner.schedule.search import Search
from planner.schedule.sides import by_head

#: minutes laid (passes x steps) that may be spent on making figures exact
STEPS_FOR_EXACT = 12_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """Usable minutes between the planned end and the latest possible end."""

    minutes: int
    exact: bool


@dataclass(frozen=True, slots=True, order=True)
class Position:
    """A moment by window and minutes of its cap used up to there."""

    window: int
    offset: int


class Spares:
    """Works out the spare minutes of all steps of a schedule.

    Not ``thorough``, no passes are run: 0 is still said only where it is exact, but more of
    the other figures are only bounded from below.
    """

    def __init__(
        self,
        problem: Problem,
        search: Search,
        stretches: Sequence[Stretch],
        theta: Fraction,
        thorough: bool = True,
    ) -> None:
        self.problem, self.search = problem, search
        self.caps = problem.caps(max(Fraction(1), theta))
        self.gone = []
        for need in range(KINDS):
            row = [0]
            for c, k in zip(self.caps, problem.kind, strict=True):
                row.append(row[-1] + (c if k <= need else 0))
            self.gone.append(row)
        self.head, self.tail = search.spans.head, search.spans.tail
        self.by_tail = sorted(range(problem.steps), key=lambda j: self.tail[j])
        self.end: dict[int, Position] = {}
        self.begin: dict[int, Position] = {}
        self.planned = [0] * problem.windows
        for s in stretches:
            self.begin.setdefault(s.step, Position(s.window, self.planned[s.window]))
            self.planned[s.window] += s.minutes
            self.end[s.step] = Position(s.window, self.planned[s.window])
        self.base: dict[int, list[list[tuple[int, int]]]] = {}
        self.spent = 0 if thorough else STEPS_FOR_EXACT

    def all(self) -> list[Spare]:
        """The spare minutes of every step."""
        return [self._of(j) for j in range(self.problem.steps)]

    def _of(self, j: int) -> Spare:
        end = self.end[j]
        pushed, highest = self._highest(j)
        if highest <= end:
            return Spare(minutes=0, exact=True)
        lowest = max(end, self._free(j))
        if lowest < highest and self.spent < STEPS_FOR_EXACT:
            lowest = max(lowest, self._witness(j, highest, pushed))
        spare = self._minutes(j, end, lowest)
        bound = self._minutes(j, end, highest)
        return Spare(minutes=min(spare, bound), exact=spare >= bound)

    def _minutes(self, j: int, a: Position, b: Position) -> int:
        row = self.gone[self.problem.need[j]]
        return max(0, row[b.window] + b.offset - row[a.window] - a.offset)

    def _descendants(self, j: int) -> list[int]:
        below = self.search.energy.below
        if below is not None:
            return below[j]
        return [e.other for e in self.problem.behind[j]]

    def _pushed(self, j: int, w: int) -> dict[int, int]:
        """First windows of what follows ``j`` if it ends in window ``w``."""
        p = self.problem
        at = {j: w}
        below = set(self._descendants(j))
        for d in sorted(below):
            first = self.head[d]
            for e in p.before[d]:
                if e.other in at:
                    v = at[e.other]
                    if e.nights:
                        v = bisect_left(p.day, p.day[v] + e.nights) if v < p.windows else v
                    first = max(first, v)
            at[d] = first
        del at[j]
        return at

    def _behind(self, w: int) -> list[list[tuple[int, int]]]:
        """By kind of hours: (tail, minutes) of all steps that can't begin in ``w`` or before."""
        if w not in self.base:
            p = self.problem
            self.base[w] = [
                [
                    (self.tail[k], p.minutes[k])
                    for k in self.by_tail
                    if self.head[k] > w and p.need[k] <= level
                ]
                for level in range(KINDS)
            ]
        return self.base[w]

    def _highest(self, j: int) -> tuple[dict[int, int], Position]:
        """No later moment than this is possible."""
        p = self.problem
        for w in range(self.tail[j], self.end[j].window - 1, -1):
            if p.kind[w] > p.need[j]:
                continue
            pushed = self._pushed(j, w)
            if any(first > self.tail[d] for d, first in pushed.items()):
                continue
            room = self._room(w, pushed)
            if room is not None and room > 0:
                return pushed, Position(w, room)
        return {}, self.end[j]

    def _room(self, w: int, pushed: dict[int, int]) -> int | None:
        """Minutes of window ``w`` up to which a step may end, by what must lie behind it."""
        p = self.problem
        rows = self._behind(w)
        least = self.caps[w]
        for level in range(1, KINDS):
            inside = p.kind[w] <= level
            mine = sorted(
                (self.tail[d], p.minutes[d])
                for d in pushed
                if self.head[d] <= w and p.need[d] <= level
            )
            if not mine and not inside:
                continue
            gone, total = self.gone[level], 0
            for tail, minutes in _merged(rows[level], mine):
                total += minutes
                rest = gone[tail + 1] - gone[w + 1] - total
                if rest < 0:
                    if not inside or self.caps[w] + rest <= 0:
                        return None
                    least = min(least, self.caps[w] + rest)
        return least

    def _free(self, j: int) -> Position:
        """Where a minute of the step's last sitting could go in the plan as it is."""
        p = self.problem
        last, limit = self.tail[j], Position(self.tail[j], FAR)
        for e in p.behind[j]:
            begin = self.begin[e.other]
            if e.nights:
                w = bisect_right(p.day, p.day[begin.window] - e.nights) - 1
                limit = min(limit, Position(w, FAR))
            elif e.minutes:
                limit = min(limit, Position(begin.window - 1, FAR))
            else:
                limit = min(limit, begin)
        last = min(last, limit.window)
        wanted = p.minutes[j] if p.one_sitting[j] else 1
        for w in range(last, self.end[j].window, -1):
            if p.kind[w] <= p.need[j] and self.caps[w] - self.planned[w] >= wanted:
                free = self.caps[w] - self.planned[w]
                if w == limit.window and limit.offset < FAR:
                    return Position(w, limit.offset + free)
                return Position(w, self.caps[w])
        w = self.end[j].window
        free = self.caps[w] - self.planned[w]
        if limit.window > w:
            # what else is in the window can be done before it
            return Position(w, self.caps[w]) if not self._follows_in(j, w) else self.end[j]
        return Position(w, min(self.caps[w], limit.offset + max(0, free)))

    def _follows_in(self, j: int, w: int) -> bool:
        """Whether something that must come after the step lies in the window."""
        below = set(self._descendants(j))
        return any(self.begin[d].window == w for d in below if d in self.begin)

    def _witness(self, j: int, highest: Position, pushed: dict[int, int]) -> Position:
        """A pass that lays what follows late and the step as late as it goes."""
        p = self.problem
        head = list(self.head)
        for d, first in pushed.items():
            head[d] = max(head[d], min(first, self.tail[d]))
        tail = list(self.tail)
        tail[j] = min(tail[j], highest.window)
        side = replace(
            self.search.back,
            head=tuple(head),
            tail=tuple(tail),
            beginning=by_head(head, p.windows),
        )
        keys = [-h for h in head]
        keys[j] = -p.windows
        self.spent += p.steps
        laid = Pass(side, self.caps, keys, URGENT).run()
        if laid.failed is not None:
            return Position(-1, 0)
        behind: dict[int, int] = {}
        for k, w, minutes in laid.parts:
            if k == j:
                return Position(w, self.caps[w] - behind.get(w, 0))
            behind[w] = behind.get(w, 0) + minutes
        return Position(-1, 0)


def _merged(
    a: Sequence[tuple[int, int]], b: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Both rows in order of tail, minutes of one tail taken together."""
    found: dict[int, int] = {}
    for tail, minutes in a:
        found[tail] = found.get(tail, 0) + minutes
    for tail, minutes in b:
        found[tail] = found.get(tail, 0) + minutes
    return sorted(found.items())
