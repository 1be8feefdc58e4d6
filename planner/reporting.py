"""The plan as a value, from the ground and the decision."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from planner.begin_by import begin_by
from planner.chains import Link, earliest, latest
from planner.deciding import Decision
from planner.ground import Ground, need
from planner.model import Place, Wait, Warned, Work
from planner.network import Network, wearable_steps
from planner.notes import day_notes, step_notes
from planner.occasions import Dated
from planner.plan import (
    Because,
    Day,
    Note,
    Plan,
    PlannedOccasion,
    PlannedStep,
    PlannedWindow,
    Reason,
    Sitting,
    Unplaced,
    Verdict,
    Where,
)
from planner.reasons import layout_of, reason_of
from planner.references import stage_steps
from planner.schedule.clock import Likeness, Stretch, sittings
from planner.schedule.spare import Spare, Spares
from planner.spot import tight_spot
from planner.timeline import from_clock, to_clock

#: with every workroom window at this or less, the plan isn't tight
NOT_TIGHT = Fraction(85, 100)

WHERE = {
    Place.WORKROOM: Where.WORKROOM,
    Place.SOFA: Where.SOFA,
    Place.TAKE_ALONG: Where.TAKE_ALONG,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """The schedule by the clock."""

    stretches: tuple[Stretch, ...]
    windows: tuple[PlannedWindow, ...]
    sittings: tuple[Sitting, ...]
    spares: Mapping[str, Spare]
    ended: Mapping[str, datetime]


def report(ground: Ground, decision: Decision, thorough: bool = True) -> Plan:
    """Everything the plan says. ``thorough``: make as many spare minutes exact as there are."""
    laid = _lay(ground, decision, thorough)
    fits, verdict = _verdict(decision, laid.stretches)
    notes = step_notes(
        ground,
        decision,
        laid.ended,
        frozenset(n for n, s in laid.spares.items() if s.exact and s.minutes == 0),
    )
    workroom = [w for w in laid.windows if w.place is Place.WORKROOM]
    return Plan(
        now=ground.now,
        fits=fits,
        verdict=verdict,
        peak_load=float(decision.scheduled.load) if workroom else None,
        lower_bound=float(decision.scheduled.peak.bound) if workroom else None,
        begin_by=begin_by(decision, fits is True),
        wearable_on=_reached(ground, laid, wearable_steps),
        finished_on=_reached(ground, laid, _finished_steps),
        days=_days(ground, laid),
        windows=laid.windows,
        sittings=laid.sittings,
        steps=_steps(ground, decision, laid, notes),
        occasions=tuple(_occasion(ground, decision, laid, o) for o in ground.occasions.values()),
        tight_spot=tight_spot(ground, decision),
        unplaced=tuple(
            Unplaced(step=n, minutes=ground.stand[n].left, reason=why)
            for n, why in decision.unplaced.items()
        ),
        warnings=(*ground.warnings, *_not_wanted(ground)),
        names=_names(ground),
        hand_sewing_limit=ground.project.workroom.hand_sewing_limit,
        units=ground.project.workroom.units,
    )


def _lay(ground: Ground, decision: Decision, thorough: bool) -> _Laid:
    """Sittings, windows and spare minutes."""
    scheduled = decision.scheduled
    ops = [ground.op(n) for n in decision.names]
    works = list(Work)
    garments = {g: k for k, g in enumerate(ground.network.index.garments)}
    like = Likeness(
        garment=tuple(garments[f"{o.ensemble}/{o.garment}"] for o in ops),
        work=tuple(works.index(o.work) for o in ops),
    )
    stretches = tuple(sittings(scheduled.problem, scheduled.parts, like))
    planned = [0] * len(ground.windows)
    for s in stretches:
        planned[s.window] += s.minutes
    spares = Spares(
        scheduled.problem, scheduled.search, stretches, scheduled.load, thorough
    ).all()
    own = [_sitting(ground, decision, s) for s in stretches]
    return _Laid(
        stretches=stretches,
        windows=tuple(
            PlannedWindow(
                start=w.start,
                end=w.end,
                day=w.day,
                place=w.place,
                helper=w.helper,
                minutes=w.minutes,
                planned=p,
            )
            for w, p in zip(ground.windows, planned, strict=True)
        ),
        sittings=tuple(sorted([*own, *_at_occasions(ground)], key=lambda s: _moment(ground, s))),
        spares=dict(zip(decision.names, spares, strict=True)),
        ended={decision.names[s.step]: from_clock(s.end) for s in stretches},
    )


def _moment(ground: Ground, sitting: Sitting) -> tuple[datetime, bool]:
    """When a sitting is, for sorting: wholly over ones stand at their window's end.

    There they come before what begins at that moment in the next window.
    """
    if sitting.start is not None:
        return sitting.start, True
    window = sitting.window
    return (ground.windows[window].end if window is not None else ground.now), False


def _sitting(ground: Ground, decision: Decision, s: Stretch) -> Sitting:
    window = ground.windows[s.window]
    wholly = s.over >= s.minutes
    return Sitting(
        date=window.day,
        start=None if wholly else from_clock(s.begin),
        end=None if wholly else from_clock(s.end),
        minutes=s.minutes,
        over=s.over,
        where=WHERE[window.place],
        step=decision.names[s.step],
        window=s.window,
    )


def _at_occasions(ground: Ground) -> list[Sitting]:
    """What is done at coming occasions, one after the other from their beginning."""
    found: list[Sitting] = []
    for o in ground.occasions.values():
        clock = o.at
        for name in (n for n in ground.network.order if n in o.during):
            if ground.stand[name].at_occasion is None:
                continue
            minutes = ground.stand[name].left
            end = clock + timedelta(minutes=minutes)
            over = min(minutes, max(0, int((end - o.end).total_seconds()) // 60))
            wholly = over >= minutes
            found.append(
                Sitting(
                    date=o.at.date(),
                    start=None if wholly else clock,
                    end=None if wholly else min(end, o.end),
                    minutes=minutes,
                    over=over,
                    where=Where.OCCASION,
                    step=name,
                    window=None,
                )
            )
            clock = end
    return found


def _verdict(decision: Decision, stretches: Sequence[Stretch]) -> tuple[bool | None, Verdict]:
    """Whether it fits, and what a friend would say."""
    scheduled = decision.scheduled
    if decision.late_for or decision.unplaced:
        return False, Verdict.DOES_NOT_FIT
    if scheduled.load > 1 or any(s.over for s in stretches):
        return (False if scheduled.peak.bound > 1 else None), Verdict.DOES_NOT_FIT
    if scheduled.load <= NOT_TIGHT or scheduled.peak.theta <= NOT_TIGHT:
        return True, Verdict.FITS
    roomy = scheduled.peak.bound <= NOT_TIGHT and scheduled.search.attempt(NOT_TIGHT, 24)
    return True, Verdict.FITS if roomy else Verdict.TIGHT


def _finished_steps(network: Network, ensemble: str) -> tuple[str, ...]:
    """The steps with which every garment of an ensemble is finished."""
    return tuple(
        s
        for g in network.index.garments
        if g.startswith(f"{ensemble}/")
        for s in stage_steps(network.index, g, "finished")
    )


def _reached(
    ground: Ground, laid: _Laid, goal: Callable[[Network, str], tuple[str, ...]]
) -> dict[str, date | None]:
    """By ensemble, the day on which all of ``goal`` and all it follows are done."""
    last: dict[str, date] = {}
    for s in laid.sittings:
        last[s.step] = max(s.date, last.get(s.step, s.date))
    found: dict[str, date | None] = {}
    for ensemble in ground.project.ensembles:
        todo, seen = list(goal(ground.network, ensemble.id)), set[str]()
        day: date | None = ground.now.date()
        while todo:
            name = todo.pop()
            if name in seen:
                continue
            seen.add(name)
            if not ground.stand[name].done:
                mine = last.get(name)
                day = None if mine is None or day is None else max(day, mine)
                todo += ground.network.nodes[name].after
        found[ensemble.id] = day
    return found


def _days(ground: Ground, laid: _Laid) -> tuple[Day, ...]:
    """Every day from the first to the last."""
    sums: dict[tuple[date, Place], list[int]] = {}
    peaks: dict[date, float] = {}
    by_day: dict[date, list[PlannedWindow]] = {}
    for w in laid.windows:
        row = sums.setdefault((w.day, w.place), [0, 0])
        row[0] += w.minutes
        row[1] += w.planned
        if w.place is Place.WORKROOM:
            peaks[w.day] = max(peaks.get(w.day, 0.0), w.load)
            by_day.setdefault(w.day, []).append(w)
    hand: dict[date, int] = {}
    for s in laid.sittings:
        if ground.op(s.step).work is Work.HAND:
            hand[s.date] = hand.get(s.date, 0) + s.minutes
    days = []
    first = min([ground.first, *(w.day for w in laid.windows)])
    for k in range((ground.last - first).days + 1):
        day = first + timedelta(days=k)
        workroom = sums.get((day, Place.WORKROOM), [0, 0])
        sofa = sums.get((day, Place.SOFA), [0, 0])
        along = sums.get((day, Place.TAKE_ALONG), [0, 0])
        days.append(
            Day(
                date=day,
                workroom_available=workroom[0],
                workroom_planned=workroom[1],
                sofa_available=sofa[0],
                sofa_planned=sofa[1],
                take_along_available=along[0],
                take_along_planned=along[1],
                hand_minutes=hand.get(day, 0),
                peak=peaks.get(day),
                notes=day_notes(
                    day,
                    by_day.get(day, ()),
                    hand.get(day, 0),
                    ground.project.workroom.hand_sewing_limit,
                ),
            )
        )
    return tuple(days)


def _steps(
    ground: Ground, decision: Decision, laid: _Laid, notes: Mapping[str, Sequence[Note]]
) -> tuple[PlannedStep, ...]:
    """Every step, also done ones, unwanted ones and those left off, in order of the files."""
    links = _links(ground, decision)
    early = earliest(ground.planned, links, ground.waits_for, ground.lines)
    late = latest(ground.planned, links, ground.network.followers, ground.lines)
    days: dict[str, list[date]] = {}
    for s in laid.sittings:
        days.setdefault(s.step, []).append(s.date)
    layout = layout_of(laid.stretches)
    number = {n: j for j, n in enumerate(decision.names)}
    found: list[PlannedStep] = []
    for name in ground.network.index.steps:
        if name not in ground.network.nodes:
            found.append(_left_off(ground, name))
            continue
        begin, end = early.get(name), late.get(name)
        span = _minutes_between(ground, name, begin, end)
        if name in number:
            reason = reason_of(decision, layout, number[name], span)
        else:
            reason = _other_reason(ground, decision, name)
        found.append(
            _step(ground, decision, name, laid, notes, days.get(name, []), begin, end, reason)
        )
    return tuple(found)


def _links(ground: Ground, decision: Decision) -> dict[str, Link]:
    """Chains with the dues as they are once lateness is settled."""
    found = {}
    for job in ground.jobs:
        clock, _, occasion = decision.due.get(job.id, (0, 0, None))
        found[job.id] = Link(
            need=job.need,
            minutes=job.minutes,
            wait=job.wait,
            release=max(job.release, to_clock(ground.now)),
            due=clock + job.wait.minutes if occasion is not None else None,
        )
    return found


def _minutes_between(
    ground: Ground, name: str, begin: int | None, end: int | None
) -> int | None:
    if begin is None or end is None:
        return None
    line = ground.lines[need(name, ground.network, ground.occasions)]
    return max(0, line.gone_by(end) - line.gone_by(begin))


def _other_reason(ground: Ground, decision: Decision, name: str) -> Reason:
    """Why a step is not planned in hours."""
    stand = ground.stand[name]
    if stand.done:
        return Reason(because=Because.DONE)
    if stand.at_occasion is not None:
        return Reason(because=Because.AT_OCCASION, names=(stand.at_occasion,))
    if name in decision.unplaced:
        holding = [r for r in ground.releases[name] if r.moment > ground.now]
        return Reason(because=Because.UNPLACED, names=tuple(r.cause for r in holding))
    return Reason(because=Because.NOT_WANTED)


def _step(
    ground: Ground,
    decision: Decision,
    name: str,
    laid: _Laid,
    notes: Mapping[str, Sequence[Note]],
    days: Sequence[date],
    begin: int | None,
    end: int | None,
    reason: Reason,
) -> PlannedStep:
    node, stand = ground.network.nodes[name], ground.stand[name]
    op = node.op
    occasion = decision.due[name][2] if name in decision.due else None
    held = [r.moment for r in ground.releases[name] if r.moment > ground.now]
    at = ground.occasions[stand.at_occasion] if stand.at_occasion is not None else None
    spare = laid.spares.get(name)
    return PlannedStep(
        id=name,
        name=op.name,
        garment=_garment_name(ground, name),
        work=op.work,
        place=op.place,
        hands=op.hands,
        one_sitting=op.one_sitting,
        wait=op.wait,
        during=node.during,
        minutes=round(op.minutes.typical),
        low=round(op.minutes.low),
        high=round(op.minutes.high),
        left=stand.left,
        after=(*node.after, *node.after_occasions),
        released=max(held) if held and not stand.done else None,
        due=ground.occasions[occasion].wanted_by if occasion is not None else None,
        due_for=occasion,
        earliest=at.at if at else (from_clock(begin) if begin is not None else None),
        latest=at.end if at else (from_clock(end) if end is not None else None),
        first_day=min(days) if days else None,
        last_day=max(days) if days else None,
        to_spare=spare.minutes if spare is not None else None,
        to_spare_exact=spare is None or spare.exact,
        reason=reason,
        notes=tuple(notes[name]),
        done=stand.done,
        wanted=name in ground.waits or stand.at_occasion is not None,
        optional=op.step.optional,
        left_off=False,
        stage=op.step.stage,
        technique=op.technique,
        missed=op.step.missed,
    )


def _left_off(ground: Ground, name: str) -> PlannedStep:
    """A step that takes no hours; shown so that it can be taken back."""
    step = ground.network.index.steps[name]
    return PlannedStep(
        id=name,
        name=step.name or step.technique or step.id,
        garment=_garment_name(ground, name),
        work=step.work or Work.HAND,
        place=step.place or Place.WORKROOM,
        hands=step.hands or 1,
        one_sitting=bool(step.one_sitting),
        wait=step.wait or Wait(),
        during=None,
        minutes=0,
        low=0,
        high=0,
        left=0,
        after=(),
        released=None,
        due=None,
        due_for=None,
        earliest=None,
        latest=None,
        first_day=None,
        last_day=None,
        to_spare=None,
        to_spare_exact=True,
        reason=Reason(because=Because.LEFT_OFF),
        notes=(),
        done=False,
        wanted=False,
        optional=step.optional,
        left_off=True,
        stage=step.stage,
        technique=step.technique,
        missed=step.missed,
    )


def _garment_name(ground: Ground, step: str) -> str:
    garment = ground.network.index.garments[step.rsplit("/", 1)[0]]
    return garment.name or garment.id


def _occasion(ground: Ground, decision: Decision, laid: _Laid, o: Dated) -> PlannedOccasion:
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
        name=o.occasion.name or o.occasion.id,
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


def _fullness(ground: Ground, laid: _Laid, o: Dated) -> float | None:
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


def _not_wanted(ground: Ground) -> tuple[Warned, ...]:
    """Steps that no coming occasion wants are not planned, and warned about."""
    found = []
    for name, node in ground.network.nodes.items():
        stand = ground.stand[name]
        if stand.done or stand.at_occasion is not None or name in ground.waits:
            continue
        found.append(
            Warned(
                file=ground.network.files[node.op.ensemble],
                place=node.step.where,
                text=f'no coming occasion wants "{name}", so it is not planned.',
            )
        )
    return tuple(found)


def _names(ground: Ground) -> dict[str, str]:
    found: dict[str, str] = {}
    for ensemble in ground.project.ensembles:
        found[ensemble.id] = ensemble.name or ensemble.id
        for stock in ensemble.stock:
            found[f"{ensemble.id}/{stock.id}"] = stock.name or stock.id
        for occasion in ensemble.occasions:
            found[f"{ensemble.id}/{occasion.id}"] = occasion.name or occasion.id
        for garment in ensemble.garments:
            found[f"{ensemble.id}/{garment.id}"] = garment.name or garment.id
    for name, node in ground.network.nodes.items():
        found[name] = node.op.name
    return found


