"""The steps of a record in Markdown: how each was done, after which, when, with its notes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from planner.exports.record import Record, StepMade
from planner.model import Wait
from screens.dressing import quantity_told
from screens.markdown import bullets, escaped, heading, paragraph, table
from screens.wording import MONTHS, column, count, listed, spoken

MOST_BEFORE = 8
"""Of more steps that come before one their number is told."""


def date_told(day: date) -> str:
    """A date that still says when in five years."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _span(first: date | None, last: date | None) -> str:
    """ "5 Jun 2027", "5 to 8 Jun 2027", "28 May to 2 Jun 2027"."""
    if first is None or last is None:
        return ""
    end = f"{last.day} {MONTHS[last.month - 1][:3]} {last.year}"
    if first == last:
        return end
    begin = f"{first.day}"
    if (first.year, first.month) != (last.year, last.month):
        begin += f" {MONTHS[first.month - 1][:3]}"
    if first.year != last.year:
        begin += f" {first.year}"
    return f"{begin} to {end}"


def numbers_of(record: Record) -> dict[str, int]:
    """The number of each step: those of the making, then the aftercare."""
    every = (*record.making, *record.aftercare)
    return {step.id: number for number, step in enumerate(every, 1)}


def steps_table(record: Record, steps: Sequence[StepMade]) -> str:
    """Steps in working order."""
    if not steps:
        return "No steps were written down."
    numbers = numbers_of(record)
    noted = {one.step for one in record.notes}
    names = {garment.id: garment.name for garment in record.garments}
    rows = []
    for step in steps:
        rows.append(
            [
                str(numbers[step.id]),
                escaped(names[step.id.rpartition("/")[0]]),
                escaped(step.name)
                + ("" if step.hands == 1 else " (two pairs of hands)")
                + (" (noted beneath)" if step.id in noted else ""),
                _how(record, step),
                _after(sorted(numbers[p] for p in step.follows if p in numbers)),
                column(step.estimate),
                column(step.logged) if step.logged else "",
                _when(record, step),
            ]
        )
    head = ("", "Garment", "Step", "How", "After", "Estimate", "Took", "When")
    return table(head, rows, (0, 5, 6))


def _after(numbers: Sequence[int]) -> str:
    """The numbers of the steps before one; of very many only how many they are."""
    if len(numbers) > MOST_BEFORE:
        return f"{count(len(numbers), 'step')}, the last {numbers[-1]}"
    return ", ".join(map(str, numbers))


def _how(record: Record, step: StepMade) -> str:
    """The technique and how much of it."""
    amount = quantity_told(step.amount, record.units) if step.amount is not None else ""
    technique = "" if step.technique == step.name else step.technique
    parts = [escaped(technique) or step.work.value, escaped(amount)]
    told = ", ".join(part for part in parts if part)
    uses = [f"{escaped(quantity_told(used, record.units))} of {escaped(name)}"
            for name, used in step.uses]  # fmt: skip
    taken = f"; takes {listed(uses, len(uses))}" if uses else ""
    return f"{told}{taken}{rests(step.wait)}"


def rests(wait: Wait) -> str:
    """How long it rests then."""
    if wait.nights:
        return "; rests a night" if wait.nights == 1 else f"; rests {wait.nights} nights"
    return f"; rests {spoken(wait.minutes)}" if wait.minutes else ""


def _when(record: Record, step: StepMade) -> str:
    """When it was done, or is to be."""
    days = _span(step.first, step.last)
    if step.before:
        return "before the diary"
    at = f"at {escaped(step.during)}" if step.during else ""
    if step.taken:
        how = "by the date, not logged" if step.by_date else "taken as done (held)"
        return ", ".join(part for part in ("" if step.by_date else days, at, how) if part)
    if step.done:
        told = ", ".join(part for part in (days, at) if part)
        return told or "done"
    ahead = step.last is not None and step.last >= record.now.date()
    if record.worn is not None and not ahead:
        return f"begun {days}, not finished" if step.logged else "not logged"
    begun = "begun, " if step.logged else ""
    return f"{begun}planned: {days or at}" if days or at else f"{begun}to do"


def aftercare_told(record: Record) -> str:
    """What is done after a wearing; no part of the making."""
    steps = record.aftercare
    if not steps:
        return ""
    done = sum(step.done for step in steps)
    logged = sum(step.logged for step in steps)
    estimate = sum(step.estimate for step in steps)
    took = f"; {spoken(logged)} logged" if logged else ""
    told = (
        f"Not counted in the making: {count(len(steps), 'step')}, {done} done, "
        f"{spoken(estimate)} estimated{took}."
    )
    return "\n\n".join((heading(2, "After wearing"), told, steps_table(record, steps)))


def notes_told(record: Record) -> str:
    """The notes of the diary by the steps they belong to, each with its day."""
    if not record.notes:
        return ""
    numbers = numbers_of(record)
    known = {step.id: step for step in record.steps}
    known |= {step.id: step for garment in record.garments for step in garment.left_off}
    told = []
    for one in sorted(record.notes, key=lambda note: numbers.get(note.step, len(numbers) + 1)):
        step = known.get(one.step)
        name = step_named(record, step) if step is not None else f"“{escaped(one.step)}”"
        number = f"Step {numbers[one.step]}, " if one.step in numbers else ""
        told.append(f"{number}{name}, {date_told(one.at.date())}: {paragraph(one.note)}")
    return f"{heading(3, 'Notes to the steps')}\n\n{bullets(told)}"


def again_told(record: Record) -> str:
    """What was done over again, with each round."""
    told = [
        f"{step_named(record, step)}: "
        + "; then ".join(
            f"{spoken(one.logged) if one.logged else 'no time logged'}, "
            f"{_span(one.first, one.last)}{'' if one.done else ', not finished'}"
            for one in step.rounds
        )
        for step in record.steps
        if step.rounds
    ]
    return f"{heading(3, 'Done over again')}\n\n{bullets(told)}" if told else ""


def step_named(record: Record, step: StepMade) -> str:
    """A step with its garment."""
    garment = step.id.rpartition("/")[0]
    name = next(one.name for one in record.garments if one.id == garment)
    return f"“{escaped(step.name)}” ({escaped(name)})"


def care_told(record: Record) -> str:
    """Each caution once, with the numbers of the steps it is for."""
    found: dict[str, list[str]] = {}
    for number, step in enumerate((*record.making, *record.aftercare), 1):
        if step.caution.strip():
            found.setdefault(step.caution, []).append(str(number))
    told = [
        f"{'Step' if len(numbers) == 1 else 'Steps'} {listed(numbers, len(numbers))}: "
        f"{escaped(text)}"
        for text, numbers in found.items()
    ]
    return f"{heading(3, 'To take care with')}\n\n{bullets(told)}" if told else ""
