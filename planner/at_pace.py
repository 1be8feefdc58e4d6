"""The hours in hand ahead, with what is left taking more or less time than its estimate.

On each day the plan's work of that day is done, as far as its hours go; what they don't hold is
carried to the next hours that serve it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, datetime, time

from planner.in_hand import InHand, Work, in_hand
from planner.model import Place
from planner.plan import PlannedWindow

SERVES: Mapping[Place, tuple[Place, ...]] = {
    Place.WORKROOM: (Place.WORKROOM, Place.SOFA, Place.TAKE_ALONG),
    Place.SOFA: (Place.SOFA, Place.TAKE_ALONG),
    Place.TAKE_ALONG: (Place.TAKE_ALONG,),
}
"""Work that can be done at each place, by the least place it needs."""


def ahead_at_pace(work: Work, ratio: float) -> tuple[InHand, ...]:
    """The moments of ``Work.ahead``, with the work taking ``ratio`` times its estimate."""
    left = {place: ratio * minutes for place, minutes in work.left().items()}
    found = [work.now(ratio)]
    by_day = _by_day(work)
    due = dict.fromkeys(Place, 0.0)
    today = work.plan.now.date()
    days = (today, *work.days_ahead())
    for day, following in zip(days, [*days[1:], None], strict=True):
        for window, own, others in by_day[day]:
            _work_in(window, own, others, ratio, due, left)
        if following is not None:
            moment = datetime.combine(following, time())
            found.append(in_hand(moment, work.hours_from(following), left))
    if found[-1].at < work.by:
        found.append(in_hand(work.by, {}, left))
    return tuple(found)


def _by_day(work: Work) -> Mapping[date, list[tuple[PlannedWindow, Mapping[Place, int], int]]]:
    """By day, its hours up to the end, with the minutes planned in them of this work, by place,
    and of other work."""
    own: dict[int, dict[Place, int]] = defaultdict(lambda: dict.fromkeys(Place, 0))
    others: dict[int, int] = defaultdict(int)
    for sitting in work.plan.sittings:
        if sitting.window is None:
            continue
        if sitting.step in work.places:
            own[sitting.window][work.places[sitting.step]] += sitting.minutes
        else:
            others[sitting.window] += sitting.minutes
    found: dict[date, list[tuple[PlannedWindow, Mapping[Place, int], int]]] = defaultdict(list)
    for index, window in enumerate(work.plan.windows):
        if window.end <= work.by:
            # hours that began last night are today's first
            day = max(window.day, work.plan.now.date())
            found[day].append((window, own[index], others[index]))
    return found


def _work_in(
    window: PlannedWindow,
    own: Mapping[Place, int],
    others: int,
    ratio: float,
    due: dict[Place, float],
    left: dict[Place, float],
) -> None:
    """Do in a window what is due by then; ``due`` and ``left`` are what remains."""
    for place, minutes in own.items():
        due[place] += ratio * minutes
    room = max(0.0, window.minutes - ratio * others)
    for place in SERVES[window.place]:
        done = min(room, due[place], left[place])
        due[place] -= done
        left[place] -= done
        room -= done
