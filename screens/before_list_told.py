"""An occasion's own list, in words: what is done at it, what goes on under it, what is packed."""

from __future__ import annotations

from collections.abc import Sequence

from planner.before import Before, Item, Must, Thing
from planner.model import OccasionKind
from planner.plan import Plan, PlannedStep
from screens.before_steps_told import plain_day
from screens.before_told import capital, garments_in_short
from screens.wording import (
    clean,
    column,
    count,
    listed,
    name_of,
    named_date,
    named_moment,
    quoted,
    spoken,
    with_article,
)

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
NOTHING_AT_IT = (
    "Nothing is done at it yet: in a step's form, “done at” names the occasion it is done at."
)
NOTHING_ELSE = "What else must be there (shoes, jewels, lacing cord, a repair kit): i lists it."

PACKED_EARLY = "packed, though "
"""Before what is told of a thing that is ticked and isn't ready."""


# at it


def at_it(plan: Plan, needed: Before) -> list[str]:
    """Whether the time kept for it is enough, and what need not be there yet."""
    if not needed.things:
        return []
    day = named_date(needed.occasion.at.date(), plan.now.date()).split(" ")[0]
    number = len(needed.things)
    several = NUMBERS[number] if number < len(NUMBERS) else str(number)
    things = f"{several} {'thing' if number == 1 else 'things'} to do"
    kept = f"you have kept {spoken(needed.kept)} for it"
    if not needed.said:
        kept = f"it is planned to take {spoken(needed.kept)}"
    more = needed.at_it - needed.kept
    enough = f": {spoken(more)} too little" if more > 0 else ""
    found = [f"{capital(day)} has {things}, about {spoken(needed.at_it)}, and {kept}{enough}."]
    if needed.occasion.kind is OccasionKind.FITTING and (need := _need_only(plan, needed)):
        found.append(need)
    return found


def _need_only(plan: Plan, needed: Before) -> str:
    """Of the garment of which most can wait: what it needs by then, and what can wait."""
    under = {garment for thing in needed.things for garment in thing.under}
    found = [must for must in needed.musts if must.stage and must.waits and must.garment in under]
    if not found:
        return ""
    steps = {step.id: step for step in plan.steps}
    must = max(found, key=lambda must: sum(steps[one].left for one in must.waits))
    last = [one for one in must.last if not steps[one].done]
    waits = f"{listed([quoted(plan, one) for one in must.waits], 2)} can wait"
    short = garments_in_short(plan, needed)[must.garment]
    name = capital(with_article(short))
    need = "need" if short.endswith("s") and not short.endswith("ss") else "needs"
    only = listed([quoted(plan, one) for one in last]) if last else "nothing more"
    return f"{name} {need} only {only} by then; {waits}.".replace("only nothing", "nothing")


def thing_told(plan: Plan, needed: Before, thing: Thing) -> list[str]:
    """What is worn under it, and what it decides: a line each."""
    short = garments_in_short(plan, needed)
    found = []
    if thing.under:
        names = listed([short[one] for one in thing.under], len(thing.under))
        found.append(f"worn under it: {names}")
    if thing.decides:
        then = ", then ".join(quoted(plan, one) for one in thing.decides)
        found.append(f"decides: {then}")
    return found


def hands_told(step: PlannedStep) -> str:
    """How many hands a thing takes."""
    return "two pairs of hands" if step.hands > 1 else "one pair of hands"


def under_it(needed: Before) -> list[Must]:
    """The garments worn under what is fitted, in dressing order."""
    under = {garment for thing in needed.things for garment in thing.under}
    return [must for must in needed.musts if must.garment in under]


def must_told(plan: Plan, must: Must) -> str:
    """How far a garment must be by then: "fittable, with “eyelets”; Sat 25 Sep"."""
    steps = {step.id: step for step in plan.steps}
    last = [quoted(plan, one) for one in must.last if not steps[one].done]
    if must.there:
        return f"{must.stage or 'as far as needed'} already"
    by = f", on {plain_day(must.on)} by the plan" if must.on else ""
    if must.stage:
        return f"{must.stage} with {listed(last)}{by}" if last else f"{must.stage}{by}"
    return f"as far as {listed(last)}{by}"


# what is put on and packed


def item_name(plan: Plan, item: Item) -> str:
    """A garment's name, or the words of the list."""
    return name_of(plan, item.garment) if item.garment else clean(item.thing)


def item_told(plan: Plan, item: Item) -> str:
    """Whether it is ready, or when: open, drying or hanging; of what is ticked and isn't ready
    by now that too."""
    today = plan.now.date()
    if item.garment is None:
        return ""
    if item.packed and item.ready is not None:
        late = "" if item.in_time else "; not in time"
        return f"{PACKED_EARLY}not ready before {plain_day(item.ready.date())}{late}"
    if not item.open:
        if item.ready is None:
            return "ready"
        late = "" if item.in_time else "; too late"
        return f"waits till {named_moment(item.ready, today)}{late}"
    left = f"{count(len(item.open), 'step')} left, {column(item.left)}"
    if item.ready is None:
        early = PACKED_EARLY if item.packed else ""
        return f"{early}{left}; no day for all of it"
    day = f"ready {plain_day(item.ready.date())}"
    return f"{left}; {day}" if item.in_time else f"{left}; not in time: {day}"


def item_states(plan: Plan, item: Item) -> list[str]:
    """Whether it is ready, or when: at length, then in ever fewer words."""
    whole = item_told(plan, item)
    found = [whole]
    if whole.startswith(PACKED_EARLY):
        return [whole, whole.removeprefix(PACKED_EARLY)]
    if item.open:
        left = f"{column(item.left)} left"
        found += [whole.replace(whole.partition(";")[0], left), whole.partition("; ")[2]]
    return found


def packed(plan: Plan, needed: Before) -> list[str]:
    """How much is packed, and what is not there to be packed yet."""
    if not needed.packing:
        return []
    number = sum(item.packed for item in needed.packing)
    found = [f"{number} of {len(needed.packing)} things are packed."]
    waiting = [one for one in needed.packing if one.garment and not one.open and one.ready]
    if waiting:
        names = listed([f"{item_name(plan, one)} {item_told(plan, one)}" for one in waiting])
        found.append(f"Still to dry, hang or set: {names}.")
    if late := [one for one in needed.packing if not one.in_time and one.open]:
        names = listed([item_name(plan, one) for one in late])
        found.append(f"Not ready in time: {names}.")
    return found


def wearers(items: Sequence[Item]) -> list[tuple[str, list[Item]]]:
    """Items by who wears them, with a heading for each where there are several."""
    by: dict[str, list[Item]] = {}
    for item in items:
        by.setdefault(clean(item.wearer) if item.garment else "\n", []).append(item)
    people = [name for name in by if name != "\n"]
    found = []
    for name, own in by.items():
        if name == "\n":
            found.append(("what else must be there", own))
        elif len(people) > 1:
            found.append((f"worn by {name}" if name else "worn by whom it doesn't say", own))
        else:
            found.append(("", own))
    return found


def list_heading(needed: Before) -> str:
    """What is put on for it, or packed."""
    return "to pack, in dressing order" if needed.packing else "to put on, in dressing order"
