"""Tonight's bag in words: for which hours, what first, what to pack, what stays empty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.bag import Ahead, Bag, First, Packed
from planner.model import Work
from planner.plan import Plan, Where
from screens.doable_told import kept_told
from screens.wording import (
    WHERES,
    clean,
    clock,
    column,
    garment_of,
    listed,
    name_of,
    named_date,
    on_date,
    quoted,
    spoken,
    step_with_garment,
)

FIRST, TAKE, ALSO = "first", "take", "also"


@dataclass(frozen=True, slots=True, kw_only=True)
class BagRow:
    """One step of the bag."""

    what: str
    """first, take (what is packed), or also (what could join it)."""
    step: str
    long: str
    """In a column: "0:34", "0:30 of 1:25"."""
    letter: str
    name: str
    garment: str
    known: str
    """What of the stock goes with it; when and where it is done first."""


def heading(plan: Plan, bag: Bag) -> str:
    """ "Tonight's bag, for tomorrow: 30 min on the way, 07:50-08:20"."""
    if bag.day is None:
        return "Tonight's bag: there are no hours on the way in the week ahead."
    spans = [f"{clock(window.start)}-{clock(window.end)}" for window in bag.windows]
    day = named_date(bag.day, plan.now.date())
    named = "Tonight's bag, for tomorrow" if day == "tomorrow" else f"The bag for {day}"
    return f"{named}: {spoken(bag.minutes)} on the way, {listed(spans)}"


def rows(plan: Plan, bag: Bag) -> list[BagRow]:
    """What the plan packs, then what could join it, then what must be done before."""
    letters = {step.id: step.work.letter for step in plan.steps}
    also = ALSO if bag.packed else TAKE
    found = []
    for what, packed in ((TAKE, bag.packed), (also, bag.more)):
        found += [_packed(plan, what, one, letters) for one in packed]
    return found + [_first(plan, one, letters) for one in bag.first]


def _first(plan: Plan, one: First, letters: dict[str, str]) -> BagRow:
    day = on_date(one.day, plan.now.date()) if one.day else "no day for it"
    where = f", {WHERES[one.where]}" if one.where else ""
    return BagRow(
        what=FIRST,
        step=one.step,
        long=column(one.minutes),
        letter=letters[one.step],
        name=name_of(plan, one.step),
        garment=garment_of(plan, one.step),
        known=f"{day}{where}",
    )


def _packed(plan: Plan, what: str, one: Packed, letters: dict[str, str]) -> BagRow:
    whole = one.minutes >= one.left
    return BagRow(
        what=what,
        step=one.step,
        long=column(one.minutes) if whole else f"{column(one.minutes)} of {column(one.left)}",
        letter=letters[one.step],
        name=name_of(plan, one.step),
        garment=garment_of(plan, one.step),
        known=with_stock(plan, one),
    )


def with_stock(plan: Plan, one: Packed) -> str:
    """ "with 0.6 m of narrow wool braid"; empty where it takes nothing."""
    taken = [f"{clean(use.text)} {_of(use.text)}{name_of(plan, use.stock)}" for use in one.uses]
    return f"with {listed(taken)}" if taken else ""


def _of(amount: str) -> str:
    """Lengths are of something; pieces are something."""
    return "of " if " " in amount else ""


def sentences(plan: Plan, bag: Bag) -> list[str]:
    """What to put in with it, what stays empty, and what would fill that."""
    if bag.day is None:
        return ["So nothing is to be packed; hours on the way are told in the hours (o)."]
    found = []
    tools = _tools(plan, [*bag.packed, *bag.more])
    if tools:
        found.append(tools)
    if bag.idle > 0:
        found.append(_idle(bag))
        found += _ahead(plan, bag.ahead)
    if bag.next is not None:
        nearest = f"{step_with_garment(plan, bag.next.step)}, {kept_told(plan, bag.next)}"
        found.append(f"The nearest that could be taken along is {nearest}.")
    elif bag.idle > 0 and not (bag.packed or bag.more or bag.ahead):
        found.append("Nothing that is left to do can be taken along.")
    return found


def _tools(plan: Plan, packed: Sequence[Packed]) -> str:
    """What hand sewing wants with it."""
    by_id = {step.id: step for step in plan.steps}
    sewn = any(by_id[one.step].work is Work.HAND for one in packed)
    return "With it needle, thread, thimble and small scissors." if sewn else ""


def _idle(bag: Bag) -> str:
    """What is left empty."""
    if bag.idle == bag.minutes:
        return "By the plan there is nothing to take along."
    return f"For {spoken(bag.idle)} of it there is nothing to take along."


def _ahead(plan: Plan, ahead: Sequence[Ahead]) -> list[str]:
    """ "“points” (Mitts) would fill 37 min if “cut”, 21 min in the workroom, came first."."""
    found: list[str] = []
    before: set[str] = set()
    for one in ahead:
        packed = one.packed
        filled = f"{step_with_garment(plan, packed.step)} would fill {spoken(packed.minutes)}"
        needed = {first.step for first in one.first}
        if needed <= before:
            found.append(f"Then {filled} too.")
            continue
        before |= needed
        near = [
            quoted(plan, first.step)
            if garment_of(plan, first.step) == garment_of(plan, packed.step)
            else step_with_garment(plan, first.step)
            for first in one.first
        ]
        work = sum(first.minutes for first in one.first)
        named = f"{listed(near)}, {spoken(work)}{_place(plan, one)}"
        found.append(f"{filled} if {named}, came first.")
    return found


def _place(plan: Plan, one: Ahead) -> str:
    """Where the work that comes first is done, where it is all done in one place."""
    by_id = {step.id: step for step in plan.steps}
    places = {by_id[first.step].place.value.replace("-", "_") for first in one.first}
    return f" {WHERES[Where(places.pop())]}" if len(places) == 1 else ""
