"""What is to be done after a wearing: aired, cleaned, mended, put away, as steps of each garment.

The steps come from an order of construction of their own (``catalogue/care``), split for each
garment by what it is and by what its wearing did to it. They come after the event, so that no
occasion up to it wants them; the ensemble's next event does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from planner.before.wanted import TOGETHER
from planner.catalogue.order import Order
from planner.catalogue.shelf import after_wearing_order, orders_with
from planner.editing.finding import ensemble_of, settled, split_id, with_ensemble
from planner.editing.occasions import add_occasion
from planner.editing.whole import free_name
from planner.model import Ensemble, Garment, Occasion, OccasionKind, Project, Source, Step
from planner.quantity import LENGTH, Quantity
from planner.splitting.answers import Answers
from planner.splitting.ids import numbered
from planner.splitting.split import split_by

NEXT_WEARING = "Next wearing"
"""Name of the event for which all is ready again."""
NO_LENGTH = Quantity(value=0.0, dimension=LENGTH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """What a wearing did to a garment."""

    seams: Quantity = NO_LENGTH
    """Seams and hems to mend."""
    trim: Quantity = NO_LENGTH
    """To sew on again."""
    closures: int = 0
    """To sew on again."""
    spots: bool = False
    washed: bool = True
    """Whether a garment that can be washed is; else it is aired."""
    worn: bool = True
    """Whether it was worn at all; else nothing is to be done."""


NOTHING = Wear()
"""Worn, and nothing came of it."""


def worn(ensemble: Ensemble) -> tuple[Garment, ...]:
    """The garments that are worn, in the order of the file: not what is done with all together."""
    return tuple(one for one in ensemble.garments if one.kind != TOGETHER and _is_worn(one))


def _is_worn(garment: Garment) -> bool:
    """A made garment without layer, kind and stage is what is done with all of them."""
    if garment.source is not Source.MAKE or garment.layer is not None or garment.kind is not None:
        return True
    return any(step.stage is not None for step in garment.steps)


def not_begun(project: Project, ensemble: Ensemble) -> frozenset[str]:
    """Ids of the garments that were to be made or fetched, and of which nothing is known as done.

    They can hardly have been worn. What the maker has or alters is there in any case.
    """
    logged = {entry.step for entry in project.diary.entries}
    fetched = (Source.MAKE, Source.BORROW, Source.BUY)
    return frozenset(
        one.id
        for one in ensemble.garments
        if one.source in fetched
        and any(not step.left_off for step in one.steps)
        and not any(step.done for step in one.steps)
        and logged.isdisjoint(f"{ensemble.id}/{one.id}/{step.id}" for step in one.steps)
    )


def last_event(ensemble: Ensemble, now: datetime) -> Occasion | None:
    """The event that was worn for last; before any was, the next."""
    events = sorted(
        (one for one in ensemble.occasions if one.kind is OccasionKind.EVENT), key=lambda o: o.at
    )
    begun = [one for one in events if one.at <= now]
    return next(iter(begun[-1:] or events), None)


def next_wearing(ensemble: Ensemble, event: Occasion) -> Occasion | None:
    """The event after one; None where there is none yet."""
    later = [o for o in ensemble.occasions if o.kind is OccasionKind.EVENT and o.at > event.at]
    return min(later, key=lambda one: one.at, default=None)


def after_wearing(
    project: Project,
    event: str,
    wear: Mapping[str, Wear] | None = None,
    next_worn: datetime | None = None,
) -> Project:
    """The project with what is to be done after an event, by full id, in each garment worn.

    ``wear``: by garment id, what its wearing did to it; of those that aren't named nothing. What
    is there for this event already stays as it is, and only what is missing is added.
    ``next_worn``: when it is worn next; an event of then wants all of it, so that it is planned.
    Raises KeyError where there is no such event.
    """
    name, occasion_id = split_id(event, 2)
    ensemble = ensemble_of(project, name)
    occasion = next((one for one in ensemble.occasions if one.id == occasion_id), None)
    if occasion is None:
        raise KeyError(event)
    there = {one.id for one in worn(ensemble)}
    garments = tuple(
        _with_care(project, ensemble, one, occasion, (wear or {}).get(one.id, NOTHING))
        if one.id in there and (wear or {}).get(one.id, NOTHING).worn
        else one
        for one in ensemble.garments
    )
    cared = with_ensemble(project, replace(ensemble, garments=garments))
    return settled(project, cared) if next_worn is None else worn_again(cared, name, next_worn)


def worn_again(project: Project, ensemble: str, at: datetime) -> Project:
    """The project with the next wearing of an ensemble: an event that wants all of it."""
    again = Occasion(
        id=free_name(project, ensemble, NEXT_WEARING),
        kind=OccasionKind.EVENT,
        at=at,
        name=NEXT_WEARING,
    )
    return add_occasion(project, ensemble, again)


def care_of(project: Project, garment: Garment, wear: Wear) -> tuple[Step, ...]:
    """The steps that a garment asks for after a wearing, with their ids in their own order."""
    care = after_wearing_order(project.orders)
    orders = orders_with(project.orders)
    known = orders.get(garment.kind) if garment.kind is not None else None
    order = known if known is not None else replace(care, roles=_roles_by_name(garment))
    made = split_by(order, care, _answers(garment, wear, care)).garment
    return tuple(_written_out(step, made.measurements) for step in made.steps)


def _roles_by_name(garment: Garment) -> frozenset[str]:
    """What a garment without an order is, by the last word of its id: "linen-shift" is a shift."""
    return frozenset((garment.id.rpartition("-")[2],))


def _answers(garment: Garment, wear: Wear, care: Order) -> Answers:
    """What is asked by the order, answered."""
    sets = garment.measurements.get("sets")
    measurements = {
        "seams": wear.seams,
        "trim": wear.trim,
        "closures": Quantity(value=float(wear.closures)),
        **({"sets": sets} if sets is not None else {}),
    }
    asked = {one.id for one in care.measurements}
    return Answers(
        measurements={name: q for name, q in measurements.items() if name in asked},
        choices={
            "spots": "yes" if wear.spots else "no",
            "cleaned": "wash" if wear.washed else "air",
            "kept": "returned" if garment.source is Source.BORROW else "stored",
        },
    )


def _written_out(step: Step, measurements: Mapping[str, Quantity]) -> Step:
    """The step with its amounts as figures: its garment may mean others by the same names."""
    amount = tuple(measurements[one] if isinstance(one, str) else one for one in step.amount)
    return replace(step, amount=amount)


def _with_care(
    project: Project, ensemble: Ensemble, garment: Garment, event: Occasion, wear: Wear
) -> Garment:
    """The garment with the steps behind its own."""
    fresh = _named(ensemble, garment, event, care_of(project, garment, wear))
    return replace(garment, steps=(*garment.steps, *fresh))


def _named(
    ensemble: Ensemble, garment: Garment, event: Occasion, steps: tuple[Step, ...]
) -> Iterator[Step]:
    """The steps with ids of this event, the first of them after it; without those there are."""
    taken = {step.id for step in garment.steps}
    ids = {step.id: _id(ensemble, step.id, event) for step in steps}
    for step in steps:
        if ids[step.id] in taken:
            continue
        # other garments and occasions may be called as a step of this one
        after = tuple(f"{garment.id}/{ids[one]}" for one in step.after)
        yield replace(step, id=ids[step.id], after=after or (f"{ensemble.id}/{event.id}",))


def _id(ensemble: Ensemble, step: str, event: Occasion) -> str:
    """An id for a step after an event that no garment and no occasion has."""
    taken = {one.id for one in ensemble.garments} | {one.id for one in ensemble.occasions}
    return numbered(f"{step}-after-{event.id}", taken)
