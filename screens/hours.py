"""The Hours: the weeks ahead at every place, days away and recurrences, changed in place."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.containers import Container

from planner.editing import PLACES, present, remove_change, taken_back
from screens.hours_told import NAMES, back_label, change_label, settings_rows
from screens.page import Page
from screens.state import State
from screens.then import became_sentence
from screens.which_days import days_told
from screens.widgets.hours_list import CHANGE, CHANGES, DAY, SETTING, WEEK, Headings, HoursList
from screens.widgets.hours_opened import HoursOpened
from screens.widgets.lines import Lines
from screens.widgets.stitching import Stitching
from screens.wording import WEEKDAYS, long_date

if TYPE_CHECKING:
    from screens.forms.questions import Questions


def _key(key: str, action: str, told: str, tooltip: str, show: bool = False) -> Binding:
    name = action.replace("_", "-")
    return Binding(key, action, told, show=show, id=f"hours.{name}", tooltip=tooltip)


class Hours(Page):
    """When the maker sews."""

    AUTO_FOCUS = "#hours"
    CSS_PATH = ["page.tcss", "hours.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("a", "away", "away", "Away on this day, or from it to another", True),
        _key("r", "take_back", "take back", "Take back what makes this day differ", True),
        _key("i", "new", "repeats", "Say which days differ: once, or again and again", True),
        _key("w", "week", "week", "To the usual week and what differs from it, and back", True),
        _key("e,c", "edit", "change", CHANGES),
        _key("t", "today", "today", "Go to today"),
        Binding(
            "delete,backspace",
            "remove",
            "remove",
            show=False,
            id="hours.remove",
            tooltip="Remove this change, or what makes this day differ",
        ),
    ]

    hours = getters.query_one("#hours", HoursList)
    opened = getters.query_one("#opened", HoursOpened)

    offered: tuple[bool | None, ...] = ()
    """What can be done where the cursor is; the keys are told anew only where that changes."""
    last_day: str | None = None
    """The day the cursor was on before it went to the usual week."""

    def regions(self) -> ComposeResult:
        """Days in columns, and what is opened."""
        headings = Headings(id="headings")
        with Container(id="days"):
            yield headings
            yield HoursList(headings, id="hours")
        yield Stitching(id="between")
        yield HoursOpened(id="opened")

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "A line is a day with its hours at each place, why they differ from its week, and how"
            " full it is by the plan, all its hours together. Below the last day stand the usual"
            " week, the days that differ from it, and how days are made; everything is changed"
            " where it stands. In the opened day a letter is the kind of work of a step:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show a state; the cursor stays on its day or line. Says what an edit has changed."""
        before = self.hours.plan
        if not refined and before is not None and self.verdict.told:
            self.verdict.tell_more(became_sentence(state.before or before, state.plan))
        self.hours.show(state.project, state.plan)
        self._open(state)
        self.refresh_bindings()

    def go_to(self, ident: str) -> None:
        """Put the cursor on a day, an occasion's or step's day, or a line by its key."""
        if self.showing is None:
            return
        plan = self.showing.plan
        days = {one.id: one.at.date() for one in plan.occasions}
        days |= {one.step: one.date for one in reversed(plan.sittings)}
        key = f"{DAY} {days[ident].isoformat()}" if ident in days else ident
        for known in (key, f"{DAY} {key}"):
            if self.hours.go(known, tell=False):
                self._open(self.showing)

    def _open(self, state: State) -> None:
        """Open what is under the cursor of the list."""
        self.opened.show(state.project, state.plan, self.hours.weeks, self.hours.subject)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another line is under the cursor."""
        if event.lines is self.hours and self.showing is not None:
            self._open(self.showing)
            offered = tuple(self.check_action(one, ()) for one in ("away", "take_back", "remove"))
            if offered != self.offered:
                self.offered = offered
                self.refresh_bindings()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Change what was chosen; go to the step that was."""
        if event.lines is self.hours:
            self.action_edit()
        elif self.opened.step is not None:
            self.program.open_step(self.opened.step)

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        state = self.showing
        if action in ("new", "week", "edit", "today"):
            return state is not None
        if action == "away":
            return state is not None and self.hours.day is not None
        if action == "take_back":
            day = self.hours.day
            return (
                state is not None and day is not None and taken_back(state.project, day) is not None
            )
        if action == "remove":
            return self.hours.subject[0] == CHANGE or self.check_action("take_back", ())
        return True

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def action_edit(self) -> None:
        """The form of what is under the cursor."""
        from screens.forms.day_hours import DayHoursQuestions
        from screens.forms.hours_change import ChangeQuestions
        from screens.forms.week import SettingQuestions, WeekQuestions

        state, day = self.showing, self.hours.day
        if state is None:
            return
        kind, which = self.hours.subject
        if day is not None:
            self._ask(DayHoursQuestions(state, day))
        elif kind == WEEK:
            self._ask(WeekQuestions(state, which))
        elif kind == SETTING:
            self._ask(SettingQuestions(state, which))
        elif kind == CHANGE:
            self._ask(ChangeQuestions(state, int(which)))
        else:
            self.action_new()

    def action_away(self) -> None:
        """Away from the day under the cursor: asks until when."""
        from screens.forms.day_hours import AwayQuestions

        day = self.hours.day
        if self.showing is not None and day is not None:
            self._ask(AwayQuestions(self.showing, day))

    def action_take_back(self) -> None:
        """Take back what makes the day under the cursor differ."""
        state, day = self.showing, self.hours.day
        taken = taken_back(state.project, day) if state is not None and day is not None else None
        if day is None or taken is None:
            return
        self.program.edit(back_label(taken, day), partial(present, day=day), cursor=day.isoformat())

    def action_new(self) -> None:
        """A new change, at first for days like the one under the cursor."""
        from screens.forms.hours_change import ChangeQuestions

        if self.showing is None:
            return
        day = self.hours.day
        days = f"every {WEEKDAYS[day.weekday()]}" if day is not None else ""
        self._ask(ChangeQuestions(self.showing, days=days))

    def action_remove(self) -> None:
        """Remove the change under the cursor, or what makes the day differ."""
        state = self.showing
        kind, which = self.hours.subject
        if kind != CHANGE or state is None:
            self.action_take_back()
            return
        index = int(which)
        change = state.project.workroom.changes[index]
        self.program.edit(
            change_label(change, state.now.date(), "removed"),
            partial(remove_change, index=index),
        )

    def action_week(self) -> None:
        """To the usual week; from there back to the days."""
        key = self.hours.cursor
        if self.hours.day is not None:
            self.last_day = key
            self.hours.to_the_week()
        elif self.last_day is None or not self.hours.go(self.last_day):
            self.action_today()
        self.hours.focus()

    def action_today(self) -> None:
        """Go to today."""
        if self.showing is not None:
            self.hours.go(f"{DAY} {self.showing.now.date().isoformat()}")
            self.hours.focus()

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here."""
        state, day = self.showing, self.hours.day
        if state is None:
            return
        if day is not None:
            named = long_date(day, state.now.date())
            yield SystemCommand(f"Change the hours of {named}", "At each place", self.action_edit)
            yield SystemCommand(f"Be away from {named}", "Till a day you say", self.action_away)
            if self.check_action("take_back", ()):
                yield SystemCommand(
                    f"Take back what differs on {named}",
                    "Its own change, or its part of a span",
                    self.action_take_back,
                )
        yield SystemCommand(
            "Say when days differ", "A day, a span, every first Tuesday", self.action_new
        )
        for place in PLACES:
            title = f"Change the usual week: {NAMES[place]}"
            yield SystemCommand(title, "Days and hours", partial(self._edit, f"{WEEK} {place}"))
        for key, name, told in settings_rows(state.project.workroom):
            yield SystemCommand(f"Change: {name}", told, partial(self._edit, f"{SETTING} {key}"))
        for index, change in enumerate(state.project.workroom.changes):
            told = days_told(change, state.now.date())
            edit = partial(self._edit, f"{CHANGE} {index}")
            yield SystemCommand(f"Change what differs: {told}", change.reason, edit)
        if self.hours.subject[0] == CHANGE:
            yield SystemCommand("Remove this change", "^z brings it back", self.action_remove)
        yield SystemCommand("Go to the usual week", "And all that differs", self.action_week)
        yield SystemCommand("Go to today", "Put the cursor on today", self.action_today)

    def _edit(self, key: str) -> None:
        if self.hours.go(key):
            self.action_edit()
