"""The diary as lines: days newest first, each with its sum, and beneath it what was logged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.diary_days import DiaryDay, Logged
from planner.held import PastOccasion
from planner.plan import Plan, PlannedStep
from screens.diary_told import EntryRow, day_heading, day_notes, entry_row, nothing
from screens.held_told import occasion_row
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines, marked
from screens.wording import cells, padded, short_names, wrapped

HEAD = 20
"""Columns before the garment: mark, clock, minutes, letter."""
GARMENT = 20
"""Columns a garment's name gets at the most, where there is little room."""
WIDE = 96
"""Columns from which on it gets more."""
WIDE_GARMENT = 28


class DiaryList(MarkedLines, can_focus=True):
    """Days and entries; the cursor stands on either."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "open",
            key_display="enter",
            id="diary.enter",
            tooltip="Change this entry in a form; on a day, log what was done on it;"
            " on an occasion, say whether it was held",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.days: tuple[DiaryDay, ...] = ()
        self.steps: dict[str, PlannedStep] = {}
        self.keyed: dict[str, Logged] = {}
        """Entries by the key the cursor stands on."""
        self.held: dict[str, PastOccasion] = {}
        """Past occasions by theirs."""
        self.before = 0
        """Steps that were done before the diary began."""

    def show(self, plan: Plan, days: Sequence[DiaryDay], before: int = 0) -> None:
        """Show the days; the cursor stays on its day or entry."""
        self.plan, self.days, self.before = plan, tuple(days), before
        self.steps = {step.id: step for step in plan.steps}
        self.keyed = keyed(days)
        self.held = {one.id: one for day in days for one in day.occasions}
        self.renew()

    def renew(self) -> None:
        """Compose afresh; tells where the cursor begins."""
        before = self.cursor
        super().renew()
        if before is None and self.cursor is not None:
            self.post_message(self.Moved(self, self.cursor))

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it; the lines stay as they are."""
        moved = Lines.go(self, key, tell)
        self.lines = marked(self.lines, key) if moved else self.lines
        return moved

    @property
    def logged(self) -> Logged | None:
        """The entry under the cursor."""
        return self.keyed.get(self.cursor or "")

    @property
    def occasion(self) -> PastOccasion | None:
        """The past occasion under the cursor."""
        return self.held.get(self.cursor or "")

    @property
    def day(self) -> date | None:
        """The day under the cursor, or that of the entry or the occasion."""
        if self.occasion is not None:
            return self.occasion.at.date()
        if self.logged is not None:
            return self.logged.entry.at.date()
        return date.fromisoformat(self.cursor) if self.cursor is not None else None

    @property
    def has_entries(self) -> bool:
        """Whether anything was ever logged."""
        return bool(self.keyed)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Day by day."""
        plan = self.plan
        if plan is None:
            return ()
        found: list[Line] = []
        if not self.has_entries:
            told = wrapped([nothing(plan, self.before)], max(20, min(width - 3, 76)))
            found += [plain(f" {line}", "faint") for line in told] + [plain("")]
        rows = {key: entry_row(plan, self.steps, one.entry) for key, one in self.keyed.items()}
        short = short_names(dict.fromkeys(row.garment for row in rows.values()))
        most = WIDE_GARMENT if width >= WIDE else GARMENT
        garment = min(most, max((cells(short[row.garment]) for row in rows.values()), default=0))
        keys = {id(one): key for key, one in self.keyed.items()}
        for day in self.days:
            found += self._day(plan, day, width)
            for occasion in day.occasions:
                found += self._occasion(plan, occasion, width)
            for one in day.logged:
                key = keys[id(one)]
                found += self._entry(key, rows[key], short[rows[key].garment], garment, width)
        return found

    def _day(self, plan: Plan, day: DiaryDay, width: int) -> list[Line]:
        """The day's heading, and beneath it what was lost."""
        key = day.date.isoformat()
        name, told = day_heading(plan, day)
        line = Line(
            runs=(self._mark(key), Run(text=f" {name}", style="strong")),
            right=Run(text=told, style="faint"),
            key=key,
        )
        notes = wrapped(day_notes(day), max(20, width - 8))
        return [line, *(_beneath(f"    {note}", key) for note in notes)]

    def _occasion(self, plan: Plan, one: PastOccasion, width: int) -> list[Line]:
        """What became of a past occasion."""
        first, *more = wrapped([occasion_row(plan, one)], max(20, width - 6))
        line = Line(runs=(self._mark(one.id), Run(text=f"   {first}")), key=one.id)
        return [line, *(_beneath(f"      {text}", one.id, "") for text in more)]

    def _entry(self, key: str, row: EntryRow, garment: str, wide: int, width: int) -> list[Line]:
        """An entry, and beneath it what has no room in its line."""
        head = f"   {row.clock:>5}  {row.minutes:>5}  "
        indent = HEAD + wide + 2
        room = max(12, width - indent - cells(row.known) - 2)
        first, *more = wrapped([row.name], room) or [""]
        line = Line(
            runs=(
                self._mark(key),
                Run(text=head, style="faint"),
                Run(text=row.letter, style=row.letter if row.letter in self._letters() else ""),
                Run(text=f"  {padded(garment, wide)}  ", style="faint"),
                Run(text=first),
            ),
            right=Run(text=row.known, style="faint"),
            key=key,
        )
        beneath = [_beneath(" " * indent + text, key, "") for text in more]
        for text in row.beneath:
            inner = wrapped([text], max(20, width - HEAD - 2))
            beneath += [_beneath(" " * HEAD + one, key) for one in inner]
        return [line, *beneath]

    @staticmethod
    def _letters() -> str:
        return "dcmhpfbk"

    def _mark(self, key: str) -> Run:
        return Run(text=CURSOR if key == self.cursor else " ", style="accent")


def keyed(days: Sequence[DiaryDay]) -> dict[str, Logged]:
    """Entries by keys that stay theirs when others come or go: moment, step, which of the two."""
    seen: Counter[str] = Counter()
    found: dict[str, Logged] = {}
    for one in sorted((one for day in days for one in day.logged), key=lambda one: one.index):
        name = f"{one.entry.at.isoformat()}|{one.entry.step}"
        found[f"{name}|{seen[name]}"] = one
        seen[name] += 1
    return found


def _beneath(text: str, key: str, style: str = "faint") -> Line:
    return Line(runs=(Run(text=text, style=style),), click=key)
