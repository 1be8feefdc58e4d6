"""What would be wrong with a project after an edit, told at the fields that cause it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime

from planner.ground import lay_ground
from planner.model import Project
from planner.problems import InputError, Problem
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


def wrong_after(project: Project, change: Change, now: datetime, where: str) -> tuple[Wrong, ...]:
    """What a change would break, at the fields of what stands at ``where`` after it.

    What was broken before is not its fault.
    """
    try:
        after = change(project)
    except InputError as error:
        return at_fields(error.problems, where)
    except KeyError:
        return (Wrong(key="", text=GONE),)
    except ValueError as error:
        # of all that is typed only an id can be such that no edit takes it
        return (Wrong(key="id", text=str(error)),)
    found = problems_of(after, now)
    if not found:
        return ()
    before = {problem.text for problem in problems_of(project, now)}
    return at_fields([problem for problem in found if problem.text not in before], where)


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
