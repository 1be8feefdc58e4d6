"""Why a step isn't done on the day the maker fixed for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from planner.model import Place
from planner.plan import NoteKind, Plan, PlannedStep, PlannedWindow


class Hindrance(StrEnum):
    """What keeps a step from the day fixed for it."""

    OUTSIDE = "outside"
    """The day is past, or after the last occasion."""
    TOO_EARLY = "too early"
    """It can't begin before ``moment``."""
    TOO_LATE = "too late"
    """It must end by ``moment``."""
    NO_HOURS = "no hours"
    """The day has no hours in which it can be done."""
    FEW_HOURS = "few hours"
    """The day has only ``minutes`` for it."""
    AFTER_FIXED = "after fixed"
    """``other``, which comes before it, is fixed too late for it."""
    BEFORE_FIXED = "before fixed"
    """``other``, which comes after it, is fixed too early for it."""
    TOGETHER = "together"
    """Not with all else that must be done on that day, or before and after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotKept:
    """A fixed day that can't be kept, and the nearest cause."""

    step: str
    day: date
    why: Hindrance
    moment: datetime | None = None
    minutes: int | None = None
    other: str | None = None
    """Full id of the other step that is fixed."""


def not_kept(plan: Plan) -> tuple[NotKept, ...]:
    """Every step that isn't on the day fixed for it, in order of the files."""
    return tuple(
        _why(plan, step, step.on)
        for step in plan.steps
        if step.on is not None
        and any(note.kind is NoteKind.FIXED_DAY_NOT_KEPT for note in step.notes)
    )


def why_not_kept(plan: Plan, ident: str) -> NotKept | None:
    """The same of one step; None where its day is kept, or it has none."""
    return next((one for one in not_kept(plan) if one.step == ident), None)


def _why(plan: Plan, step: PlannedStep, day: date) -> NotKept:
    """The nearest cause: the calendar, its own chain, the day's hours, other fixed days."""
    if not any(one.date == day for one in plan.days):
        return NotKept(step=step.id, day=day, why=Hindrance.OUTSIDE)
    if step.earliest is not None and step.earliest.date() > day:
        return NotKept(step=step.id, day=day, why=Hindrance.TOO_EARLY, moment=step.earliest)
    # to end at midnight is to end the day before
    if step.latest is not None and (step.latest - timedelta(minutes=1)).date() < day:
        return NotKept(step=step.id, day=day, why=Hindrance.TOO_LATE, moment=step.latest)
    there = sum(window.minutes for window in plan.windows if _serves(window, step, day))
    if not there:
        return NotKept(step=step.id, day=day, why=Hindrance.NO_HOURS)
    if there < step.left and not _stretches(plan, step, day):
        return NotKept(step=step.id, day=day, why=Hindrance.FEW_HOURS, minutes=there)
    return _beside_others(plan, step, day)


def _serves(window: PlannedWindow, step: PlannedStep, day: date) -> bool:
    """Whether a step can be done in a window of that day."""
    if window.day != day or (step.hands > 1 and not window.helper):
        return False
    places = list(Place)
    return places.index(window.place) <= places.index(step.place)


def _stretches(plan: Plan, step: PlannedStep, day: date) -> bool:
    """Whether any of the day's hours for it can be stayed up in."""
    return any(
        window.place is Place.WORKROOM for window in plan.windows if _serves(window, step, day)
    )


def _beside_others(plan: Plan, step: PlannedStep, day: date) -> NotKept:
    """Which other fixed day stands in its way; else that all together doesn't go."""
    open_ones = {one.id: one for one in plan.steps if one.on is not None and not one.done}
    for name in _before(plan, step.id):
        other = open_ones.get(name)
        if other is not None and _too_late_for(other, other.on, day):
            return NotKept(step=step.id, day=day, why=Hindrance.AFTER_FIXED, other=name)
    for name, other in open_ones.items():
        if step.id in _before(plan, name) and _too_late_for(step, day, other.on):
            return NotKept(step=step.id, day=day, why=Hindrance.BEFORE_FIXED, other=name)
    return NotKept(step=step.id, day=day, why=Hindrance.TOGETHER)


def _too_late_for(first: PlannedStep, day: date | None, follower: date | None) -> bool:
    """Whether work on ``day`` leaves its follower no time on its day, by the calendar alone."""
    if day is None or follower is None:
        return False
    return day + timedelta(days=first.wait.nights) > follower


def _before(plan: Plan, ident: str) -> list[str]:
    """All steps a step follows, the nearest first."""
    after = {step.id: step.after for step in plan.steps}
    found: dict[str, None] = {}
    todo = list(after.get(ident, ()))
    for one in todo:
        if one not in found and one in after:
            found[one] = None
            todo += after[one]
    return list(found)
