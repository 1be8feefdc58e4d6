"""The day under the cursor, opened: its steps in order, and why each is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.model import Entry
from planner.plan import Plan, PlannedOccasion
from screens.countdown import OnDay, lacking, occasion_line
from screens.done_told import done_already, done_heading, done_lines, lost_sentence
from screens.looked_at import Behind, LookedAt, minutes_at
from screens.marks import CAME
from screens.opened import StepLine, day_heading, day_notes, nothing_planned, step_lines
from screens.why import caution_in_a_line, cautions, reason_sentences
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import OpeningLines
from screens.wording import (
    abbreviated,
    cells,
    clean,
    clock,
    column,
    on_date,
    spoken,
    step_with_garment,
    wrapped,
)

WIDE_ENOUGH = 68
"""Columns from which on what to know stands on the step's own line, where it fits."""
NAMES = 28
"""Names up to this length stand in a column."""
INDENT = 17
"""Columns before a step's name."""
DONE = "done "
"""Before the keys of what was logged."""


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
        self.looked: LookedAt | None = None
        self.day: date | None = None
        self.step: str | None = None
        """A step shown alone, for it has no day."""
        self.open: str | None = None
        """The step whose reason is open."""
        self._brief = False
        """Whether a caution has one line till its step is opened, for the day hasn't room."""

    @property
    def plan(self) -> Plan | None:
        """The plan that is shown."""
        return self.looked.plan if self.looked is not None else None

    @property
    def step_here(self) -> str | None:
        """Full id of the step under the cursor, or of the one shown alone."""
        if self.step is not None:
            return self.step
        return _step_of(self.cursor) if self.cursor is not None else None

    def show_day(self, looked: LookedAt, day: date) -> None:
        """Show a day; an open reason stays open on its own day."""
        if day != self.day or self.step is not None:
            self.open, self.step, self.cursor = None, None, None
            self.scroll_to(y=0, animate=False)
        self.looked, self.day = looked, day
        self.renew()

    def show_step(self, looked: LookedAt, step: str) -> None:
        """Show a step that is on no day, its reason open."""
        self.looked, self.step, self.open, self.cursor = looked, step, step, step
        self.scroll_to(y=0, animate=False)
        self.renew()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Heading, notes, then what was done and the steps in order of time."""
        looked = self.looked
        if looked is None:
            return ()
        if self.step is not None:
            heading = step_with_garment(looked.plan, self.step)
            return [plain(f" {heading}", "strong", self.step), *self._reason(self.step, width)]
        on_day = looked.days.get(self.day) if self.day is not None else None
        behind = looked.behind_on(self.day) if self.day is not None else None
        if behind is not None:
            return self._behind(looked, behind, width)
        if on_day is None:
            return ()
        self._brief = False
        whole = self._ahead(looked, on_day, width)
        self._brief = len(whole) > self.scrollable_content_region.height
        return self._ahead(looked, on_day, width) if self._brief else whole

    def _behind(self, looked: LookedAt, behind: Behind, width: int) -> list[Line]:
        """A day behind: what was lost of it, and what was done."""
        heading = done_heading(looked.plan, behind.date, behind.entries)
        found = [plain(f" {line}", "strong") for line in wrapped([heading], width - 2)]
        if behind.lost is not None:
            lost = wrapped([lost_sentence(behind.lost)], width - 2)
            found += [plain(f" {line}", "accent") for line in lost]
        return found + self._done(looked, behind.entries, width)

    def _ahead(self, looked: LookedAt, on_day: OnDay, width: int) -> list[Line]:
        """A day from today on."""
        plan = looked.plan
        heading = day_heading(plan, on_day)
        found = [plain(f" {line}", "strong") for line in wrapped([heading], width - 2)]
        for note in wrapped(day_notes(plan, on_day, looked.lost), width - 2):
            found.append(plain(f" {note}", "accent"))
        for told in wrapped(self._aside(looked, on_day), width - 2):
            found.append(plain(f" {told}", "faint"))
        if on_day.day.date == looked.today.date and looked.today.entries:
            found.append(plain(f" {done_already(looked.today.minutes)}", "faint"))
            found += self._done(looked, looked.today.entries, width)
        return found + self._steps(plan, on_day, width)

    def _aside(self, looked: LookedAt, on_day: OnDay) -> list[str]:
        """Why the day's hours are as they are, and what else is done in them."""
        day = on_day.day.date
        differs = looked.differs.get(day)
        found = []
        if differs is not None:
            told = "Marked away" if differs.away else "Other hours than usual"
            reason = f": {clean(differs.reason)}" if differs.reason else ""
            found.append(f"{told}{reason}.{' The key a takes that back.' * differs.away}")
        others = looked.others.get(day, ())
        if others:
            minutes = spoken(minutes_at(others))
            found.append(f"Besides, {minutes} for the others.")
        return found

    def _done(self, looked: LookedAt, entries: Sequence[Entry], width: int) -> list[Line]:
        """What was logged, entry by entry, with the maker's own words."""
        found: list[Line] = []
        for number, line in enumerate(done_lines(looked.plan, looked.steps, entries)):
            key = f"{DONE}{number} {line.entry.step}"
            head = f"{clock(line.entry.at):<5} {column(line.entry.minutes):>5}  "
            first, *rest = wrapped([line.name], max(12, width - cells(head) - 5))
            style = line.letter if line.letter != "?" else "faint"
            runs = (
                Run(text=CURSOR if key == self.cursor and self.has_focus else " ", style="accent"),
                Run(text=head, style="faint"),
                Run(text=line.letter, style=style),
                Run(text=f"  {first}"),
            )
            found.append(Line(runs=runs, key=key))
            found += [Line(runs=(Run(text=" " * INDENT + text),), click=key) for text in rest]
            found += _beneath([f"{line.garment}; {line.known}"], width, "faint", key)
            found += _beneath([line.note], width, "", key) if line.note else []
            if self.open == key:
                found += self._reason(line.entry.step, width, key)
        return found

    def _steps(self, plan: Plan, on_day: OnDay, width: int) -> list[Line]:
        """The steps, and occasions that have none of their own."""
        lines = step_lines(plan, on_day)
        found: list[Line] = []
        away = self.looked is not None and self.looked.differs.get(on_day.day.date)
        if not lines and not on_day.occasions and not (away and away.away):
            today = on_day.day.date == plan.now.date()
            over = today and self.looked is not None and self.looked.hours_over
            told = wrapped([nothing_planned(on_day, over)], width - 2)
            found += [plain(f" {text}", "faint") for text in told]
        ahead = list(on_day.occasions)
        for number, line in enumerate(lines):
            line = self._where_from(line, on_day)
            while ahead and line.sitting.start and line.sitting.start >= ahead[0].at:
                found += _occasion(plan, ahead.pop(0))
            found += self._step(line, f"{number} {line.sitting.step}", lines, width)
        for one in ahead:
            found += _occasion(plan, one)
        return found

    def _where_from(self, line: StepLine, on_day: OnDay) -> StepLine:
        """A step with the day it was on, where it has come from another by the last change."""
        looked, day = self.looked, on_day.day.date
        was = looked.came.get(day, {}).get(line.sitting.step) if looked is not None else None
        if looked is None or was is None:
            return line
        told = f"was {on_date(was, looked.plan.now.date())}"
        known = "; ".join(part for part in (told, line.known) if part)
        return replace(line, known=known, came=True)

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
            Run(text=f" {CAME}" if line.came else "  ", style="faint"),
            Run(text=first),
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
        for caution in line.cautions:
            told = caution
            if self._brief and self.open != key:
                told = caution_in_a_line(caution, _room(width))
            more += _beneath([told], width, "accent", key)
        if self.open == key:
            more += self._reason(line.sitting.step, width, key)
        return [Line(runs=runs, key=key), *more]

    def _reason(self, ident: str, width: int, key: str | None = None) -> list[Line]:
        """The reason of a step, each sentence on lines of its own."""
        assert self.looked is not None
        step = self.looked.steps.get(ident)
        sentences = reason_sentences(self.looked.plan, step) if step else []
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

    def find(self, step: str, opened: bool = True) -> bool:
        """Put the cursor on a step by its id, its reason open; what is to do before what is done.

        Not ``opened``, the reason stays as it is.
        """
        keys = [line.key for line in self.lines if line.key and _step_of(line.key) == step]
        if not keys:
            return False
        key = min(keys, key=lambda one: one.startswith(DONE))
        self.open = key if opened else self.open
        self.go(key)
        self.call_after_refresh(self.keep_in_view)
        return True

    def where_now(self, plan: Plan) -> str:
        """Where the cursor's step has gone by a new plan; empty where it has stayed."""
        if self.step is not None or self.cursor is None or self.day is None:
            return ""
        if self.cursor.startswith(DONE):
            return ""
        ident = _step_of(self.cursor)
        if any(one.step == ident and one.date == self.day for one in plan.sittings):
            return ""
        if any(one.id == ident and one.done for one in plan.steps):
            return ""
        days = [one.date for one in plan.sittings if one.step == ident]
        name = step_with_garment(plan, ident)
        if days:
            return abbreviated(f"{name} is now {on_date(days[0], plan.now.date())}.")
        return f"{name} is no longer planned."


def _step_of(key: str) -> str:
    """Full id of the step a key stands for."""
    return key.rsplit(" ", 1)[-1]


def _occasion(plan: Plan, occasion: PlannedOccasion) -> list[Line]:
    """What takes place on a day; of what is over, what it lacked."""
    found = [plain(f" {occasion_line(plan, occasion)}", "faint")]
    if occasion.past and (told := lacking(plan, occasion)):
        found.append(plain(f"{'':14}{', '.join(told)}", "faint"))
    return found


def _beneath(sentences: list[str], width: int, style: str, key: str | None) -> list[Line]:
    """Sentences beneath a step, indented."""
    indent = _indent(width)
    return [
        Line(runs=(Run(text=" " * indent + text, style=style),), click=key)
        for text in wrapped(sentences, _room(width))
    ]


def _indent(width: int) -> int:
    """Columns before what stands beneath a step."""
    return 8 if width >= WIDE_ENOUGH else 4


def _room(width: int) -> int:
    """Columns for it."""
    return max(20, width - _indent(width) - 1)
