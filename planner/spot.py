"""The tight spot: where work comes nearest to the hours there are, or exceeds them.

A certificate that anyone can recount: the named steps must lie in the named span by their
chains, and the named hours are all that can serve them there.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.chains import midnight
from planner.deciding import Decision
from planner.ground import Ground, need
from planner.lateness import due_of
from planner.plan import SpotHours, SpotStep, TightSpot
from planner.reasons import chain_of
from planner.schedule.bound import Interval, peak_bound
from planner.schedule.problem import FAR, SOFA, TAKE_ALONG, WORKROOM
from planner.timeline import from_clock, to_clock


def _begins(ground: Ground, decision: Decision, j: int) -> tuple[str, ...]:
    """What keeps a step from beginning earlier: from a release down to the step."""
    spans = decision.scheduled.search.spans
    chain = [decision.names[j]]
    k = spans.head_from[j]
    while k is not None:
        chain.append(decision.names[k])
        k = spans.head_from[k]
    holding = [r for r in ground.releases[chain[-1]] if r.moment > ground.now]
    if holding:
        chain.append(max(holding, key=lambda r: r.moment).cause)
    return tuple(reversed(chain))


def _spot(ground: Ground, decision: Decision, interval: Interval) -> TightSpot:
    """The certificate of an interval."""
    p = decision.scheduled.problem
    spans = decision.scheduled.search.spans
    pieces = {
        SOFA: interval.sofa,
        TAKE_ALONG: interval.take_along,
        WORKROOM: ((interval.first, interval.last),),
    }

    def lies(j: int, parts: Iterable[tuple[int, int]]) -> bool:
        return any(spans.head[j] >= a and spans.tail[j] <= b for a, b in parts)

    steps = [
        j for j in range(p.steps) if lies(j, pieces[max(WORKROOM, p.need[j])])
    ]
    hours = [
        SpotHours(
            start=w.start, end=w.end, place=w.place, minutes=w.minutes
        )
        for k, w in enumerate(ground.windows)
        if any(a <= k <= b for a, b in pieces[max(WORKROOM, p.kind[k])])
    ]
    wanted = sum(p.minutes[j] for j in steps)
    available = sum(h.minutes for h in hours)
    return TightSpot(
        start=ground.windows[interval.first].start,
        end=ground.windows[interval.last].end,
        hours=tuple(hours),
        steps=tuple(
            SpotStep(
                id=decision.names[j],
                minutes=p.minutes[j],
                begins=_begins(ground, decision, j),
                ends=(decision.names[j], *chain_of(decision, j)),
            )
            for j in steps
        ),
        wanted=wanted,
        available=available,
        proven=wanted > available,
    )


def _late_spot(ground: Ground, decision: Decision) -> TightSpot | None:
    """The span of the first step that has no hours at all before an occasion."""
    for occasion in ground.occasions.values():
        for name, late_for in decision.late_for.items():
            if occasion.id not in late_for or name not in decision.begins:
                continue
            if occasion.ready_by <= ground.now:
                # its time is up: there are no hours any more in which it could be done for it
                begin = end = to_clock(occasion.ready_by)
            else:
                clock, day = due_of(occasion, ground.waits[name])
                end = min(clock, midnight(day + 1)) if day < FAR else clock
                begin = min(max(decision.begins[name], to_clock(ground.now)), end)
            line = ground.lines[need(name, ground.network, ground.occasions)]
            if line.gone_by(end) > line.gone_by(begin):
                continue
            left = ground.stand[name].left
            holding = [r.cause for r in ground.releases[name] if r.moment > ground.now]
            step = SpotStep(
                id=name, minutes=left, begins=(*holding, name), ends=(name, occasion.id)
            )
            return TightSpot(
                start=from_clock(begin),
                end=from_clock(end),
                hours=(),
                steps=(step,),
                wanted=left,
                available=0,
                proven=True,
            )
    return None


def tight_spot(ground: Ground, decision: Decision) -> TightSpot | None:
    """The tight spot; None only when nothing is left to do."""
    late = _late_spot(ground, decision)
    search = decision.scheduled.search
    p = decision.scheduled.problem
    if not p.steps:
        return late
    bound = peak_bound(p, search.demands)
    if bound is not None and bound.theta is not None and bound.theta > 1:
        return _spot(ground, decision, search.demands.interval(bound.first, bound.last))
    if late is not None:
        return late
    if bound is not None:
        return _spot(ground, decision, search.demands.interval(bound.first, bound.last))
    # all that is left fits into sofa and take-along hours: the span of it all
    first, last = min(search.spans.head), max(search.spans.tail)
    whole = ((first, last),)
    return _spot(
        ground, decision, Interval(first=first, last=last, sofa=whole, take_along=whole)
    )


