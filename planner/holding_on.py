"""A plan that was kept, in the windows there are now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta

from planner.hours import Window
from planner.model import Kept, KeptHours, Place
from planner.schedule.holding import Held


def held_in(
    kept: Kept, windows: Sequence[Window], names: Sequence[str], *, unchanged: bool = False
) -> Held | None:
    """What was planned of the steps ``names``, by their place there; None where nothing was.

    What lay before the first of the windows is past: done or lost. Hours that begin or end
    otherwise than they did hold what their part of the clock held; where they were moved within
    their day, all of it. ``unchanged``: hours and steps are as they were.
    """
    number = {name: j for j, name in enumerate(names)}
    minutes: list[dict[int, int]] = [{} for _ in names]
    order: dict[int, list[int]] = {}
    by_day = _by_day(windows)
    for hours in kept.hours:
        for step, w, amount in _placed(hours, windows, by_day.get((hours.day, hours.place), ())):
            j = number.get(step)
            if j is None:
                continue
            minutes[j][w] = minutes[j].get(w, 0) + amount
            laid = order.setdefault(w, [])
            if j not in laid:
                laid.append(j)
    if not any(minutes):
        return None
    return Held(
        minutes=tuple(minutes),
        order={w: tuple(steps) for w, steps in order.items()},
        unchanged=unchanged,
        let_go=kept.let_go,
    )


def _by_day(windows: Sequence[Window]) -> Mapping[tuple[date, Place], Sequence[int]]:
    found: dict[tuple[date, Place], list[int]] = {}
    for k, window in enumerate(windows):
        found.setdefault((window.day, window.place), []).append(k)
    return found


def _placed(
    hours: KeptHours, windows: Sequence[Window], same: Sequence[int]
) -> Iterator[tuple[str, int, int]]:
    """(step, window, minutes) of what was planned in some hours.

    The sittings follow each other from the hours' beginning; those beyond their end stay at it.
    """
    meet = [k for k in same if windows[k].start < hours.end and hours.start < windows[k].end]
    if not meet:
        # other hours on that day, unless these are over
        if same and hours.start >= windows[0].start:
            nearest = min(same, key=lambda k: abs(windows[k].start - hours.start))
            yield from ((step, nearest, amount) for step, amount in hours.planned)
        return
    only = windows[meet[0]]
    if len(meet) == 1 and only.start <= hours.start and hours.end <= only.end:
        yield from ((step, meet[0], amount) for step, amount in hours.planned)
        return
    clock = hours.start
    for step, amount in hours.planned:
        end = clock + timedelta(minutes=amount)
        for k, share in _shares(clock, end, hours.end, windows, meet):
            yield step, k, share
        clock = end


def _shares(
    begin: datetime, end: datetime, last: datetime, windows: Sequence[Window], meet: Sequence[int]
) -> Iterator[tuple[int, int]]:
    """How a stretch of work is shared out among the windows it meets."""
    for k in meet:
        window = windows[k]
        # what begins after the window, and is nobody else's, is beyond its end
        until = end if k == meet[-1] and window.end >= last else min(end, window.end)
        since = max(begin, window.start)
        if until > since:
            yield k, int((until - since).total_seconds()) // 60
