"""The days of the Run-up, one a line, each a strip of stitches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message

from planner.model import Work
from planner.plan import Plan
from screens.day_rows import Row, garments_in_short, rows, told_in
from screens.looked_at import LookedAt
from screens.marks import CAME
from screens.strips import Cell, strips
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.wording import cells, column, short_date, wrapped

BEFORE_STRIP = 25
"""Columns of cursor, days to go, date and minutes."""
TEXT = 28
"""Least columns for a day's text and note."""
ELSEWHERE = "▹"
"""The cursor's mark while the keys are for something else."""
LETTERS = frozenset(work.letter for work in Work)
"""The others of a strip are marks, and have no hue."""


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
        Binding(
            "enter",
            "needs",
            "its needs",
            key_display="enter",
            id="days.needs",
            tooltip="Go to what must be there before this occasion",
        ),
    ]

    @dataclass
    class Needed(Message):
        """An occasion was chosen: what it needs is asked for."""

        occasion: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.looked: LookedAt | None = None
        self.slice: int | None = None
        """Minutes of a cell, as last drawn."""
        self._made: tuple[LookedAt, int, list[Line]] | None = None
        """The rows of what is shown, at the width they were made for."""

    @property
    def plan(self) -> Plan | None:
        """The plan that is shown."""
        return self.looked.plan if self.looked is not None else None

    @property
    def day(self) -> date | None:
        """The day the cursor is on, or its occasion's."""
        return date.fromisoformat(self.cursor.split(" ")[0]) if self.cursor is not None else None

    @property
    def occasion(self) -> str | None:
        """Full id of the occasion the cursor is on; None on a day's own line."""
        return self.cursor.partition(" ")[2] or None if self.cursor is not None else None

    def show(self, looked: LookedAt) -> None:
        """Show a plan; the cursor stays on its day. At first it is on today, which is on top."""
        first = self.looked is None
        self.looked = looked
        if first:
            self.cursor = looked.plan.now.date().isoformat()
        self.renew()
        if first:
            self.call_after_refresh(self._on_top)

    def today(self) -> None:
        """Put the cursor on today, or the first day there is; it comes to the top."""
        if self.plan is not None and not self.go(self.plan.now.date().isoformat()):
            self.action_edge(0)
        self._on_top()

    def _on_top(self) -> None:
        """Scroll so that the days behind lie above what is seen."""
        index = self._index()
        if index is not None:
            self.scroll_to(y=index, animate=False, force=True)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Days and occasions, the strips as wide as the fullest day needs."""
        looked = self.looked
        if looked is None:
            return ()
        if not looked.days:
            return [plain(f"  {line}", "faint") for line in _what_next(looked.plan, width - 4)]
        if self._made is None or (self._made[0] is not looked or self._made[1] != width):
            self._made = (looked, width, self._table(looked, width))
        return [_marked(line, self.cursor, self.mark) for line in self._made[2]]

    def _table(self, looked: LookedAt, width: int) -> list[Line]:
        """The rows at a width, without the cursor's mark."""
        room = max(12, width - BEFORE_STRIP - TEXT)
        made = strips(looked.plan, room, looked.alone)
        self.slice = made.slice
        table = rows(looked, made)
        widest = max((len(row.cells) for row in table), default=0)
        short = garments_in_short(looked.plan)
        return [self._line(row, widest, width, short) for row in table]

    def _line(self, row: Row, widest: int, width: int, short: Mapping[str, str]) -> Line:
        key = row.date.isoformat()
        told = _noted(row)
        note = Run(text=told, style="faint" if row.behind else "accent") if told else None
        room = width - (cells(told) + 2 if told else 1)
        if row.occasion is not None:
            mark = CAME if row.came else ""
            text = f"{mark:>5}  {told_in(row, room - 8, short)}"
            runs = (Run(text=" ", style="accent"), Run(text=text, style="strong"))
            return Line(runs=runs, right=note, key=f"{key} {row.occasion}")
        to_go = "" if row.to_go is None else str(row.to_go)
        today = self.plan is not None and row.date == self.plan.now.date()
        style = "strong" if today else "faint" if row.behind else ""
        text = told_in(row, room - BEFORE_STRIP - widest - 2, short)
        head = f"{to_go:>4} {short_date(row.date)} {column(row.minutes) if row.minutes else '':>6}"
        return Line(
            runs=(
                Run(text=" ", style="accent"),
                Run(text=f"{head}  ", style=style),
                *strip_runs(row.cells),
                Run(text=" " * (widest - len(row.cells))),
                Run(text=f"{CAME} " if row.came else "  ", style="faint"),
                Run(text=text, style="" if _is_work(row) else "faint"),
            ),
            right=note,
            key=key,
        )

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a day, and its mark with it."""
        moved = super().go(key, tell)
        if moved:
            self._mark()
        return moved

    @property
    def mark(self) -> str:
        """The cursor's mark: hollow while keys are for the steps."""
        return CURSOR if self.has_focus else ELSEWHERE

    def _mark(self) -> None:
        self.lines = tuple(_marked(line, self.cursor, self.mark) for line in self.lines)
        self.refresh()

    def on_focus(self) -> None:
        """Keys are for the days."""
        self.call_later(self._mark)

    def on_blur(self) -> None:
        """Keys are for something else."""
        self.call_later(self._mark)

    def keep_in_view(self) -> None:
        """As every list; and no occasion stands on top without its day."""
        super().keep_in_view()
        top, here = self.scroll_target_y, self._index()
        if here is None or not self.lines:
            return
        first = round(top)
        while first < here and " " in (self.lines[first].key or ""):
            first += 1
        if first != round(top):
            self.scroll_to(y=first, animate=False, force=True)

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter is about the day, or about its occasion."""
        if action in ("choose", "needs"):
            return self.cursor is not None and (self.occasion is not None) is (action == "needs")
        return True

    def action_needs(self) -> None:
        """Ask for what the occasion under the cursor needs."""
        if self.occasion is not None:
            self.post_message(self.Needed(self.occasion))

    def clicked(self, key: str) -> None:
        """A click goes there; where the cursor already stood it chooses."""
        if key == self.cursor and self.occasion is not None:
            self.action_needs()
        else:
            super().clicked(key)


def _noted(row: Row) -> str:
    """The gravest note, and that it is wearable from then on."""
    first = row.notes[:1]
    last = [note for note in row.notes[1:] if note == "wearable"]
    return ", ".join([*first, *last])


def _is_work(row: Row) -> bool:
    """Whether the row tells of work that is still to be done."""
    return bool(row.cells and row.minutes) and not row.behind


def strip_runs(strip: Sequence[Cell]) -> list[Run]:
    """A strip as runs of one hue each."""
    found: list[Run] = []
    for cell in strip:
        style = cell.letter if cell.letter in LETTERS else "faint"
        last = found[-1] if found else None
        if last is not None and (last.style, last.reverse) == (style, cell.over):
            found[-1] = Run(text=last.text + cell.letter, style=style, reverse=cell.over)
        else:
            found.append(Run(text=cell.letter, style=style, reverse=cell.over))
    return found


def _marked(line: Line, key: str | None, mark: str) -> Line:
    """The line with the cursor's mark, or without."""
    if line.key is None:
        return line
    first = Run(text=mark if line.key == key else " ", style="accent")
    if line.runs[0] == first:
        return line
    return Line(runs=(first, *line.runs[1:]), right=line.right, key=line.key)


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
