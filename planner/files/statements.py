"""A TOML text as a list of statements, each with its very own characters.

The text is taken to be valid (``loading`` has checked it): this only finds where each
statement, key and value begins and ends, so that one of them can be changed and every other
character stays.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What a statement is."""

    BLANK = "blank"
    COMMENT = "comment"
    TABLE = "table"
    """``[a.b]``"""
    ITEM = "item"
    """``[[a.b]]``"""
    PAIR = "pair"
    """``a.b = value``, over as many lines as it takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One statement with its line ends."""

    kind: Kind
    text: str
    keys: tuple[str, ...] = ()
    start: int = 0
    """Of a pair: where its value begins in ``text``."""
    end: int = 0
    """Of a pair: where its value ends in ``text``."""

    @property
    def value(self) -> str:
        """A pair's value as written."""
        return self.text[self.start : self.end]

    @property
    def is_header(self) -> bool:
        """Whether it heads a table."""
        return self.kind in (Kind.TABLE, Kind.ITEM)


def split(text: str) -> list[Statement]:
    """The statements of a valid TOML text; their texts joined are the text again."""
    found = []
    at = 0
    while at < len(text):
        statement = _statement(text, at)
        found.append(statement)
        at += len(statement.text)
    return found


def _statement(text: str, at: int) -> Statement:
    line = text[at : _line_end(text, at)]
    bare = line.strip()
    if not bare:
        return Statement(kind=Kind.BLANK, text=line)
    if bare.startswith("#"):
        return Statement(kind=Kind.COMMENT, text=line)
    if bare.startswith("["):
        return _header(line, at, text)
    return _pair(text, at)


def _header(line: str, at: int, text: str) -> Statement:
    start = text.index("[", at)
    double = text.startswith("[[", start)
    inside = start + (2 if double else 1)
    end = _skip_key(text, inside, "]")
    return Statement(
        kind=Kind.ITEM if double else Kind.TABLE, text=line, keys=_keys(text[inside:end])
    )


def _pair(text: str, at: int) -> Statement:
    equals = _skip_key(text, at, "=")
    start = equals + 1
    while text[start] in " \t":
        start += 1
    end = _skip_value(text, start)
    stop = _line_end(text, end)
    return Statement(
        kind=Kind.PAIR,
        text=text[at:stop],
        keys=_keys(text[at:equals]),
        start=start - at,
        end=end - at,
    )


def _keys(text: str) -> tuple[str, ...]:
    """The parts of a dotted key."""
    if '"' not in text and "'" not in text:
        return tuple(part.strip() for part in text.split("."))
    parts: list[str] = []
    inner: object = tomllib.loads(f"{text.strip()} = 0")
    while isinstance(inner, dict):
        ((key, inner),) = inner.items()
        parts.append(key)
    return tuple(parts)


def _line_end(text: str, at: int) -> int:
    """Where the line ends, its line end included."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def _skip_key(text: str, at: int, until: str) -> int:
    while text[at] != until:
        at = _skip_string(text, at) if text[at] in "\"'" else at + 1
    return at


def _skip_value(text: str, at: int) -> int:
    """Where the value that begins at ``at`` ends."""
    depth, end = 0, at
    while at < len(text):
        mark = text[at]
        if mark in "\"'":
            at = end = _skip_string(text, at)
            continue
        if mark == "#":
            if not depth:
                break
            at = _line_end(text, at)
            continue
        if mark == "\n" and not depth:
            break
        depth += (mark in "[{") - (mark in "]}")
        at += 1
        if not mark.isspace():
            end = at
    return end


def _skip_string(text: str, at: int) -> int:
    """Where the string that begins at ``at`` ends."""
    mark = text[at]
    quote = mark * 3 if text.startswith(mark * 3, at) else mark
    at += len(quote)
    while not text.startswith(quote, at):
        at += 2 if text[at] == "\\" and mark == '"' else 1
    at += len(quote)
    if len(quote) == 3:
        # up to two more quotation marks may belong to the text itself
        while text.startswith(mark, at):
            at += 1
    return at
