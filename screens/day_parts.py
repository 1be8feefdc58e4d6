"""The workroom hours of a day by the part of it they lie in: which are over, which leave room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.model import Place
from planner.plan import Plan, PlannedWindow
from screens.wording import clock, listed, spoken

PARTS = ((5, "night"), (12, "morning"), (17, "afternoon"), (24, "evening"))
"""Till which hour what begins is called so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayParts:
    """Hours of a day that hold too much, and those that could hold more, each by its name with
    minutes; empty where the day has only one stretch of hours, or none of them is over."""

    over: tuple[tuple[str, int], ...] = ()
    free: tuple[tuple[str, int], ...] = ()


def workroom_hours(plan: Plan, day: date) -> list[PlannedWindow]:
    """The day's workroom hours as they are cut, in order of time."""
    there = [one for one in plan.windows if one.day == day and one.place is Place.WORKROOM]
    return sorted(there, key=lambda one: one.start)


def span_told(window: PlannedWindow) -> str:
    """ "10:15-13:20"."""
    return f"{clock(window.start)}-{clock(window.end)}"


def day_parts(plan: Plan, day: date) -> DayParts:
    """Which hours of a day are over by how much, and what the others leave free.

    They are called by the part of the day, where that says which they are, else by the clock.
    """
    windows = [one for one in workroom_hours(plan, day) if one.minutes or one.planned]
    over = [one for one in windows if one.planned > one.minutes]
    if len(windows) < 2 or not over:
        return DayParts()
    named = _named(windows)
    return DayParts(
        over=tuple((named[one.start], one.planned - one.minutes) for one in over),
        free=tuple(
            (named[one.start], one.minutes - one.planned)
            for one in windows
            if one.planned < one.minutes
        ),
    )


def _named(windows: Sequence[PlannedWindow]) -> dict[object, str]:
    """Hours by their beginning: "the afternoon"; "14:15-17:00" where several are of one part."""
    parts = [next(name for till, name in PARTS if one.start.hour < till) for one in windows]
    return {
        one.start: f"the {part}" if parts.count(part) == 1 else span_told(one)
        for one, part in zip(windows, parts, strict=True)
    }


def more_than(parts: DayParts) -> str:
    """ "33 min more than the afternoon's hours"; of several each."""
    told = []
    for name, minutes in parts.over:
        hours = f"{name}'s hours" if name.startswith("the ") else name
        told.append(f"{spoken(minutes)} more than {hours}")
    return listed(told, len(told))


def still_free(parts: DayParts) -> str:
    """ "the morning has 50 min free"; empty where nothing is."""
    told = [f"{name} has {spoken(minutes)} free" for name, minutes in parts.free]
    return listed(told, len(told)) if told else ""


def over_in(parts: DayParts) -> str:
    """ "33 min over in the afternoon", shorter; of several all together."""
    told = spoken(sum(minutes for _, minutes in parts.over))
    if len(parts.over) > 1 or not parts.over[0][0].startswith("the "):
        return f"{told} over"
    return f"{told} over in {parts.over[0][0]}"
