"""`wearby day`: one day, its steps and why each is there; of a day behind, what was done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from planner.held import PastOccasion, past_occasions
from planner.hours_over import hours_are_over
from planner.looking_back import days_lost, done_on
from planner.model import Entry
from planner.plan import Plan
from screens.answers import Question, fits_status
from screens.arguments import read_date, wrong
from screens.countdown import OnDay, days_of, occasion_line
from screens.done_told import done_already, done_as_text, done_heading, done_lines
from screens.held_told import occasion_row, taken_lines
from screens.opened import StepLine, day_heading, day_notes, nothing_planned, step_lines
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.wording import WHERES, cells, clock, column, long_date, wrapped


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """The day, its sittings, steps and occasions, and what was logged on it."""
    from planner.exports.as_json import (
        day_as_json,
        entry_as_json,
        occasion_as_json,
        sitting_as_json,
        step_as_json,
    )

    plan, day = question.plan, _day(question)
    done = done_on(question.project.diary, day).entries
    on_day = _planned(question, day)
    sittings = on_day.sittings if on_day is not None else ()
    there = {sitting.step for sitting in sittings} | {entry.step for entry in done}
    return {
        **common(plan),
        "date": day.isoformat(),
        "day": day_as_json(on_day.day) if on_day is not None else None,
        "sittings": [sitting_as_json(sitting) for sitting in sittings],
        "steps": [step_as_json(step) for step in plan.steps if step.id in there],
        "occasions": [occasion_as_json(one) for one in (on_day.occasions if on_day else ())],
        "entries": [entry_as_json(entry) for entry in done],
        "taken_as_done": [step for one in _held(question, day) for step in one.taken],
    }


def lines(question: Question) -> list[str]:
    """The verdict, then the day: what was done on it, and what is planned."""
    plan, day = question.plan, _day(question)
    done = done_on(question.project.diary, day).entries
    on_day = _planned(question, day)
    found = [*verdict(plan), ""]
    if on_day is None:
        found += wrapped([done_heading(plan, day, done)], WIDTH)
        found += _logged(plan, done)
        return found + _taken(question, day)
    found += wrapped([day_heading(plan, on_day)], WIDTH)
    lost = days_lost(question.project, plan.now, planned=question.planned)
    found += wrapped(day_notes(plan, on_day, lost), WIDTH)
    if done:
        found += [done_already(sum(entry.minutes for entry in done)), *_logged(plan, done)]
    for occasion in on_day.occasions:
        if not occasion.past:
            found.append(occasion_line(plan, occasion))
    found += _taken(question, day)
    if not on_day.sittings and not on_day.occasions:
        over = day == plan.now.date() and hours_are_over(question.project, plan.now)
        return found + wrapped([nothing_planned(on_day, over)], WIDTH)
    return found + _steps(plan, on_day)


def _steps(plan: Plan, on_day: OnDay) -> list[str]:
    """The day's steps in order, by place."""
    found: list[str] = []
    where = ""
    steps = step_lines(plan, on_day)
    names = names_column(line.name for line in steps)
    for line in steps:
        told = line.at if line.at else WHERES[line.sitting.where]
        if told != where:
            where = told
            found.append(f"{told[:1].upper()}{told[1:]}:")
        found += _step(line, names)
    return found


def _logged(plan: Plan, done: Sequence[Entry]) -> list[str]:
    """What was logged, entry by entry."""
    steps = {step.id: step for step in plan.steps}
    return [text for line in done_lines(plan, steps, done) for text in done_as_text(line, WIDTH)]


def _held(question: Question, day: date) -> list[PastOccasion]:
    """The occasions of a day that are over."""
    found = past_occasions(question.project, question.plan)
    return [one for one in found if one.at.date() == day]


def _taken(question: Question, day: date) -> list[str]:
    """What became of the day's past occasions, and what is taken as done by that."""
    found: list[str] = []
    for one in _held(question, day):
        found += wrapped([f"{occasion_row(question.plan, one)}."], WIDTH)
        for line in taken_lines(question.plan, one):
            found += ["  " + part for part in wrapped([line], WIDTH - 2)]
    return found


def _day(question: Question) -> date:
    """The day that was asked for; raises InputError where nothing is known of it."""
    plan = question.plan
    day = read_date(question.given.date, "DATE", plan.now.date())
    there = done_on(question.project.diary, day).entries or _held(question, day)
    behind = day < plan.now.date() and there
    if behind or _planned(question, day) is not None:
        return day
    raise wrong("DATE", f"{long_date(day, plan.now.date())} is not in the plan{_span(plan)}.")


def _planned(question: Question, day: date) -> OnDay | None:
    """The day as planned; None where the plan doesn't have it."""
    return next((one for one in days_of(question.plan) if one.day.date == day), None)


def _span(plan: Plan) -> str:
    """From when to when the plan goes."""
    if not plan.days:
        return ", which has no days yet: add an occasion"
    first, last = plan.days[0].date, plan.days[-1].date
    return f", which goes from {long_date(first)} to {long_date(last)} {last.year}"


def _step(line: StepLine, names: int) -> list[str]:
    """A step's line, its caution beneath."""
    sitting = line.sitting
    start = clock(sitting.start) if sitting.start else "over"
    head = f"  {start:<5} {column(sitting.minutes):>5}  {line.letter}  "
    told = "; ".join(part for part in (line.garment, line.known) if part)
    found = named(head, line.name, told, names)
    if line.cautions:
        indent = cells(head)
        found += [" " * indent + more for more in wrapped(line.cautions, WIDTH - indent)]
    return found
