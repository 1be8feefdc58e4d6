"""Joining in the middle of a build: which steps were done before the diary began.

Ticking is pure: a step brings along what it follows, for that must have been done too; taken
back, it goes alone, for a maker may have skipped what stands before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass

from planner.editing import dressing_order
from planner.model import Project
from planner.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentSteps:
    """A garment with its steps, in order of the file."""

    garment: str
    """Full id."""
    steps: tuple[str, ...]
    """Full ids; those left off aren't there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What is ticked after a tick."""

    ticked: frozenset[str]
    brought: tuple[str, ...] = ()
    """What a tick brought along, in order of the files."""


def garments_to_tick(project: Project, plan: Plan) -> tuple[GarmentSteps, ...]:
    """Every garment that has steps, ensemble by ensemble in dressing order."""
    there = {one.id for one in plan.steps if not one.left_off}
    found = []
    for ensemble in project.ensembles:
        for garment in dressing_order(ensemble):
            full = f"{ensemble.id}/{garment.id}"
            steps = tuple(f"{full}/{step.id}" for step in garment.steps)
            if steps := tuple(one for one in steps if one in there):
                found.append(GarmentSteps(garment=full, steps=steps))
    return tuple(found)


def tick(plan: Plan, ticked: Set[str], steps: Iterable[str]) -> Ticked:
    """These steps ticked, and all that they follow and that isn't done yet."""
    steps = tuple(steps)
    after = {one.id: one.after for one in plan.steps}
    done = {one.id for one in plan.steps if one.done or one.left_off}
    found = set(ticked)
    reach = [one for one in steps if one not in done]
    own = set(reach)
    while reach:
        one = reach.pop()
        if one in after and one not in done:
            found.add(one)
            reach += [before for before in after[one] if before not in found]
    brought = tuple(one.id for one in plan.steps if one.id in found - set(ticked) - own)
    return Ticked(ticked=frozenset(found), brought=brought)


def untick(ticked: Set[str], steps: Iterable[str]) -> Ticked:
    """These steps alone taken back."""
    return Ticked(ticked=frozenset(ticked) - frozenset(steps))


def by_garment(garments: Iterable[GarmentSteps], ticked: Set[str]) -> Mapping[str, int]:
    """How many steps of each garment are ticked."""
    return {one.garment: sum(step in ticked for step in one.steps) for one in garments}


def steps_before(project: Project) -> int:
    """How many steps were done before the diary began."""
    return sum(
        step.done and not step.left_off
        for ensemble in project.ensembles
        for garment in ensemble.garments
        for step in garment.steps
    )
