"""Why a step is when it is: the nearest cause, and the chain to the occasion that fixes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.deciding import Decision
from planner.plan import Because, Reason
from planner.schedule.clock import Stretch
from planner.schedule.problem import last_on_or_before


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The schedule by step and window, for asking."""

    first: Mapping[int, int]
    """First and last window of each step."""
    last: Mapping[int, int]
    inside: Mapping[int, tuple[int, ...]]
    """Steps of each window, in order of time."""


def layout_of(stretches: Sequence[Stretch]) -> Layout:
    """Sittings by step and window."""
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    inside: dict[int, list[int]] = {}
    for s in stretches:
        first.setdefault(s.step, s.window)
        last[s.step] = s.window
        inside.setdefault(s.window, []).append(s.step)
    return Layout(first=first, last=last, inside={w: tuple(v) for w, v in inside.items()})


def _limit(decision: Decision, layout: Layout, j: int) -> tuple[int, int | None]:
    """The last window the step could lie in with its followers where they are, and who says so."""
    p = decision.scheduled.problem
    spans = decision.scheduled.search.spans
    own = spans.tail_from[j] is None
    limit = spans.tail[j] if own else p.windows
    by: int | None = None
    for e in p.behind[j]:
        w = layout.first[e.other]
        if e.nights:
            w = last_on_or_before(p.day, p.day[w] - e.nights)
        if w < limit or (by is None and w <= limit):
            limit, by = w, e.other
    while limit >= 0 and (limit >= p.windows or p.kind[limit] > p.need[j]):
        limit -= 1
    return min(limit, spans.tail[j]), by


def chain_of(decision: Decision, j: int) -> tuple[str, ...]:
    """Followers that bring the step's date, down to the occasion."""
    spans = decision.scheduled.search.spans
    found: list[str] = []
    k = spans.tail_from[j]
    at = j
    while k is not None:
        found.append(decision.names[k])
        at, k = k, spans.tail_from[k]
    occasion = decision.due[decision.names[at]][2]
    return (*found, occasion) if occasion is not None else tuple(found)


def reason_of(decision: Decision, layout: Layout, j: int, minutes: int | None) -> Reason:
    """The reason of a planned step."""
    p = decision.scheduled.problem
    name = decision.names[j]
    chain = chain_of(decision, j)
    if p.fixed[j] is not None:
        return Reason(because=Because.FIXED_DAY, chain=chain, minutes=minutes)
    limit, by = _limit(decision, layout, j)
    if layout.last[j] >= limit:
        if by is not None:
            return Reason(
                because=Because.FOLLOWER,
                names=(decision.names[by],),
                chain=chain,
                minutes=minutes,
            )
        occasion = decision.due[name][2]
        return Reason(
            because=Because.OCCASION,
            names=(occasion,) if occasion is not None else (),
            chain=chain,
            minutes=minutes,
        )
    filling: dict[int, None] = {}
    for w in range(limit, layout.last[j], -1):
        if p.kind[w] <= p.need[j]:
            filling.update(dict.fromkeys(layout.inside.get(w, ())))
    filling.pop(j, None)
    return Reason(
        because=Because.FULL,
        names=tuple(decision.names[k] for k in filling),
        chain=chain,
        minutes=minutes,
    )
