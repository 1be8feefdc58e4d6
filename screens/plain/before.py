"""`wearby before`: what must be there before an occasion, what is done at it, what can wait."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planner.before import Before, Item, needs, next_occasion
from planner.plan import NoteKind, Plan, PlannedOccasion, PlannedStep
from screens import before_list_told as list_told
from screens import before_steps_told as steps_told
from screens import before_told as told
from screens.answers import Question, fits_status
from screens.arguments import wrong
from screens.finding import find_occasion
from screens.marks import PACKED, UNPACKED
from screens.plain.lines import WIDTH, common, named, names_column, said, verdict
from screens.why import cautions, note_sentence, spot_sentences
from screens.wording import cells, clean, column, name_of, spoken, wrapped


def status(question: Question) -> int:
    """Whether this occasion can be met."""
    return fits_status(_asked(question).fits)


def as_json(question: Question) -> dict[str, Any]:
    """The occasion, its steps by stage, hours against hours, its own list, what can wait."""
    from planner.exports.before_as_json import before_as_json

    return {**common(question.plan), **before_as_json(question.plan, _needed(question))}


def lines(question: Question) -> list[str]:
    """The occasion's own sentences, then its steps by stage, its list, and what can wait."""
    plan, needed = question.plan, _needed(question)
    warned: set[str] = set()
    found = [*verdict(plan), *said(one.text for one in told.answer(plan, needed))]
    if needed.tight:
        found += said(spot_sentences(plan))
    for group in steps_told.groups(plan, needed, question.given.by_garment):
        found += ["", *_heading(group, needed)]
        found += _step_lines(plan, group, needed, warned)
    if not needed.occasion.past:
        found += _at_it(plan, needed, warned)
        found += _items(plan, needed)
        found += _waiting_lines(plan, needed)
    return found


def _asked(question: Question) -> PlannedOccasion:
    """The occasion that was asked about, else the next; raises InputError with the nearest."""
    wanted = question.given.occasion
    if wanted is None and (following := next_occasion(question.plan)) is not None:
        return following
    found = find_occasion(question.plan, wanted)
    if isinstance(found, str):
        raise wrong("OCCASION", found)
    return found


def _needed(question: Question) -> Before:
    return needs(question.project, question.plan, _asked(question))


def _heading(group: steps_told.Group, needed: Before) -> list[str]:
    """ "To be fittable, 19 steps, 18 h 11:"."""
    return wrapped([f"{told.capital(steps_told.group_told(group, needed, spoken))}:"], WIDTH)


def _steps(plan: Plan, ids: Sequence[str]) -> list[PlannedStep]:
    """Steps by id, in the order of the ids."""
    by_id = {step.id: step for step in plan.steps}
    return [by_id[ident] for ident in ids]


def _step_lines(plan: Plan, group: steps_told.Group, needed: Before, warned: set[str]) -> list[str]:
    """Day, minutes left, letter, step, then garment and what to know beside or beneath.

    ``warned`` are the cautions said already; each is said once.
    """
    steps = _steps(plan, group.steps)
    names = names_column(clean(step.name) for step in steps)
    found = []
    for step in steps:
        day = steps_told.day_column(plan, step)
        garment = "" if group.garment else clean(step.garment)
        known = steps_told.step_known(plan, needed, step)
        text = "; ".join(part for part in (garment, known) if part)
        head = f"  {day:<10} {column(step.left):>5}  {step.work.letter}  "
        found += named(head, clean(step.name), text, names)
        for caution in cautions(step):
            if caution not in warned:
                warned.add(caution)
                indent = cells(head)
                found += [" " * indent + line for line in wrapped([caution], WIDTH - indent)]
    return found


def _at_it(plan: Plan, needed: Before, warned: set[str]) -> list[str]:
    """What is done at it: over what, with how many hands, and what it decides."""
    if not needed.things:
        return []
    found = said(list_told.at_it(plan, needed))
    steps = _steps(plan, [thing.step for thing in needed.things])
    names = names_column(clean(step.name) for step in steps)
    for thing, step in zip(needed.things, steps, strict=True):
        head = f"  {column(step.left):>5}  {step.work.letter}  "
        text = f"{clean(step.garment)}; {list_told.hands_told(step)}"
        found += named(head, clean(step.name), text, names)
        for line in list_told.thing_told(plan, needed, thing):
            found += _indented(line, 12)
        for note in step.notes:
            text = note_sentence(plan, note)
            if note.kind is NoteKind.CAUTION and text in warned:
                continue
            warned.add(text)
            found += _indented(text, 12)
    under = list_told.under_it(needed)
    if under:
        found += ["", "Under it, in the order they go on:"]
        for must in under:
            name = name_of(plan, must.garment)
            found += _indented(f"{name}: {list_told.must_told(plan, must)}", 2)
    return found


def _indented(text: str, indent: int) -> list[str]:
    """A text in a paragraph of its own, its further lines two columns further in."""
    first, *rest = wrapped([text], WIDTH - indent - 2)
    return [" " * indent + first, *(" " * (indent + 2) + line for line in rest)]


def _items(plan: Plan, needed: Before) -> list[str]:
    """What is put on for it or packed, by who wears it."""
    items = needed.packing or needed.worn
    if not items:
        return []
    found = ["", f"{told.capital(list_told.list_heading(needed))}:"]
    if needed.packing:
        found = [*said(list_told.packed(plan, needed)), *found[1:]]
    names = names_column(list_told.item_name(plan, one) for one in items)
    for heading, own in list_told.wearers(items):
        if heading:
            found.append(f"  {heading}:")
        for item in own:
            text = list_told.item_told(plan, item)
            found += named(f"  {_mark(needed, item)}", list_told.item_name(plan, item), text, names)
    return found


def _mark(needed: Before, item: Item) -> str:
    """Whether it is packed, where one packs."""
    if not needed.packing:
        return ""
    return f"{PACKED if item.packed else UNPACKED} "


def _waiting_lines(plan: Plan, needed: Before) -> list[str]:
    """What can wait, a garment a paragraph: "Jacket bodice: lining / hem"."""
    waiting = steps_told.waiting(plan, needed)
    if not waiting:
        return []
    total = sum(minutes for _, _, minutes in waiting)
    found = ["", f"Can wait until after it, {spoken(total)}:"]
    for garment, names, _ in waiting:
        found += _indented(f"{name_of(plan, garment)}: {names}", 2)
    return found
