"""The rows of the Run-up, without a screen: days counted down, occasions in their place.

Rows are days and occasions, never steps. Texts are whole here; who draws them cuts them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.model import OccasionKind
from planner.plan import Note, NoteKind, Plan, PlannedOccasion, Where
from screens.countdown import OnDay, held_word, lacking, occasion_line, wearable_with
from screens.looked_at import Behind, LookedAt
from screens.strips import Cell, Strips
from screens.why import graver_first
from screens.wording import (
    cells,
    clean,
    column,
    count,
    garment_of,
    name_of,
    occasion_name,
    short_names,
    when,
)

Garments = tuple[tuple[str, tuple[str, ...]], ...]
"""Each garment with the names of its steps, in order of time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: a day, or an occasion of that day."""

    date: date
    occasion: str | None = None
    """Its id, where the row is an occasion's."""
    behind: bool = False
    """The day is over; what stands there was really done."""
    to_go: int | None = None
    """Days to the next event; None after the last."""
    minutes: int = 0
    """Planned on the day; of one behind, logged."""
    cells: tuple[Cell, ...] = ()
    garments: Garments = ()
    text: str = ""
    """What is done, garment by garment; of an occasion its hour and name."""
    brief: str = ""
    """An occasion's hour and name alone."""
    came: bool = False
    """Whether work has come to it by the last change."""
    notes: tuple[str, ...] = ()
    """In few words each, the gravest first."""


def rows(looked: LookedAt, strips: Strips) -> tuple[Row, ...]:
    """All rows: the days behind, then those from now to the last occasion."""
    events = sorted(
        one.at.date() for one in looked.plan.occasions if one.kind is OccasionKind.EVENT
    )
    found = [_behind_row(looked, one, strips, _to_go(events, one.date)) for one in looked.behind]
    for day, on_day in looked.days.items():
        found.append(_day_row(looked, on_day, strips, _to_go(events, day)))
        found += [_occasion_row(looked, one, day) for one in on_day.occasions]
    return tuple(found)


def _to_go(events: Sequence[date], day: date) -> int | None:
    ahead = [event for event in events if event >= day]
    return (ahead[0] - day).days if ahead else None


# days ahead


def _day_row(looked: LookedAt, on_day: OnDay, strips: Strips, to_go: int | None) -> Row:
    plan, day = looked.plan, on_day.day.date
    steps = [one.step for one in on_day.sittings if one.where is not Where.OCCASION]
    garments = _garments(plan, steps)
    able = wearable_with(plan, day, looked.alone)
    return Row(
        date=day,
        to_go=to_go,
        minutes=on_day.minutes,
        cells=strips.of(day),
        garments=garments,
        text=_told(garments) or _idle(looked, on_day),
        came=any(step in looked.came.get(day, {}) for step in steps),
        notes=(
            *(few_words(note) for note in graver_first(on_day.day.notes)),
            *(("wearable",) if able else ()),
        ),
    )


def _garments(plan: Plan, steps: Sequence[str]) -> Garments:
    """Steps by garment; what is done at an occasion is told there."""
    garments: dict[str, list[str]] = {}
    for step in steps:
        names = garments.setdefault(garment_of(plan, step), [])
        if (name := name_of(plan, step)) not in names:
            names.append(name)
    return tuple((garment, tuple(names)) for garment, names in garments.items())


def _told(garments: Garments) -> str:
    """ "Stays: cut, channels; Bodice: mock-up"."""
    return "; ".join(f"{garment}: {', '.join(names)}" for garment, names in garments)


def _idle(looked: LookedAt, on_day: OnDay) -> str:
    """Why nothing is done on a day on which nothing is."""
    day = on_day.day.date
    if day == looked.today.date and looked.today.entries:
        minutes = looked.today.minutes
        return f"{column(minutes)} done already" if minutes else "done already"
    if looked.others.get(day):
        return "the others"
    if on_day.available:
        return "free"
    differs = looked.differs.get(day)
    over = looked.hours_over and day == looked.plan.now.date()
    none = "its hours are over" if over else "no hours"
    if differs is None:
        return "" if on_day.occasions else none
    none, reason = "away" if differs.away else none, clean(differs.reason)
    return f"{none}: {reason}" if reason else none


def _occasion_row(looked: LookedAt, occasion: PlannedOccasion, day: date) -> Row:
    plan, came = looked.plan, looked.came.get(day, {})
    notes = []
    if occasion.short:
        notes.append(f"{column(occasion.short)} short")
    if occasion.past:
        notes += lacking(plan, occasion)
    elif occasion.late:
        notes.append(f"{count(len(occasion.late), 'step')} late")
    held = f"{held_word(occasion)}: " if occasion.past else ""
    return Row(
        date=day,
        occasion=occasion.id,
        text=occasion_line(plan, occasion),
        brief=f"{when(occasion)}  {held}{occasion_name(occasion)}",
        came=any(step in came for step in occasion.during),
        notes=tuple(notes),
    )


def few_words(note: Note) -> str:
    """A day's note in few words, for the end of its row."""
    minutes = column(note.minutes or 0)
    if note.kind is NoteKind.OVER:
        return f"over {minutes}"
    if note.kind is NoteKind.TOO_MUCH_HAND_SEWING:
        return f"hand over {minutes}"
    return note.kind.value


# days behind


def _behind_row(looked: LookedAt, behind: Behind, strips: Strips, to_go: int | None) -> Row:
    done = sum(entry.done for entry in behind.entries)
    lost = behind.lost
    notes = [f"{column(lost.minutes)} lost"] if lost is not None else []
    notes += [f"{done} done"] if done else []
    garments = _garments(looked.plan, [entry.step for entry in behind.entries])
    reason = clean(lost.reason) if lost is not None else ""
    return Row(
        date=behind.date,
        behind=True,
        to_go=to_go,
        minutes=behind.minutes,
        cells=tuple(_done_cells(looked, behind, strips.slice)),
        garments=garments,
        text=_told(garments) or reason or "nothing done",
        notes=tuple(notes),
    )


def _done_cells(looked: LookedAt, behind: Behind, size: int) -> list[Cell]:
    """What was logged as stitches, in order of time, as close together as it comes."""
    found: list[Cell] = []
    for entry in behind.entries:
        step = looked.steps.get(entry.step)
        if step is not None and entry.minutes:
            found += [Cell(letter=step.work.letter)] * max(1, round(entry.minutes / size))
    return found


# a row for so many columns


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
