"""The clock as the program knows it: read from its file, told beneath each verdict, put down.

What runs is the file's to say: another program may have written it, and this one may be killed.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import SystemCommand
from textual.binding import Binding, BindingType

from planner.files.clock_running import clock_file, read_clock, stop_clock, write_clock
from planner.problems import InputError
from planner.sitting_down import (
    SatDown,
    TooLong,
    entry_of,
    renamed,
    too_long,
    was_logged,
)
from planner.when_logged import own_moment
from screens.clock_told import (
    NOT_AGAIN,
    STOPS_AGAIN,
    is_done,
    put_down,
    runs_again,
    runs_for_other,
    sat_down,
    sitting_line,
    thrown_away,
)
from screens.page import Page
from screens.widgets.verdict_line import VerdictLine
from screens.wording import clean, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from screens.app import Wearby
    from screens.session import Edit

LOOK_EVERY = 2.0
"""Seconds between looks at the clock's file, and at the minute."""

Stamp = tuple[str, int, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """What became of a sitting."""

    minutes: int = 0
    """0: nothing is logged."""
    done: bool = False
    left: int | None = None
    then: str | None = None
    """The step one sits down to instead."""


class Sitting:
    """What somebody sits at in the workroom that is open."""

    def __init__(self, program: Wearby) -> None:
        self.program = program
        self.sat: SatDown | None = None
        self.told = ""
        """The line beneath each verdict; empty where the clock stands still."""
        self._stamp: Stamp = None
        self._logged: list[tuple[Edit, SatDown]] = []
        """The edits of this run that logged a sitting, each with the clock as it ran."""

    @property
    def folder(self) -> Path:
        """The workroom's."""
        path = self.program.path
        return path if path.is_dir() else path.parent

    def begin(self) -> None:
        """Look from now on, so that the line is of this minute."""
        self.program.set_interval(LOOK_EVERY, self.look)
        self.look()

    def look(self) -> None:
        """Read the file where it is another, and tell what it says by now."""
        stamp = _stamp(clock_file(self.folder))
        if stamp != self._stamp:
            self._stamp = stamp
            self._read()
        state = self.program.state
        if self.sat is not None and state is not None:
            if was_logged(self.sat, state.project.diary):
                self._stop()
            elif self.sat.step not in state.plan.names:
                self._follow()
        self._tell()

    def _read(self) -> None:
        before = self.sat
        try:
            self.sat = read_clock(self.folder)
        except InputError as error:
            self.sat = None
            problem = error.problems[0]
            self.program.tell(f"The clock can't be read: {clean(problem.text)}.")
        if (before is None) is not (self.sat is None):
            self.program.screen.refresh_bindings()

    def _follow(self) -> None:
        """Where the step one sits at was just renamed, by an edit or by taking one back, the clock
        runs for it under its other name."""
        session, sat = self.program.session, self.sat
        if sat is None:
            return
        changes = [(one.before, one.after) for one in session.done[-1:]]
        changes += [(one.after, one.before) for one in session.undone[-1:]]
        for before, after in changes:
            other = renamed(sat, before, after)
            if other is not None:
                with suppress(InputError):
                    write_clock(self.folder, other)
                    self.sat, self._stamp = other, _stamp(clock_file(self.folder))
                return

    def _tell(self) -> None:
        """Say it on every screen there is."""
        state, now = self.program.state, self.program.clock()
        told = ""
        if self.sat is not None and state is not None:
            told = sitting_line(state.plan, self.sat, now, self.too_long() is not None)
        self.told = told
        for screen in self.program.screen_stack:
            for verdict in screen.query(VerdictLine):
                verdict.sitting = told

    def too_long(self) -> TooLong | None:
        """Whether it has run for longer than can be."""
        state = self.program.state
        if self.sat is None or state is None:
            return None
        return too_long(state.project, self.sat, self.program.clock())

    # what one does

    def ask(self, step: str | None) -> None:
        """What is to become of what one sits at; ``step`` is under the cursor, perhaps another."""
        from screens.dialogs.put_down import PutDown

        state, sat = self.program.state, self.sat
        if state is None or sat is None:
            return
        instead = step if step != sat.step else None
        now, long = self.program.clock(), self.too_long()
        self.program.push_screen(PutDown(state.plan, sat, now, long, instead), self._ended)

    def _ended(self, ended: Ended | None) -> None:
        """As it was said; None: the clock runs on."""
        if ended is not None and self.end(ended) and ended.then is not None:
            self.sit_down(ended.then)

    def sit_down(self, step: str) -> bool:
        """The clock runs for a step; whether it does."""
        state = self.program.state
        if state is None:
            return False
        since = self.program.clock().replace(second=0, microsecond=0, tzinfo=None)
        sat = SatDown(step=step, since=since)
        if self._written(sat):
            self.program.tell(sat_down(state.plan, sat))
            return True
        return False

    def _written(self, sat: SatDown) -> bool:
        """The clock's file says so; where it can't be written it is said why."""
        try:
            write_clock(self.folder, sat)
        except InputError as error:
            self.program.tell(f"The clock doesn't run: {clean(error.problems[0].text)}.")
            return False
        self.look()
        return True

    def end(self, ended: Ended) -> bool:
        """Put down what one sits at, and log it; whether that could be done.

        The file says first what is about to be logged: killed in between, the next start finds
        in the diary whether it was.
        """
        from planner.editing.diary import log

        state, sat = self.program.state, self.sat
        if state is None or sat is None:
            return False
        if not ended.minutes and not ended.done:
            self._stop()
            self.look()
            self.program.tell(thrown_away(state.plan, sat.step))
            return True
        now = self.program.clock().replace(tzinfo=None)
        entry = entry_of(sat, ended.minutes, now, done=ended.done, left=ended.left)
        entry = replace(entry, at=own_moment(state.project.diary, entry.at))
        if not self._written(replace(sat, logging=entry.at)):
            return False
        label = put_down(state.plan, sat.step, ended.minutes, ended.done)
        if self.program.edit(label, partial(log, entries=[entry])):
            return False
        self._logged += [(edit, sat) for edit in self.program.session.done[-1:]]
        self._stop()
        self.look()
        return True

    def taken_back(self, edit: Edit) -> str:
        """The clock runs again where a sitting was put down by this edit, which was taken back:
        what became of it, in a sentence; empty of any other edit."""
        state, sat = self.program.state, self._sitting_of(edit)
        if state is None or sat is None:
            return ""
        if self.sat is not None:
            return runs_for_other(state.plan, self.sat)
        return runs_again(sat, self.program.clock()) if self._written(sat) else NOT_AGAIN

    def made_again(self, edit: Edit) -> str:
        """The clock stops where putting it down was taken back, and is done again."""
        sat = self._sitting_of(edit)
        if sat is None or self.sat != sat:
            return ""
        self._stop()
        self.look()
        return STOPS_AGAIN

    def _sitting_of(self, edit: Edit) -> SatDown | None:
        """What an edit put down."""
        return next((sat for one, sat in self._logged if one is edit), None)

    def _stop(self) -> None:
        try:
            stop_clock(self.folder)
        except InputError as error:
            self.program.tell(f"{clean(error.problems[0].text)}.")
        self.sat = None


def _stamp(file: Path) -> Stamp:
    try:
        stat = file.stat()
    except OSError:
        return None
    return str(file), stat.st_mtime_ns, stat.st_size


class SitsDown(Page):
    """A page on which one sits down to the step under the cursor, and puts down what one sits
    at."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "k",
            "sit_down",
            "sit down",
            id="clock.sit-down",
            tooltip="Sit down to the step under the cursor: the clock runs",
        ),
        Binding(
            "k",
            "put_down",
            "put down",
            id="clock.put-down",
            tooltip="Put down what you sit at, or say that it is done",
        ),
        Binding(
            "k",
            "why_not_sit",
            "sit down",
            show=False,
            id="clock.why-not",
            tooltip="Say why nobody sits down to what is done",
        ),
    ]

    @property
    def step_to_sit_at(self) -> str | None:
        """Full id of the step under the cursor that can be sat down to; the subclasses say."""
        return None

    def _open_step(self, step: str | None) -> str | None:
        """A step, where it is one that isn't done."""
        state = self.showing
        if step is None or state is None:
            return None
        found = next((one for one in state.plan.steps if one.id == step), None)
        open_still = found is not None and not found.done and not found.left_off
        return step if open_still else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """One puts down what one sits at before one sits down to another step."""
        if action == "sit_down":
            return self.program.sitting.sat is None and self.step_to_sit_at is not None
        if action == "put_down":
            return self.program.sitting.sat is not None
        if action == "why_not_sit":
            return self.program.sitting.sat is None and self._done_step() is not None
        return super().check_action(action, parameters)

    def action_sit_down(self) -> None:
        """Sit down to the step under the cursor."""
        step = self.step_to_sit_at
        if step is not None and self.program.sitting.sit_down(step):
            self.refresh_bindings()

    def _done_step(self) -> str | None:
        """The step under the cursor, where it is done."""
        state, here = self.showing, getattr(self, "step", None)
        if state is None or here is None or self.step_to_sit_at is not None:
            return None
        return next((one.id for one in state.plan.steps if one.id == here and one.done), None)

    def action_why_not_sit(self) -> None:
        """Say that the step is done, and what opens it."""
        state, step = self.showing, self._done_step()
        if state is not None and step is not None:
            self.program.tell(is_done(state.plan, step, self.check_action("over", ()) is True))

    def action_put_down(self) -> None:
        """Put down what one sits at."""
        self.program.sitting.ask(self.step_to_sit_at)

    def clock_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers of the clock."""
        state, step, sat = self.showing, self.step_to_sit_at, self.program.sitting.sat
        if state is None:
            return
        if sat is not None:
            title = f"Put down {quoted(state.plan, sat.step)}"
            yield SystemCommand(title, "Or say that it is done", self.action_put_down)
        elif step is not None:
            title = f"Sit down to {quoted(state.plan, step)}"
            yield SystemCommand(title, "The clock runs till it is put down", self.action_sit_down)
