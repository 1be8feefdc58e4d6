"""`wearby day`: one day, its steps in order, and why each is there."""

from __future__ import annotations

from typing import Any

from planner.plan import Plan
from screens.answers import Question, fits_status
from screens.arguments import read_date, wrong
from screens.countdown import OnDay, days_of, occasion_line
from screens.opened import StepLine, day_heading, day_notes, nothing_planned, step_lines
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.wording import WHERES, cells, clock, column, long_date, wrapped


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """The day, its sittings, steps and occasions."""
    from planner.exports.as_json import (
        day_as_json,
        occasion_as_json,
        sitting_as_json,
        step_as_json,
    )

    plan, on_day = question.plan, _asked(question)
    there = {sitting.step for sitting in on_day.sittings}
    return {
        **common(plan),
        "day": day_as_json(on_day.day),
        "sittings": [sitting_as_json(sitting) for sitting in on_day.sittings],
        "steps": [step_as_json(step) for step in plan.steps if step.id in there],
        "occasions": [occasion_as_json(occasion) for occasion in on_day.occasions],
    }


def lines(question: Question) -> list[str]:
    """The verdict, the day's hours, its steps in order with what to know of each."""
    plan, on_day = question.plan, _asked(question)
    found = [*verdict(plan), "", *wrapped([day_heading(plan, on_day)], WIDTH)]
    found += wrapped(day_notes(plan, on_day), WIDTH)
    for occasion in on_day.occasions:
        found.append(occasion_line(plan, occasion))
    where = ""
    steps = step_lines(plan, on_day)
    names = names_column(line.name for line in steps)
    for line in steps:
        told = line.at if line.at else WHERES[line.sitting.where]
        if told != where:
            where = told
            found.append(f"{told[:1].upper()}{told[1:]}:")
        found += _step(line, names)
    if not on_day.sittings and not on_day.occasions:
        found += wrapped([nothing_planned(on_day)], WIDTH)
    return found


def _asked(question: Question) -> OnDay:
    """The day that was asked for; raises InputError where the plan doesn't have it."""
    plan = question.plan
    day = read_date(question.given.date, "DATE", plan.now.date())
    for on_day in days_of(plan):
        if on_day.day.date == day:
            return on_day
    raise wrong("DATE", f"{long_date(day, plan.now.date())} is not in the plan{_span(plan)}.")


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
    if line.caution:
        indent = cells(head)
        found += [" " * indent + more for more in wrapped([line.caution], WIDTH - indent)]
    return found
