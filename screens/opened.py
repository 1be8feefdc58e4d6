"""A day opened, without a screen: its heading, and its steps in order with what to know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.looking_back import DayLost
from planner.plan import (
    Day,
    NoteKind,
    Plan,
    PlannedStep,
    Sitting,
    TightSpot,
    Where,
)
from screens.countdown import OnDay, wearable_with
from screens.day_parts import day_parts, more_than, span_told, still_free, workroom_hours
from screens.why import cautions, graver_first, in_short, note_sentence
from screens.wording import (
    clean,
    column,
    garment_of,
    listed,
    name_of,
    named_date,
    named_moment,
    quoted,
    short_date,
    spoken,
    the_occasion,
)

Lost = Sequence[DayLost]
"""The days just gone that had fewer hours than their week."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One sitting of the day."""

    sitting: Sitting
    letter: str
    garment: str
    name: str
    known: str
    """The one thing to know: gravest note, what is to spare, or why."""
    cautions: tuple[str, ...]
    """What hurts or burns; each once a day."""
    at: str
    """The occasion it is done at, with "at"; else empty."""
    came: bool = False
    """Whether it was on another day by the plan before."""


def day_heading(plan: Plan, on_day: OnDay) -> str:
    """ "Saturday 8 May: 3:30 of work in 2:45 of hours, hand 0:30 of 2:30"."""
    day = on_day.day
    named = day_named(day.date, plan.now.date())
    parts = []
    for place, available, planned in _places(day):
        if planned:
            parts.append(f"{place} {column(planned)} of {column(available)}")
    if day.hand_minutes:
        limit = f" of {column(plan.hand_sewing_limit)}" if plan.hand_sewing_limit else ""
        parts.append(f"hand {column(day.hand_minutes)}{limit}")
    return f"{named}: {', '.join(parts)}" if parts else named


def day_named(day: date, today: date) -> str:
    """ "Saturday 8 May", "Today, Wed 5 May"."""
    named = named_date(day, today)
    if named in ("yesterday", "today", "tomorrow"):
        return f"{named[:1].upper()}{named[1:]}, {' '.join(short_date(day).split())}"
    return named


def _places(day: Day) -> tuple[tuple[str, int, int], ...]:
    """Each place with its hours and what of them is planned."""
    return (
        ("workroom", day.workroom_available, day.workroom_planned),
        ("sofa", day.sofa_available, day.sofa_planned),
        ("on the way", day.take_along_available, day.take_along_planned),
    )


def nothing_planned(on_day: OnDay, over: bool = False) -> str:
    """What to say of a day without steps: which hours are free; whether those it had are
    ``over``."""
    there = [
        f"{place} {column(available - planned)}"
        for place, available, planned in _places(on_day.day)
        if available > planned
    ]
    if there:
        return f"Nothing is planned. Free: {', '.join(there)}."
    return "This day's hours are over." if over else "No hours on this day."


def step_lines(plan: Plan, on_day: OnDay) -> list[StepLine]:
    """The day's sittings in order of time, what is over after what is not."""
    steps = {step.id: step for step in plan.steps}
    warned: set[str] = set()
    found = []
    for sitting in on_day.sittings:
        step = steps.get(sitting.step)
        said = [one for one in cautions(step) if one not in warned] if step else []
        warned.update(said)
        found.append(
            StepLine(
                sitting=sitting,
                letter=step.work.letter if step else "?",
                garment=garment_of(plan, sitting.step),
                name=name_of(plan, sitting.step),
                known=_known(plan, sitting, step),
                cautions=tuple(said),
                at=_at(plan, sitting, step),
            )
        )
    return found


def _at(plan: Plan, sitting: Sitting, step: PlannedStep | None) -> str:
    """ "at the body fitting", of a step done there."""
    if sitting.where is not Where.OCCASION:
        return ""
    return f"at {the_occasion(plan, step.during)}" if step and step.during else "at the occasion"


def _part(sitting: Sitting, step: PlannedStep) -> str:
    """Which part of the step it is, where other days hold the rest of it."""
    if step.first_day == step.last_day:
        return ""
    if sitting.date == step.first_day:
        return "first part"
    return "last part" if sitting.date == step.last_day else "goes on"


def _known(plan: Plan, sitting: Sitting, step: PlannedStep | None) -> str:
    """What is over first, then which part of it, then the step's own."""
    parts = [f"over {column(sitting.over)}"] if sitting.over else []
    if step is not None:
        short = in_short(plan, step)
        fixed = "fixed day" if step.on == sitting.date and short != "fixed day" else ""
        parts += [_part(sitting, step), fixed, short]
    return "; ".join(part for part in parts if part)


def day_notes(plan: Plan, on_day: OnDay, lost: Lost = ()) -> list[str]:
    """The day's own notes as sentences, with why it is over, and its late steps by name.

    ``lost``: the days just gone that had fewer hours than their week.
    """
    day = on_day.day
    kinds = {note.kind for note in day.notes}
    over = [sitting.step for sitting in on_day.sittings if sitting.over]
    found = []
    for note in graver_first(day.notes):
        if note.kind is NoteKind.TIGHT and NoteKind.OVER not in kinds:
            found += _fullest_hours(plan, day.date)
        elif note.kind is NoteKind.OVER:
            steps = f": {_named(plan, over)}" if over else ""
            told = over_by_window(plan, day.date)
            first, *rest = told or [note_sentence(plan, note)]
            found += [f"{first.rstrip('.')}{steps}.", *rest]
            found += why_over(plan, day.date, lost)
        elif note.kind is NoteKind.TOO_MUCH_HAND_SEWING:
            found.append(note_sentence(plan, note))
    found += _late(plan, on_day)
    for name in wearable_with(plan, day.date):
        found.append(f"With this day's work done, {name} can be worn.")
    return found


def _fullest_hours(plan: Plan, day: date) -> list[str]:
    """Of a tight day: which hours are fullest, and what is left of them."""
    windows = [one for one in workroom_hours(plan, day) if one.minutes]
    if not windows:
        return []
    fullest = max(windows, key=lambda one: one.load)
    free = fullest.minutes - fullest.planned
    if free <= 0:
        return [f"All of {span_told(fullest)} is taken."]
    return [f"Of {span_told(fullest)} only {spoken(free)} are free."]


def over_by_window(plan: Plan, day: date) -> list[str]:
    """Where a day has several hours: which are over by how much, and what the others leave free.

    The sum of the day alone would say less, for what is free there helps nobody here.
    """
    parts = day_parts(plan, day)
    if not parts.over:
        return []
    free = still_free(parts)
    return [f"{more_than(parts)}.", *([f"{free[:1].upper()}{free[1:]}."] if free else [])]


def why_over(plan: Plan, day: date, lost: Lost = ()) -> list[str]:
    """Why a day is over: what must lie around it, the hours there are, what took some of them,
    and what would help. On the days after the first, which day tells it; none where unknown."""
    spot, today = plan.tight_spot, plan.now.date()
    if spot is not None and spot.short > 0 and spot.start.date() <= day <= spot.end.date():
        first = _first_over(plan, spot)
        if first is not None and first < day:
            return [
                f"Why: up to {named_moment(spot.end, today)} hours are {spoken(spot.short)} short,"
                f" from {named_date(first, today)} on; what would help stands there."
            ]
        since = named_moment(spot.start, today) if spot.start > plan.now else "now"
        return [
            f"Why: between {since} and {named_moment(spot.end, today)} lie"
            f" {spoken(spot.wanted)} of work, and there are {spoken(spot.available)} of hours"
            f"{_taken(lost, today)}.",
            _would_help(plan, spot),
        ]
    for occasion in plan.occasions:
        if occasion.short and occasion.ready_by.date() >= day:
            return [
                f"Why: hours are {spoken(occasion.short)} short before"
                f" {the_occasion(plan, occasion.id)}{_taken(lost, today)}."
            ]
    return []


def _first_over(plan: Plan, spot: TightSpot) -> date | None:
    """The first day of a tight spot that is over."""
    over = {one.date for one in plan.sittings if one.over}
    return min((one for one in over if spot.start.date() <= one <= spot.end.date()), default=None)


def _taken(lost: Lost, today: date) -> str:
    """What took hours just before, with the maker's own reasons."""
    if not lost:
        return ""
    total = spoken(sum(one.minutes for one in lost))
    reasons = list(dict.fromkeys(clean(one.reason) for one in lost if clean(one.reason)))
    why = f" ({listed(reasons, 2)})" if reasons else ""
    since = named_date(lost[0].date, today)
    return f"; {total} were lost {'since ' if len(lost) > 1 else ''}{since}{why}"


def _would_help(plan: Plan, spot: TightSpot) -> str:
    """More hours by what is short; leaving off what may be left off there."""
    steps = {step.id: step for step in plan.steps}
    extras = sorted(
        (one for one in spot.steps if (step := steps.get(one.id)) is not None and step.optional),
        key=lambda one: -one.minutes,
    )
    end = named_moment(spot.end, plan.now.date())
    told = f"What would help: {spoken(spot.short)} more of hours before {end}"
    if extras:
        names = [f"{quoted(plan, one.id)} ({spoken(one.minutes)})" for one in extras]
        told = f"{told}, or leaving off what is optional: {listed(names, 2)}"
    return f"{told}."


def _late(plan: Plan, on_day: OnDay) -> list[str]:
    """Which of the day's steps are late, and for what."""
    there = {sitting.step for sitting in on_day.sittings}
    late: dict[str, list[str]] = {}
    for step in plan.steps:
        for note in step.notes:
            if note.kind is NoteKind.LATE and step.id in there:
                late.setdefault(note.subject or "", []).append(step.id)
    return [
        f"Late for {the_occasion(plan, occasion)}: {_named(plan, steps)}."
        for occasion, steps in late.items()
    ]


def _named(plan: Plan, steps: Sequence[str]) -> str:
    """Steps by name, each once."""
    return listed([quoted(plan, step) for step in dict.fromkeys(steps)])
