"""A project's steps at its maker's pace."""

from __future__ import annotations

from planner.catalogue import techniques_with
from planner.estimate import Operation, at_pace, operations
from planner.model import Project, Warned, Work
from planner.nearest import is_meant
from planner.pace import ALL, Pace, learn
from planner.problems import InputError, Problem


def paced_operations(project: Project) -> tuple[dict[str, Operation], Pace]:
    """Every step as an operation, by full id, and the pace its minutes are at.

    Raises InputError with all problems.
    """
    unpaced, problems = _unpaced(project)
    if problems:
        raise InputError(problems)
    pace = learn(project.diary, unpaced, project.workroom.pace)
    return {name: at_pace(op, pace) for name, op in unpaced.items()}, pace


def pace_of(project: Project) -> Pace:
    """The pace of a project's maker; an ensemble that can't be estimated teaches nothing."""
    return learn(project.diary, _unpaced(project)[0], project.workroom.pace)


def _unpaced(project: Project) -> tuple[dict[str, Operation], list[Problem]]:
    """Every step at the catalogue's pace, and what is wrong."""
    techniques = techniques_with(project.techniques)
    found: dict[str, Operation] = {}
    problems: list[Problem] = []
    for ensemble in project.ensembles:
        try:
            found |= {op.id: op for op in operations(ensemble, techniques)}
        except InputError as error:
            problems += error.problems
    return found, problems


def pace_warnings(project: Project) -> tuple[Warned, ...]:
    """What the maker set a pace of and nobody knows."""
    by_hand = project.workroom.pace.by_hand
    if not by_hand:
        return ()
    known = (ALL, *Work, *techniques_with(project.techniques))
    return tuple(
        Warned(
            file=project.workroom.file,
            place=f"pace.{key}",
            text=f'"{key}" is neither "all", a kind of work nor a technique, so this pace is not '
            f"used.{is_meant(key, known)}",
        )
        for key in by_hand
        if key not in known
    )
