"""What the oracle solves: cut windows, steps and orders, and nothing else.

Written from the rules alone and independent of the planner: an instance is what is left of a
workroom once hours are dated and cut and references are resolved.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

#: places from the one that serves most to the one that serves least
PLACES = ("workroom", "sofa", "take-along")


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A cut window of hours."""

    start: datetime
    end: datetime
    day: date
    """The day its uncut hours begin on."""
    place: str
    helper: bool

    @property
    def minutes(self) -> int:
        """How long it is."""
        return int((self.end - self.start).total_seconds()) // 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A step still to be planned."""

    id: str
    minutes: int
    place: str
    """The least place it needs."""
    hands: int
    one_sitting: bool
    nights: int
    """Nights that pass after it, before a follower and before its ready-by."""
    release: datetime | None
    due: datetime

    def may_use(self, window: Window) -> bool:
        """Whether the window's place, helper and time serve this step on its own."""
        if self.hands == 2 and not window.helper:
            return False
        if PLACES.index(window.place) > PLACES.index(self.place):
            return False
        if self.release is not None and window.start < self.release:
            return False
        last_day = self.due.date() - timedelta(days=self.nights)
        return window.end <= self.due and window.day <= last_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """An order between two steps, by index, with the nights between them."""

    before: int
    after: int
    nights: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """A problem of the least peak."""

    seed: int
    kind: str
    """"plain" or "full"."""
    windows: tuple[Window, ...]
    """In order of time, without overlap."""
    tasks: tuple[Task, ...]
    """In an order in which every step comes after what it follows."""
    edges: tuple[Edge, ...]

    def usable(self) -> list[list[int]]:
        """For each step the windows it may use, narrowed along the orders; minutes ignored."""
        own = [[w for w, win in enumerate(self.windows) if t.may_use(win)] for t in self.tasks]
        for edge in sorted(self.edges, key=lambda e: e.after):
            own[edge.after] = self._from(own[edge.before][:1], own[edge.after], edge.nights)
        for edge in sorted(self.edges, key=lambda e: -e.before):
            own[edge.before] = self._until(own[edge.before], own[edge.after][-1:], edge.nights)
        return own

    def touching(self) -> list[bool]:
        """For each window whether the next one touches it in the same place."""
        pairs = zip(self.windows, self.windows[1:], strict=False)
        return [a.end == b.start and a.place == b.place for a, b in pairs] + [False]

    def allowed(self, before: int, after: int, nights: int) -> bool:
        """Whether a follower may use window ``after`` when ``before`` is the last one used."""
        days = (self.windows[after].day - self.windows[before].day).days
        return before <= after and days >= nights

    def _from(self, first: Sequence[int], own: Sequence[int], nights: int) -> list[int]:
        if not first:
            return []
        return [w for w in own if self.allowed(first[0], w, nights)]

    def _until(self, own: Sequence[int], last: Sequence[int], nights: int) -> list[int]:
        if not last:
            return []
        return [w for w in own if self.allowed(w, last[0], nights)]


Span = tuple[datetime, datetime]


def without(spans: Iterable[Span], taken: Iterable[Span]) -> list[Span]:
    """The spans less the times taken out of them."""
    rest = list(spans)
    for begin, end in taken:
        pieces = []
        for a, b in rest:
            if end <= a or begin >= b:
                pieces.append((a, b))
                continue
            pieces += [p for p in ((a, min(b, begin)), (max(a, end), b)) if p[0] < p[1]]
        rest = pieces
    return rest


def cut(spans: Iterable[Span], moments: Iterable[datetime]) -> list[Span]:
    """The spans, cut at every moment inside one of them."""
    rest = list(spans)
    for moment in moments:
        rest = [
            piece
            for a, b in rest
            for piece in (((a, moment), (moment, b)) if a < moment < b else ((a, b),))
        ]
    return sorted(rest)
