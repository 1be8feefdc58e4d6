"""The rows of the log sheet: mark, kind of work, garment, step, minutes worked, what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message

from screens.log_rows import LETTERS, Column, LogRow, minutes_from
from screens.log_told import GONE, NO_STEPS, already_told
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines
from screens.wording import cells, column, fitted, padded, short_names, wrapped

GARMENTS = 20
"""Columns of garments at the most."""
CELL = 8
"""Columns of the minutes worked, and of what is left."""
WORD = 12
"""Columns of the mark in a word."""
WIDE_ENOUGH = 96
"""Columns from which on the mark is told in a word too."""
BESIDES = 13
"""Lines of the sheet besides its rows, at the most."""
KEYS = {":": "colon"}


class LogList(MarkedLines, can_focus=True):
    """What was done, step by step; space marks, digits are typed into the cell."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "done", id="log.mark", tooltip="Done, half done, nothing"),
        Binding("right,tab", "cell('left')", "left", show=False, id="log.left",
                tooltip="Type what is left by guess"),
        Binding("left,shift+tab", "cell('worked')", "worked", show=False, id="log.worked",
                tooltip="Type the minutes worked"),
        Binding("minus", "other_cell", "left", show=False, id="log.other",
                tooltip="From the minutes worked to what is left, and back"),
        Binding("backspace,delete", "rub_out", "rub out", show=False, id="log.rub-out",
                tooltip="Take back a letter of what was typed"),
        *(
            Binding(KEYS.get(letter, letter), f"letter('{letter}')", "minutes", show=False,
                    id=f"log.type-{KEYS.get(letter, letter)}", tooltip="Type a time: 45 or 1h30")
            for letter in LETTERS
        ),
    ]  # fmt: skip

    @dataclass
    class Changed(Message):
        """Something was marked or typed."""

    def __init__(self, rows: Sequence[LogRow]) -> None:
        super().__init__(id="log")
        self.rows = tuple(rows)
        self.column = Column.WORKED
        self.short: dict[str, str] = {}
        """Names of the garments, up to what describes them."""

    @property
    def row(self) -> LogRow | None:
        """The row under the cursor."""
        return next((row for row in self.rows if row.step == self.cursor), None)

    def put(self, row: LogRow) -> None:
        """Take another row in place of that of its step."""
        self.rows = tuple(row if one.step == row.step else one for one in self.rows)
        self.renew()
        self.post_message(self.Changed())

    def add(self, row: LogRow) -> None:
        """One row more, with the cursor on it; where its step has one already, that."""
        if all(one.step != row.step for one in self.rows):
            self.rows = (*self.rows, row)
        self.cursor = row.step
        self.renew()
        self.post_message(self.Changed())
        self.call_after_refresh(self.keep_in_view)

    # what is shown

    def renew(self) -> None:
        """As every list; and as high as its lines, as far as the screen has room."""
        super().renew()
        self.styles.height = max(1, min(len(self.lines), self.screen.size.height - BESIDES))

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What the columns are, then the rows."""
        if not self.rows:
            return [plain(f" {text}", "faint") for text in wrapped([NO_STEPS], width - 2)]
        self.short = short_names(dict.fromkeys(row.garment for row in self.rows))
        garments = min(GARMENTS, max(map(cells, self.short.values())))
        head = f"{'worked':>{CELL - 1}} {'left':>{CELL - 1}} "
        found = [Line(runs=(Run(text=" "),), right=Run(text=head, style="faint"))]
        for row in self.rows:
            found += self._row(row, garments, width)
        return found

    def _row(self, row: LogRow, garments: int, width: int) -> Iterator[Line]:
        """A step by its whole name, and its note beneath."""
        here = row.step == self.cursor
        word = WORD if width >= WIDE_ENOUGH else 0
        before = 10 + word + garments
        already = already_told(row)
        beside = cells(already) + 1 if already else 0
        filled = width - before - 2 * CELL - beside
        first, *rest = wrapped([row.name], max(12, filled - 1)) or [""]
        yield Line(
            runs=(
                Run(text=CURSOR if here else " ", style="accent"),
                Run(text=f" {row.sign} ", style="strong"),
                Run(text=padded(row.word, word) if word else "", style="faint"),
                Run(text=f" {row.letter}", style=row.letter),
                Run(text=f"  {padded(self.short[row.garment], garments)}  ", style="faint"),
                Run(text=padded(first, filled), style="strong" if row.changed else ""),
                *([Run(text=f"{already} ", style="faint")] if already else []),
                *self._cell(row, Column.WORKED, here),
                *self._cell(row, Column.LEFT, here),
            ),
            key=row.step,
        )
        indent = " " * (before - 1)
        for text in rest:
            yield Line(runs=(Run(text=f" {indent}{text}"),), click=row.step)
        if row.gone:
            gone = fitted(f" {indent}{GONE}", width)
            yield Line(runs=(Run(text=gone, style="accent"),), click=row.step)
        if row.note:
            for text in wrapped([f"“{row.note}”"], max(20, width - before - 1)):
                yield Line(runs=(Run(text=f" {indent}{text}", style="faint"),), click=row.step)

    def _cell(self, row: LogRow, which: Column, here: bool) -> Iterator[Run]:
        """What is typed, while the cursor is there; else the minutes it comes to."""
        typed = row.worked if which is Column.WORKED else row.left
        if here and which is self.column:
            yield Run(text=" ")
            yield Run(text=f"{typed or _told(row, which):>{CELL - 2}}", reverse=True)
            yield Run(text=" ")
            return
        said = which is Column.WORKED or row.left_then is not None
        told = _minutes(typed) if typed else _told(row, which)
        yield Run(text=f"{told:>{CELL - 1}} ", style="" if said else "faint")

    # keys and mouse

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Without a step there is nothing to mark or to type."""
        if action in ("mark", "cell", "other_cell", "rub_out", "letter"):
            return self.row is not None
        return True

    def action_mark(self) -> None:
        """The next mark."""
        if self.row is not None:
            self.put(self.row.marked())

    def action_letter(self, letter: str) -> None:
        """A letter more in the cell."""
        if self.row is not None:
            self.put(self.row.typed(self.column, letter))

    def action_rub_out(self) -> None:
        """A letter less."""
        if self.row is not None:
            self.put(self.row.rubbed_out(self.column))

    def action_cell(self, which: str) -> None:
        """Type into the other column from now on."""
        self.column = Column(which)
        self.renew()

    def action_other_cell(self) -> None:
        """From one column to the other."""
        self.action_cell("worked" if self.column is Column.LEFT else "left")

    def on_click(self, event: events.Click) -> None:
        """A click on minutes goes to their column; on the step under the cursor it marks."""
        width = self.scrollable_content_region.width
        beyond = event.x - (width - 2 * CELL)
        if beyond < 0:
            return  # as every list
        event.stop()
        event.prevent_default()
        index = event.y + self.scroll_offset.y
        key = self.lines[index].key if 0 <= index < len(self.lines) else None
        if key is not None:
            self.action_cell("left" if beyond >= CELL else "worked")
            self.go(key)

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """A click where the cursor stood."""
        event.stop()
        self.action_mark()


def _told(row: LogRow, which: Column) -> str:
    """What stands in a cell nothing is typed in."""
    if which is Column.WORKED:
        return ""
    if row.is_done or row.gone or (row.done_already and row.left_then is None):
        return ""
    then = row.left_then
    return column(then if then is not None else max(0, row.left_now - row.minutes))


def _minutes(text: str) -> str:
    """What was typed as minutes in a column; as it stands where it is no time."""
    try:
        return column(minutes_from(text))
    except ValueError:
        return text


def noted(row: LogRow, note: str) -> LogRow:
    """The row with another note."""
    return replace(row, note=note)
