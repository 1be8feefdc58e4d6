"""Edits to the steps of a garment."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from planner.editing.finding import (
    check_id,
    exchanged,
    garment_of,
    inserted,
    position,
    settled,
    shifted,
    soundest,
    step_of,
    with_garment,
    with_steps,
    without,
)
from planner.editing.following import Holder, followed, meaning, written
from planner.editing.renaming import rename_step
from planner.model import Garment, Project, Step
from planner.references import Named, index_of


def add_step(project: Project, garment: str, index: int | None, step: Step) -> Project:
    """A step more in a garment, as its step ``index`` (None: the last).

    Raises ValueError where the step's id is none or is taken, InputError where what it says
    comes before it means nothing or closes a circle.
    """
    steps = garment_of(project, garment).steps
    check_id(step.id, [s.id for s in steps], "a step of this garment")
    after = with_steps(project, garment, inserted(steps, index, step))
    fresh = frozenset((f"{garment}/{step.id}",))
    return settled(project, followed(project, after, fresh=fresh))


def replace_step(project: Project, id: str, step: Step) -> Project:
    """Another step in the place of that of a full id.

    Where its id differs, everything that named the old one names the new; references of its own
    that are as they were go on meaning what they meant. Raises as ``add_step`` does.
    """
    old = step_of(project, id)
    garment = id.rpartition("/")[0]
    renamed = rename_step(project, id, step.id)
    step = with_texts_anew(step, old, step_of(renamed, f"{garment}/{step.id}"))
    steps = exchanged(garment_of(renamed, garment).steps, step.id, step)
    return settled(project, with_steps(renamed, garment, steps))


def with_texts_anew(step: Step, old: Step, new: Step) -> Step:
    """The step with those references written as in ``new`` that were written as in ``old``."""
    if len(old.after) != len(new.after):
        return step
    anew = dict(zip(old.after, new.after, strict=True))
    return replace(step, after=tuple(anew.get(text, text) for text in step.after))


def remove_step(project: Project, id: str) -> Project:
    """Without a step: what followed it follows what came before it, and no occasion wants it.

    Its stage, if no other step carries it, passes to those it follows in its garment, unless
    one of them has a stage of its own; then what waited for the stage waits for these steps
    where else there would be a circle. Its diary entries stay.

    Raises InputError where even so the order would no longer be sound.
    """
    return soundest(project, lambda by_stage: without_step(project, id, by_stage))


def without_step(project: Project, id: str, by_stage: bool) -> Project:
    """``remove_step`` before it is looked whether the order is sound.

    ``by_stage``: what waits for a stage that only this step carries waits for what it follows.
    """
    name, _, step_id = id.rpartition("/")
    garment, step = garment_of(project, name), step_of(project, id)
    before = _follows(project, name, step)
    own = {target.id for target in before if target.id.startswith(f"{name}/")}
    steps = without(garment.steps, step_id, id)
    last = step.stage is not None and all(s.stage != step.stage for s in steps)
    if last:
        heirs = [s for s in steps if f"{name}/{s.id}" in own and not s.left_off]
        if all(s.stage is None for s in heirs):
            for heir in heirs:
                steps = exchanged(steps, heir.id, replace(heir, stage=step.stage))
    stage = Named(kind="garment", id=name, stage=step.stage or "")

    def moved(target: Named, holder: Holder) -> tuple[Named, ...]:
        if target.id == id:
            return before if holder.key == "after" else ()
        if by_stage and last and target == stage:
            return before if holder.key == "after" else tuple(t for t in before if t.id in own)
        return (target,)

    after = followed(project, with_garment(project, name, replace(garment, steps=steps)), moved)
    return _hand_down(project, after, name, step)


def _follows(project: Project, garment: str, step: Step) -> tuple[Named, ...]:
    """What a step follows, as it is named; in a garment in order, the step above it too."""
    ensemble, garment_id = garment.split("/")
    holder = Holder(key="after", ensemble=ensemble, garment=garment_id)
    index = index_of(project.ensembles)
    found = [meaning(index, text, holder) for text in step.after]
    it = garment_of(project, garment)
    at = position(it.steps, step.id, f"{garment}/{step.id}")
    if it.in_order and at:
        found.append(Named(kind="step", id=f"{garment}/{it.steps[at - 1].id}"))
    return tuple(dict.fromkeys(target for target in found if target is not None))


def _hand_down(before: Project, after: Project, garment: str, gone: Step) -> Project:
    """In a garment in order, the next step follows what the one that is gone followed."""
    it = garment_of(before, garment)
    at = position(it.steps, gone.id, gone.id)
    if not it.in_order or not gone.after or at + 1 == len(it.steps):
        return after
    ensemble, garment_id = garment.split("/")
    holder = Holder(key="after", ensemble=ensemble, garment=garment_id)
    old, new = index_of(before.ensembles), index_of(after.ensembles)
    heir = step_of(after, f"{garment}/{it.steps[at + 1].id}")
    texts = list(heir.after)
    for text in gone.after:
        target = meaning(old, text, holder)
        if target is not None and target.id != f"{garment}/{heir.id}":
            texts.append(written(new, target, holder, text))
    heir = replace(heir, after=tuple(dict.fromkeys(texts)))
    return with_steps(after, garment, exchanged(garment_of(after, garment).steps, heir.id, heir))


def duplicate_step(project: Project, id: str, new: str) -> Project:
    """The step a second time, right below itself and not done yet, with the id ``new``.

    Raises ValueError where that is no id or is taken.
    """
    garment = id.rpartition("/")[0]
    steps = garment_of(project, garment).steps
    step = step_of(project, id)
    check_id(new, [s.id for s in steps], "a step of this garment")
    copy = replace(step, id=new, done=False)
    at = position(steps, step.id, id) + 1
    after = with_steps(project, garment, inserted(steps, at, copy))
    return settled(project, followed(project, after))


def move_step(project: Project, id: str, by: int) -> Project:
    """The step so many places further down among its garment's (up where ``by`` is negative).

    Raises InputError where the garment is in order and the step would stand above what it says
    comes before it.
    """
    garment = id.rpartition("/")[0]
    steps = garment_of(project, garment).steps
    step = step_of(project, id)
    return settled(project, with_steps(project, garment, shifted(steps, step.id, by, id)))


def leave_off_step(project: Project, id: str, on: bool) -> Project:
    """The step left off, or taken back.

    Raises InputError where steps would wait for each other in a circle without it (or with it):
    then some wait for its garment's stage, which only this step carries.
    """
    return settled(project, _with_step(project, id, lambda s: replace(s, left_off=on)))


def fix_step(project: Project, id: str, day: date | None) -> Project:
    """The step fixed on a day, or freed of it (None)."""
    return settled(project, _with_step(project, id, lambda s: replace(s, on=day)))


def _with_step(project: Project, id: str, change: Callable[[Step], Step]) -> Project:
    step = step_of(project, id)
    garment = id.rpartition("/")[0]
    steps = exchanged(garment_of(project, garment).steps, step.id, change(step))
    return with_steps(project, garment, steps)


def all_left_off(garment: Garment, on: bool) -> Garment:
    """The garment with all its steps left off, or all taken back."""
    return replace(garment, steps=tuple(replace(s, left_off=on) for s in garment.steps))
