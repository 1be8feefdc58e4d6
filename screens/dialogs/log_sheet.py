"""The log sheet: what was done, half done or begun, over the screen it was asked from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Input

from planner.files.kept_before import keep_before
from planner.plan import Plan
from planner.problems import Problem
from planner.when_logged import end_of_work
from screens import log_told as told
from screens.forms.bottom import HELP
from screens.forms.form import ASK
from screens.forms.parts import Told
from screens.log_rows import (
    LogRow,
    entries_of,
    logging,
    on_day,
    put_onto,
    renewed,
    row_of,
    rows_of,
)
from screens.previews import Preview
from screens.showing import ShowsState
from screens.state import State, fingerprint
from screens.then import PLANNING, became_sentence
from screens.widgets.key_line import LAST, KeyLine, Shown
from screens.widgets.log_list import LogList
from screens.widgets.logged_lately import LoggedLately
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine

if TYPE_CHECKING:
    from screens.app import Wearby

BACK = 7
"""So many days back one goes by a key."""
FIRST = ("keep", "mark", "note", "when", "another", "drop")
"""Actions in the order in which their keys stand."""


class Low(Told):
    """Text that is as high as its lines from the first picture on."""

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """So many lines."""
        return len(self._lines(max(1, width)))


class SheetKeys(KeyLine):
    """The keys of the sheet."""

    @property
    def keys(self) -> list[Shown]:
        """Keeping first, dropping last, then help."""
        found = [one for one in super().keys if one.action not in LAST]
        found.sort(key=lambda one: FIRST.index(one.action) if one.action in FIRST else 0)
        return [*found, HELP]


class LogSheet(ModalScreen[None], ShowsState):
    """Steps marked and minutes typed; kept as one edit, or dropped."""

    AUTO_FOCUS = "#log"
    CSS_PATH = "log_sheet.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "keep", "keep", key_display="enter", id="log.keep",
                tooltip="Log what stands here"),
        Binding("ctrl+s", "keep", "keep", show=False, key_display="^s", id="log.keep-too",
                tooltip="Log what stands here"),
        Binding("n", "note", "note", id="log.note", tooltip="A note on this step"),
        Binding("w", "when", "when", id="log.when",
                tooltip="A day earlier, up to a week; then now again"),
        Binding("slash,ctrl+f", "another", "another step", key_display="/", id="log.another",
                tooltip="Find a step that isn't in the list"),
        Binding("escape", "drop", "drop", key_display="esc", id="log.drop",
                tooltip="Close without logging anything"),
        Binding("escape", "noted", "back", key_display="esc", id="log.noted",
                tooltip="Back to the rows; the note stays"),
    ]  # fmt: skip

    verdict = getters.query_one(VerdictLine)
    then = getters.query_one("#then", Told)
    heading = getters.query_one("#heading", Told)
    log_list = getters.query_one("#log", LogList)
    note_line = getters.query_one("#note", Input)
    help_line = getters.query_one("#help-line", Told)

    def __init__(
        self,
        state: State,
        steps: Sequence[str],
        *,
        marked: Sequence[str] = (),
        day: date | None = None,
    ) -> None:
        """``day``: the one on which it was done, where that is behind; else now."""
        super().__init__()
        self.showing = state
        self.back = max(0, (state.now.date() - day).days) if day is not None else 0
        """So many days ago it was done; 0: now."""
        rows = rows_of(state.plan, state.project, steps, marked)
        self.begun = on_day(rows, state.project, day or state.now.date())
        self.asking = False
        """Whether it was asked if all is to be dropped."""
        self.refused: tuple[Problem, ...] = ()
        self.noting: str | None = None
        """Full id of the step a note is being written on."""
        self.keeping = False
        """Whether all is to be logged once the files, which have changed, are read again."""

    def compose(self) -> ComposeResult:
        """Verdict, what would become of it, the rows, help, keys."""
        with Container(id="sheet"):
            yield VerdictLine()
            yield Low(id="then")
            yield Stitching(classes="across")
            yield Low(id="heading")
            yield LogList(self.begun)
            yield LoggedLately()
            yield Stitching(classes="across")
            asked = Input(placeholder="A note, in your own words; enter goes back", id="note")
            asked.cursor_blink = False
            yield asked
            yield Low(id="help-line")
            yield Low(id="how")
            yield SheetKeys()

    def on_mount(self) -> None:
        """Show what stands there already."""
        if self.showing is not None:
            self.verdict.plan = self.showing.plan
        self.note_line.display = False
        self.query_one("#how", Told).text = told.HOW
        if self.begun:
            self.log_list.cursor = self.begun[0].step
        self._read()

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    @property
    def told_in_help(self) -> str:
        """What the marks mean, and what is typed where."""
        return (
            "Mark what was done: × done, / begun or half done, · nothing. Digits are the minutes"
            " worked, which may stay empty; → goes to what is left by your guess, ← back. A step"
            " that is done already is opened again by space. Nothing is logged before enter, and"
            " ^z takes all of it back at once."
        )

    # what it comes to

    @property
    def at(self) -> datetime:
        """The moment it was done."""
        now = self.program.clock().replace(tzinfo=None)
        if not self.back or self.showing is None:
            return now
        return end_of_work(self.showing.project, now.date() - timedelta(days=self.back))

    @property
    def said(self) -> tuple[LogRow, ...]:
        """The rows of which anything is said."""
        return tuple(row for row in self.log_list.rows if row.changed)

    def _read(self) -> None:
        """Say what stands there, and try it."""
        now = self.program.clock()
        if self.showing is not None:
            self.query_one(LoggedLately).tell(self.showing)
        title = told.heading(self.at, now, exactly_now=not self.back)
        self.heading.say(title, told.sums(self.log_list.rows))
        said = self.said
        if not said or any(row.wrong for row in said):
            self.program.end_preview()
            self.then.text = told.NOTHING_YET if not said else ""
        else:
            if self.then.text == told.NOTHING_YET:
                self.then.text = PLANNING
            self.program.preview(logging(said, self.at), self._tried)
        self._help()

    def _tried(self, preview: Preview) -> None:
        """What it would make of the plan, as soon as that is known."""
        if self.is_attached and self.said:
            self.then.text = preview.sentence
            if preview.problems:
                self.help_line.text = told.refused(preview.problems)

    def _help(self) -> None:
        """What the row comes to, and how to mark; or the question whether to drop it."""
        if self.asking:
            self.help_line.text = ASK
            return
        row = self.log_list.row
        self.help_line.set_class(bool(self.refused or (row and (row.wrong or row.gone))), "-wrong")
        if self.refused:
            self.help_line.text = told.refused(self.refused)
            return
        self.help_line.text = told.row_told(row) if row is not None else ""

    # the state beneath

    def show(self, state: State, *, refined: bool = False) -> None:
        """The files were read again: nothing typed is lost."""
        self.verdict.plan = state.plan
        self.refused = ()
        in_hand = (self.log_list.cursor, self.noting)
        rows = self.log_list.rows
        self.log_list.rows = renewed(rows, state.plan, state.project, keep=in_hand)
        self._dated()
        self._read()
        if self.keeping and state.exactly is None:
            self.keeping = False
            had = {row.step for row in rows if row.gone}
            if all(row.step in had for row in self.said if row.gone):
                self.call_later(self.action_keep)
            # else that is to be seen before it is kept

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """The files can't be read just now; what is typed stays."""
        self.refused, self.keeping = problems, False
        self._help()

    def _is_out_of_date(self) -> bool:
        """Whether what is shown isn't of the files as they are."""
        program = self.program
        return program.answered < program.requested or fingerprint(program.path) != program.seen

    # keys

    def on_log_list_changed(self) -> None:
        """Something was marked or typed."""
        self.refused = ()
        self._read()

    def on_lines_moved(self, event: LogList.Moved) -> None:
        """Another row is under the cursor."""
        self._help()
        self.refresh_bindings()

    def key_came(self, key: str) -> bool:
        """A key was pressed: where it answers the question about dropping, that is all it does."""
        self.keeping = False
        if not self.asking or key == "escape":
            return False
        self.asking = False
        self._help()
        return True

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a note is written, only that."""
        noting = self.noting is not None
        if action == "noted":
            return noting
        if action == "note":
            return self.log_list.row is not None and not noting
        return not noting or action not in FIRST

    def action_note(self) -> None:
        """Write a note on the step under the cursor."""
        row = self.log_list.row
        if row is not None:
            self.noting = row.step
            self.note_line.value = row.note
            self.note_line.display = True
            self.note_line.cursor_position = len(row.note)
            self.set_focus(self.note_line)
            self.refresh_bindings()

    def action_noted(self) -> None:
        """Keep what is written, and go back to the rows."""
        row = next((one for one in self.log_list.rows if one.step == self.noting), None)
        self.noting = None
        note = self.note_line.value.strip()
        self.note_line.display = False
        self.set_focus(self.log_list)
        if row is not None and note != row.note:
            self.log_list.put(replace(row, note=note))
        self.refresh_bindings()

    def on_input_submitted(self) -> None:
        """The note is written."""
        self.action_noted()

    def action_when(self) -> None:
        """A day earlier; after a week, now again."""
        self.back = (self.back + 1) % (BACK + 1)
        self._dated()
        self._read()

    def _dated(self) -> None:
        """The rows say what was logged already on the day it is."""
        if self.showing is not None:
            dated = partial(on_day, project=self.showing.project, day=self.at.date())
            self.begun, self.log_list.rows = dated(self.begun), dated(self.log_list.rows)
        self.log_list.renew()

    def action_another(self) -> None:
        """Find a step that isn't in the list; what was typed of one that is gone goes onto it."""
        from screens.dialogs.find_step import FindStep

        row = self.log_list.row
        onto = row.step if row is not None and row.gone and row.changed else None
        if self.showing is not None:
            self.app.push_screen(FindStep(self.showing.plan), partial(self._found, onto))

    def _found(self, gone: str | None, step: str | None) -> None:
        state = self.showing
        found = (one for one in (state.plan.steps if state is not None else ()) if one.id == step)
        planned = next(found, None)
        if state is None or planned is None:
            return
        (row,) = on_day([row_of(planned, state.project)], state.project, self.at.date())
        typed = next((one for one in self.log_list.rows if one.step == gone and one.gone), None)
        if typed is not None:
            self.log_list.rows = put_onto(self.log_list.rows, typed, row)
        self.log_list.add(row)

    def action_keep(self) -> None:
        """Log all that was said, as one edit; or go to what can't be understood."""
        said = self.said
        wrong = next((row for row in said if row.wrong), None)
        if wrong is not None:
            self.log_list.go(wrong.step)
            self._help()
            return
        if said and self._is_out_of_date():
            # what others changed isn't to be taken for what this makes of the plan
            self.keeping = True
            self.help_line.text = told.READING
            self.program.look()
            return
        if said and self.showing is not None:
            plan, at = self.showing.plan, self.at
            gone = [row for row in said if row.gone]
            label = told.label(plan, entries_of(said, at), gone)
            refused = self.program.edit(label, logging(said, at))
            if refused:
                self.refused = refused
                self.program.tell("")
                self._help()
                return
            self._keep_before()
            said_so = self.verdict.told
            self.program.when_planned = partial(_say_what_became, self.program, plan, said_so)
        self._close()

    def _keep_before(self) -> None:
        """Keep the plan that stood before, for `wearby log --undo`, as the new one is kept."""
        session = self.program.session
        if self.program.keeps_edited and session.done:
            before, after = session.done[-1].before.kept, session.project
            keep = partial(keep_before, session.folder, before, after)
            self.program.run_worker(keep, thread=True, group="keep", exit_on_error=False)

    def action_drop(self) -> None:
        """Close; asks first where something was typed."""
        if self.asking or self.log_list.rows == self.begun or not self.said:
            self._close()
        else:
            self.asking = True
            self._help()

    def _close(self) -> None:
        """Close; nothing is being tried any longer."""
        self.program.end_preview()
        self.dismiss(None)


def _say_what_became(program: Wearby, before: Plan, told: str) -> None:
    """What it has made of the plan, where the screen beneath only says what was ``told``."""
    if program.state is None:
        return
    became = became_sentence(program.state.before or before, program.state.plan)
    for line in program.screen.query(VerdictLine):
        if line.told == told:
            line.tell_more(became)
