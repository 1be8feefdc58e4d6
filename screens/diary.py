"""The Diary: how it is going, and beneath it what was done, day by day, the newest first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events, getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType

from planner.diary_days import diary_days
from planner.doing_over import may_have_failed
from planner.done_before import steps_before
from planner.files.plans_behind import folder_of, plan_of_day, plans_known
from planner.going import how_it_goes
from planner.held import past_occasions
from planner.model import Kept, Project
from planner.problems import InputError
from screens.after_wearing import after_wearing_commands
from screens.delaying import DELAY, Near
from screens.diary_doing import removed
from screens.diary_told import entry_named, record_saved
from screens.showing_pace import FORGET, ShowsPace
from screens.state import State
from screens.widgets.ask_line import AskLine
from screens.widgets.diary_list import DiaryList
from screens.widgets.hem import Hem
from screens.widgets.lines import Lines
from screens.widgets.pace_list import PaceList
from screens.widgets.stitching import Stitching
from screens.wording import clean, name_of, named_date, quoted

if TYPE_CHECKING:
    from screens.forms.questions import Questions


OF_DIARY = ("log", "over", "run_up", "today", "remove")
"""Actions on the diary, while that is."""


def _key(key: str, action: str, told: str, tooltip: str, show: bool = True) -> Binding:
    name = action.replace("_", "-")
    return Binding(key, action, told, show=show, id=f"diary.{name}", tooltip=tooltip)


class Diary(ShowsPace):
    """What was done, and how it goes by that."""

    lists_occasions = True
    """Past ones stand here, to be put right."""
    AUTO_FOCUS = "#diary"
    CSS_PATH = ["page.tcss", "diary.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("space", "log", "log", "Log what was done on this day"),
        _key("f", "over", "do over", "Do over the step of this entry, and what follows it"),
        _key("j", "joined", "done before", "Say what was done before the diary began"),
        _key("x", "record", "record", "Write the record of how it was made into a file"),
        DELAY,
        _key("r", "run_up", "its day", "Go to this step, or this day, in the run-up", False),
        _key("t", "today", "today", "Go to today", False),
        FORGET,
        _key("delete,backspace", "remove", "remove", "Remove this entry; ^z brings it back", False),
    ]

    hem = getters.query_one("#hem", Hem)
    diary = getters.query_one("#diary", DiaryList)

    def __init__(self) -> None:
        super().__init__()
        self._behind: dict[tuple[str, date], Kept] = {}
        """Plans of days behind that were read: such a file doesn't change any more."""

    def regions(self) -> ComposeResult:
        """How it is going, the diary or the pace it teaches, what is typed."""
        yield Hem(id="hem")
        yield Stitching(id="between")
        yield DiaryList(id="diary")
        yield PaceList(id="pace")
        yield AskLine(id="ask")

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "On top stands how it is going: the cloth of the hem, between its straight fold and the"
            " stitching above it, is as deep as there are hours in hand: the hours there are until"
            " the occasion less the work that is left. It is close woven up to today and open from"
            " then on, by the plan; what of that your pace so far would not leave is only dotted."
            " Where the stitching lies on the fold nothing is in hand. Beneath is the diary, the"
            " newest day first, each with what was done of what was planned. An entry tells when it"
            " was logged, minutes, kind of work, garment and step, and whether it was done by that"
            " or what was left. “?” is a step that is no longer in the files. A fitting or trial"
            " wear that is over counts as held: enter on it says what was done at it, or that it"
            " wasn't, and f what failed. y shows instead how quick you are against the catalogue,"
            " by all work, each kind of work and technique; estimates follow it. The letter of a"
            " step is its kind of work:"
        )

    # what is shown

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Draw a state; the cursor stays on its day or entry."""
        if not refined or self.hem.going is None:
            behind = self._plans_behind(state.project)
            self.hem.show(state.plan, how_it_goes(state.project, state.plan, state.now, behind))
        held = past_occasions(state.project, state.plan)
        days = diary_days(state.project, state.now, state.planned, held)
        self.diary.show(state.plan, days, steps_before(state.project))
        self.pace.show(state.plan, state.project)
        self.refresh_bindings()

    def _plans_behind(self, project: Project) -> list[Kept]:
        """The plans kept on days behind, each read once."""
        folder = folder_of(project)
        if folder is None:
            return []
        found = []
        for day in plans_known(folder):
            key = (str(folder), day)
            if key not in self._behind and (one := plan_of_day(folder, day)) is not None:
                self._behind[key] = one.kept
            if key in self._behind:
                found.append(self._behind[key])
        return found

    def on_resize(self, event: events.Resize) -> None:
        """The hem takes as much room as there is."""
        self.hem.fit()

    def go_to(self, ident: str) -> None:
        """Put the cursor on a day, or on the newest entry of a step."""
        newest = (k for k, one in reversed(self.diary.keyed.items()) if one.entry.step == ident)
        self.diary.go(next(newest, ident))

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Something else is under the cursor."""
        self.refresh_bindings()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """An entry opens its form; a day is logged on."""
        if event.lines is self.pace:
            self.pace.toggle(event.key)
        elif self.diary.occasion is not None:
            self.action_held()
        elif self.diary.logged is not None:
            self.action_edit()
        elif self.check_action("log", ()):
            self.action_log()

    # what an action is about

    @property
    def step(self) -> str | None:
        """Full id of the step of the entry under the cursor, where it is in the files still."""
        logged = self.diary.logged
        return logged.entry.step if logged and logged.entry.step in self.diary.steps else None

    @property
    def step_to_sit_at(self) -> str | None:
        """The step of the entry; on today's line the next that is to be done."""
        if self.shows_pace or self.diary.occasion is not None:
            return None
        if self.diary.logged is not None:
            return self._open_step(self.step)
        state = self.showing
        if state is None or self.diary.day != state.now.date():
            return None
        return next((one.step for one in state.plan.sittings if self._open_step(one.step)), None)

    @property
    def near(self) -> Near:
        """What is meant first where it is said what went wrong: nothing of the days behind."""
        return Near()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        state = self.showing
        if self.shows_pace and action in OF_DIARY:
            return False
        steps = state is not None and bool(state.plan.steps)
        if action in ("log", "record"):
            return steps
        if action == "joined":
            return steps and any(not one.done for one in self.diary.steps.values())
        if action == "remove":
            return self.diary.logged is not None
        if action == "over":
            return bool(self._may_have_failed())
        if action == "run_up":
            return self.step is not None or self.diary.day is not None
        return super().check_action(action, parameters)

    # keys

    def _ask(self, questions: Questions) -> None:
        from screens.forms.form import Form

        self.app.push_screen(Form(questions))

    def action_log(self) -> None:
        """Ask what was done on the day under the cursor."""
        from screens.log_rows import steps_for

        state = self.showing
        if state is None:
            return
        today = state.now.date()
        day = min(self.diary.day or today, today)
        steps = steps_for(state.plan, state.project, day, first=self.step)
        self.program.log_steps(steps, day=day if day < today else None)

    def action_edit(self) -> None:
        """The entry in a form."""
        from screens.forms.entry import EntryQuestions

        if self.showing is not None and self.diary.logged is not None:
            self._ask(EntryQuestions(self.showing, self.diary.logged))

    def action_remove(self) -> None:
        """Take the entry out."""
        if self.showing is not None and self.diary.logged is not None:
            self.do(removed(self.showing.plan, self.diary.logged))

    def action_over(self) -> None:
        """Do over the step of the entry, or what was done at the occasion."""
        from screens.dialogs.do_over import DoOverSheet

        if self.showing is not None and (failed := self._may_have_failed()):
            self.app.push_screen(DoOverSheet(self.showing, failed))

    def _may_have_failed(self) -> tuple[str, ...]:
        """The done steps of what is under the cursor."""
        occasion = self.diary.occasion
        ident = occasion.id if occasion is not None else self.step
        if self.showing is None or ident is None:
            return ()
        return may_have_failed(self.showing.plan, ident)

    def action_held(self) -> None:
        """Ask what became of the occasion under the cursor."""
        from screens.dialogs.held import HeldSheet

        if self.showing is not None and self.diary.occasion is not None:
            self.app.push_screen(HeldSheet(self.showing, self.diary.occasion.id))

    def action_joined(self) -> None:
        """Tick what was done before the diary began."""
        from screens.dialogs.done_before import DoneBefore

        if self.showing is not None:
            self.app.push_screen(DoneBefore(self.showing))

    def action_record(self) -> None:
        """Write the record of each ensemble."""
        state = self.showing
        if state is not None:
            told = [self._record(state, one.id) for one in state.project.ensembles]
            self.program.tell(" ".join(told))

    def _record(self, state: State, ensemble: str) -> str:
        """Write a record; what came of it, in a sentence."""
        from screens.recording import save_record

        folder = self.program.sitting.folder
        try:
            path = save_record(state.project, state.plan, ensemble, folder)
        except InputError as error:
            name = name_of(state.plan, ensemble)
            return f"No record of {name}: {clean(error.problems[0].text)}."
        return record_saved(state.plan, ensemble, path)

    def action_run_up(self) -> None:
        """Go to the step or the day in the run-up."""
        if self.step is not None:
            self.program.open_step(self.step)
        elif self.diary.day is not None:
            self.program.open_day(self.diary.day)

    def action_today(self) -> None:
        """Go to today."""
        if self.showing is not None:
            self.diary.go(self.showing.now.date().isoformat())

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here, for what is under the cursor."""
        state = self.showing
        if state is None:
            return
        today = state.now.date()
        if self.check_action("log", ()):
            title = "Log what was done"
            if self.diary.day is not None and self.diary.day < today:
                title = f"Log what was done {named_date(self.diary.day, today)}"
            yield SystemCommand(title, "Tick steps, type minutes", self.action_log)
        yield from self.clock_commands()
        if self.check_action("joined", ()):
            told = "Tick steps that were finished already, without times"
            yield SystemCommand("Say what was done before", told, self.action_joined)
        yield from self.pace_commands(state)
        if not self.shows_pace:
            yield from self._of_the_entry(state)
            yield SystemCommand("Go to today", "Put the cursor on today", self.action_today)
        if self.check_action("record", ()):
            told = "How it was made, in Markdown, beside the ensemble's file"
            yield SystemCommand("Write the record", told, self.action_record)
        yield from after_wearing_commands(self.program, state)

    def _of_the_entry(self, state: State) -> Iterable[SystemCommand]:
        """What can be done to the entry or the occasion under the cursor."""
        if self.diary.occasion is not None:
            name = clean(name_of(state.plan, self.diary.occasion.id))
            told = "And which of its steps were done at it"
            yield SystemCommand(f"Say whether it was held: {name}", told, self.action_held)
            if self.check_action("over", ()):
                told = "They are open again, with what follows them by choice"
                yield SystemCommand(f"Do over what failed: {name}", told, self.action_over)
        logged = self.diary.logged
        if logged is None:
            return
        name = entry_named(state.plan, logged.entry, state.now.date())
        yield SystemCommand("Change this entry", name, self.action_edit)
        yield SystemCommand("Remove this entry", f"{name}; ^z brings it back", self.action_remove)
        if self.step is None:
            return
        called = quoted(state.plan, self.step)
        if self.check_action("over", ()):
            told = "It is open again, and what follows it by choice"
            yield SystemCommand(f"Do over {called}", told, self.action_over)
        go = partial(self.program.open_step, self.step)
        yield SystemCommand(f"Go to {called} in the run-up", "Its day opened", go)
