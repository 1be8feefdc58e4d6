"""The days of the Run-up, one a line, each a strip of stitches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.plan import Plan
from screens.countdown import Row, garments_in_short, rows, told_in
from screens.strips import FREE, GAP, MARK, Cell, strips
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.wording import cells, column, short_date, wrapped

BEFORE_STRIP = 25
"""Columns of cursor, days to go, date and minutes."""
TEXT = 28
"""Least columns for a day's text and note."""


class Days(Lines):
    """The countdown: days, and occasions in their place."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "steps",
            key_display="enter",
            id="days.enter",
            tooltip="Go to the steps of this day",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.slice: int | None = None
        """Minutes of a cell, as last drawn."""

    def show(self, plan: Plan) -> None:
        """Show a plan; the cursor stays on its day."""
        self.plan = plan
        self.renew()

    def today(self) -> None:
        """Put the cursor on today, or the first day there is."""
        if self.plan is not None and not self.go(self.plan.now.date().isoformat()):
            self.action_edge(0)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Days and occasions, the strips as wide as the fullest day needs."""
        plan = self.plan
        if plan is None:
            return ()
        if not plan.days:
            return [plain(f"  {line}", "faint") for line in _what_next(plan, width - 4)]
        made = strips(plan, max(12, width - BEFORE_STRIP - TEXT))
        self.slice = made.slice
        table = rows(plan, made)
        widest = max((len(row.cells) for row in table), default=0)
        short = garments_in_short(plan)
        return [self._line(row, widest, width, short) for row in table]

    def _line(self, row: Row, widest: int, width: int, short: Mapping[str, str]) -> Line:
        key = row.date.isoformat()
        told = _noted(row)
        note = Run(text=told, style="accent") if told else None
        room = width - (cells(told) + 2 if told else 1)
        if row.occasion is not None:
            text = f"{'':8}{told_in(row, room - 8, short)}"
            return Line(runs=(Run(text=text, style="strong"),), right=note, click=key)
        here = CURSOR if key == self.cursor else " "
        to_go = "" if row.to_go is None else str(row.to_go)
        today = self.plan is not None and row.date == self.plan.now.date()
        style = "strong" if today else ""
        text = told_in(row, room - BEFORE_STRIP - widest - 2, short)
        head = f"{to_go:>4} {short_date(row.date)} {column(row.minutes) if row.minutes else '':>6}"
        return Line(
            runs=(
                Run(text=here, style="accent"),
                Run(text=f"{head}  ", style=style),
                *strip_runs(row.cells),
                Run(text=" " * (widest - len(row.cells) + 2)),
                Run(text=text, style="" if row.cells and row.minutes else "faint"),
            ),
            right=note,
            key=key,
        )

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a day, and its mark with it."""
        moved = super().go(key, tell)
        self.lines = tuple(_marked(line, key) for line in self.lines) if moved else self.lines
        return moved


def _noted(row: Row) -> str:
    """The gravest note, and that it is wearable from then on."""
    first = row.notes[:1]
    last = [note for note in row.notes[1:] if note == "wearable"]
    return ", ".join([*first, *last])


def strip_runs(strip: Sequence[Cell]) -> list[Run]:
    """A strip as runs of one hue each."""
    found: list[Run] = []
    for cell in strip:
        style = "faint" if cell.letter in (FREE, MARK, GAP) else cell.letter
        last = found[-1] if found else None
        if last is not None and (last.style, last.reverse) == (style, cell.over):
            found[-1] = Run(text=last.text + cell.letter, style=style, reverse=cell.over)
        else:
            found.append(Run(text=cell.letter, style=style, reverse=cell.over))
    return found


def _marked(line: Line, key: str) -> Line:
    """The line with the cursor's mark, or without."""
    if line.key is None:
        return line
    mark = Run(text=CURSOR if line.key == key else " ", style="accent")
    if line.runs[0] == mark:
        return line
    return Line(runs=(mark, *line.runs[1:]), right=line.right, key=line.key)


def _what_next(plan: Plan, width: int) -> list[str]:
    """What to do where there are no days yet."""
    if not plan.names:
        told = (
            "There is no ensemble here yet. Write one in a file of its own, such as"
            " ferrywoman.toml, beside workroom.toml: its name, an occasion with its date, and"
            " its garments with their steps. This screen follows as soon as it is saved."
        )
    else:
        told = (
            "No occasion lies ahead. Write one into the ensemble's file, with its id, kind and"
            " date; the days up to it are then counted down here."
        )
    return ["", *wrapped([told], max(20, min(width, 72)))]
