"""New ids for what there is; whatever names it follows, in every ensemble, in the diary, and in
the plan that was kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planner.editing.finding import (
    check_id,
    ensemble_of,
    exchanged,
    garment_of,
    names_in,
    position,
    settled,
    split_id,
    step_of,
    with_ensemble,
    with_garment,
    with_steps,
)
from planner.editing.following import Holder, followed
from planner.kept import kept_renamed
from planner.model import Ensemble, Entry, Garment, Project, Step, Use, Way
from planner.quantity import Quantity
from planner.references import Named

Amount = tuple[str | Quantity, ...]


def rename_garment(project: Project, id: str, new: str) -> Project:
    """Another id for a garment. Raises ValueError where it is none, or is taken."""
    garment = garment_of(project, id)
    ensemble = split_id(id, 2)[0]
    if new == garment.id:
        return project
    names = names_in(ensemble_of(project, ensemble))
    check_id(new, names, names.get(new, ""))
    after = with_garment(project, id, replace(garment, id=new))
    after = with_ensemble(after, _packed_as(ensemble_of(after, ensemble), garment.id, new))
    full = f"{ensemble}/{new}"
    after = followed(project, after, moving("garment", id, full), came_from={full: garment.id})
    return settled(project, _with_what_was(after, id, full))


def _packed_as(ensemble: Ensemble, old: str, new: str) -> Ensemble:
    """The ensemble with a garment packed under its new id, where it was packed."""
    if old not in ensemble.packed:
        return ensemble
    packed = (new if thing == old else thing for thing in ensemble.packed)
    return replace(ensemble, packed=tuple(dict.fromkeys(packed)))


def rename_step(project: Project, id: str, new: str) -> Project:
    """Another id for a step. Raises ValueError where it is none, or is taken."""
    step = step_of(project, id)
    if new == step.id:
        return project
    garment = id.rpartition("/")[0]
    steps = garment_of(project, garment).steps
    check_id(new, [s.id for s in steps], "a step of this garment")
    full = f"{garment}/{new}"
    after = with_steps(project, garment, exchanged(steps, step.id, replace(step, id=new)))
    after = followed(project, after, moving("step", id, full))
    return settled(project, _with_what_was(after, id, full))


def rename_occasion(project: Project, id: str, new: str) -> Project:
    """Another id for an occasion. Raises ValueError where it is none, or is taken."""
    ensemble_id, old = split_id(id, 2)
    ensemble = ensemble_of(project, ensemble_id)
    occasion = ensemble.occasions[position(ensemble.occasions, old, id)]
    if new == old:
        return project
    names = names_in(ensemble)
    check_id(new, names, names.get(new, ""))
    occasions = exchanged(ensemble.occasions, old, replace(occasion, id=new))
    after = with_ensemble(project, replace(ensemble, occasions=occasions))
    full = f"{ensemble_id}/{new}"
    after = replace(after, kept=kept_renamed(after.kept, id, full))
    return settled(project, followed(project, after, moving("occasion", id, full)))


def rename_stock(project: Project, id: str, new: str) -> Project:
    """Another id for a stock, full as ``ensemble/stock``.

    Raises ValueError where it is none, or is taken.
    """
    ensemble_id, old = split_id(id, 2)
    ensemble = ensemble_of(project, ensemble_id)
    stock = ensemble.stock[position(ensemble.stock, old, id)]
    if new == old:
        return project
    check_id(new, [s.id for s in ensemble.stock], "a stock")

    def use(it: Use) -> Use:
        return replace(it, stock=new) if it.stock == old else it

    ensemble = replace(
        ensemble,
        stock=exchanged(ensemble.stock, old, replace(stock, id=new)),
        garments=tuple(with_uses(garment, use) for garment in ensemble.garments),
    )
    after = _used_as(with_ensemble(project, ensemble), ensemble_id, old, new)
    return settled(project, after)


def _used_as(project: Project, ensemble: str, old: str, new: str) -> Project:
    """What the diary says was taken of a stock, under the stock's new id."""

    def renamed(entry: Entry) -> Entry:
        if not entry.step.startswith(f"{ensemble}/"):
            return entry
        used = (replace(one, stock=new) if one.stock == old else one for one in entry.used)
        return replace(entry, used=tuple(used))

    entries = tuple(renamed(entry) if entry.used else entry for entry in project.diary.entries)
    if entries == project.diary.entries:
        return project
    return replace(project, diary=replace(project.diary, entries=entries))


def rename_measurement(project: Project, garment: str, old: str, new: str) -> Project:
    """Another name for a measurement of a garment; it keeps its place among them.

    Raises ValueError where the name is empty, or is taken.
    """
    it = garment_of(project, garment)
    if old not in it.measurements:
        raise KeyError(old)
    if new == old:
        return project
    if not new.strip():
        raise ValueError('the name is empty: use a word, "hem"')
    if new in it.measurements:
        raise ValueError(f'"{new}" is a measurement already: give it another name')

    def amount(factors: Amount) -> Amount:
        return tuple(new if factor == old else factor for factor in factors)

    def use(one: Use) -> Use:
        return one if one.amount is None else replace(one, amount=amount(one.amount))

    def way(one: Way) -> Way:
        return one if one.amount is None else replace(one, amount=amount(one.amount))

    it = with_uses(it, use)
    it = replace(
        it,
        measurements={new if k == old else k: v for k, v in it.measurements.items()},
        steps=tuple(
            replace(s, amount=amount(s.amount), instead=tuple(way(w) for w in s.instead))
            for s in it.steps
        ),
    )
    return settled(project, with_garment(project, garment, it))


def with_uses(garment: Garment, use: Callable[[Use], Use | None]) -> Garment:
    """The garment with every use of stock changed, also in other ways; None takes it out."""

    def uses(them: tuple[Use, ...]) -> tuple[Use, ...]:
        return tuple(one for one in map(use, them) if one is not None)

    def way(it: Way) -> Way:
        return it if it.uses is None else replace(it, uses=uses(it.uses))

    def step(it: Step) -> Step:
        if not it.uses and not it.instead:
            return it
        return replace(it, uses=uses(it.uses), instead=tuple(way(w) for w in it.instead))

    return replace(garment, steps=tuple(step(s) for s in garment.steps))


def moving(kind: str, old: str, new: str) -> Callable[[Named, Holder], tuple[Named, ...]]:
    """What is of that kind and has the old full id has the new one; so have a garment's steps."""

    def moved(target: Named, holder: Holder) -> tuple[Named, ...]:
        inside = kind == "garment" and target.id.startswith(f"{old}/")
        if inside or (target.kind == kind and target.id == old):
            return (replace(target, id=new + target.id.removeprefix(old)),)
        return (target,)

    return moved


def _with_what_was(project: Project, old: str, new: str) -> Project:
    """The diary's entries, and what was planned, under the new id."""
    project = replace(project, kept=kept_renamed(project.kept, old, new))
    entries = tuple(
        replace(entry, step=new + entry.step.removeprefix(old))
        if entry.step == old or entry.step.startswith(f"{old}/")
        else entry
        for entry in project.diary.entries
    )
    if entries == project.diary.entries:
        return project
    return replace(project, diary=replace(project.diary, entries=entries))
