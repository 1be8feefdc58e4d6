"""The minutes of one step in two plans, day against day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from planner.replanning.values import Shift

Placed = tuple[date | None, int]
"""Minutes on a day; None: on none, for there is no time for them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What became of a step's minutes."""

    open: tuple[Placed, ...]
    """Those of the plan before that are not done, in order of time."""
    placed: tuple[Placed, ...]
    """Those of the plan after, in order of time."""
    shifts: tuple[Shift, ...]
    more: tuple[Placed, ...]
    """Minutes of the plan after that the plan before did not have."""
    less: tuple[Placed, ...]
    """Minutes of the plan before that need no day any more."""


def balance(
    before: Mapping[date | None, int],
    after: Mapping[date | None, int],
    *,
    done: int,
    over: frozenset[date],
) -> Balance:
    """Set a step's minutes against each other.

    1. What was done since is taken off what was planned first.
    2. Day by day, what both plans have stays.
    3. If less is wanted than was planned, the first minutes are those that go; if more, the
       last ones are those that came.
    4. The rest went from day to day, in order of time.

    ``over``: days whose planned hours are all gone by.
    """
    remaining = _without(_sorted(before.items()), done)
    kept = dict(remaining)
    left = _sorted((day, n - after.get(day, 0)) for day, n in remaining)
    came = _sorted((day, n - kept.get(day, 0)) for day, n in after.items())
    spare = sum(n for _, n in left) - sum(n for _, n in came)
    less = _first(left, max(0, spare))
    left = _without(left, max(0, spare))
    more = tuple(reversed(_first(list(reversed(came)), max(0, -spare))))
    came = list(reversed(_without(list(reversed(came)), max(0, -spare))))
    return Balance(
        open=tuple(remaining),
        placed=tuple(_sorted(after.items())),
        shifts=_paired(left, came, over),
        more=more,
        less=less,
    )


def _sorted(placed: Iterable[Placed]) -> list[Placed]:
    """Those with minutes, in order of time; those without a day last."""
    return sorted(
        ((day, n) for day, n in placed if n > 0), key=lambda one: one[0] or date.max
    )


def _without(placed: Iterable[Placed], minutes: int) -> list[Placed]:
    """The same without its first minutes."""
    found: list[Placed] = []
    for day, n in placed:
        taken = min(n, minutes)
        minutes -= taken
        if n > taken:
            found.append((day, n - taken))
    return found


def _first(placed: Iterable[Placed], minutes: int) -> tuple[Placed, ...]:
    """Its first minutes alone."""
    found: list[Placed] = []
    for day, n in placed:
        taken = min(n, minutes)
        minutes -= taken
        if taken:
            found.append((day, taken))
    return tuple(found)


def _paired(left: list[Placed], came: list[Placed], over: frozenset[date]) -> tuple[Shift, ...]:
    """What left and what came, of equal sums, as shifts."""
    found: list[Shift] = []
    sources, sinks = [*left], [*came]
    while sources and sinks:
        (source, there), (sink, wanted) = sources.pop(0), sinks.pop(0)
        n = min(there, wanted)
        found.append(Shift(from_day=source, to_day=sink, minutes=n, lost=source in over))
        if there > n:
            sources.insert(0, (source, there - n))
        if wanted > n:
            sinks.insert(0, (sink, wanted - n))
    return tuple(found)
