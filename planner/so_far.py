"""How quick the work has been so far, against what was planned for it, and how much of it was done.

What was planned for a step is what the last plan kept before it was begun says; where no such
plan is known, its estimate without what was learnt since. A step done again counts once for each
round. What has no time logged with its end, or was done at an occasion, tells nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.model import Entry, Kept
from planner.planned_behind import planned_days, still_planned

LEAST_STEPS = 3
"""So many finished steps at the least say how quick the work is."""
LEAST_MINUTES = 120
"""And so many minutes planned for them."""
MOST_TIMES = 4.0
"""No step counts for more than so many times its plan, or less than that part of it: a typing
mistake must not decide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A step once finished."""

    step: str
    planned: int | None
    """Minutes the maker guessed for it when it was opened again; None: the first time."""
    logged: int
    begun: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """Finished steps, what was planned for them and what they took."""

    steps: int
    planned: int
    logged: int
    ratio: float
    """Of what they took to what was planned; 1.25 is a quarter slower."""
    ahead: float
    """Of what they took to today's estimates."""

    @property
    def enough(self) -> bool:
        """Whether it says something."""
        return self.steps >= LEAST_STEPS and self.planned >= LEAST_MINUTES


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptUp:
    """What was planned on days behind, and what was done on them."""

    since: date
    """The first of these days."""
    days: int
    """Days on which something was planned."""
    planned: int
    done: int


def rounds(step: str, entries: Sequence[Entry]) -> Iterator[Round]:
    """Each time a step was finished with its time, from its entries in the order of the file."""
    budget: int | None = None
    spent = 0
    begun: datetime | None = None
    done = False
    for entry in entries:
        if entry.left is not None and done:
            budget, spent, begun, done = entry.left, 0, None, False
        spent += entry.minutes
        if entry.minutes and begun is None:
            begun = entry.at - timedelta(minutes=entry.minutes)
        if entry.done:
            if entry.minutes and begun is not None and not done:
                yield Round(step=step, planned=budget, logged=spent, begun=begun)
            done = True


def so_far(
    entries: Mapping[str, Sequence[Entry]],
    planned: Mapping[str, int],
    today: Mapping[str, int],
    kept: Sequence[Kept] = (),
) -> SoFar | None:
    """How the steps that are the keys of ``planned`` went; None where none was finished.

    ``planned``: their estimates as planned; ``today``: as they are now. ``kept``: plans of days
    behind, which win.
    """
    count, whole, logged, as_planned, as_today, now = 0, 0, 0, 0.0, 0.0, 0
    then = _planned_then(kept)
    for step, estimate in planned.items():
        for one in rounds(step, entries.get(step, ())):
            budget = one.planned or _before(then, step, one.begun) or estimate
            against = one.planned or today[step]
            count, logged = count + 1, logged + one.logged
            whole, now = whole + budget, now + against
            as_planned += _held(one.logged, budget)
            as_today += _held(one.logged, against)
    if not count:
        return None
    return SoFar(
        steps=count,
        planned=whole,
        logged=logged,
        ratio=as_planned / whole,
        ahead=as_today / now,
    )


def _held(logged: int, planned: int) -> float:
    """What counts of a time."""
    return min(max(logged, planned / MOST_TIMES), planned * MOST_TIMES)


def _planned_then(kept: Sequence[Kept]) -> dict[str, list[tuple[datetime, int]]]:
    """By step, what each plan had for it, the earliest first."""
    found: dict[str, list[tuple[datetime, int]]] = {}
    for plan in sorted((k for k in kept if k.as_of is not None), key=lambda k: str(k.as_of)):
        assert plan.as_of is not None
        sums: dict[str, int] = {}
        for hours in plan.hours:
            for step, minutes in hours.planned:
                sums[step] = sums.get(step, 0) + minutes
        for step, minutes in sums.items():
            found.setdefault(step, []).append((plan.as_of, minutes))
    return found


def _before(
    then: Mapping[str, Sequence[tuple[datetime, int]]], step: str, begun: datetime
) -> int | None:
    """What the last plan before a moment had for a step."""
    return next((m for at, m in reversed(then.get(step, ())) if at <= begun), None)


def kept_up(
    kept: Sequence[Kept],
    steps: frozenset[str],
    entries: Mapping[str, Sequence[Entry]],
    now: datetime,
) -> KeptUp | None:
    """What plans had on the days behind, and what was done; None where no plan is known.

    ``entries``: those of the diary, by step.
    """
    firsts = [k.as_of.date() for k in kept if k.as_of is not None]
    if not firsts:
        return None
    mine = [entry for step in steps for entry in entries.get(step, ())]
    planned = {
        day.date: minutes
        for one in planned_days(kept, min(firsts), now)
        for day in (still_planned(one, mine),)
        if (minutes := sum(n for step, n in day.steps.items() if step in steps))
    }
    if not planned:
        return None
    since = min(planned)
    return KeptUp(
        since=since,
        days=len(planned),
        planned=sum(planned.values()),
        done=sum(one.minutes for one in mine if since <= one.at.date() < now.date()),
    )
