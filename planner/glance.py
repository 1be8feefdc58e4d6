"""A plan at a glance: the work of today, days over, hand sewing to come, when it can be worn.

Of all ensembles, or of one alone: hours and what is over are then still those of the one plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from planner.model import Place, Work
from planner.plan import NoteKind, Plan, Sitting, Where


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysWork:
    """What is still to be done on one day."""

    day: date
    start: datetime | None
    """When the first of it begins; None where all of it is over."""
    minutes: int
    """In the maker's own hours, occasions' time aside."""
    places: tuple[tuple[Where, int], ...]
    """Minutes by place, in the order in which the places come."""
    steps: tuple[str, ...]
    """Full ids, each once, in order of time; without what is done at occasions."""
    over: int = 0
    """Of the minutes, those for which the day has no hours."""
    in_hours: tuple[tuple[Where, int], ...] = ()
    """Minutes by place: of what is done there, or, where that is over, of the hours there are."""
    first: tuple[str, ...] = ()
    """The steps that come within them, in order of time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """How far an ensemble is."""

    ensemble: str
    wearable_on: date | None
    """None where by the plan it never is; the day of ``now`` where it is already."""
    finished_on: date | None
    wearable_now: bool
    """It could be worn as it is."""
    left: int
    """Minutes left of all that some occasion wants."""
    extras: int
    """Of these, minutes of optional steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """What can be told without looking at any day."""

    today: DaysWork | None
    """What is left of today; None where nothing is."""
    ahead: DaysWork | None
    """Where nothing is left of today: the next day with work."""
    occasions: tuple[str, ...]
    """Full ids of what takes place today and isn't over."""
    over: tuple[tuple[date, int], ...]
    """Days over, with minutes beyond their hours, in order."""
    fullest: tuple[date, float] | None
    """The day of the fullest workroom hours, and how full they are; None without any."""
    short: tuple[tuple[str, int], ...]
    """Occasions before which hours are short, with minutes."""
    late: tuple[tuple[str, str], ...]
    """Steps with the occasion each is late for."""
    hand: tuple[tuple[Where, int], ...]
    """Hand sewing to come: minutes by place."""
    outlooks: tuple[Outlook, ...]


def is_of(ident: str, alone: str | None) -> bool:
    """Whether a full id belongs to the ensemble that is looked at alone; None: to any."""
    return alone is None or ident.split("/", 1)[0] == alone


def glance(plan: Plan, alone: str | None = None) -> Glance:
    """The plan at a glance; ``alone`` is the id of the one ensemble that is looked at."""
    mine = [one for one in plan.sittings if is_of(one.step, alone)]
    now = plan.now.date()
    work = [one for one in mine if one.where is not Where.OCCASION]
    ahead = next((one.date for one in work if one.date > now), None)
    today = _of_day(plan, work, now)
    at_work = {one.date for one in mine}
    by_hand = {step.id for step in plan.steps if step.work is Work.HAND}
    return Glance(
        today=today,
        ahead=_of_day(plan, work, ahead) if today is None and ahead is not None else None,
        occasions=tuple(
            one.id
            for one in plan.occasions
            if one.at.date() == now and not one.past and is_of(one.id, alone)
        ),
        over=tuple(
            (day.date, note.minutes or 0)
            for day in plan.days
            for note in day.notes
            if note.kind is NoteKind.OVER and (alone is None or day.date in at_work)
        ),
        fullest=_fullest(plan),
        short=tuple(
            (one.id, one.short)
            for one in plan.occasions
            if one.short > 0 and not one.past and is_of(one.id, alone)
        ),
        late=tuple(
            (step, one.id) for one in plan.occasions for step in one.late if is_of(step, alone)
        ),
        hand=_by_place([one for one in work if one.step in by_hand]),
        outlooks=tuple(
            _outlook(plan, ensemble) for ensemble in plan.wearable_on if is_of(ensemble, alone)
        ),
    )


def by_staying_up(plan: Plan, day: date | None) -> bool:
    """Whether what is ready on a day is so only where days up to then are worked beyond their
    hours."""
    over = [one.date for one in plan.days if any(n.kind is NoteKind.OVER for n in one.notes)]
    return plan.fits is not True and day is not None and any(one <= day for one in over)


def _fullest(plan: Plan) -> tuple[date, float] | None:
    """The first of the fullest days."""
    full = [(day.date, day.peak) for day in plan.days if day.peak]
    return max(full, key=lambda one: (one[1], -one[0].toordinal())) if full else None


def _of_day(plan: Plan, work: Sequence[Sitting], day: date) -> DaysWork | None:
    """What is to be done on a day; None where nothing is."""
    mine = [one for one in work if one.date == day]
    if not mine:
        return None
    return DaysWork(
        day=day,
        start=min((one.start for one in mine if one.start is not None), default=None),
        minutes=sum(one.minutes for one in mine),
        places=_by_place(mine),
        steps=tuple(dict.fromkeys(one.step for one in mine)),
        over=sum(one.over for one in mine),
        in_hours=_in_hours(plan, mine, day),
        first=tuple(dict.fromkeys(one.step for one in mine if one.over < one.minutes)),
    )


def _in_hours(plan: Plan, mine: Sequence[Sitting], day: date) -> tuple[tuple[Where, int], ...]:
    """Of each place with work: its minutes, or the hours it has where that is more than these
    hold. Hours that stay free beside others that are over are hours, too."""
    over = {one.where for one in mine if one.over}
    there = {
        Where.WORKROOM: Place.WORKROOM, Where.SOFA: Place.SOFA, Where.TAKE_ALONG: Place.TAKE_ALONG,
    }  # fmt: skip
    found = []
    for where, minutes in _by_place(mine):
        if where in over:
            windows = (w for w in plan.windows if w.day == day and w.place is there.get(where))
            minutes = sum(window.minutes for window in windows)
        if minutes:
            found.append((where, minutes))
    return tuple(found)


def _by_place(sittings: Sequence[Sitting]) -> tuple[tuple[Where, int], ...]:
    """Minutes by place, the places in the order in which they come."""
    found: dict[Where, int] = {}
    for one in sittings:
        found[one.where] = found.get(one.where, 0) + one.minutes
    return tuple(found.items())


def _outlook(plan: Plan, ensemble: str) -> Outlook:
    """How far one ensemble is."""
    steps = [
        step for step in plan.steps if is_of(step.id, ensemble) and step.wanted and not step.done
    ]
    return Outlook(
        ensemble=ensemble,
        wearable_on=plan.wearable_on[ensemble],
        finished_on=plan.finished_on.get(ensemble),
        wearable_now=plan.wearable_left.get(ensemble) == 0,
        left=sum(step.left for step in steps),
        extras=sum(step.left for step in steps if step.optional),
    )
