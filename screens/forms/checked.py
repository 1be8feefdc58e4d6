"""What would be wrong with a project after an edit, told at the fields that cause it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from planner.ground import lay_ground
from planner.model import Project
from planner.problems import InputError, Problem
from screens.forms.circles import circle_told
from screens.forms.fields import Change, Wrong

HERE = "form"
"""Key path of a table that is read from a form alone."""
GONE = "It is no longer in the files: nothing can be changed in it."


def problems_of(project: Project, now: datetime) -> tuple[Problem, ...]:
    """Every reference, circle, technique, amount and date that keeps it from being planned."""
    try:
        lay_ground(project, now)
    except InputError as error:
        return error.problems
    return ()


def wrong_after(
    project: Project, change: Change, now: datetime, where: str, ident: str = ""
) -> tuple[Wrong, ...]:
    """What a change would break, at the fields of what stands at ``where`` after it.

    ``ident`` is its full id. What was broken before is not its fault.
    """
    try:
        after = change(project)
    except InputError as error:
        return told_at(project, error.problems, where, ident)
    except KeyError:
        return (Wrong(key="", text=GONE),)
    except ValueError as error:
        # of all that is typed only an id can be such that no edit takes it
        return (Wrong(key="id", text=str(error)),)
    found = problems_of(after, now)
    if not found:
        return ()
    before = {problem.text for problem in problems_of(project, now)}
    new = [problem for problem in found if problem.text not in before]
    return told_at(project, new, where, ident)


def told_at(
    project: Project, problems: Iterable[Problem], where: str, ident: str
) -> tuple[Wrong, ...]:
    """As ``at_fields``, circles in names."""
    found: list[Wrong] = []
    for problem in problems:
        if problem.circle and ident:
            found.append(circle_told(project, problem.circle, ident))
        else:
            found += at_fields([problem], where)
    return tuple(dict.fromkeys(found))


def at_fields(problems: Iterable[Problem], where: str) -> tuple[Wrong, ...]:
    """Problems by the key of their field; what lies elsewhere is the whole form's."""
    found = []
    for problem in problems:
        key = key_of(problem.place, where)
        if key is None:
            found.append(Wrong(key="", text=f"{problem.place}: {said(problem.text)}"))
        else:
            found.append(Wrong(key=key, text=said(problem.text)))
    return tuple(dict.fromkeys(found))


def said(text: str) -> str:
    """A file's message in a form: without how a key would be written in TOML."""
    return re.sub(r"`([^`]*)`", r"“\1”", _WRITTEN.sub("", text))


_WRITTEN = re.compile(r"[,:]? (?:as |such as )?`\w+ = [^`]*`")


def key_of(place: str, where: str) -> str | None:
    """The key of a field from a key path: "form.instead[0].uses[1].extra" is instead.0.uses.

    None where the path lies outside of ``where``.
    """
    if place == where:
        return ""
    if not place.startswith(f"{where}."):
        return None
    parts = _PART.findall(place[len(where) + 1 :])
    names: list[tuple[str, str]] = [(quoted or bare, index) for quoted, bare, index in parts]
    (first, index), *rest = names
    if first == "instead" and index and rest:
        return f"{first}.{index}.{rest[0][0]}"
    if first in ("measurements", "choices") and rest:
        return f"{first}.{_unquoted(rest[0][0])}"
    return first


_PART = re.compile(r'(?:("(?:[^"\\]|\\.)*")|([^.\["]+))(?:\[(\d+)\])*')


def _unquoted(name: str) -> str:
    if not name.startswith('"'):
        return name
    return name[1:-1].replace('\\"', '"').replace("\\\\", "\\")


def in_short(problem: Problem) -> str:
    """What went wrong with the files, each by its name alone."""
    where = ", ".join(part for part in (Path(problem.file).name, problem.place) if part)
    return f"{where}: {problem.text}" if where else problem.text
