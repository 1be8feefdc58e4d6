"""The Run-up: one line a day to the occasion; the day under the cursor opens beneath."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType

from planner.came import Marks
from planner.plan import Plan
from screens.delaying import DELAY, Near
from screens.looked_at import LookedAt, looked_at
from screens.sitting import SitsDown
from screens.state import State
from screens.then import became_sentence
from screens.widgets.at_a_glance import AtAGlance
from screens.widgets.days import Days
from screens.widgets.lines import Lines
from screens.widgets.opened_day import OpenedDay
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine
from screens.wording import clean, name_of, named_date, quoted

if TYPE_CHECKING:
    from screens.doing import Doing
    from screens.forms.questions import Questions


def _key(key: str, action: str, told: str, tooltip: str, show: bool = False) -> Binding:
    name = action.replace("_", "-")
    return Binding(key, action, told, show=show, id=f"run-up.{name}", tooltip=tooltip)


class RunUp(SitsDown):
    """The home screen."""

    AUTO_FOCUS = "#days"
    CSS_PATH = ["page.tcss", "run_up.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("space", "log", "log", "Log what was done on this day, or of this step", True),
        _key("f", "fix", "fix day", "Give the step under the cursor a fixed day", True),
        _key("f", "free", "free it", "Free the step under the cursor of its fixed day", True),
        DELAY,
        _key("c", "hours", "hours", "Add or take hours on this day", True),
        _key("a", "away", "away", "Away on this day, or from it to another", True),
        _key("a", "back", "not away", "Have the hours of this day back", True),
        _key("i", "new_step", "new step", "Add a step that was forgotten", True),
        _key("v", "view", "one alone", "Look at each ensemble alone, then at all again", True),
        _key("t", "today", "today", "Go to today"),
        _key("e", "edit", "edit", "Change the step under the cursor"),
    ]

    days = getters.query_one("#days", Days)
    opened = getters.query_one("#opened", OpenedDay)
    glance = getters.query_one("#glance", AtAGlance)

    marks = Marks()
    """What the last change that moved anything has brought to other days."""
    alone: str | None = None
    """Id of the ensemble that is looked at alone; None for all."""

    def compose(self) -> ComposeResult:
        """As every page, and under the verdict what can be known at a glance."""
        for widget in super().compose():
            yield widget
            if isinstance(widget, VerdictLine):
                yield AtAGlance()

    def regions(self) -> ComposeResult:
        """Days, and the opened day."""
        yield Days(id="days")
        yield Stitching(id="between")
        yield OpenedDay(id="opened")

    @property
    def looked(self) -> LookedAt | None:
        """What is looked at, as shown."""
        return self.days.looked

    @property
    def slice(self) -> int | None:
        """Minutes of a cell, as drawn."""
        return self.days.slice

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "A line is a day: how many days are left to the next event, the date, hours and"
            " minutes of work, and the day's hours as stitches. Above today stands what was really"
            " done. Beneath is the day under the cursor; enter goes to its steps, where each says"
            " why it is on that day, with all there is to take care of, and f gives it a fixed"
            " one. On an occasion enter goes to what it needs. ▹ is the day whose steps one is in."
        )

    # what is shown

    def moved(self, state: State) -> str:
        """Where the step under the cursor has moved to, while one is among the steps."""
        if self.focused is not self.opened or self.opened.plan is None:
            return ""
        return self.opened.where_now(state.plan)

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Show a state; the cursor stays on its day and step. Says what an edit has changed."""
        before = self.days.plan
        if not refined and before is not None:
            before = state.before or before
            self.marks = self.marks.changed(before, state.plan)
            if self.verdict.told and before.now.date() == state.now.date():
                self._tell_more(before, state.plan)
        if self.alone not in state.plan.wearable_on or len(state.plan.wearable_on) < 2:
            self.alone = None
        self._look(state)

    def _look(self, state: State) -> None:
        """Show what is looked at of a state."""
        looked = looked_at(state.plan, state.project, self.alone, state.planned)
        looked = replace(looked, came=self.marks.came)
        self.days.show(looked)
        self.glance.show(looked)
        self.set_class(not looked.days, "-empty")
        if self.opened.step is not None:
            self.opened.show_step(looked, self.opened.step)
        elif self.days.day is not None:
            self.opened.show_day(looked, self.days.day)
        if self.focused is self.opened and self.opened.cursor is None:
            self.days.focus()
        self.refresh_bindings()

    def _tell_more(self, before: Plan, after: Plan) -> None:
        """Of what was just done, what it made of the plan."""
        self.verdict.tell_more(became_sentence(before, after))

    def on_resize(self, event: events.Resize) -> None:
        """The glance takes as much room as there is."""
        self.glance.fit()

    def go_to(self, ident: str) -> None:
        """Put the cursor on a day, on an occasion's day, or on a step in its day."""
        looked = self.looked
        if looked is None:
            return
        if ident.count("/") == 2:
            self._found(looked, ident)
            return
        at = {one.id: one.at.date().isoformat() for one in looked.plan.occasions}.get(ident, ident)
        if self.days.go(at, tell=False):
            self.opened.show_day(looked, date.fromisoformat(at))

    def _found(self, looked: LookedAt, step: str) -> None:
        """Go to the step that was found, its reason open."""
        if self.alone is not None and not step.startswith(f"{self.alone}/"):
            self._look_at(None)
            looked = self.looked or looked
        day = next((one.date for one in looked.plan.sittings if one.step == step), None)
        if day is None:
            self.opened.show_step(looked, step)
        else:
            self.days.go(day.isoformat(), tell=False)
            self.opened.show_day(looked, day)
            self.opened.find(step)
        # one is where it has moved to
        self.problems.forget_moved()
        self.opened.focus()

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another day, or another step, is under the cursor."""
        if event.lines is self.days and self.looked is not None and self.days.day is not None:
            self.problems.forget_moved()
            self.opened.show_day(self.looked, self.days.day)
        self.refresh_bindings()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Go to the day's steps, where it has any."""
        if event.lines is self.days and self.opened.cursor is not None:
            self.opened.focus()

    def on_days_needed(self, event: Days.Needed) -> None:
        """Go to what the occasion needs."""
        self.program.open_occasion(event.occasion)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """What can be done depends on where one is."""
        self.refresh_bindings()

    # what an action is about

    @property
    def day(self) -> date | None:
        """The day under the cursor of the region one is in; None where a step without a day is.

        Among the days the cursor counts, not the day opened beneath: that follows it.
        """
        if self.focused is self.opened:
            return self.opened.day if self.opened.step is None else None
        return self.days.day

    @property
    def step(self) -> str | None:
        """Full id of the step under the cursor, while one is among the steps."""
        return self.opened.step_here if self.focused is self.opened else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        looked = self.looked
        if action in ("fix", "free", "edit"):
            step = looked.steps.get(self.step or "") if looked is not None else None
            if step is None or action == "edit":
                return step is not None
            fixed = step.on is not None
            return fixed is (action == "free") and not (step.done or step.left_off or step.during)
        if action in ("hours", "away", "back"):
            if looked is None or self.day is None or self.day not in looked.days:
                return False
            differs = looked.differs.get(self.day)
            away = differs is not None and differs.away
            return action == "hours" or away is (action == "back")
        if action in ("log", "new_step"):
            return looked is not None and bool(looked.steps)
        if action == "view":
            return looked is not None and len(looked.plan.wearable_on) > 1
        return super().check_action(action, parameters)

    @property
    def step_to_sit_at(self) -> str | None:
        """The step under the cursor; of a day's line the first to be done."""
        if self.focused is self.opened:
            return self._open_step(self.step)
        looked = self.looked
        if looked is None or self.day is None or self.day not in looked.days:
            return None
        sittings = looked.days[self.day].sittings
        return next((one.step for one in sittings if self._open_step(one.step)), None)

    @property
    def near(self) -> Near:
        """What is meant first where it is said what went wrong: what the cursor is on."""
        return Near(day=self.day, occasion=self.days.occasion)

    # keys

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def _do(self, doing: Doing) -> None:
        self.program.edit(doing.label, doing.change, cursor=doing.cursor)

    def action_today(self) -> None:
        """Go to today."""
        self.days.today()
        self.days.focus()

    def action_view(self) -> None:
        """The next ensemble alone; after the last, all."""
        looked = self.looked
        if looked is not None:
            every = [None, *looked.plan.wearable_on]
            self._look_at(every[(every.index(self.alone) + 1) % len(every)])

    def _look_at(self, alone: str | None) -> None:
        """Look at one ensemble alone, or at all."""
        self.alone = alone
        if self.showing is not None:
            self._look(self.showing)

    def action_log(self) -> None:
        """Ask what was done on the day under the cursor; of a step, that it was done."""
        from screens.log_rows import steps_for

        looked = self.looked
        if looked is None:
            return
        today, step = looked.plan.now.date(), self.step
        day = self.day or today
        steps = steps_for(looked.plan, looked.project, day, first=step, alone=self.alone)
        marked = [step] if step is not None else []
        self.program.log_steps(steps, marked=marked, day=day if day < today else None)

    def action_fix(self) -> None:
        """Ask for a step's fixed day."""
        from screens.forms.fixed_day import FixedDayQuestions

        looked, step = self.looked, self.step
        if looked is not None and step is not None and self.showing is not None:
            day = self.day or looked.steps[step].first_day or looked.plan.now.date()
            self._ask(FixedDayQuestions(self.showing, step, max(day, looked.plan.now.date())))

    def action_free(self) -> None:
        """Free a step of its day."""
        from screens.days_doing import freed

        if self.looked is not None and self.step is not None:
            self._do(freed(self.looked.plan, self.step))

    def action_hours(self) -> None:
        """Ask for the hours of the day."""
        from screens.forms.day_hours import DayHoursQuestions

        if self.showing is not None and self.day is not None:
            self._ask(DayHoursQuestions(self.showing, self.day))

    def action_away(self) -> None:
        """Away from the day under the cursor: asks until when, as at the Hours."""
        from screens.forms.day_hours import AwayQuestions

        if self.showing is not None and self.day is not None:
            self._ask(AwayQuestions(self.showing, self.day))

    def action_back(self) -> None:
        """Have the hours of the day back."""
        from screens.days_doing import no_longer_away

        if self.showing is not None and self.day is not None:
            self._do(no_longer_away(self.day, self.showing.now.date()))

    def action_new_step(self) -> None:
        """Add a forgotten step below the one under the cursor; else ask to which garment."""
        if self.step is not None:
            self._add_step(self.step.rpartition("/")[0], self.step)
        elif self.showing is not None:
            from screens.forgotten import choose_garment

            choose_garment(self.app, self.showing.project, self.alone, self._add_step)

    def _add_step(self, garment: str, below: str | None = None) -> None:
        from screens.forgotten import step_below

        if self.showing is not None:
            self._ask(step_below(self.showing, garment, below))

    def action_edit(self) -> None:
        """The form of the step."""
        from screens.forms.step import StepQuestions

        if self.showing is not None and self.step is not None:
            self._ask(StepQuestions(self.showing, self.step.rpartition("/")[0], self.step))

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here, for what is under the cursor."""
        looked = self.looked
        if looked is not None:
            yield SystemCommand("Go to today", "Put the cursor on today", self.action_today)
            if self.check_action("log", ()):
                told = "Tick steps, type minutes"
                yield SystemCommand("Log what was done", told, self.action_log)
            yield from self.clock_commands()
            yield from self._of_the_step(looked)
            yield from self._of_the_day(looked)
            yield from self._of_ensembles(looked)
        if self.showing is not None and self.showing.project.ensembles:
            yield SystemCommand("Add a garment", "To the next ensemble", self._add_garment)
            yield SystemCommand("Begin a new ensemble", "In this workroom", self._begin_ensemble)

    def _of_the_step(self, looked: LookedAt) -> Iterable[SystemCommand]:
        """What can be done to the step under the cursor."""
        if self.check_action("new_step", ()):
            told = "To a garment you choose"
            if self.step is not None:
                told = f"Below {quoted(looked.plan, self.step)}"
            yield SystemCommand("Add a forgotten step", told, self.action_new_step)
        if self.step is None:
            return
        name = quoted(looked.plan, self.step)
        if self.check_action("edit", ()):
            yield SystemCommand(f"Edit {name}", "In a form", self.action_edit)
        if self.check_action("fix", ()):
            yield SystemCommand(f"Fix the day of {name}", "It is done on no other", self.action_fix)
        if self.check_action("free", ()):
            told = "It is planned by its dates alone"
            yield SystemCommand(f"Free {name} of its day", told, self.action_free)

    def _of_the_day(self, looked: LookedAt) -> Iterable[SystemCommand]:
        """What can be done to the day that is opened."""
        if self.day is None or not self.check_action("hours", ()):
            return
        day = named_date(self.day, looked.plan.now.date())
        told = "At the workroom, on the sofa, on the way, with a helper"
        yield SystemCommand(f"Change the hours of {day}", told, self.action_hours)
        away = self.check_action("back", ())
        if away:
            title = f"Have the hours of {day} back"
            yield SystemCommand(title, "It is no longer away", self.action_back)
        else:
            yield SystemCommand(f"Be away from {day}", "Till a day you say", self.action_away)

    def _of_ensembles(self, looked: LookedAt) -> Iterable[SystemCommand]:
        """What can be looked at."""
        if not self.check_action("view", ()):
            return
        for ensemble in looked.plan.wearable_on:
            if ensemble != self.alone:
                title = f"Look at {clean(name_of(looked.plan, ensemble))} alone"
                look = partial(self._look_at, ensemble)
                yield SystemCommand(title, "Hours and verdict stay those of all", look)
        if self.alone is not None:
            look = partial(self._look_at, None)
            yield SystemCommand("Look at all ensembles together", "As at first", look)

    def _add_garment(self) -> None:
        from screens.adding import add_garment_to, next_ensemble

        if self.showing is not None:
            add_garment_to(self.app, self.showing, self.alone or next_ensemble(self.showing))

    def _begin_ensemble(self) -> None:
        from screens.beginning import new_ensemble

        if self.showing is not None:
            self.app.push_screen(new_ensemble(self.showing))
