"""`wearby before`: what must be finished before an occasion, hours against hours."""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.model import OccasionKind
from planner.plan import NoteKind, Plan, PlannedOccasion, PlannedStep
from screens.answers import Question, fits_status
from screens.arguments import wrong
from screens.countdown import hours_between
from screens.finding import find_occasion
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.why import cautions, in_short, note_sentence
from screens.wording import (
    cells,
    clean,
    column,
    count,
    days_off,
    end_of_day_before,
    garment_of,
    long_date,
    name_of,
    named_moment,
    occasion_name,
    short_date,
    spoken,
    with_article,
    wrapped,
)


def status(question: Question) -> int:
    """Whether this occasion can be met."""
    return fits_status(_asked(question).fits)


def as_json(question: Question) -> dict[str, Any]:
    """The occasion, its steps, hours against hours."""
    from planner.exports.as_json import occasion_as_json, step_as_json

    plan, occasion = question.plan, _asked(question)
    return {
        **common(plan),
        "occasion": occasion_as_json(occasion),
        "steps": [step_as_json(step) for step in _in_order_of_days(_steps(plan, occasion.wants))],
        "left": _left(plan, occasion),
        "available": hours_between(plan, plan.now, occasion.ready_by),
        "short": occasion.short,
        "late": list(occasion.late),
        "can_wait": [step.id for step in can_wait(plan, occasion)],
        "during": [step_as_json(step) for step in _steps(plan, occasion.during)],
        "takes": occasion.takes,
    }


def lines(question: Question) -> list[str]:
    """The occasion's own sentence, then its steps in working order, and what can wait."""
    plan, occasion = question.plan, _asked(question)
    found = [*verdict(plan), "", *wrapped(_opening(plan, occasion), WIDTH)]
    if occasion.past:
        return found
    steps = _in_order_of_days(_steps(plan, occasion.wants))
    warned: set[str] = set()
    if steps:
        found += ["", "To finish before it, in working order:"]
        found += _step_lines(plan, steps, occasion, warned)
    found += _at_it(plan, occasion, warned)
    waiting = can_wait(plan, occasion)
    if waiting and steps:
        found += ["", *_waiting_lines(plan, waiting)]
    return found


def _asked(question: Question) -> PlannedOccasion:
    """The occasion that was asked about; raises InputError with the nearest one named."""
    found = find_occasion(question.plan, question.given.occasion)
    if isinstance(found, str):
        raise wrong("OCCASION", found)
    return found


def _steps(plan: Plan, ids: tuple[str, ...]) -> list[PlannedStep]:
    """Steps by id, in the order of the ids."""
    by_id = {step.id: step for step in plan.steps}
    return [by_id[ident] for ident in ids if ident in by_id]


def _in_order_of_days(steps: list[PlannedStep]) -> list[PlannedStep]:
    """By the day they begin on, else in working order; what has no day last."""
    return sorted(steps, key=lambda step: step.first_day or date.max)


def _left(plan: Plan, occasion: PlannedOccasion) -> int:
    """Minutes of work left before it."""
    return sum(step.left for step in _steps(plan, occasion.wants))


def _opening(plan: Plan, occasion: PlannedOccasion) -> list[str]:
    """When it is, what must be there by when, and whether the hours are enough."""
    today = plan.now.date()
    name = with_article(occasion_name(occasion))
    day = occasion.at.date()
    if occasion.past:
        return [f"{_capital(name)} was on {long_date(day, today)}."]
    far = days_off(day, today) if day != today else "today"
    found = [f"{_capital(name)} is on {long_date(day, today)}, {occasion.at:%H:%M}, {far}."]
    if occasion.ready_by != occasion.at:
        last = end_of_day_before(occasion.ready_by)
        by = (
            f"the end of {long_date(last, today)}"
            if last != occasion.ready_by.date()
            else named_moment(occasion.ready_by, today)
        )
        found.append(f"All must be ready by {by}.")
    left = _left(plan, occasion)
    if not left:
        return [*found, "Nothing is left to do before it."]
    there = hours_between(plan, plan.now, occasion.ready_by)
    found.append(f"{spoken(left)} of work are left, in {spoken(there)} of hours.")
    if occasion.short:
        serve = "Not all of these serve it: it" if left <= there else "It"
        found.append(f"{serve} is {spoken(occasion.short)} short.")
    elif occasion.fits is None:
        found.append("Whether it fits could not be shown.")
    elif not occasion.late:
        full = f", {round(occasion.full * 100)} % full" if occasion.full is not None else ""
        found.append(f"It fits{full}.")
    if occasion.late:
        number = len(occasion.late)
        found.append(f"{count(number, 'step')} {'is' if number == 1 else 'are'} late for it.")
    return found


def _step_lines(
    plan: Plan, steps: list[PlannedStep], occasion: PlannedOccasion, warned: set[str]
) -> list[str]:
    """Day, minutes left, letter, step, then garment and what to know beside or beneath.

    ``warned`` are the cautions said already; each is said once.
    """
    names = names_column(clean(step.name) for step in steps)
    found = []
    for step in steps:
        day = short_date(step.first_day) if step.first_day else "no time"
        known = "late" if step.id in occasion.late else in_short(plan, step)
        told = "; ".join(part for part in (clean(step.garment), known) if part)
        head = f"  {day:<10} {column(step.left):>5}  {step.work.letter}  "
        found += named(head, clean(step.name), told, names)
        for caution in cautions(step):
            if caution not in warned:
                warned.add(caution)
                indent = cells(head)
                found += [" " * indent + line for line in wrapped([caution], WIDTH - indent)]
    return found


def _at_it(plan: Plan, occasion: PlannedOccasion, warned: set[str]) -> list[str]:
    """What is done at it: for a fitting its list, with what each is worn over."""
    steps = _steps(plan, occasion.during)
    if not steps:
        return []
    total = sum(step.left for step in steps)
    kept = f", and you have kept {spoken(occasion.takes)} for it"
    found = ["", f"{count(len(steps), 'thing')} to do at it, {spoken(total)}{kept}:"]
    names = names_column(clean(step.name) for step in steps)
    for step in steps:
        hands = "; two pairs of hands" if step.hands > 1 else ""
        head = f"  {column(step.left):>5}  {step.work.letter}  "
        found += named(head, clean(step.name), f"{clean(step.garment)}{hands}", names)
        for note in step.notes:
            text = note_sentence(plan, note)
            if note.kind is NoteKind.CAUTION and text in warned:
                continue
            warned.add(text)
            found += [f"{'':12}{line}" for line in wrapped([text], WIDTH - 12)]
    if occasion.kind is OccasionKind.FITTING and total > occasion.takes:
        found.append(f"  That is {spoken(total - occasion.takes)} more than you have kept.")
    return found


def can_wait(plan: Plan, occasion: PlannedOccasion) -> list[PlannedStep]:
    """Open steps of its ensemble that need not be done by then."""
    needed = {*occasion.wants, *occasion.during, *occasion.late}
    ensemble = occasion.id.split("/", 1)[0]
    return [
        step
        for step in plan.steps
        if step.id.split("/", 1)[0] == ensemble
        and step.id not in needed
        and not (step.done or step.left_off or step.during)
        and step.left
    ]


def _waiting_lines(plan: Plan, waiting: list[PlannedStep]) -> list[str]:
    """What can wait, a garment a paragraph: "Jacket bodice: lining / hem"."""
    garments: dict[str, list[str]] = {}
    for step in waiting:
        garments.setdefault(garment_of(plan, step.id), []).append(name_of(plan, step.id))
    found = [f"Can wait, {spoken(sum(step.left for step in waiting))}:"]
    for garment, names in garments.items():
        first, *rest = wrapped([f"{garment}: {' / '.join(names)}"], WIDTH - 4)
        found += [f"  {first}", *(f"    {line}" for line in rest)]
    return found


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
