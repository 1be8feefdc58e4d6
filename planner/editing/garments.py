"""Edits to the garments of an ensemble."""

from __future__ import annotations

from dataclasses import replace

from planner.editing.finding import (
    check_id,
    ensemble_of,
    exchanged,
    garment_of,
    inserted,
    names_in,
    settled,
    soundest,
    split_id,
    with_ensemble,
    with_garment,
    without,
)
from planner.editing.following import Holder, followed
from planner.editing.renaming import rename_garment
from planner.editing.steps import all_left_off, with_texts_anew, without_step
from planner.model import Ensemble, Garment, Project
from planner.references import Named


def add_garment(
    project: Project, ensemble: str, garment: Garment, index: int | None = None
) -> Project:
    """A garment more in an ensemble, as its garment ``index`` (None: the last).

    Raises ValueError where its id is none or is taken, InputError where what its steps say
    comes before them means nothing or closes a circle.
    """
    it = ensemble_of(project, ensemble)
    names = names_in(it)
    check_id(garment.id, names, names.get(garment.id, ""))
    after = with_ensemble(project, replace(it, garments=inserted(it.garments, index, garment)))
    return settled(
        project, followed(project, after, fresh=frozenset((f"{ensemble}/{garment.id}",)))
    )


def replace_garment(project: Project, id: str, garment: Garment) -> Project:
    """Another garment in the place of that of a full id.

    Where its id differs, everything that named the old one names the new. What waited for a
    step it no longer has waits for what came before that. Raises as ``add_garment`` does.
    """
    renamed = rename_garment(project, id, garment.id)
    full = f"{split_id(id, 2)[0]}/{garment.id}"
    new = {step.id: step for step in garment_of(renamed, full).steps}
    olds = {step.id: step for step in garment_of(project, id).steps}
    steps = tuple(
        with_texts_anew(s, olds[s.id], new[s.id]) if s.id in olds else s for s in garment.steps
    )
    gone = frozenset(new) - {s.id for s in garment.steps}

    def attempt(by_stage: bool) -> Project:
        bare = without_steps(renamed, full, gone, by_stage)
        after = with_garment(bare, full, replace(garment, steps=steps))
        return followed(bare, after, fresh=frozenset((full,)))

    return soundest(project, attempt)


def without_steps(project: Project, garment: str, gone: frozenset[str], by_stage: bool) -> Project:
    """Some steps of a garment taken out, and what waited for them waiting for what they did."""
    for step in garment_of(project, garment).steps:
        if step.id in gone:
            project = without_step(project, f"{garment}/{step.id}", by_stage)
    return project


def remove_garment(project: Project, id: str) -> Project:
    """Without a garment: nothing waits for it any more and no occasion wants it.

    Stock goes with it that only it used, of which nothing is there and nothing is coming.
    Its diary entries stay.
    """
    return settled(project, without_garment(project, id))


def without_garment(project: Project, id: str) -> Project:
    """``remove_garment`` before it is looked whether the order is sound."""
    ensemble_id, garment_id = split_id(id, 2)
    ensemble = ensemble_of(project, ensemble_id)
    garment = garment_of(project, id)
    left = replace(ensemble, garments=without(ensemble.garments, garment_id, id))
    lost = _used(replace(ensemble, garments=(garment,))) - _used(left)
    left = replace(
        left,
        stock=tuple(s for s in left.stock if s.id not in lost or s.have.value or s.coming),
        packed=tuple(t for t in left.packed if t != garment_id or t in left.pack),
    )

    def moved(target: Named, holder: Holder) -> tuple[Named, ...]:
        gone = target.kind == "garment" and target.id == id
        return () if gone or target.id.startswith(f"{id}/") else (target,)

    return followed(project, with_ensemble(project, left), moved)


def _used(ensemble: Ensemble) -> set[str]:
    """Ids of the stock that an ensemble's steps use, in any way of theirs."""
    steps = [step for garment in ensemble.garments for step in garment.steps]
    uses = [use for step in steps for use in step.uses]
    uses += [use for step in steps for way in step.instead for use in way.uses or ()]
    return {use.stock for use in uses}


def duplicate_garment(project: Project, id: str, new: str, name: str = "") -> Project:
    """The garment a second time, right below itself and not begun, with the id ``new``.

    Its steps wait for each other as those of the original do, and for all else alike; nothing
    waits for it. It uses the same stock. Raises ValueError where ``new`` is no id or is taken.
    """
    ensemble_id, old = split_id(id, 2)
    ensemble, garment = ensemble_of(project, ensemble_id), garment_of(project, id)
    names = names_in(ensemble)
    check_id(new, names, names.get(new, ""))
    steps = tuple(replace(step, done=False) for step in garment.steps)
    copy = replace(garment, id=new, name=name or garment.name, steps=steps)
    at = ensemble.garments.index(garment) + 1
    after = with_ensemble(
        project, replace(ensemble, garments=inserted(ensemble.garments, at, copy))
    )
    full = f"{ensemble_id}/{new}"

    def moved(target: Named, holder: Holder) -> tuple[Named, ...]:
        inside = holder.garment == new and holder.ensemble == ensemble_id
        own = target.kind != "occasion" and f"{target.id}/".startswith(f"{id}/")
        if inside and own:
            return (replace(target, id=full + target.id.removeprefix(id)),)
        return (target,)

    return settled(project, followed(project, after, moved, came_from={full: old}))


def dressing_order(ensemble: Ensemble) -> tuple[Garment, ...]:
    """The garments as they are put on: by layer, those without one last, else as in the file."""
    return tuple(sorted(ensemble.garments, key=lambda g: (g.layer is None, g.layer or 0)))


def move_garment(project: Project, id: str, by: int) -> Project:
    """The garment so many places later in the dressing order (earlier where ``by`` is negative).

    It goes as far as there are places, stands next to what it passed last in the file too, and
    takes the layer of that where its own would put it elsewhere.
    """
    ensemble = ensemble_of(project, split_id(id, 2)[0])
    garment = garment_of(project, id)
    order = dressing_order(ensemble)
    now = order.index(garment)
    goal = min(max(now + by, 0), len(order) - 1)
    if goal == now:
        return project
    passed = order[goal]
    left = [g for g in ensemble.garments if g.id != garment.id]
    at = left.index(passed) + (goal > now)
    moved = replace(garment, layer=passed.layer)
    return settled(
        project, with_ensemble(project, replace(ensemble, garments=inserted(left, at, moved)))
    )


def leave_off_garment(project: Project, id: str, on: bool) -> Project:
    """All steps of a garment left off, or taken back.

    Raises InputError where steps would wait for each other in a circle.
    """
    garment = all_left_off(garment_of(project, id), on)
    ensemble = ensemble_of(project, split_id(id, 2)[0])
    garments = exchanged(ensemble.garments, garment.id, garment)
    return settled(project, with_ensemble(project, replace(ensemble, garments=garments)))
