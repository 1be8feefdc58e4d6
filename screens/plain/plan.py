"""`wearby plan`: every day up to the last occasion."""

from __future__ import annotations

from typing import Any

from planner.glance import glance
from planner.looking_back import days_lost
from planner.model import Work
from planner.plan import Plan
from screens.answers import Question, fits_status
from screens.day_rows import Row, rows, told_in
from screens.glance_told import as_lines
from screens.looked_at import looked_at
from screens.plain.going import how_it_goes_as_json, how_it_goes_lines
from screens.plain.lines import WIDTH, said, verdict
from screens.strips import FREE, MARK, as_text, strips
from screens.why import cautions, spot_sentences, unplaced_sentence, warning_line
from screens.wording import column, listed, padded, quoted, short_date, wrapped

STRIP = 22
"""Columns kept for the strips."""


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """The whole plan, and what can be told of it at a glance."""
    from planner.exports.as_json import plan_as_json
    from planner.exports.glance_as_json import glance_as_json

    lost = days_lost(question.project, question.plan.now, planned=question.planned)
    seen = glance_as_json(glance(question.plan), lost)
    going = how_it_goes_as_json(question)
    return {**plan_as_json(question.plan), "at_a_glance": seen, "going": going}


def lines(question: Question) -> list[str]:
    """Verdict, days, and what the verdict rests on."""
    plan = question.plan
    looked = looked_at(plan, question.project, planned=question.planned)
    made = strips(plan, STRIP)
    found = [*verdict(plan), *how_it_goes_lines(question), ""]
    if looked.days:
        found += [*as_lines(plan, looked.seen, looked.lost, WIDTH), ""]
    table = rows(looked, made)
    behind = [row for row in table if row.behind]
    for row in behind:
        found += _row(row)
    found += [""] if behind else []
    for row in table[len(behind) :]:
        found += _row(row)
    if any(row.cells for row in table):
        found += ["", *_legend(made.slice, table)]
    return found + _below(plan)


def _row(row: Row) -> list[str]:
    """A row, its text going on beneath where it is long."""
    notes = "; ".join(row.notes[:2])
    if row.occasion is not None:
        return [f"{'':9}{told_in(row, WIDTH - 11 - len(notes), {})}  {notes}"]
    to_go = "" if row.to_go is None else str(row.to_go)
    minutes = column(row.minutes) if row.minutes else ""
    head = f"{to_go:>4} {short_date(row.date)} {minutes:>6}  {padded(as_text(row.cells), STRIP)}  "
    found = [head + (notes if row.garments else row.text)]
    for garment, names in row.garments:
        first, *rest = wrapped([f"{garment}: {' / '.join(names)}"], WIDTH - 11)
        found += [f"{'':9}{first}", *(f"{'':11}{line}" for line in rest)]
    return found


def _legend(size: int, table: tuple[Row, ...]) -> list[str]:
    """What the letters stand for, those that occur."""
    there = {cell.letter for row in table for cell in row.cells}
    letters = [f"{work.letter} {work.value}" for work in Work if work.letter in there]
    free = [f"{FREE} free"] if FREE in there else []
    return wrapped(
        [
            f"Each letter is {size} minutes: {', '.join(letters + free)}.",
            f"Hours end at {MARK}; what is after it is over.",
        ],
        WIDTH,
    )


def careful_with(plan: Plan) -> list[str]:
    """What hurts or burns in the work that is planned, each once with the steps it is about."""
    steps = {step.id: step for step in plan.steps}
    about: dict[str, list[str]] = {}
    for ident in dict.fromkeys(sitting.step for sitting in plan.sittings):
        for caution in cautions(steps[ident]):
            about.setdefault(caution, []).append(quoted(plan, ident))
    return [f"{listed(list(dict.fromkeys(names)))}: {text}" for text, names in about.items()]


def _below(plan: Plan) -> list[str]:
    """The tight spot, what has no time, and warnings."""
    found = said(spot_sentences(plan))
    if plan.unplaced:
        found += ["", "No time for:"]
        for one in plan.unplaced:
            found += [f"  {line}" for line in wrapped([unplaced_sentence(plan, one)], WIDTH - 2)]
    if careful := careful_with(plan):
        found += ["", "To take care with:"]
        for told in careful:
            found += [f"  {line}" for line in wrapped([told], WIDTH - 2)]
    if plan.warnings:
        found += ["", "To look at:"]
        for warned in plan.warnings:
            found += [f"  {line}" for line in wrapped([warning_line(warned)], WIDTH - 2)]
    return found
