"""Tonight's bag: what to have ready and pack, so that the next hours on the way can be used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.candidates import Candidate, Keeps, Taken, free_from, open_before, planned_ends
from planner.doable import Kept, how_far
from planner.ground import Ground, need
from planner.model import Place
from planner.plan import Plan, PlannedWindow, Where
from planner.timeline import to_clock
from planner.usefulness import rank

LOOKS_AHEAD = 7
"""Days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """A step for the bag."""

    step: str
    minutes: int
    """In those hours."""
    left: int
    """Of it by then, by the plan."""
    uses: tuple[Taken, ...]
    """What the whole step takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class First:
    """A step that must be done before what is packed can be."""

    step: str
    minutes: int
    """All that is left of it."""
    day: date | None
    """On which the plan ends it; None: it doesn't."""
    where: Where | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """A step the plan doesn't make possible by then, but a little work would."""

    packed: Packed
    first: tuple[First, ...]
    """That work, in order; there are hours enough for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """What goes into it, and what must be done before."""

    day: date | None
    """The next day after today with hours on the way, within a week; None: there is none."""
    windows: tuple[PlannedWindow, ...]
    """Its hours on the way."""
    packed: tuple[Packed, ...]
    """What the plan does in them."""
    more: tuple[Packed, ...]
    """What could be done besides, to fill them; the most useful first."""
    first: tuple[First, ...]
    """What must be done before that, in order of work."""
    ahead: tuple[Ahead, ...]
    """Where hours stay empty: what would fill them if some work were done earlier than planned;
    the least such work first."""
    next: Kept | None
    """Where nothing can be packed: the nearest step for the way, and what keeps it."""

    @property
    def minutes(self) -> int:
        """Of the hours on the way."""
        return sum(window.minutes for window in self.windows)

    @property
    def idle(self) -> int:
        """Minutes for which there is nothing to take along."""
        return self.minutes - sum(one.minutes for one in (*self.packed, *self.more))


def pack(ground: Ground, plan: Plan, found: Sequence[Candidate]) -> Bag:
    """The bag for the next day with hours on the way.

    1. What the plan does in those hours is packed.
    2. While they aren't full, the most useful of what else needs no more than a lap joins it: what
       will be free by then if all before it goes by the plan, less what the plan does of it before.
    3. All open steps these wait for come first, with the day on which the plan ends them.
    4. Where hours stay empty, steps for the way join whose own work before them is short enough
       to be done by then, though the plan has it later.
    """
    day = _next_day(plan)
    if day is None:
        return Bag(day=None, windows=(), packed=(), more=(), first=(), ahead=(), next=None)
    windows = tuple(w for w in plan.windows if w.place is Place.TAKE_ALONG and w.day == day)
    by_id = {one.id: one for one in found}
    packed = _planned(plan, day, by_id)
    more = _more(ground, plan, found, windows, packed)
    before = open_before(ground)
    wanted = {name for one in (*packed, *more) for name in before[one.step]}
    idle = sum(w.minutes for w in windows) - sum(one.minutes for one in (*packed, *more))
    ahead = _ahead(ground, plan, found, windows[0].start, idle, {one.step for one in packed + more})
    return Bag(
        day=day,
        windows=windows,
        packed=packed,
        more=more,
        first=tuple(_first(ground, plan, one) for one in ground.planned if one in wanted),
        ahead=ahead,
        next=None if packed or more or ahead else _nearest(found, plan.now),
    )


def _next_day(plan: Plan) -> date | None:
    """The next day after today with hours on the way, within a week."""
    today = plan.now.date()
    days = [
        w.day
        for w in plan.windows
        if w.place is Place.TAKE_ALONG and timedelta() < w.day - today <= timedelta(LOOKS_AHEAD)
    ]
    return min(days, default=None)


def _planned(plan: Plan, day: date, by_id: Mapping[str, Candidate]) -> tuple[Packed, ...]:
    """What the plan does on the way on that day, in order of time."""
    minutes: dict[str, int] = {}
    for sitting in plan.sittings:
        if sitting.date == day and sitting.where is Where.TAKE_ALONG:
            minutes[sitting.step] = minutes.get(sitting.step, 0) + sitting.minutes
    return tuple(
        Packed(
            step=name,
            minutes=wanted,
            left=_left(plan, by_id[name], day),
            uses=by_id[name].uses,
        )
        for name, wanted in minutes.items()
    )


def _left(plan: Plan, one: Candidate, day: date) -> int:
    """Minutes the plan leaves of a step till a day."""
    done = sum(s.minutes for s in plan.sittings if s.step == one.id and s.date < day)
    return max(0, one.left - done)


def _more(
    ground: Ground,
    plan: Plan,
    found: Sequence[Candidate],
    windows: Sequence[PlannedWindow],
    packed: Sequence[Packed],
) -> tuple[Packed, ...]:
    """What else could be done in the minutes the plan leaves free."""
    free = [window.minutes - window.planned for window in windows]
    taken = {one.step: one for one in packed}
    ends = planned_ends(plan)
    more: list[Packed] = []
    for one in sorted(found, key=lambda one: rank(one.use, one.left, sum(free))):
        if one.place is not Place.TAKE_ALONG or one.hands > 1:
            continue
        if not any(room > 0 for room in free):
            break
        known = taken.get(one.id)
        left = _left(plan, one, windows[0].day) - (known.minutes if known else 0)
        begins = _begins(ground, ends, one)
        fits = [
            room if begins is not None and begins <= window.start else 0
            for room, window in zip(free, windows, strict=True)
        ]
        if one.one_sitting:
            fits = [room if room >= left else 0 for room in fits]
        minutes = min(left, sum(fits))
        if minutes <= 0:
            continue
        more.append(Packed(step=one.id, minutes=minutes, left=left, uses=one.uses))
        for k, room in enumerate(fits):
            used = min(room, minutes)
            free[k] -= used
            minutes -= used
    return tuple(more)


def _begins(
    ground: Ground, ends: Mapping[str, tuple[datetime, date] | None], one: Candidate
) -> datetime | None:
    """From when it could be done, if all before it goes by the plan."""
    if any(by.keeps is Keeps.LACKING for by in one.held):
        return None
    return free_from(ground, ends, one.id)


def _ahead(
    ground: Ground,
    plan: Plan,
    found: Sequence[Candidate],
    begin: datetime,
    idle: int,
    taken: set[str],
) -> tuple[Ahead, ...]:
    """What a little work earlier than planned would make possible, to fill what is empty."""
    kept = [
        (one.held[0].minutes or 0, number, one)
        for number, one in enumerate(sorted(found, key=lambda c: rank(c.use, c.left, idle)))
        if one.id not in taken and _waits_for_little(ground, one, begin)
    ]
    ahead: list[Ahead] = []
    for _, _, one in sorted(kept, key=lambda entry: entry[:2]):
        if idle <= 0 or (one.one_sitting and one.left > idle):
            continue
        minutes = min(one.left, idle)
        idle -= minutes
        packed = Packed(step=one.id, minutes=minutes, left=one.left, uses=one.uses)
        first = tuple(_first(ground, plan, name) for name in one.held[0].names)
        ahead.append(Ahead(packed=packed, first=first))
    return tuple(ahead)


def _waits_for_little(ground: Ground, one: Candidate, begin: datetime) -> bool:
    """Whether a step for the way waits for nothing but work for which there are hours by then.

    Each of those steps can begin now or after the ones before it, without waits.
    """
    if one.place is not Place.TAKE_ALONG or one.hands > 1:
        return False
    if [by.keeps for by in one.held] != [Keeps.AFTER]:
        return False
    (by,) = one.held
    if by.until is not None or by.stock_missing or any(ground.op(n).wait for n in by.names):
        return False
    needs = min(need(name, ground.network, ground.occasions) for name in by.names)
    return ground.lines[needs].gone_by(to_clock(begin)) >= (by.minutes or 0)


def _first(ground: Ground, plan: Plan, name: str) -> First:
    mine = [s for s in plan.sittings if s.step == name]
    return First(
        step=name,
        minutes=ground.stand[name].left,
        day=mine[-1].date if mine else None,
        where=mine[-1].where if mine else None,
    )


def _nearest(found: Sequence[Candidate], now: datetime) -> Kept | None:
    """The step for the way that is nearest to being possible."""
    kept = [
        Kept(step=one.id, left=one.left, by=one.held)
        for one in found
        if one.place is Place.TAKE_ALONG and one.hands == 1 and one.held
    ]
    return min(kept, key=lambda one: max(how_far(by, 0, now) for by in one.by), default=None)
