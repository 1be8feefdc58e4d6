"""Edits to how a step is done: one of its other ways chosen, or the step as it is written."""

from __future__ import annotations

from dataclasses import replace

from planner.editing.finding import step_of
from planner.editing.steps import replace_step
from planner.model import Project, Step, Way


def with_way_chosen(step: Step, index: int | None) -> Step:
    """The step done in its ``instead[index]``; None: as it is written itself."""
    ways = tuple(replace(way, chosen=k == index) for k, way in enumerate(step.instead))
    return replace(step, instead=ways)


def choose_way(project: Project, id: str, index: int | None) -> Project:
    """A step of a full id done in another of its ways; None: as it is written itself.

    Raises KeyError where there is no such way.
    """
    step = step_of(project, id)
    if index is not None and not 0 <= index < len(step.instead):
        raise KeyError(f"{id}.instead[{index}]")
    return replace_step(project, id, with_way_chosen(step, index))


def add_way(project: Project, id: str, way: Way) -> Project:
    """A step of a full id with one way more, its last, and done in it."""
    step = step_of(project, id)
    more = replace(step, instead=(*step.instead, way))
    return replace_step(project, id, with_way_chosen(more, len(step.instead)))
