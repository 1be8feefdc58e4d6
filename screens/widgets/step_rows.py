"""Steps in rows that open: a head, name and garment, what to know; shared by what can be done
now and by the bag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType

from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import OpeningLines
from screens.wording import cells, short_names, wrapped

NAMES = 28
"""Names up to this length stand in a column."""
DEEPER = 4
"""Columns by which what is opened is indented."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """A step in a row."""

    key: str
    head: str
    """What stands before the letter, of the same width in all rows."""
    letter: str
    name: str
    garment: str
    known: tuple[str, ...]
    """What to know, the longest first."""
    opened: tuple[str, ...] = ()
    """Sentences beneath it, where it is open."""


def told_in_line(row: StepRow, garment: str, names: int, room: int) -> str | None:
    """Name, garment and what to know in so many columns; None where it has no room."""
    if cells(row.name) > room:
        return None
    gap = " " * (max(names, cells(row.name)) - cells(row.name) + 2)
    for known in (*row.known, ""):
        for called in dict.fromkeys((row.garment, garment)):
            if not known and row.known and row.known[-1]:
                continue
            text = f"{row.name}{gap}{'; '.join(part for part in (called, known) if part)}"
            if cells(text) <= room:
                return text
    return None


class StepRows(OpeningLines):
    """Rows that open and close."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="rows.enter",
            tooltip="Open or close the reason of this step",
        ),
        Binding(
            "escape",
            "close",
            "close",
            show=False,
            key_display="esc",
            id="rows.escape",
            tooltip="Close the reason",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.open: str | None = None
        """The key of the row that is open."""

    def drawn(self, rows: Sequence[StepRow], width: int) -> list[Line]:
        """The rows at a width."""
        short = short_names(dict.fromkeys(row.garment for row in rows))
        column = max((cells(r.name) for r in rows if cells(r.name) <= NAMES), default=0)
        found: list[Line] = []
        for row in rows:
            found += self._row(row, short[row.garment], column, width)
        return found

    def _row(self, row: StepRow, short: str, column: int, width: int) -> list[Line]:
        here = CURSOR if row.key == self.cursor and self.has_focus else " "
        indent = 1 + cells(row.head) + 3
        room = width - indent - 1
        head = (
            Run(text=here, style="accent"),
            Run(text=row.head, style="faint"),
            Run(text=row.letter, style=row.letter),
            Run(text="  "),
        )
        line = told_in_line(row, short, column, room)
        if line is not None:
            name, rest = line[: len(row.name)], line[len(row.name) :]
            found = [Line(runs=(*head, Run(text=name), Run(text=rest, style="faint")), key=row.key)]
        else:
            first, *more = wrapped([row.name], room) or [""]
            said = ["; ".join(part for part in (row.garment, one) if part) for one in row.known]
            known = min(said, key=lambda one: len(wrapped([one], room)))
            found = [Line(runs=(*head, Run(text=first)), key=row.key)]
            found += beneath(more, indent, "", row.key)
            found += beneath(wrapped([known], room), indent, "faint", row.key)
        if self.open == row.key:
            for sentence in row.opened:
                lines = wrapped([sentence], width - DEEPER - 1)
                found += beneath(lines, DEEPER, "", row.key)
        return found

    # keys

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Open the reason, or close it."""
        event.stop()
        self.open = None if self.open == event.key else event.key
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def action_close(self) -> None:
        """Close the reason."""
        if self.open is not None:
            self.open = None
            self.renew()


def beneath(lines: Sequence[str], indent: int, style: str, key: str | None) -> list[Line]:
    """Lines that belong to a row."""
    return [Line(runs=(Run(text=" " * indent + text, style=style),), click=key) for text in lines]


def paragraph(sentences: Sequence[str], width: int, style: str = "") -> list[Line]:
    """Sentences of no row."""
    return [plain(f" {text}", style) for text in wrapped(sentences, max(20, width - 2))]
