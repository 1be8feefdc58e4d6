"""The day under the cursor, opened: its steps in order, and why each is there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.plan import Plan
from screens.countdown import OnDay, days_of, occasion_line
from screens.opened import StepLine, day_heading, day_notes, nothing_planned, step_lines
from screens.why import cautions, reason_sentences
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import OpeningLines
from screens.wording import cells, clock, column, on_date, step_with_garment, wrapped

WIDE_ENOUGH = 68
"""Columns from which on what to know stands on the step's own line, where it fits."""
NAMES = 28
"""Names up to this length stand in a column."""
INDENT = 17
"""Columns before a step's name."""


class OpenedDay(OpeningLines):
    """Steps of a day; each opens its reason beneath itself."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="opened.enter",
            tooltip="Open or close the reason of this step",
        ),
        Binding(
            "escape",
            "close",
            "back",
            key_display="esc",
            id="opened.escape",
            tooltip="Close the reason, then go back to the days",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.day: date | None = None
        self.step: str | None = None
        """A step shown alone, for it has no day."""
        self.open: str | None = None
        """The step whose reason is open."""

    def show_day(self, plan: Plan, day: date) -> None:
        """Show a day; an open reason stays open on its own day."""
        if day != self.day or self.step is not None:
            self.open, self.step = None, None
            self.scroll_to(y=0, animate=False)
        self.plan, self.day = plan, day
        self.renew()

    def show_step(self, plan: Plan, step: str) -> None:
        """Show a step that is on no day, its reason open."""
        self.plan, self.step, self.open, self.cursor = plan, step, step, step
        self.scroll_to(y=0, animate=False)
        self.renew()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Heading, notes, then the steps in order of time."""
        plan = self.plan
        if plan is None:
            return ()
        if self.step is not None:
            heading = step_with_garment(plan, self.step)
            return [plain(f" {heading}", "strong", self.step), *self._reason(self.step, width)]
        on_day = next((one for one in days_of(plan) if one.day.date == self.day), None)
        if on_day is None:
            return ()
        found = [
            plain(f" {line}", "strong") for line in wrapped([day_heading(plan, on_day)], width - 2)
        ]
        for note in wrapped(day_notes(plan, on_day), width - 2):
            found.append(plain(f" {note}", "accent"))
        return found + self._steps(plan, on_day, width)

    def _steps(self, plan: Plan, on_day: OnDay, width: int) -> list[Line]:
        """The steps, and occasions that have none of their own."""
        lines = step_lines(plan, on_day)
        found: list[Line] = []
        if not lines and not on_day.occasions:
            found += [
                plain(f" {text}", "faint") for text in wrapped([nothing_planned(on_day)], width - 2)
            ]
        ahead = list(on_day.occasions)
        for number, line in enumerate(lines):
            while ahead and line.sitting.start and line.sitting.start >= ahead[0].at:
                found.append(plain(f" {occasion_line(plan, ahead.pop(0))}", "faint"))
            found += self._step(line, f"{number} {line.sitting.step}", lines, width)
        return found + [plain(f" {occasion_line(plan, one)}", "faint") for one in ahead]

    def _step(self, line: StepLine, key: str, lines: list[StepLine], width: int) -> list[Line]:
        """A step by its whole name, then garment and what to know; its reason where open."""
        start = clock(line.sitting.start) if line.sitting.start else "over"
        here = CURSOR if key == self.cursor and self.has_focus else " "
        head = f"{start:<5} {column(line.sitting.minutes):>5}  "
        room = max(12, width - cells(head) - 5)
        first, *rest = wrapped([line.name], room)
        runs: tuple[Run, ...] = (
            Run(text=here, style="accent"),
            Run(text=head, style="faint"),
            Run(text=line.letter, style=line.letter),
            Run(text=f"  {first}"),
        )
        more = [Line(runs=(Run(text=" " * INDENT + text),), click=key) for text in rest]
        known = "; ".join(text for text in (line.garment, line.known) if text)
        names = max(cells(one.name) for one in lines if cells(one.name) <= NAMES or one is line)
        taken = cells(first) + cells(known)
        gap = min(max(2, names + 2 - cells(first)), room - taken)
        if width >= WIDE_ENOUGH and not rest and gap >= 2:
            runs = (*runs, Run(text=f"{' ' * gap}{known}", style="faint"))
        else:
            more += _beneath([known], width, "faint", key)
        if line.caution:
            more += _beneath([line.caution], width, "accent", key)
        if self.open == key:
            more += self._reason(line.sitting.step, width, key)
        return [Line(runs=runs, key=key), *more]

    def _reason(self, ident: str, width: int, key: str | None = None) -> list[Line]:
        """The reason of a step, each sentence on lines of its own."""
        assert self.plan is not None
        step = next((one for one in self.plan.steps if one.id == ident), None)
        sentences = reason_sentences(self.plan, step) if step else []
        if step and self.step is not None:
            sentences += cautions(step)
        found: list[Line] = []
        for sentence in sentences:
            found += _beneath([sentence], width, "", key)
        return found

    # keys

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Open the reason, or close it."""
        event.stop()
        if self.step is None:
            self.open = None if self.open == event.key else event.key
            self.renew()
            self.call_after_refresh(self.keep_in_view)

    def close(self) -> bool:
        """Close the reason; whether there was one."""
        if self.open is None:
            return False
        self.open = None
        self.renew()
        return True

    def action_close(self) -> None:
        """Close the reason, or leave."""
        if self.step is not None or not self.close():
            self.screen.focus_previous()

    def find(self, step: str) -> bool:
        """Put the cursor on a step by its id, its reason open."""
        for line in self.lines:
            if line.key is not None and line.key.split(" ", 1)[1] == step:
                self.open = line.key
                self.go(line.key)
                self.call_after_refresh(self.keep_in_view)
                return True
        return False

    def where_now(self, plan: Plan) -> str:
        """Where the cursor's step has gone by a new plan; empty where it has stayed."""
        if self.step is not None or self.cursor is None or self.day is None:
            return ""
        ident = self.cursor.split(" ", 1)[1]
        if any(one.step == ident and one.date == self.day for one in plan.sittings):
            return ""
        days = [one.date for one in plan.sittings if one.step == ident]
        name = step_with_garment(plan, ident)
        if days:
            return f"{name} is now {on_date(days[0], plan.now.date())}."
        return f"{name} is no longer planned."


def _beneath(sentences: list[str], width: int, style: str, key: str | None) -> list[Line]:
    """Sentences beneath a step, indented."""
    indent = 8 if width >= WIDE_ENOUGH else 4
    return [
        Line(runs=(Run(text=" " * indent + text, style=style),), click=key)
        for text in wrapped(sentences, max(20, width - indent - 1))
    ]
