"""Changes inside one written value: a list, a table in braces, and what lies in them."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from planner.files.rendering import render_value

Path = tuple[str | int, ...]
Edit = Callable[[Any], None]
"""Changes the container it is given in place: a list or a table, plain or tomlkit's."""


def value_of(text: str) -> Any:
    """A written value as a plain one."""
    return tomllib.loads(f"x = {text}\n")["x"]


def edited(text: str, path: Path, edit: Edit) -> str:
    """A written value in which the container at ``path`` was edited.

    Comments and spacing inside the value survive wherever tomlkit keeps them; where what it
    writes doesn't read as meant, the value is written anew.
    """
    wanted = value_of(text)
    edit(_at(wanted, path))
    try:
        document = tomlkit.parse(f"x = {text}\n")
        edit(_at(document["x"], path))
        result = document.as_string().removeprefix("x = ").rstrip("\n")
        if value_of(result) == wanted:
            return result
    except (TOMLKitError, tomllib.TOMLDecodeError, LookupError, TypeError, ValueError):
        pass  # tomlkit could not: the value is written anew below
    return render_value(wanted)


def replaced(text: str, value: object) -> str:
    """A written value replaced by another; comments inside a list stay with items that stay."""
    if "#" not in text or not isinstance(value, list):
        return render_value(value)
    old = value_of(text)
    if not isinstance(old, list):
        return render_value(value)
    return edited(text, (), _list_edit(old, copy.deepcopy(value)))


def _list_edit(old: list[Any], new: list[Any]) -> Edit:
    def edit(items: Any) -> None:
        for i in reversed(range(len(old))):
            if old[i] not in new:
                del items[i]
        kept = [item for item in old if item in new]
        for i, item in enumerate(new):
            if i >= len(kept) or kept[i] != item:
                items.insert(i, item)
                kept.insert(i, item)
        while len(kept) > len(new):
            del items[len(new)]
            kept.pop()

    return edit


def _at(value: Any, path: Path) -> Any:
    """What is at ``path`` in a value; a table that is missing on the way is made."""
    for part in path:
        if isinstance(part, str) and part not in value:
            value[part] = {}
        value = value[part]
    return value
