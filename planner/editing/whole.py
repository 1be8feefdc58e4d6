"""Edits to whole ensembles and to the workroom, and ids that are still free."""

from __future__ import annotations

from dataclasses import replace

from planner.editing.finding import (
    check_id,
    ensemble_of,
    garment_of,
    names_in,
    settled,
    soundest,
    split_id,
    with_ensemble,
)
from planner.editing.following import followed
from planner.editing.garments import without_garment, without_steps
from planner.editing.occasions import without_occasion
from planner.files.beginning import id_from
from planner.model import Ensemble, Project, Workroom


def add_ensemble(project: Project, ensemble: Ensemble) -> Project:
    """An ensemble more, in the order of the files' names.

    Raises ValueError where its id is none or is taken, InputError where its references mean
    nothing or close a circle.
    """
    check_id(ensemble.id, [e.id for e in project.ensembles], "an ensemble")
    ensembles = sorted((*project.ensembles, ensemble), key=lambda e: f"{e.id}.toml")
    after = replace(project, ensembles=tuple(ensembles))
    return settled(project, followed(project, after, fresh=frozenset((ensemble.id,))))


def replace_ensemble(project: Project, ensemble: Ensemble) -> Project:
    """Another ensemble in the place of that of its id.

    Its own references are as given. What other ensembles say of steps, garments and occasions
    it no longer has goes as if each of them had been removed. Raises as ``add_ensemble`` does.
    """

    def attempt(by_stage: bool) -> Project:
        bare = _without_what_goes(project, ensemble, by_stage)
        return followed(bare, with_ensemble(bare, ensemble), fresh=frozenset((ensemble.id,)))

    return soundest(project, attempt)


def _without_what_goes(project: Project, ensemble: Ensemble, by_stage: bool) -> Project:
    """The project without the occasions, garments and steps that ``ensemble`` no longer has."""
    occasions = {occasion.id for occasion in ensemble.occasions}
    there = {garment.id: garment for garment in ensemble.garments}
    old = ensemble_of(project, ensemble.id)
    for occasion in old.occasions:
        if occasion.id not in occasions:
            project = without_occasion(project, f"{ensemble.id}/{occasion.id}")
    for garment in old.garments:
        full = f"{ensemble.id}/{garment.id}"
        if garment.id in there:
            left = {step.id for step in there[garment.id].steps}
            gone = frozenset(step.id for step in garment.steps) - left
            project = without_steps(project, full, gone, by_stage)
        else:
            project = without_garment(project, full)
    return project


def replace_workroom(project: Project, workroom: Workroom) -> Project:
    """Other hours and settings."""
    return replace(project, workroom=workroom)


def free_name(project: Project, ensemble: str, name: str) -> str:
    """An id made of ``name`` that a new garment or occasion of the ensemble can have.

    None of a step, for then its garment could no longer name that shortly, and none of a garment
    that is gone and still has entries in the diary.
    """
    it = ensemble_of(project, ensemble)
    taken = {*names_in(it), *(step.id for garment in it.garments for step in garment.steps)}
    for entry in project.diary.entries:
        if entry.step.startswith(f"{ensemble}/"):
            taken.add(entry.step.split("/")[1])
    return id_from(name, taken)


def free_step(project: Project, garment: str, name: str) -> str:
    """An id made of ``name`` that a new step of the garment can have, by its full id.

    None of a step that is gone and still has entries in the diary: they would be taken for its.
    """
    logged = {
        e.step.rpartition("/")[2] for e in project.diary.entries if e.step.startswith(f"{garment}/")
    }
    ensemble = split_id(garment, 2)[0]
    # a garment or occasion of that id could no longer be named shortly from this garment
    names = names_in(ensemble_of(project, ensemble))
    taken = {step.id for step in garment_of(project, garment).steps}
    return id_from(name, {*taken, *names, *logged})


def free_stock(project: Project, ensemble: str, name: str) -> str:
    """An id made of ``name`` that a new stock of the ensemble can have."""
    return id_from(name, {s.id for s in ensemble_of(project, ensemble).stock})
