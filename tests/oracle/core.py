"""An instance as bare numbers, its mirror image, and what narrows it at given caps.

The mirror image runs time backwards: what is true of heads in one is true of tails in the
other, so every pass is written once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from tests.oracle.instance import PLACES, Instance

Amounts = list[dict[int, int]]
"""Minutes by window, for each step."""


@dataclass(frozen=True, kw_only=True)
class Core:
    """Windows and steps by index."""

    minutes: tuple[int, ...]
    day: tuple[int, ...]
    place: tuple[int, ...]
    helper: tuple[bool, ...]
    touch: tuple[bool, ...]
    """Whether the next window touches this one in the same place."""
    need: tuple[int, ...]
    """Minutes of each step."""
    kind: tuple[int, ...]
    """Least place of each step."""
    two: tuple[bool, ...]
    one: tuple[bool, ...]
    use: tuple[tuple[int, ...], ...]
    before: tuple[tuple[tuple[int, int], ...], ...]
    """For each step what it follows, with nights; always of a lower index."""

    @cached_property
    def after(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """For each step what follows it, with nights."""
        found: list[list[tuple[int, int]]] = [[] for _ in self.need]
        for j, pairs in enumerate(self.before):
            for i, nights in pairs:
                found[i].append((j, nights))
        return tuple(tuple(pairs) for pairs in found)

    @cached_property
    def ancestors(self) -> tuple[frozenset[int], ...]:
        """All that must be done before each step."""
        found: list[frozenset[int]] = []
        for pairs in self.before:
            own = {i for i, _ in pairs}
            found.append(frozenset(own.union(*(found[i] for i, _ in pairs))))
        return tuple(found)

    def mirrored(self) -> Core:
        """The same with time running backwards; step j becomes step n-1-j."""
        last, end = len(self.minutes) - 1, len(self.need) - 1
        return Core(
            minutes=self.minutes[::-1],
            day=tuple(-d for d in self.day[::-1]),
            place=self.place[::-1],
            helper=self.helper[::-1],
            touch=(*self.touch[:-1][::-1], False),
            need=self.need[::-1],
            kind=self.kind[::-1],
            two=self.two[::-1],
            one=self.one[::-1],
            use=tuple(tuple(last - w for w in own[::-1]) for own in self.use[::-1]),
            before=tuple(tuple((end - j, n) for j, n in pairs) for pairs in self.after[::-1]),
        )

    def caps(self, theta: Fraction) -> list[int]:
        """What each window holds at this load: only workroom windows stretch."""
        return [
            int(theta * m) if p == 0 else m for m, p in zip(self.minutes, self.place, strict=True)
        ]

    def caps_below(self, theta: Fraction) -> list[int]:
        """What each window holds at the greatest load strictly less."""
        return [
            -int(-theta * m // 1) - 1 if p == 0 else m
            for m, p in zip(self.minutes, self.place, strict=True)
        ]

    def step_up(self, caps: Sequence[int]) -> Fraction:
        """The least load at which a workroom window holds more than these caps."""
        pairs = zip(caps, self.minutes, self.place, strict=True)
        return min(Fraction(c + 1, m) for c, m, p in pairs if p == 0)

    def peak(self, amounts: Amounts) -> Fraction:
        """The fullest workroom window of a schedule."""
        planned = [0] * len(self.minutes)
        for own in amounts:
            for w, minutes in own.items():
                planned[w] += minutes
        rooms = [w for w, p in enumerate(self.place) if p == 0]
        return max((Fraction(planned[w], self.minutes[w]) for w in rooms), default=Fraction(0))


def core_of(found: Instance) -> Core:
    """The instance as bare numbers."""
    before: list[list[tuple[int, int]]] = [[] for _ in found.tasks]
    for edge in found.edges:
        before[edge.after].append((edge.before, edge.nights))
    return Core(
        minutes=tuple(w.minutes for w in found.windows),
        day=tuple(w.day.toordinal() for w in found.windows),
        place=tuple(PLACES.index(w.place) for w in found.windows),
        helper=tuple(w.helper for w in found.windows),
        touch=tuple(found.touching()),
        need=tuple(t.minutes for t in found.tasks),
        kind=tuple(PLACES.index(t.place) for t in found.tasks),
        two=tuple(t.hands == 2 for t in found.tasks),
        one=tuple(t.one_sitting for t in found.tasks),
        use=tuple(tuple(own) for own in found.usable()),
        before=tuple(tuple(pairs) for pairs in before),
    )


@dataclass(frozen=True, kw_only=True)
class Heads:
    """How early each step could begin and end, by window."""

    begin: tuple[int, ...]
    end: tuple[int, ...]


def heads(core: Core, caps: Sequence[int]) -> Heads | None:
    """Earliest windows at these caps, all that stands before a step counted; None if a step
    has no place at all.

    A step can't begin before all its ancestors' minutes and one of its own have gone in, nor
    end before all its own have: of the steps that need a workroom into workroom windows, of
    those that need a sofa into workroom and sofa windows, of all into all.
    """
    begin: list[int] = []
    end: list[int] = []
    for j, own in enumerate(core.use):
        first = 0
        for i, nights in core.before[j]:
            at = end[i]
            while at < len(core.day) and core.day[at] - core.day[end[i]] < nights:
                at += 1
            first = max(first, at)
        work = [(begin[i], core.need[i], core.kind[i]) for i in core.ancestors[j]]
        start = max(first, _filled(core, caps, [*work, (first, 1, core.kind[j])]))
        start = next((w for w in own if w >= start and caps[w]), -1)
        if start < 0:
            return None
        finish = _filled(core, caps, [*work, (start, core.need[j], core.kind[j])])
        finish = max(finish, _alone(core, caps, j, start))
        finish = next((w for w in own if w >= finish and caps[w]), -1)
        if finish < 0:
            return None
        begin.append(start)
        end.append(finish)
    return Heads(begin=tuple(begin), end=tuple(end))


def _filled(core: Core, caps: Sequence[int], work: list[tuple[int, int, int]]) -> int:
    """The first window by whose end the work, released by window, can all have gone in."""
    latest = 0
    for kind in (0, 1, 2):
        at = used = 0
        for release, minutes in sorted((r, p) for r, p, k in work if k <= kind):
            if release > at:
                at, used = release, 0
            while minutes:
                if at >= len(caps):
                    return at
                given = min(minutes, _room(core, caps, kind, at) - used)
                minutes, used = minutes - given, used + given
                if minutes:
                    at, used = at + 1, 0
        latest = max(latest, at)
    return latest


def _room(core: Core, caps: Sequence[int], kind: int, window: int) -> int:
    return caps[window] if core.place[window] <= kind else 0


def _alone(core: Core, caps: Sequence[int], j: int, start: int) -> int:
    left = core.need[j]
    for w in core.use[j]:
        if w >= start:
            left -= min(caps[w], core.minutes[w]) if core.two[j] else caps[w]
            if left <= 0:
                return w
    return len(caps)
