"""The rows of the Run-up, without a screen: days counted down, occasions in their place.

Rows are days and occasions, never steps. Texts are whole here; who draws them cuts them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from planner.model import OccasionKind
from planner.plan import Day, Note, NoteKind, Plan, PlannedOccasion, Sitting, Where
from screens.strips import Cell, Strips
from screens.why import graver_first
from screens.wording import (
    cells,
    column,
    count,
    garment_of,
    name_of,
    occasion_name,
    short_names,
    when,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: a day, or an occasion of that day."""

    date: date
    occasion: str | None
    """Its id, where the row is an occasion's."""
    to_go: int | None
    """Days to the next event; None after the last."""
    minutes: int
    """Planned on the day."""
    cells: tuple[Cell, ...]
    garments: tuple[tuple[str, tuple[str, ...]], ...]
    """Each garment with the names of its steps, in order of time."""
    text: str
    """What is done, garment by garment; of an occasion its hour and name."""
    brief: str
    """An occasion's hour and name alone."""
    notes: tuple[str, ...]
    """In few words each, the gravest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnDay:
    """A day with everything that happens on it."""

    day: Day
    sittings: tuple[Sitting, ...]
    occasions: tuple[PlannedOccasion, ...]

    @property
    def minutes(self) -> int:
        """Planned in all places, occasions' own time aside."""
        return sum(one.minutes for one in self.sittings if one.where is not Where.OCCASION)

    @property
    def available(self) -> int:
        """Hours of all places."""
        day = self.day
        return day.workroom_available + day.sofa_available + day.take_along_available


def days_of(plan: Plan) -> tuple[OnDay, ...]:
    """Every day of the plan with what happens on it."""
    sittings: dict[date, list[Sitting]] = defaultdict(list)
    for sitting in plan.sittings:
        sittings[sitting.date].append(sitting)
    occasions: dict[date, list[PlannedOccasion]] = defaultdict(list)
    for occasion in plan.occasions:
        if not occasion.past:
            occasions[max(occasion.at.date(), plan.now.date())].append(occasion)
    return tuple(
        OnDay(
            day=day,
            sittings=tuple(sittings[day.date]),
            occasions=tuple(occasions[day.date]),
        )
        for day in plan.days
    )


def rows(plan: Plan, strips: Strips) -> tuple[Row, ...]:
    """All rows from now to the last occasion."""
    events = sorted(
        occasion.at.date() for occasion in plan.occasions if occasion.kind is OccasionKind.EVENT
    )
    found: list[Row] = []
    for on_day in days_of(plan):
        day = on_day.day.date
        ahead = [event for event in events if event >= day]
        to_go = (ahead[0] - day).days if ahead else None
        found.append(_day_row(plan, on_day, strips, to_go))
        found += [_occasion_row(plan, occasion, day) for occasion in on_day.occasions]
    return tuple(found)


def _day_row(plan: Plan, on_day: OnDay, strips: Strips, to_go: int | None) -> Row:
    garments = _garments(plan, on_day)
    wearable = ("wearable",) if wearable_with(plan, on_day.day.date) else ()
    return Row(
        date=on_day.day.date,
        occasion=None,
        to_go=to_go,
        minutes=on_day.minutes,
        cells=strips.of(on_day.day.date),
        garments=garments,
        text=_summary(on_day, garments),
        brief="",
        notes=(*(few_words(note) for note in graver_first(on_day.day.notes)), *wearable),
    )


def _occasion_row(plan: Plan, occasion: PlannedOccasion, day: date) -> Row:
    notes = []
    if occasion.short:
        notes.append(f"{column(occasion.short)} short")
    if occasion.late:
        notes.append(f"{count(len(occasion.late), 'step')} late")
    return Row(
        date=day,
        occasion=occasion.id,
        to_go=None,
        minutes=0,
        cells=(),
        garments=(),
        text=occasion_line(plan, occasion),
        brief=f"{when(occasion)}  {occasion_name(occasion)}",
        notes=tuple(notes),
    )


def occasion_line(plan: Plan, occasion: PlannedOccasion) -> str:
    """ "14:00-15:10  body fitting, 3 things to do"."""
    things = f", {count(len(occasion.during), 'thing')} to do" if occasion.during else ""
    return f"{when(occasion)}  {occasion_name(occasion)}{things}"


def _garments(plan: Plan, on_day: OnDay) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The day's steps by garment; what is done at an occasion is told there."""
    garments: dict[str, list[str]] = {}
    for sitting in on_day.sittings:
        if sitting.where is Where.OCCASION:
            continue
        names = garments.setdefault(garment_of(plan, sitting.step), [])
        if (name := name_of(plan, sitting.step)) not in names:
            names.append(name)
    return tuple((garment, tuple(names)) for garment, names in garments.items())


def _summary(on_day: OnDay, garments: tuple[tuple[str, tuple[str, ...]], ...]) -> str:
    """ "Stays: cut, channels; Bodice: mock-up"; why nothing is done where nothing is."""
    if garments:
        return "; ".join(f"{garment}: {', '.join(names)}" for garment, names in garments)
    if on_day.occasions and not on_day.available:
        return ""
    return "free" if on_day.available else "no hours"


def told_in(row: Row, room: int, short: Mapping[str, str]) -> str:
    """A row's text for so many columns: with steps, else garments alone, else some of them."""
    if row.occasion is not None:
        return row.text if cells(row.text) <= room else row.brief
    if not row.garments:
        return row.text
    told = "; ".join(f"{short.get(name, name)}: {', '.join(steps)}" for name, steps in row.garments)
    names = [short.get(name, name) for name, _ in row.garments]
    if cells(told) <= room or len(names) == 1:
        return told
    for kept in range(len(names), 0, -1):
        more = f", {len(names) - kept} more" if kept < len(names) else ""
        told = f"{', '.join(names[:kept])}{more}"
        if cells(told) <= room:
            break
    return told


def garments_in_short(plan: Plan) -> dict[str, str]:
    """Every garment's name, and what is left of it where there is little room."""
    return short_names(dict.fromkeys(garment_of(plan, step.id) for step in plan.steps))


def wearable_with(plan: Plan, day: date) -> list[str]:
    """The ensembles that can be worn once this day's work is done."""
    return [
        name_of(plan, ident)
        for ident, on in plan.wearable_on.items()
        if on == day and on >= plan.now.date()
    ]


def few_words(note: Note) -> str:
    """A day's note in few words, for the end of its row."""
    minutes = column(note.minutes or 0)
    if note.kind is NoteKind.OVER:
        return f"over {minutes}"
    if note.kind is NoteKind.TOO_MUCH_HAND_SEWING:
        return f"hand over {minutes}"
    return note.kind.value


def hours_between(plan: Plan, start: datetime, end: datetime) -> int:
    """Minutes of hours between two moments, cut windows counted by their overlap."""
    total = 0.0
    for window in plan.windows:
        shared = min(window.end, end) - max(window.start, start)
        total += max(0.0, shared.total_seconds() / 60)
    return int(total)
