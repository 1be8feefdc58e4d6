"""Plain values as TOML text, the way a careful person writes it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Final

WIDTH: Final = 100
"""A list that would make its line longer than this goes over several lines."""

HEADED: Final = frozenset(("occasion", "stock", "coming", "garment", "step", "change", "entry"))
"""Lists of tables that are written under [[headings]]; others go into one line."""

_BARE = re.compile(r"^[A-Za-z0-9_-]+$")


def render_key(key: str) -> str:
    """A key, in quotes where TOML asks for them."""
    return key if _BARE.match(key) else _text(key)


def render_value(value: object) -> str:
    """A value in one line. Raises TypeError for what TOML can't hold."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, list):
        return "[" + ", ".join(render_value(item) for item in value) + "]"
    if isinstance(value, Mapping):
        inside = ", ".join(f"{render_key(k)} = {render_value(v)}" for k, v in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    raise TypeError(f"no TOML for {type(value).__name__}")


def render_pair(keys: tuple[str, ...], value: object, newline: str) -> str:
    """``key = value`` with its line end; a long list has one item a line."""
    key = ".".join(render_key(k) for k in keys)
    line = f"{key} = {render_value(value)}"
    if len(line) > WIDTH and isinstance(value, list):
        items = "".join(f"    {render_value(item)},{newline}" for item in value)
        return f"{key} = [{newline}{items}]{newline}"
    return line + newline


def render_table(names: tuple[str, ...], content: Mapping[str, object], newline: str) -> str:
    """A table under its heading, with the tables below it."""
    return _block("[", names, content, newline)


def render_item(names: tuple[str, ...], content: Mapping[str, object], newline: str) -> str:
    """An item of a list of tables under its [[heading]], with the tables below it."""
    return _block("[[", names, content, newline)


def render_document(content: Mapping[str, object], newline: str) -> str:
    """A whole file: its top keys, then its tables."""
    return newline.join(_parts((), content, newline))


def _block(
    bracket: str, names: tuple[str, ...], content: Mapping[str, object], newline: str
) -> str:
    heading = ".".join(render_key(name) for name in names)
    own, *below = _parts(names, content, newline)
    return newline.join([f"{bracket}{heading}{']' * len(bracket)}{newline}{own}", *below])


def _parts(names: tuple[str, ...], content: Mapping[str, object], newline: str) -> list[str]:
    """The pairs of a table, and then one text for each table below it."""
    pairs, below = "", []
    for key, value in content.items():
        if isinstance(value, Mapping):
            below.append(render_table((*names, key), value, newline))
        elif key in HEADED and isinstance(value, list):
            below += [render_item((*names, key), item, newline) for item in value]
        else:
            pairs += render_pair((key,), value, newline)
    return [pairs, *below]


def _text(value: str) -> str:
    # JSON's escapes are TOML's too, but for DEL, which TOML wants escaped
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
