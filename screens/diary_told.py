"""The diary in words: each day against what was planned, each entry, and what to do next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.diary_days import DiaryDay
from planner.model import Entry
from planner.plan import Plan, PlannedStep, Where
from screens.amounts_told import worded_amount
from screens.done_told import done_lines, lost_sentence
from screens.opened import day_named
from screens.wording import (
    clean,
    clock,
    column,
    count,
    listed,
    long_date,
    name_of,
    spoken,
    step_with_garment,
)

KIND = "entry"
NOTHING_LOGGED = (
    "Nothing is logged yet. space logs what was done: steps ticked, minutes typed. k sits down to"
    " a step and lets the clock run. Where the build is under way already, j says what was done"
    " before, without times."
)
JOINED = (
    " before the diary began. From here on: space logs what was done, steps ticked, minutes typed;"
    " k sits down to a step and lets the clock run."
)
NO_STEPS = "There are no steps yet: the garments (g) begin with what is to be made."


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """An entry as it is told."""

    clock: str
    minutes: str
    """Empty where none were said."""
    letter: str
    """ "?" where its step is no longer in the files."""
    garment: str
    name: str
    known: str
    """Done, what was left, or that it goes on."""
    beneath: tuple[str, ...]
    """The note, and what was used."""


def day_heading(plan: Plan, day: DiaryDay) -> tuple[str, str]:
    """ "Yesterday, Sun 6 Jun", and "1:40 of 2:00 planned" at the right."""
    return day_named(day.date, plan.now.date()), day_sum(plan, day)


def day_sum(plan: Plan, day: DiaryDay) -> str:
    """What was done of what was planned."""
    done = column(day.minutes) if day.minutes else ""
    if day.date == plan.now.date():
        still = planned_today(plan)
        parts = [f"{done} done" if done else "", f"{column(still)} planned" if still else ""]
        return ", ".join(part for part in parts if part)
    if day.planned:
        return f"{done or 'nothing'} of {column(day.planned)} planned"
    if not day.logged:
        return "nothing done" if day.differs is None or not day.differs.away else "away"
    return f"{done} done" if done else count(len(day.logged), KIND, "entries")


def planned_today(plan: Plan) -> int:
    """Minutes planned for what is left of today, at occasions aside, and what there are no hours
    for."""
    today = plan.now.date()
    return sum(
        one.minutes - one.over
        for one in plan.sittings
        if one.date == today and one.where is not Where.OCCASION
    )


def day_notes(day: DiaryDay) -> list[str]:
    """What was lost and why, where the sums don't say it."""
    reason = clean(day.differs.reason) if day.differs is not None else ""
    lost = day.lost
    if lost is None:
        return [f"{reason[:1].upper()}{reason[1:]}."] if reason else []
    if lost.planned and not reason:
        return []
    if lost.planned:
        return [f"{reason[:1].upper()}{reason[1:]}."]
    return [lost_sentence(lost)]


def entry_row(plan: Plan, steps: Mapping[str, PlannedStep], entry: Entry) -> EntryRow:
    """An entry for its row."""
    (line,) = done_lines(plan, steps, [entry])
    used = used_told(plan, entry)
    return EntryRow(
        clock=clock(entry.at),
        minutes=column(entry.minutes) if entry.minutes else "",
        letter=line.letter,
        garment=line.garment,
        name=line.name,
        known=line.known,
        beneath=tuple(part for part in (line.note, f"Used {used}." if used else "") if part),
    )


def used_told(plan: Plan, entry: Entry) -> str:
    """ "2.9 m of braid, 3 of hooks"."""
    ensemble = entry.step.split("/")[0]
    told = []
    for one in entry.used:
        name = clean(plan.names.get(f"{ensemble}/{one.stock}", "")) or clean(one.stock)
        amount = worded_amount(one.amount.value, one.amount.dimension, plan.units)
        told.append(f"{amount} of {name}")
    return ", ".join(told)


def entry_named(plan: Plan, entry: Entry, today: date) -> str:
    """ "“hem” (Petticoat), Sunday 6 June 19:40"."""
    day = long_date(entry.at.date(), today)
    return f"{step_with_garment(plan, entry.step)}, {day} {clock(entry.at)}"


def entry_told(plan: Plan, entry: Entry) -> str:
    """What an entry comes to: "50 min, done"; "20 min, 30 min left"."""
    parts = [spoken(entry.minutes)] if entry.minutes else ["no time"]
    if entry.done:
        parts.append("done")
    elif entry.left is not None:
        parts.append(f"{spoken(entry.left)} left")
    return ", ".join(parts)


def nothing(plan: Plan, before: int) -> str:
    """What to do where nothing is logged; ``before``: steps that were done before the diary."""
    if not plan.steps:
        return NO_STEPS
    if before:
        return f"{count(before, 'step')} {'was' if before == 1 else 'were'} done{JOINED}"
    return NOTHING_LOGGED


def brought_told(plan: Plan, brought: Sequence[str]) -> str:
    """What a tick brought along: "It follows “cut” and “baste”, so these are ticked too."."""
    if not brought:
        return ""
    names = listed([f"“{name_of(plan, one)}”" for one in brought])
    too = "that is ticked too; space takes it" if len(brought) == 1 else "these are ticked too"
    return f"It follows {names}, so {too}" + (
        " back alone." if len(brought) == 1 else "; space takes one back alone."
    )


def record_saved(plan: Plan, ensemble: str, path: Path) -> str:
    """Where the record of an ensemble went."""
    return f"The record of {name_of(plan, ensemble)} is in {clean(str(path))}."
