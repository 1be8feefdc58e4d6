"""How each occasion stands: what it wants, what it lacks, how short it is."""

from __future__ import annotations

from collections.abc import Sequence

from planner.deciding import Decision
from planner.ground import Ground
from planner.laid import Laid
from planner.model import Place
from planner.naming import called
from planner.occasions import Dated
from planner.plan import PlannedOccasion
from planner.timeline import to_clock


def planned_occasion(ground: Ground, decision: Decision, laid: Laid, o: Dated) -> PlannedOccasion:
    late = tuple(n for n, names in decision.late_for.items() if o.id in names)
    wants = tuple(n for n in ground.wanted[o.id] if not ground.stand[n].done)
    short = 0 if o.past else _short(ground, decision, o, late)
    over = {
        s.step
        for s in laid.stretches
        if laid.windows[s.window].planned > laid.windows[s.window].minutes
        and laid.windows[s.window].place is Place.WORKROOM
    }
    crowded = any(decision.names[j] in wants for j in over)
    fits: bool | None = not (late or short)
    if fits and crowded:
        fits = False if decision.scheduled.peak.bound > 1 else None
    return PlannedOccasion(
        id=o.id,
        name=called(o.occasion.name, o.occasion.id),
        kind=o.occasion.kind,
        at=o.at,
        end=o.end,
        ready_by=o.ready_by,
        takes=o.takes,
        fits=fits,
        short=short,
        wants=wants,
        during=o.during,
        late=late,
        past=o.past,
        full=_fullness(ground, laid, o),
        held=o.held,
    )


def _short(ground: Ground, decision: Decision, o: Dated, late: Sequence[str]) -> int:
    """The most by which work that must lie before the ready-by exceeds the hours there."""
    p, demands = decision.scheduled.problem, decision.scheduled.search.demands
    by = to_clock(o.wanted_by)
    last = max((w for w in range(p.windows) if p.end[w] <= by), default=-1)
    b = max((k for k, t in enumerate(demands.tails) if t <= last), default=-1)
    worst = sum(ground.stand[n].left for n in late)
    if b < 0:
        return worst
    room = [0]
    for m, k in zip(p.size, p.kind, strict=True):
        room.append(room[-1] + (m if k <= 1 else 0))
    for a, head in enumerate(demands.heads):
        if head <= last:
            worst = max(worst, demands.minutes(a, b) - (room[last + 1] - room[head]))
    return worst


def _fullness(ground: Ground, laid: Laid, o: Dated) -> float | None:
    """How full the workroom is from the occasion before it, or now, to its ready-by."""
    before = [x.end for x in ground.occasions.values() if x.at < o.at and x.end < o.ready_by]
    begin = max([ground.now, *before])
    inside = [
        w
        for w in laid.windows
        if w.place is Place.WORKROOM and w.start >= begin and w.end <= o.ready_by
    ]
    minutes = sum(w.minutes for w in inside)
    return sum(w.planned for w in inside) / minutes if minutes else None
