"""A TOML text under editing: keys set and removed, items added, moved and removed in place.

Every character that an edit doesn't concern stays: comments, blank lines, the order of keys,
unknown keys, ways of writing a number. (tomlkit alone doesn't keep this promise: it moves
tables of one list together where others stand between them, and puts new keys below comments
that belong to the next table. It is used inside single values.)

Paths are tuples of keys and indices: ("garment", 1, "step", 0, "hours").
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from planner.files.inline import Path, edited, replaced, value_of
from planner.files.rendering import HEADED, render_item, render_pair, render_table
from planner.files.statements import Kind, Statement, split

ORDER: Final = (
    "format", "name", "units", "fill_to", "setting_up", "hand_sewing_limit",
    "workroom_hours", "sofa_hours", "take_along_hours", "helper_hours", "change",
    "occasion", "stock", "measurements", "choices", "coming", "garment", "step", "entry",
)  # fmt: skip
"""In which order tables that are new to their parent are put among those it has."""

_MARK = "\ufeff"


class Document:
    """The statements of one file, and edits to them."""

    def __init__(self, text: str) -> None:
        self._mark = _MARK if text.startswith(_MARK) else ""
        self._lines = split(text.removeprefix(_MARK))
        first = self._lines[0].text if self._lines else ""
        self._newline = "\r\n" if first.endswith("\r\n") else "\n"

    @property
    def text(self) -> str:
        """The text as it is now."""
        return self._mark + "".join(line.text for line in self._lines)

    def set(self, table: Path, key: str, value: object, order: Sequence[str] = ()) -> None:
        """Give a key of the table at ``table`` a value; the table is made where missing.

        ``order`` is the customary order of the table's keys: a new key goes behind the last
        present one that customarily stands before it; under a heading without one, first.
        """
        path = (*table, key)
        places = self._places()
        if (at := _index(places, path, self._lines)) is not None:
            self._put_value(at, replaced(self._lines[at].value, value))
        elif (above := self._value_above(places, path)) is not None:
            rest = table[len(places[above] or ()) :]
            self._edit_value(above, rest, lambda found: found.__setitem__(key, value))
        else:
            if any(_within(place, path) for place in places):
                self.remove(path)
            self._add_pair(table, key, value, order)

    def remove(self, path: Path) -> None:
        """Take out a key, a table with all below it, or an item of a list of tables.

        Comments directly above a heading go with it. A path that isn't there is passed over.
        """
        places = self._places()
        above = self._value_above(places, path)
        if above is not None:
            rest = path[len(places[above] or ()) :]
            if _holds(value_of(self._lines[above].value), rest):
                self._edit_value(above, rest[:-1], lambda found: found.__delitem__(rest[-1]))
            return
        gone = {i for start, end in self._ranges(places, path) for i in range(start, end)}
        self._lines = _without(self._lines, gone)

    def remove_empty(self, path: Path) -> None:
        """Take out a table of which only the heading is left: no pair, and nobody's comment."""
        at = _index(self._places(), path, self._lines, header=True)
        if at is None or "#" in self._lines[at].text or self._attached(at) < at:
            return
        end = at + 1
        while end < len(self._lines) and self._lines[end].kind is Kind.BLANK:
            end += 1
        if end == len(self._lines) or self._lines[end].is_header:
            self.remove(path)

    def insert(self, array: Path, index: int, item: Mapping[str, object]) -> None:
        """Add a table to the list of tables at ``array``, as its item ``index``."""
        places = self._places()
        at = _index(places, array, self._lines)
        if at is not None and value_of(self._lines[at].value) == [] and array[-1] in HEADED:
            self.remove(array)
            places, at = self._places(), None
        above = at if at is not None else self._value_above(places, array)
        count = self.count(array)
        if above is not None:
            self._insert_inline(above, array[len(places[above] or ()) :], index, item)
        elif not count and array[-1] not in HEADED:
            self.set(array[:-1], str(array[-1]), [dict(item)])
        else:
            text = render_item(_names(array), item, self._newline)
            self._insert_block(self._item_position(places, array, index, count), text)

    def move(self, array: Path, old: int, new: int) -> None:
        """Move item ``old`` of a list of tables so that it becomes item ``new``."""
        places = self._places()
        at = _index(places, array, self._lines)
        above = at if at is not None else self._value_above(places, array)
        if above is not None:
            self._edit_value(
                above,
                array[len(places[above] or ()) :],
                lambda found: found.insert(new, found.pop(old)),
            )
            return
        parts = [
            "".join(line.text for line in self._lines[start:end])
            for start, end in self._ranges(places, (*array, old))
        ]
        self.remove((*array, old))
        places = self._places()
        position = self._item_position(places, array, new, self.count(array))
        self._insert_block(position, self._newline.join(_ended(p, self._newline) for p in parts))

    def count(self, array: Path) -> int:
        """How many items a list of tables under [[headings]] has."""
        depth = len(array)
        return sum(
            line.kind is Kind.ITEM and place is not None
            and len(place) == depth + 1 and place[:depth] == array
            for line, place in zip(self._lines, self._places(), strict=True)
        )  # fmt: skip

    def _places(self) -> list[Path | None]:
        """The path of every statement; None for blank lines and comments."""
        counts: dict[Path, int] = {}
        table: Path = ()
        places: list[Path | None] = []
        for line in self._lines:
            if line.is_header:
                table = _heading(line, counts)
                places.append(table)
            else:
                places.append((*table, *line.keys) if line.kind is Kind.PAIR else None)
        return places

    def _value_above(self, places: list[Path | None], path: Path) -> int | None:
        """The pair whose value holds ``path``, if one does."""
        for i, (line, place) in enumerate(zip(self._lines, places, strict=True)):
            if (
                line.kind is Kind.PAIR
                and place is not None
                and len(place) < len(path)
                and path[: len(place)] == place
            ):
                return i
        return None

    def _ranges(self, places: list[Path | None], path: Path) -> list[tuple[int, int]]:
        """Stretches of statements that make up what is at ``path``."""
        found = []
        i = 0
        while i < len(self._lines):
            end = i + 1
            if _within(places[i], path):
                start = i
                if self._lines[i].is_header:
                    start, end = self._attached(i), self._block_end(i)
                found.append((start, end))
            i = end
        return found

    def _attached(self, header: int) -> int:
        """Where the comments begin that stand directly above a heading.

        A comment that opens the file is the file's.
        """
        start = header
        while start and self._lines[start - 1].kind is Kind.COMMENT:
            start -= 1
        return start if start else header

    def _block_end(self, header: int) -> int:
        """Behind the last pair of the table headed at ``header`` (-1: the top)."""
        end = i = header + 1
        while i < len(self._lines) and not self._lines[i].is_header:
            i += 1
            if self._lines[i - 1].kind is Kind.PAIR:
                end = i
        return end

    def _add_pair(self, table: Path, key: str, value: object, order: Sequence[str]) -> None:
        places = self._places()
        header = _index(places, table, self._lines, header=True) if table else -1
        if header is not None:
            text = render_pair((key,), value, self._newline)
            if header < 0 and not self._block_end(header):
                self._insert_block(self._top_end(), text)
            else:
                self._insert_text(self._pair_position(header, key, order), text)
            return
        dotted = [i for i, place in enumerate(places) if _within(place, table)
                  and self._lines[i].kind is Kind.PAIR]  # fmt: skip
        if dotted:
            last = self._lines[dotted[-1]]
            shared = len(last.keys) - (len(places[dotted[-1]] or ()) - len(table))
            if shared > 0:
                keys = (*last.keys[:shared], key)
                self._insert_text(dotted[-1] + 1, render_pair(keys, value, self._newline))
                return
        text = render_table(_names(table), {key: value}, self._newline)
        self._insert_block(self._new_position(places, table), text)

    def _pair_position(self, header: int, key: str, order: Sequence[str]) -> int:
        """Where a new key goes in the block headed at ``header``."""
        end = self._block_end(header)
        if key in order:
            before = set(order[: order.index(key)])
            for i in reversed(range(header + 1, end)):
                line = self._lines[i]
                if line.kind is Kind.PAIR and line.keys[0] in before:
                    return i + 1
            if header >= 0:
                return header + 1
        return end

    def _top_end(self) -> int:
        """Where the top block of a file without top keys ends: behind its opening comment."""
        position = 0
        while position < len(self._lines) and self._lines[position].kind is Kind.COMMENT:
            position += 1
        return position

    def _item_position(self, places: list[Path | None], array: Path, index: int, count: int) -> int:
        """Where item ``index`` of a list under headings is to begin."""
        if index < count:
            header = _index(places, (*array, index), self._lines, header=True)
            assert header is not None
            return self._attached(header)
        if count:
            item = (*array, count - 1)
            return max(end for _, end in self._ranges(places, item))
        return self._new_position(places, array)

    def _new_position(self, places: list[Path | None], path: Path) -> int:
        """Where a table or list that its parent hasn't got yet is to begin."""
        parent, rank = path[:-1], _rank(path[-1])
        header = _index(places, parent, self._lines, header=True) if parent else -1
        position = 0 if header is None else self._block_end(header)
        for i, place in enumerate(places):
            if (
                place is not None
                and self._lines[i].is_header
                and len(place) > len(parent)
                and place[: len(parent)] == parent
                and _rank(place[len(parent)]) <= rank
            ):
                position = max(position, self._block_end(i))
        return position if position else self._top_end()

    def _insert_block(self, position: int, text: str) -> None:
        """Put tables between others, a blank line on either side."""
        lines = self._lines
        if position and lines[position - 1].kind is not Kind.BLANK:
            text = self._newline + text
        if position < len(lines) and lines[position].kind is not Kind.BLANK:
            text = _ended(text, self._newline) + self._newline
        self._insert_text(position, text)

    def _insert_text(self, position: int, text: str) -> None:
        if position and not self._lines[position - 1].text.endswith("\n"):
            last = self._lines[position - 1]
            self._lines[position - 1] = replace(last, text=last.text + self._newline)
        self._lines[position:position] = split(_ended(text, self._newline))

    def _insert_inline(self, at: int, rest: Path, index: int, item: Mapping[str, object]) -> None:
        """Add a table to a list that is a value, or lies in one; the list is made if missing."""
        value = value_of(self._lines[at].value)
        if rest and not _holds(value, rest):
            self._edit_value(at, rest[:-1], lambda v: v.__setitem__(rest[-1], [dict(item)]))
        else:
            self._edit_value(at, rest, lambda found: found.insert(index, dict(item)))

    def _edit_value(self, at: int, rest: Path, edit: Any) -> None:
        self._put_value(at, edited(self._lines[at].value, rest, edit))

    def _put_value(self, at: int, value: str) -> None:
        line = self._lines[at]
        text = line.text[: line.start] + value + line.text[line.end :]
        self._lines[at] = replace(line, text=text, end=line.start + len(value))


def _heading(line: Statement, counts: dict[Path, int]) -> Path:
    """The path of a heading; ``counts`` holds the items so far of every list of tables."""
    path: Path = ()
    for key in line.keys[:-1]:
        path = (*path, key)
        if path in counts:
            path = (*path, counts[path] - 1)
    path = (*path, line.keys[-1])
    if line.kind is Kind.ITEM:
        counts[path] = counts.get(path, 0) + 1
        path = (*path, counts[path] - 1)
    return path


def _index(
    places: list[Path | None], path: Path, lines: list[Statement], header: bool = False
) -> int | None:
    """The statement with a path: a heading, or else a pair."""
    for i, place in enumerate(places):
        if place == path and lines[i].is_header is header:
            return i
    return None


def _within(place: Path | None, path: Path) -> bool:
    return place is not None and place[: len(path)] == path


def _holds(value: Any, path: Path) -> bool:
    for part in path:
        try:
            value = value[part]
        except (LookupError, TypeError):
            return False
    return True


def _names(path: Path) -> tuple[str, ...]:
    return tuple(part for part in path if isinstance(part, str))


def _rank(key: str | int) -> int:
    return ORDER.index(key) if key in ORDER else -1


def _ended(text: str, newline: str) -> str:
    return text if text.endswith("\n") else text + newline


def _without(lines: list[Statement], gone: set[int]) -> list[Statement]:
    """The lines without some, and without a blank line too many where headings went."""
    kept: list[Statement] = []
    headings = {i for i in gone if lines[i].is_header}
    closing = False
    for i, line in enumerate(lines):
        if i in gone:
            closing = closing or i in headings
            continue
        if closing and line.kind is Kind.BLANK and (not kept or kept[-1].kind is Kind.BLANK):
            continue
        closing = False
        kept.append(line)
    if closing and headings:
        while kept and kept[-1].kind is Kind.BLANK:
            kept.pop()
    return kept
