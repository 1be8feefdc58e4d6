"""The hours in hand for an occasion: the hours there are until it less the work it wants.

Of the days behind they are found from the diary, which says what was left on each of them, by
today's estimates. Of the days ahead they follow from the plan, once as it stands and once with
what is left taking more or less time by a ratio.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from planner.estimate import minutes_left
from planner.ground import Ground
from planner.hours import Window, dated_windows
from planner.model import Entry, Place, Workroom
from planner.occasions import away_times, taken_times
from planner.plan import Plan

ByPlace = Mapping[Place, float]
"""Minutes by place: of hours, where they are; of work, the least place it needs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """One moment."""

    at: datetime
    hours: int
    """Minutes from then on until all must be ready that serve the work left."""
    left: int
    """Minutes of work left then."""

    @property
    def minutes(self) -> int:
        """In hand; negative where there is more work than hours."""
        return self.hours - self.left


def serving(there: ByPlace, work: ByPlace) -> float:
    """Minutes in which some of the work can be done: on the way no more than what can be taken
    along, on the sofa no more than what can be done there besides; the workroom serves all."""
    along = min(there.get(Place.TAKE_ALONG, 0), work.get(Place.TAKE_ALONG, 0))
    sofa = work.get(Place.SOFA, 0) + work.get(Place.TAKE_ALONG, 0) - along
    return there.get(Place.WORKROOM, 0) + along + min(there.get(Place.SOFA, 0), sofa)


class Work:
    """The work that must be done by a moment: what occasions up to one of them want of hours."""

    def __init__(self, ground: Ground, plan: Plan, occasion: str) -> None:
        """``occasion`` is the full id of a coming one."""
        self.ground, self.plan = ground, plan
        self.by = ground.occasions[occasion].wanted_by
        coming = [o for o in ground.occasions.values() if not o.past and o.wanted_by <= self.by]
        wanted = {step for o in coming for step in ground.wanted[o.id]}
        self.steps = tuple(n for n in ground.network.order if n in wanted and self._takes_hours(n))
        """In order of work, done or not, without what is done in an occasion's own time."""
        self.places = {n: self._place(n) for n in self.steps}
        """The least place each needs."""
        entries: dict[str, list[Entry]] = defaultdict(list)
        for entry in ground.project.diary.entries:
            entries[entry.step].append(entry)
        self.entries: Mapping[str, Sequence[Entry]] = entries
        self._touched = {n: self._by_entries(n) for n in self.steps if n in entries}
        untouched = {n: minutes_left(ground.op(n), ()) for n in self.steps if n not in entries}
        self._untouched = self._by_place(lambda name: untouched.get(name, 0))

    def _takes_hours(self, name: str) -> bool:
        held_at = self.ground.network.nodes[name].during
        if held_at is None:
            return True
        occasion = self.ground.occasions[held_at]
        return occasion.past and not occasion.held

    def _place(self, name: str) -> Place:
        """The least place it needs; two pairs of hands are had in the workroom only."""
        node = self.ground.network.nodes[name]
        alone = node.op.hands == 1 and node.during is None
        return node.op.place if alone else Place.WORKROOM

    def _by_place(self, minutes: Callable[[str], float]) -> dict[Place, float]:
        found = dict.fromkeys(Place, 0.0)
        for name in self.steps:
            found[self.places[name]] += minutes(name)
        return found

    def left(self) -> dict[Place, float]:
        """Minutes left now, by place."""
        return self._by_place(lambda name: self.ground.stand[name].left)

    def left_at(self, moment: datetime) -> dict[Place, float]:
        """Minutes that were left at a moment behind, by place."""
        found = dict(self._untouched)
        for name, (moments, lefts) in self._touched.items():
            found[self.places[name]] += lefts[bisect_right(moments, moment)]
        return found

    def _by_entries(self, name: str) -> tuple[list[datetime], list[int]]:
        """The moments of a step's entries, and what was left before the first and from each on."""
        entries = self.entries[name]
        moments = sorted({one.at for one in entries})
        behind = [[one for one in entries if one.at <= moment] for moment in moments]
        return moments, [minutes_left(self.ground.op(name), some) for some in ([], *behind)]

    # ahead

    def hours_from(self, day: date | None) -> dict[Place, float]:
        """Minutes of hours from the beginning of a day on (None: from now), by place."""
        found = dict.fromkeys(Place, 0.0)
        for window in self.plan.windows:
            if window.end <= self.by and (day is None or window.day >= day):
                found[window.place] += window.minutes
        return found

    def _planned_before(self, day: date | None) -> dict[Place, float]:
        """Minutes of this work planned on days before one (None: on all), by place."""
        found = dict.fromkeys(Place, 0.0)
        for sitting in self.plan.sittings:
            earlier = day is None or sitting.date < day
            if sitting.window is not None and earlier and sitting.step in self.places:
                found[self.places[sitting.step]] += sitting.minutes
        return found

    def now(self, ratio: float = 1.0) -> InHand:
        """In hand at this moment, with the work left taking so much of its estimate."""
        left = {place: ratio * minutes for place, minutes in self.left().items()}
        return in_hand(self.plan.now, self.hours_from(None), left)

    def days_ahead(self) -> tuple[date, ...]:
        """The days after today up to that by which all must be ready."""
        today = self.plan.now.date()
        return tuple(today + timedelta(days=n + 1) for n in range((self.by.date() - today).days))

    def ahead(self) -> tuple[InHand, ...]:
        """From now on to the moment all must be ready, a day at a time, by the plan."""
        left = self.left()
        found = [self.now()]
        for day in (*self.days_ahead(), None):
            planned = self._planned_before(day)
            rest = {place: left[place] - planned[place] for place in left}
            if day is not None:
                found.append(in_hand(datetime.combine(day, time()), self.hours_from(day), rest))
            elif found[-1].at < self.by:
                found.append(in_hand(self.by, {}, rest))
        return tuple(found)

    def ahead_at(self, ratio: float) -> tuple[InHand, ...]:
        """The moments of ``ahead`` with what is left taking so much of its estimate.

        What is in hand then goes as the plan's does: work that takes longer is begun earlier.
        Where it is short it is so all along.
        """
        by_plan, now = self.ahead(), self.now(ratio)
        share = now.minutes / by_plan[0].minutes if by_plan[0].minutes > 0 else 1.0
        found = [now]
        for one in by_plan[1:]:
            minutes = now.minutes if now.minutes < 0 else max(0, round(share * one.minutes))
            found.append(replace(one, left=max(0, one.hours - minutes)))
        return tuple(found)

    # behind

    def behind(self, first: date) -> tuple[InHand, ...]:
        """From a day behind to now, a day at a time; only now where there is none."""
        passed = self._passed(first)
        there = self.hours_from(None)
        found = [self.now()]
        for days in range((self.plan.now.date() - first).days, 0, -1):
            day = first + timedelta(days=days - 1)
            # hours of today that went by are counted with those of yesterday
            for of_day in (day, day + timedelta(days=1)):
                for place, minutes in passed.pop(of_day, {}).items():
                    there[place] += minutes
            moment = datetime.combine(day, time())
            found.append(in_hand(moment, there, self.left_at(moment)))
        return tuple(reversed(found))

    def _passed(self, first: date) -> dict[date, dict[Place, int]]:
        """Minutes of hours from a day on up to now, by day and place.

        A day that lost hours by a change of its own had them until it came: then they were lost.
        """
        room = self.ground.project.workroom
        usual = replace(room, changes=tuple(c for c in room.changes if c.rule is not None))
        today = self.plan.now.date()
        had = _by_day(self._windows(room, first))
        for day, of_week in _by_day(self._windows(usual, first)).items():
            if day < today and sum(of_week.values()) > sum(had.get(day, {}).values()):
                had[day] = of_week
        return had

    def _windows(self, room: Workroom, first: date) -> Iterable[Window]:
        """Hours from a day on up to now."""
        ground, now = self.ground, self.plan.now
        windows = dated_windows(
            room,
            first=first - timedelta(days=1),
            last=now.date(),
            taken=taken_times(ground.occasions.values()),
            away=away_times(ground.project.ensembles),
            now=datetime.combine(first, time()),
            cuts=[now],
        )
        return [window for window in windows if window.end <= now and window.day >= first]


def _by_day(windows: Iterable[Window]) -> dict[date, dict[Place, int]]:
    """Minutes by day and place."""
    found: dict[date, dict[Place, int]] = {}
    for window in windows:
        of_day = found.setdefault(window.day, dict.fromkeys(Place, 0))
        of_day[window.place] += window.minutes
    return found


def in_hand(at: datetime, there: ByPlace, left: ByPlace) -> InHand:
    """Hours that serve what is left, and that."""
    return InHand(at=at, hours=round(serving(there, left)), left=round(sum(left.values())))
