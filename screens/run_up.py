"""The Run-up: one line a day to the occasion; the day under the cursor opens beneath."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType

from screens.page import Page
from screens.state import State
from screens.widgets.days import Days
from screens.widgets.lines import Lines
from screens.widgets.opened_day import OpenedDay
from screens.widgets.stitching import Stitching


class RunUp(Page):
    """The home screen."""

    AUTO_FOCUS = "#days"
    CSS_PATH = ["page.tcss", "run_up.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "today", "today", id="run-up.today", tooltip="Go to today"),
    ]

    days = getters.query_one("#days", Days)
    opened = getters.query_one("#opened", OpenedDay)

    def regions(self) -> ComposeResult:
        """Days, and the opened day."""
        yield Days(id="days")
        yield Stitching(id="between")
        yield OpenedDay(id="opened")

    @property
    def slice(self) -> int | None:
        """Minutes of a cell, as drawn."""
        return self.days.slice

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here."""
        if self.days.plan is not None:
            yield SystemCommand("Go to today", "Put the cursor on today", self.action_today)
        if self.showing is not None and self.showing.project.ensembles:
            yield SystemCommand("Add a garment", "To the next ensemble", self._add_garment)
            yield SystemCommand("Begin a new ensemble", "In this workroom", self._begin_ensemble)

    def _add_garment(self) -> None:
        from screens.adding import add_garment_to, next_ensemble

        if self.showing is not None:
            add_garment_to(self.app, self.showing, next_ensemble(self.showing))

    def _begin_ensemble(self) -> None:
        from screens.beginning import new_ensemble

        if self.showing is not None:
            self.app.push_screen(new_ensemble(self.showing))

    def moved(self, state: State) -> str:
        """Where the step under the cursor has moved to."""
        return self.opened.where_now(state.plan) if self.opened.plan is not None else ""

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show a state; the cursor stays on its day and step."""
        if self.days.plan is None:
            self.days.cursor = state.plan.now.date().isoformat()
        self.days.show(state.plan)
        self.set_class(not state.plan.days, "-empty")
        self._open_day(state)

    def go_to(self, ident: str) -> None:
        """Put the cursor on a day, on an occasion's day, or on a step in its day."""
        plan = self.days.plan
        if plan is None:
            return
        if ident.count("/") == 2:
            self._found(ident)
            return
        at = {one.id: one.at.date().isoformat() for one in plan.occasions}.get(ident, ident)
        if self.days.go(at, tell=False):
            self.opened.show_day(plan, date.fromisoformat(at))

    def _open_day(self, state: State) -> None:
        """Open the day under the cursor."""
        if self.opened.step is not None:
            self.opened.show_step(state.plan, self.opened.step)
        elif self.days.cursor is not None:
            self.opened.show_day(state.plan, date.fromisoformat(self.days.cursor))

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another day is under the cursor."""
        if event.lines is self.days and self.days.plan is not None:
            self.problems.forget_moved()
            self.opened.show_day(self.days.plan, date.fromisoformat(event.key))

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Go to the day's steps, where it has any."""
        if event.lines is self.days and self.opened.cursor is not None:
            self.opened.focus()

    def action_today(self) -> None:
        """Go to today."""
        self.days.today()
        self.days.focus()

    def _found(self, step: str) -> None:
        """Go to the step that was found, its reason open."""
        plan = self.days.plan
        if plan is None:
            return
        day = next((one.date for one in plan.sittings if one.step == step), None)
        if day is None:
            self.opened.show_step(plan, step)
        else:
            self.days.go(day.isoformat(), tell=False)
            self.opened.show_day(plan, day)
            self.opened.find(step)
        self.opened.focus()
