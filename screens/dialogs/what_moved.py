"""What moved since an earlier day: the plan as it stands against the one that day began with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from planner.plan import Plan
from planner.problems import Problem
from screens.forms.parts import Told
from screens.moved_since import MovedSince, days_known, moved_since, unknown_told
from screens.moved_told import Row, groups, moved_lines
from screens.showing import ShowsState
from screens.state import State
from screens.widgets.key_line import KeyLine
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.widgets.marked import MarkedLines
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine
from screens.wording import abbreviated, cells, column, named_date, padded, wrapped

if TYPE_CHECKING:
    from screens.app import Wearby

DAYS = 23
"""Columns of a move: from which day to which."""
BESIDE = 100
"""Columns from which on garment and reason stand beside the step."""
NAME = 42
"""Columns a step's name takes at most then; a longer one goes on beneath."""
COMPARING = "comparing …"


class MovedList(MarkedLines, can_focus=True):
    """Sentences, then the steps with which something came about; the cursor goes by steps."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,left_square_bracket", "screen.day(-1)", "earlier day", key_display="←",
                id="moved.earlier", tooltip="Compare with the plan of an earlier day"),
        Binding("right,right_square_bracket", "screen.day(1)", "later day", key_display="→",
                id="moved.later", tooltip="Compare with the plan of a later day"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__(id="moved")
        self.plan: Plan | None = None
        self.found: MovedSince | None = None
        self.told = ""

    def show(self, plan: Plan, found: MovedSince | None, told: str = "") -> None:
        """Show what moved; where nothing is known, what is told of that."""
        self.plan, self.found, self.told = plan, found, told
        self.cursor = None
        self.renew()
        self.scroll_to(y=0, animate=False)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The summary, then and now, and group by group."""
        if self.plan is None or self.found is None:
            return [plain(f" {line}", "faint") for line in wrapped([self.told], width - 2)]
        first, *rest = moved_lines(self.found, self.plan)
        found = [plain(f" {line}", "strong") for line in wrapped([first], width - 2)]
        found += [plain(f" {line}") for text in rest for line in wrapped([text], width - 2)]
        every = groups(self.found.moved, self.plan)
        names = max((cells(row.name) for group in every for row in group.rows), default=0)
        for group in every:
            found += [plain(""), plain(f" {group.title}", "strong")]
            for row in group.rows:
                found += self._row(f"{group.title} {row.step}", row, width, min(names, NAME))
        return found

    def _row(self, key: str, row: Row, width: int, name: int) -> list[Line]:
        """Days, minutes, letter, step; garment and why beside it, or beneath."""
        minutes = [f"{column(one):>5}" for one in row.minutes] or [" " * 5]
        days, *more = row.days or ("",)
        letter = row.letter.strip()
        head = (
            Run(text=CURSOR if key == self.cursor else " ", style="accent"),
            Run(text=f" {padded(days, DAYS)}  {minutes[0]}  "),
            Run(text=f"{row.letter}  ", style=letter),
        )
        indent = sum(cells(one.text) for one in head)
        further = [
            f"  {padded(day, DAYS)}  {time}" for day, time in zip(more, minutes[1:], strict=False)
        ]
        if width >= BESIDE:
            return _beside(head, indent, row, further, key, width, name)
        told = abbreviated(row.told)
        if indent + cells(row.name) + 2 + cells(told) <= width:
            return _beside(head, indent, row, further, key, width, cells(row.name))
        names = wrapped([row.name], width - indent)
        beneath = [Run(text=line) for line in names[1:]]
        beneath += [Run(text=line, style="faint") for line in wrapped([told], width - indent)]
        found = [Line(runs=(*head, Run(text=names[0] if names else "")), key=key)]
        return found + _put_together(further, beneath, indent, key)


def _beside(
    head: tuple[Run, ...],
    indent: int,
    row: Row,
    further: list[str],
    key: str,
    width: int,
    name: int,
) -> list[Line]:
    """A row with garment and reason in a column of their own, behind a ``name`` of so many."""
    names = wrapped([row.name], name)
    text = row.told if width >= BESIDE else abbreviated(row.told)
    told = wrapped([text], width - indent - name - 2)
    lines = max(len(names), len(told), 1)
    parts = [
        (
            Run(text=padded(names[k] if k < len(names) else "", name + 2)),
            Run(text=told[k] if k < len(told) else "", style="faint"),
        )
        for k in range(lines)
    ]
    found = [Line(runs=(*head, *parts[0]), key=key)]
    for k in range(1, max(lines, len(further) + 1)):
        left = padded(further[k - 1] if k <= len(further) else "", indent)
        rest = parts[k] if k < lines else ()
        found.append(Line(runs=(Run(text=left), *rest), click=key))
    return found


def _put_together(
    further: list[str], beneath: list[Run], indent: int, key: str
) -> list[Line]:
    """Further days at the left, what is told at the right, in as few lines as that takes."""
    found = []
    for k in range(max(len(further), len(beneath))):
        left = Run(text=padded(further[k] if k < len(further) else "", indent))
        runs = (left, beneath[k]) if k < len(beneath) else (left,)
        found.append(Line(runs=runs, click=key))
    return found


class MovedKeys(KeyLine):
    """The keys of the list, at its lower edge."""


class WhatMoved(ModalScreen[None], ShowsState):
    """What moved, since a day that is chosen among those of which a plan is known."""

    AUTO_FOCUS = "#moved"
    CSS_PATH = "what_moved.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "go", "its day", key_display="enter", id="moved.go",
                tooltip="Go to this step in the run-up"),
        Binding("escape,q", "leave", "close", key_display="esc", id="moved.close",
                tooltip="Close"),
    ]  # fmt: skip

    verdict = getters.query_one(VerdictLine)
    since = getters.query_one("#since", Told)
    moved = getters.query_one("#moved", MovedList)

    def __init__(self) -> None:
        super().__init__()
        self.days: list[date] = []
        """Those of which a plan is known, up to today."""
        self.at = 0
        """Which of them is compared with."""
        self.asked = 0
        """The number of the comparison that was asked for last."""

    def compose(self) -> ComposeResult:
        """Verdict, since when, what moved, keys."""
        yield VerdictLine()
        yield Stitching()
        yield Told(id="since")
        yield MovedList()
        yield Stitching()
        yield MovedKeys()

    def on_mount(self) -> None:
        """Compare with the last day before today of which a plan is known, else with today."""
        state = self.program.state
        if state is None:
            return
        today = state.now.date()
        self.days = days_known(state.project, today)
        before = [k for k, day in enumerate(self.days) if day < today]
        self.at = before[-1] if before else 0
        self._compare(state)

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    def show(self, state: State, *, refined: bool = False) -> None:
        """Another plan: compare anew."""
        if not refined:
            self._compare(state)

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """The last plan stays."""

    def _compare(self, state: State) -> None:
        """Compare beside the screen; what was asked for before is dropped."""
        self.showing = state
        self.verdict.plan = state.plan
        self.asked += 1
        today = state.now.date()
        self.since.text = self._since_told(today)
        day = self.days[self.at] if self.days else today
        if not self.days:
            self.moved.show(state.plan, None, unknown_told(state.project, today, today))
            self.refresh_bindings()
            return
        if self.moved.found is None:
            self.moved.show(state.plan, None, COMPARING)
        work = partial(self._work_out, self.asked, state, day)
        self.run_worker(work, thread=True, group="plan", exit_on_error=False)
        self.refresh_bindings()

    def _work_out(self, number: int, state: State, day: date) -> None:
        found = moved_since(state.project, state.plan, day)
        self.app.call_from_thread(self._show, number, state, found, day)

    def _show(self, number: int, state: State, found: MovedSince | None, day: date) -> None:
        """Show what came, unless something else was asked for since."""
        if number != self.asked or not self.is_attached:
            return
        today = state.now.date()
        told = unknown_told(state.project, day, today) if found is None else ""
        self.moved.show(state.plan, found, told)
        self.refresh_bindings()

    def _since_told(self, today: date) -> str:
        """Which day it is compared with, and how many there are."""
        if not self.days:
            return "What moved since an earlier day"
        day = named_date(self.days[self.at], today)
        of = f"   {self.at + 1} of {len(self.days)}" if len(self.days) > 1 else ""
        return f"What moved since ‹{day}›{of}"

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Days where there are others, a step where there is one."""
        if action == "day":
            (by,) = parameters
            return isinstance(by, int) and 0 <= self.at + by < len(self.days)
        if action == "go":
            return self._step() is not None
        return True

    def action_day(self, by: int) -> None:
        """Compare with another day."""
        if self.showing is not None:
            self.at += by
            self._compare(self.showing)

    def _step(self) -> str | None:
        """The step under the cursor, where the run-up has a day for it."""
        key, state = self.moved.cursor, self.showing
        if key is None or state is None or self.moved.found is None:
            return None
        step = key.rsplit(" ", 1)[-1]
        there = any(one.id == step and one.first_day is not None for one in state.plan.steps)
        return step if there else None

    def on_lines_moved(self) -> None:
        """Another step: whether it has a day."""
        self.refresh_bindings()

    def on_lines_chosen(self) -> None:
        """A click where the cursor already stood."""
        self.action_go()

    def action_go(self) -> None:
        """Close, and go to the step in the run-up."""
        step = self._step()
        if step is not None:
            self.dismiss(None)
            self.program.open_step(step)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
