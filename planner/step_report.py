"""Every step with all the plan knows of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from planner.chains import Link, earliest, latest
from planner.deciding import Decision
from planner.ground import Ground, need
from planner.laid import Laid
from planner.model import Place, Wait, Work
from planner.naming import called
from planner.plan import Because, Note, PlannedStep, Reason
from planner.reasons import layout_of, reason_of
from planner.timeline import from_clock, to_clock


def planned_steps(
    ground: Ground, decision: Decision, laid: Laid, notes: Mapping[str, Sequence[Note]]
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
    laid: Laid,
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
        on=op.step.on,
        by_catalogue=round(op.by_catalogue.typical),
    )


def _left_off(ground: Ground, name: str) -> PlannedStep:
    """A step that takes no hours; shown so that it can be taken back."""
    step = ground.network.index.steps[name]
    return PlannedStep(
        id=name,
        name=called(step.name, step.technique or "", step.id),
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
        on=step.on,
    )


def _garment_name(ground: Ground, step: str) -> str:
    garment = ground.network.index.garments[step.rsplit("/", 1)[0]]
    return called(garment.name, garment.id)
