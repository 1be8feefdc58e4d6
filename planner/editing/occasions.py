"""Edits to the occasions of an ensemble."""

from __future__ import annotations

from dataclasses import replace

from planner.editing.finding import (
    check_id,
    ensemble_of,
    exchanged,
    inserted,
    names_in,
    settled,
    split_id,
    with_ensemble,
    without,
)
from planner.editing.following import Holder, followed
from planner.editing.renaming import rename_occasion
from planner.model import Occasion, Project
from planner.references import Named


def add_occasion(
    project: Project, ensemble: str, occasion: Occasion, index: int | None = None
) -> Project:
    """An occasion more in an ensemble, as its occasion ``index`` (None: behind the last of those
    that aren't later).

    Raises ValueError where its id is none or is taken, InputError where what it wants means
    nothing or comes after it.
    """
    it = ensemble_of(project, ensemble)
    names = names_in(it)
    check_id(occasion.id, names, names.get(occasion.id, ""))
    if index is None:
        index = max((i + 1 for i, o in enumerate(it.occasions) if o.at <= occasion.at), default=0)
    after = with_ensemble(project, replace(it, occasions=inserted(it.occasions, index, occasion)))
    fresh = frozenset((f"{ensemble}/{occasion.id}",))
    return settled(project, followed(project, after, fresh=fresh))


def replace_occasion(project: Project, id: str, occasion: Occasion) -> Project:
    """Another occasion in the place of that of a full id; where its id differs, everything that
    named the old one names the new. Raises as ``add_occasion`` does."""
    renamed = rename_occasion(project, id, occasion.id)
    ensemble = ensemble_of(renamed, split_id(id, 2)[0])
    occasions = exchanged(ensemble.occasions, occasion.id, occasion)
    return settled(project, with_ensemble(renamed, replace(ensemble, occasions=occasions)))


def remove_occasion(project: Project, id: str) -> Project:
    """Without an occasion: what was done at it is done in hours of its own, nothing waits for it,
    and no other occasion wants what was done at it by its name."""
    return settled(project, without_occasion(project, id))


def without_occasion(project: Project, id: str) -> Project:
    """``remove_occasion`` before it is looked whether the order is sound."""
    ensemble_id, occasion = split_id(id, 2)
    ensemble = ensemble_of(project, ensemble_id)
    left = replace(ensemble, occasions=without(ensemble.occasions, occasion, id))

    def moved(target: Named, holder: Holder) -> tuple[Named, ...]:
        return () if target.kind == "occasion" and target.id == id else (target,)

    return followed(project, with_ensemble(project, left), moved)
