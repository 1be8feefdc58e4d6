"""Where things are in a project, by their full ids, and the project with one of them exchanged.

What isn't there is a KeyError: it is the program that asked for it, not the maker.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Protocol, TypeVar

from planner.files.checks import id_problem
from planner.model import Ensemble, Garment, Project, Step
from planner.network import order_problems
from planner.problems import InputError


class _HasId(Protocol):
    @property
    def id(self) -> str: ...


T = TypeVar("T", bound=_HasId)


def split_id(full: str, parts: int) -> list[str]:
    """The ids a full id is made of. Raises KeyError where there are not so many."""
    found = full.split("/")
    if len(found) != parts:
        raise KeyError(full)
    return found


def position(items: Sequence[_HasId], id: str, full: str) -> int:
    """Where the item of an id is. Raises KeyError with ``full`` where there is none."""
    for index, item in enumerate(items):
        if item.id == id:
            return index
    raise KeyError(full)


def ensemble_of(project: Project, id: str) -> Ensemble:
    """The ensemble of an id."""
    return project.ensembles[position(project.ensembles, id, id)]


def garment_of(project: Project, full: str) -> Garment:
    """The garment of a full id, ``ensemble/garment``."""
    ensemble, garment = split_id(full, 2)
    garments = ensemble_of(project, ensemble).garments
    return garments[position(garments, garment, full)]


def step_of(project: Project, full: str) -> Step:
    """The step of a full id, ``ensemble/garment/step``."""
    steps = garment_of(project, full.rpartition("/")[0]).steps
    return steps[position(steps, split_id(full, 3)[2], full)]


def exchanged(items: Sequence[T], id: str, new: T) -> tuple[T, ...]:
    """The items with that of an id exchanged for another."""
    return tuple(new if item.id == id else item for item in items)


def inserted(items: Sequence[T], index: int | None, new: T) -> tuple[T, ...]:
    """The items with one more at ``index``; None puts it behind the last."""
    found = list(items)
    found.insert(len(found) if index is None else index, new)
    return tuple(found)


def without(items: Sequence[T], id: str, full: str) -> tuple[T, ...]:
    """The items without that of an id. Raises KeyError with ``full`` where there is none."""
    position(items, id, full)
    return tuple(item for item in items if item.id != id)


def shifted(items: Sequence[T], id: str, by: int, full: str) -> tuple[T, ...]:
    """The items with one moved by so many places, as far as there are places."""
    found = list(items)
    at = position(items, id, full)
    item = found.pop(at)
    found.insert(min(max(at + by, 0), len(found)), item)
    return tuple(found)


def with_ensemble(project: Project, ensemble: Ensemble) -> Project:
    """The project with the ensemble of that id exchanged."""
    return replace(project, ensembles=exchanged(project.ensembles, ensemble.id, ensemble))


def with_garment(project: Project, full: str, garment: Garment) -> Project:
    """The project with the garment of a full id exchanged, which may have another id now."""
    ensemble = ensemble_of(project, split_id(full, 2)[0])
    garments = exchanged(ensemble.garments, split_id(full, 2)[1], garment)
    return with_ensemble(project, replace(ensemble, garments=garments))


def with_steps(project: Project, full: str, steps: Iterable[Step]) -> Project:
    """The project with other steps in the garment of a full id."""
    garment = replace(garment_of(project, full), steps=tuple(steps))
    return with_garment(project, full, garment)


def check_id(id: str, taken: Iterable[str], what: str) -> None:
    """Raise ValueError with a sentence where an id can't be one, or is taken."""
    wrong = id_problem(id)
    if wrong:
        raise ValueError(wrong)
    if id in taken:
        raise ValueError(f'"{id}" is the id of {what} already: give it another')


def names_in(ensemble: Ensemble) -> Mapping[str, str]:
    """Ids of an ensemble's garments and occasions, with what they are.

    They share their names: a reference couldn't tell a garment from an occasion of its id.
    """
    return {g.id: "a garment" for g in ensemble.garments} | {
        o.id: "an occasion" for o in ensemble.occasions
    }


def soundest(before: Project, attempt: Callable[[bool], Project]) -> Project:
    """``settled`` of what ``attempt`` makes of False, or else of True if that is sound then."""
    after = attempt(False)
    if order_problems(after.ensembles) and not order_problems(before.ensembles):
        after = attempt(True)
    return settled(before, after)


def settled(before: Project, after: Project) -> Project:
    """``after`` with every key path as its file will have it once saved.

    Raises InputError where an order of work that was sound no longer is: a circle, a reference
    that means nothing.
    """
    after = replace(
        after,
        ensembles=tuple(
            new if any(new is old for old in before.ensembles) else _placed(new)
            for new in after.ensembles
        ),
    )
    problems = order_problems(after.ensembles)
    if problems and not order_problems(before.ensembles):
        raise InputError(problems)
    return after


def _placed(ensemble: Ensemble) -> Ensemble:
    """The ensemble with the key path of everything in it."""
    return replace(
        ensemble,
        occasions=tuple(
            replace(o, where=f"occasion[{i}]") for i, o in enumerate(ensemble.occasions)
        ),
        stock=tuple(replace(s, where=f"stock[{i}]") for i, s in enumerate(ensemble.stock)),
        garments=tuple(
            replace(
                garment,
                where=f"garment[{i}]",
                steps=tuple(
                    replace(step, where=f"garment[{i}].step[{j}]")
                    for j, step in enumerate(garment.steps)
                ),
            )
            for i, garment in enumerate(ensemble.garments)
        ),
    )
