"""What happens at an occasion: what is done, what is put on, what must be with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, time

from planner.before.values import Item, Thing
from planner.before.wanted import Wanting, before, dressed, is_worn
from planner.model import Garment
from planner.plan import NoteKind, PlannedStep, Sitting
from planner.standing import after_wait

AHEAD = 2
"""So many steps that a thing decides are told; one more where that has no way back."""


def things(want: Wanting) -> tuple[Thing, ...]:
    """What is done at it: inner garments first, and nothing before what it follows."""
    follow = want.followers()
    return tuple(
        Thing(step=one, under=_under(want, one), decides=_decides(want, one, follow))
        for one in _in_turn(want)
    )


def _in_turn(want: Wanting) -> list[str]:
    ids = [one for one in want.occasion.during if one in want.steps]
    garments = dressed(want.garments, dict.fromkeys(one.rpartition("/")[0] for one in ids))
    left = sorted(ids, key=lambda one: garments.index(one.rpartition("/")[0]))
    comes_before = {one: before(want.plan, want.steps, want.steps[one].after) for one in ids}
    found: list[str] = []
    while left:
        one = next(one for one in left if not comes_before[one] & set(left))
        left.remove(one)
        found.append(one)
    return found


def _under(want: Wanting, ident: str) -> tuple[str, ...]:
    """What is worn under the garment of a step: what the step itself waits for, and the lower
    layers among all that comes before it, as far as the same person can wear them."""
    own = ident.rpartition("/")[0]
    me = want.garments[own]
    direct = {one.rpartition("/")[0] for one in want.steps[ident].after if one in want.steps}
    found = set(direct)
    for one in before(want.plan, want.steps, want.steps[ident].after):
        garment = one.rpartition("/")[0]
        layer = want.garments[garment].layer
        if layer is not None and me.layer is not None and layer < me.layer:
            found.add(garment)
    return tuple(
        one
        for one in dressed(want.garments, found - {own})
        if _same_wearer(want.garments[one], me) and is_worn(want, one)
    )


def _same_wearer(one: Garment, other: Garment) -> bool:
    return not (one.wearer and other.wearer) or one.wearer == other.wearer


def _decides(want: Wanting, ident: str, follow: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """What follows a step, one after the other, up to the first without a way back."""
    found: list[str] = []
    here = ident
    while len(found) <= AHEAD:
        own = here.rpartition("/")[0]
        near = [one for one in follow.get(here, ()) if one.rpartition("/")[0] == own]
        near = [one for one in near if want.steps[one].during is None]
        if not near:
            break
        here = want.in_order(near)[0]
        found.append(here)
        if any(note.kind is NoteKind.NO_WAY_BACK for note in want.steps[here].notes):
            return tuple(found)
    return tuple(found[:AHEAD])


# what is put on, and packed


def worn(want: Wanting, by: datetime) -> tuple[Item, ...]:
    """The ensemble's garments, each wearer's together in dressing order."""
    ensemble = want.occasion.id.split("/")[0]
    own = [one for one in want.garments if one.startswith(f"{ensemble}/") and is_worn(want, one)]
    kept = [one for one in own if not _left_off(want.garments[one])]
    order = dressed(want.garments, kept)
    wearers = dict.fromkeys(want.garments[one].wearer for one in order)
    sittings = _last_sittings(want)
    return tuple(
        _item(want, one, by, sittings)
        for wearer in wearers
        for one in order
        if want.garments[one].wearer == wearer
    )


def _left_off(garment: Garment) -> bool:
    return bool(garment.steps) and all(step.left_off for step in garment.steps)


def packing(want: Wanting, garments: Sequence[Item]) -> tuple[Item, ...]:
    """The garments, then what else is on the list and isn't one of them by its name."""
    ident = want.occasion.id.split("/")[0]
    ensemble = next(one for one in want.project.ensembles if one.id == ident)
    named = {name.strip().casefold() for one in ensemble.garments for name in (one.id, one.name)}
    return (
        *garments,
        *(
            Item(ensemble=ident, thing=one, garment=None, wearer="", packed=one in ensemble.packed)
            for one in dict.fromkeys(ensemble.pack)
            if one.strip().casefold() not in named
        ),
    )


def _item(
    want: Wanting, garment: str, by: datetime, sittings: Mapping[str, Sitting]
) -> Item:
    """A garment, with what it lacks by then and when it is ready."""
    ident, _, own = garment.partition("/")
    ensemble = next(one for one in want.project.ensembles if one.id == ident)
    mine = [
        step
        for step in want.steps.values()
        if step.id in want.wanted and step.id.rpartition("/")[0] == garment
    ]
    ahead = [step for step in mine if not step.done]
    moments = [moment for step in mine if (moment := _over(want, step, sittings)) is not None]
    unknown = [step for step in ahead if step.id not in sittings and step.during is None]
    ready = max(moments, default=None)
    if unknown or (ready is not None and ready <= want.plan.now and not ahead):
        ready = None
    return Item(
        ensemble=ident,
        thing=own,
        garment=garment,
        wearer=want.garments[garment].wearer,
        packed=own in ensemble.packed,
        open=want.in_order(step.id for step in ahead),
        left=sum(step.left for step in ahead),
        ready=ready,
        in_time=not unknown and (ready is None or ready <= by),
    )


def _last_sittings(want: Wanting) -> dict[str, Sitting]:
    """The last sitting of each step."""
    return {sitting.step: sitting for sitting in want.plan.sittings}


def _over(
    want: Wanting, step: PlannedStep, sittings: Mapping[str, Sitting]
) -> datetime | None:
    """When a step is done and its wait over; None where there is no saying, or it long is."""
    if step.done:
        entries = [entry for entry in want.project.diary.entries if entry.step == step.id]
        if not entries or not step.wait:
            return None
        return after_wait(entries[-1].at, entries[-1].at.date(), step.wait)
    sitting = sittings.get(step.id)
    if sitting is None:
        return None
    end = sitting.end or datetime.combine(sitting.date, time(23, 59))
    return after_wait(end, sitting.date, step.wait)


# after the occasion


def since(want: Wanting, ids: Iterable[str]) -> tuple[str, ...]:
    """Of these, the steps that the diary says were done only after the occasion: what was to be
    done at it, on a later day."""
    day, end = want.occasion.at.date(), want.occasion.end
    last = {
        entry.step: entry.at.replace(second=0, microsecond=0)
        for entry in want.project.diary.entries
        if entry.done
    }
    at_it = set(want.occasion.during)
    return tuple(
        one
        for one in ids
        if want.steps[one].done and one in last
        if (last[one].date() > day if one in at_it else last[one] > end)
    )
