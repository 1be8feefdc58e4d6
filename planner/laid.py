"""The schedule by the clock: sittings, windows, days, minutes to spare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.deciding import Decision
from planner.ground import Ground
from planner.model import Place, Work
from planner.notes import day_notes
from planner.plan import Day, PlannedWindow, Sitting, Where
from planner.schedule.clock import Likeness, Stretch, sittings
from planner.schedule.spare import Spare, Spares
from planner.timeline import from_clock

WHERE = {
    Place.WORKROOM: Where.WORKROOM,
    Place.SOFA: Where.SOFA,
    Place.TAKE_ALONG: Where.TAKE_ALONG,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """The schedule by the clock."""

    stretches: tuple[Stretch, ...]
    windows: tuple[PlannedWindow, ...]
    sittings: tuple[Sitting, ...]
    spares: Mapping[str, Spare]
    """By step; empty where they weren't asked for."""
    ended: Mapping[str, datetime]


def lay_out(ground: Ground, decision: Decision, thorough: bool, spare: bool = True) -> Laid:
    """Sittings, windows and, where asked for, spare minutes."""
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
    spares = (
        Spares(scheduled.problem, scheduled.search, stretches, scheduled.load, thorough).all()
        if spare
        else ()
    )
    own = [_sitting(ground, decision, s) for s in stretches]
    return Laid(
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
        spares=dict(zip(decision.names, spares, strict=spare)),
        ended={decision.names[s.step]: from_clock(s.end) for s in stretches},
    )


def _moment(ground: Ground, sitting: Sitting) -> tuple[datetime, bool]:
    """When a sitting is, for sorting: wholly over ones stand at their window's end.

    There they come before what begins at that moment in the next window.
    """
    if sitting.start is not None:
        return sitting.start, True
    if sitting.window is not None:
        return ground.windows[sitting.window].end, False
    occasion = ground.stand[sitting.step].at_occasion
    assert occasion is not None
    return ground.occasions[occasion].end, False


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


def days_of(ground: Ground, laid: Laid) -> tuple[Day, ...]:
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
