"""Gather slivers: sittings too short to be worth getting the work out for.

A laid plan fills every window to its cap, and so cuts a minute off one step and four off the
next. Equal minutes of two steps are exchanged between two windows (a pairwise interchange), or
moved where there is room, wherever that leaves fewer slivers; no window comes to hold more than
before (but for crumbs of a few minutes, and never more than the fullest), no step begins earlier,
and every order, wait, span, pair of hands and date is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from planner.schedule.clock import by_clock
from planner.schedule.laying import Wishes
from planner.schedule.problem import HELPER, WORKROOM, Problem
from planner.schedule.search import Parts
from planner.schedule.shifting import Link, Shifting
from planner.schedule.spans import Spans

#: a sitting of so many minutes is none: a window takes it up beyond its level
CRUMB = 4
#: exchanges looked at in all; large workrooms keep some slivers
MOST = 20_000
#: steps that may take part in an exchange besides the one whose sliver is mended
LINKS = 3
#: one exchange makes room for another
ROUNDS = 3


def gather(
    problem: Problem,
    spans: Spans,
    parts: Parts,
    wishes: Wishes,
    fill_to: Fraction,
    clocked: bool,
) -> Parts:
    """The same plan with fewer slivers; as it is where there are none to mend.

    ``clocked``: whether moments inside windows matter (waits in hours).
    """
    gathering = Gathering(problem, spans, parts, wishes, fill_to, clocked)
    return gathering.parts() if gathering.gather() else parts


class Gathering(Shifting):
    """A complete schedule whose slivers are being gathered."""

    def __init__(
        self,
        problem: Problem,
        spans: Spans,
        parts: Parts,
        wishes: Wishes,
        fill_to: Fraction,
        clocked: bool,
    ) -> None:
        super().__init__(problem, spans, parts)
        self.wishes, self.clocked = wishes, clocked
        filled = problem.caps(min(fill_to, Fraction(1)))
        self.most = [max(a, b) for a, b in zip(self.load, filled, strict=True)]
        self.room = self._room_for_crumbs()
        self.laid: dict[int, list[int]] = {}
        """By window its steps in the order they were laid, which waits in hours may need."""
        for j, w, _ in parts:
            self.laid.setdefault(w, []).append(j)
        self.hand: dict[int, int] = {}
        for j, w, minutes in parts:
            if self._by_hand(j):
                self.hand[problem.day[w]] = self.hand.get(problem.day[w], 0) + minutes
        self.tries = 0

    def _room_for_crumbs(self) -> list[int]:
        """What each window may hold where that spares a crumb, but never more than the fullest.

        Where all hours are of one kind levels are exact fractions, and are kept so.
        """
        p = self.problem
        if all(kind <= WORKROOM for kind in p.kind):
            return self.most
        fullest = p.caps(self.peak())
        return [
            max(most, min(most + CRUMB, cap)) if kind <= WORKROOM else most
            for most, cap, kind in zip(self.most, fullest, p.kind, strict=True)
        ]

    def gather(self) -> bool:
        """Mend what can be mended, the shortest first; whether anything was."""
        mended = False
        for _ in range(ROUNDS):
            slivers = sorted(
                (m, w, j)
                for j, mine in enumerate(self.of_step)
                for w, m in mine.items()
                if self._is_sliver(j, m)
            )
            # of those mended another way meanwhile nothing is left to mend
            found = [
                self._mend(j, w)
                for _, w, j in slivers
                if self.tries < MOST and self._is_sliver(j, self.of_step[j].get(w, 0))
            ]
            if not any(found):
                break
            mended = True
        return mended

    def parts(self) -> Parts:
        """Latest window first; within one as laid, what came later by its place in the order."""
        found = []
        for w in range(self.problem.windows - 1, -1, -1):
            laid = [j for j in self.laid.get(w, ()) if j in self.of_window[w]]
            for j in sorted(self.of_window[w].keys() - set(laid), reverse=True):
                behind = (i for i, k in enumerate(laid) if k < j)
                laid.insert(next(behind, len(laid)), j)
            found += [(j, w, self.of_window[w][j]) for j in laid]
        return tuple(found)

    def _by_hand(self, j: int) -> bool:
        return bool(self.wishes.hand) and self.wishes.hand[j]

    def _is_sliver(self, j: int, minutes: int) -> bool:
        """Whether a sitting is shorter than is worth while, though the step is longer."""
        least = min(self.wishes.least[j], self.problem.minutes[j])
        return 0 < minutes < least and not self.problem.one_sitting[j]

    def _mend(self, j: int, w: int) -> bool:
        """Get rid of a sliver of a step: joined to its nearest other sittings, or made longer."""
        minutes = self.of_step[j][w]
        elsewhere = sorted((v for v in self.of_step[j] if v != w), key=lambda v: abs(v - w))
        most = self.room if minutes <= CRUMB else self.most
        for v in elsewhere:
            if most[v] - self.load[v] >= minutes and self._try([(j, w, v)], minutes):
                return True
        more = min(self.wishes.least[j], self.problem.minutes[j]) - minutes
        for longest in range(1, LINKS + 1):
            for a, b, amount in (
                *((w, v, minutes) for v in elsewhere),
                *((v, w, more) for v in elsewhere),
            ):
                if self.of_step[j][a] < amount:
                    continue
                for chain in self._chains(b, a, amount, longest):
                    if self._try([(j, a, b), *chain], amount):
                        return True
                    if self.tries >= MOST:
                        return False
        return False

    def _chains(self, a: int, b: int, amount: int, links: int) -> Iterator[list[Link]]:
        """Chains of so many links that carry minutes from one window to another.

        A single link may begin a sitting; in longer ones every step has a sitting at both ends.
        """
        for k in sorted(self.of_window[a]):
            if self.of_window[a][k] < amount or self.problem.one_sitting[k]:
                continue
            if links == 1:
                yield [(k, a, b)]
                continue
            for x in sorted(self.of_step[k]):
                if x in (a, b):
                    continue
                for rest in self._chains(x, b, amount, links - 1):
                    last = rest[-1][0]
                    if b in self.of_step[last]:
                        yield [(k, a, x), *rest]

    def _try(self, moves: Sequence[Link], amount: int) -> bool:
        """Make moves of so many minutes each, if that leaves fewer slivers and all is kept."""
        self.tries += 1
        steps = {j for j, _, _ in moves}
        if len(steps) < len(moves) or not all(self._holds(j, a, amount) for j, a, _ in moves):
            return False
        before = self._slivers(steps)
        begun = [self.first[j] for j in steps]
        done: list[Link] = []
        for j, a, b in moves:
            self._move(j, a, b, amount)
            done.append((j, a, b))
            if not self._allowed_in(j, b):
                break
        else:
            kept = (
                self._slivers(steps) < before
                and all(self.first[j] >= f for j, f in zip(steps, begun, strict=True))
                and self._hands_rest(moves)
                and (not self.clocked or by_clock(self.problem, self.parts()))
            )
            if kept:
                return True
        for j, a, b in reversed(done):
            self._move(j, b, a, amount)
        return False

    def _holds(self, j: int, w: int, amount: int) -> bool:
        """Whether so many minutes of a step can be taken out of a window."""
        return not self.problem.one_sitting[j] and self.of_window[w].get(j, 0) >= amount

    def _move(self, j: int, a: int, b: int, amount: int) -> None:
        self._add(j, a, -amount)
        self._add(j, b, amount)
        if self._by_hand(j):
            day = self.problem.day
            self.hand[day[a]] = self.hand.get(day[a], 0) - amount
            self.hand[day[b]] = self.hand.get(day[b], 0) + amount

    def _allowed_in(self, j: int, w: int) -> bool:
        """Whether a step may lie in a window where it lies already."""
        p = self.problem
        if p.need[j] == HELPER and self.two[w] > p.size[w]:
            return False
        return self.allowed(j, w)

    def _hands_rest(self, moves: Sequence[Link]) -> bool:
        """Whether no day beyond the limit of hand sewing got more of it by these moves."""
        limit = self.wishes.hand_limit
        if limit is None:
            return True
        grown = {self.problem.day[b] for j, _, b in moves if self._by_hand(j)}
        shrunk = {self.problem.day[a] for j, a, _ in moves if self._by_hand(j)}
        return all(self.hand[day] <= limit for day in grown - shrunk)

    def _slivers(self, steps: set[int]) -> tuple[int, int]:
        """How many slivers some steps have, and how many sittings."""
        short = sittings = 0
        for j in steps:
            sittings += len(self.of_step[j])
            short += sum(self._is_sliver(j, m) for m in self.of_step[j].values())
        return short, sittings
