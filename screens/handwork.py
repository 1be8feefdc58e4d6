"""Hand sewing: every step by hand, against the day's limit, and what a machine would save."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.timer import Timer

from planner.editing.ways import add_way, choose_way
from planner.handwork import HandStep, HandWork, hand_work
from planner.model import Project
from planner.other_ways import OtherWay
from screens.handwork_told import back_label, chosen_label, no_machine
from screens.page import Page
from screens.previews import Preview
from screens.state import State
from screens.widgets.hand_list import HandList
from screens.widgets.lines import Lines
from screens.widgets.opened_hand import WAY, OpenedHand
from screens.widgets.stitching import Stitching
from screens.wording import clean, name_of, named_date, quoted

if TYPE_CHECKING:
    pass

REST = 0.15
"""Seconds the cursor rests on a step before it is tried what a machine would make of the plan."""


def _key(key: str, action: str, told: str, tooltip: str, show: bool = True) -> Binding:
    name = action.replace("('", "-").replace("')", "").replace("_", "-")
    return Binding(key, action, told, show=show, id=f"hand.{name}", tooltip=tooltip)


class HandSewing(Page):
    """What is sewn by hand."""

    AUTO_FOCUS = "#hand"
    CSS_PATH = ["page.tcss", "handwork.tcss"]  # noqa: RUF012  # so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("space", "log", "log", "Log that this step was done"),
        _key("y", "arrange", "by garment", "By garment, or by day again"),
        _key("m", "take_way('machine')", "by machine", "Sew it by machine; ^z undoes it"),
        _key("m", "take_way('hand')", "by hand", "Sew it by hand again; ^z undoes it"),
        _key("r", "run_up", "its day", "Go to this step in the run-up"),
        _key("e", "edit", "edit", "Change this step in a form", False),
    ]

    hand = getters.query_one("#hand", HandList)
    opened = getters.query_one("#opened", OpenedHand)

    def __init__(self) -> None:
        super().__init__()
        self.work: HandWork | None = None
        self.resting: Timer | None = None
        """Runs while the cursor has only just come to a step."""

    def regions(self) -> ComposeResult:
        """The days with their steps, and the step under the cursor."""
        yield HandList(id="hand")
        yield Stitching(id="between")
        yield OpenedHand(id="opened")

    @property
    def slice(self) -> int | None:
        """Minutes of a cell, as drawn."""
        return self.hand.slice

    @property
    def told_in_help(self) -> str:
        """What the lines mean."""
        return (
            "Each day with hand sewing has its minutes, of how many you want in a day, and a strip"
            " of them that ends at that limit; what is sewn past the mark is too much. Under it"
            " stand its steps: how long, where, of which garment. m sews the step under the cursor"
            " by machine, or by hand again; where a step begins, “m saves” tells how much less all"
            " of it takes then, “usually saves” the same where your files don't offer it. The"
            " letter of a step is its kind of work:"
        )

    # what is shown

    def moved(self, state: State) -> str:
        """Where the step under the cursor has moved to."""
        was = self.opened.step
        now = next((s for s in state.plan.steps if was is not None and s.id == was.id), None)
        if was is None or now is None or now.first_day is None or was.first_day is None:
            return ""
        if now.first_day == was.first_day or now.done:
            return ""
        day = named_date(now.first_day, state.plan.now.date())
        return f"{quoted(state.plan, now.id)} moves to {day}."

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Draw a state; the cursor stays on its step."""
        self.work = hand_work(state.project, state.plan)
        self.hand.show(state.plan, self.work)
        self.set_class(not (self.work.steps or self.work.to_machine), "-empty")
        self._open(state)

    def go_to(self, ident: str) -> None:
        """Put the cursor on a step, or on the first of a garment, by its full id."""
        if not self.hand.find(ident):
            steps = (one.step.id for one in (self.work.steps if self.work is not None else ()))
            first = next((step for step in steps if step.startswith(f"{ident}/")), None)
            if first is not None:
                self.hand.find(first)

    def _open(self, state: State | None = None) -> None:
        """Open the step under the cursor, and try its best way."""
        state, work, ident = state or self.showing, self.work, self.hand.step
        if state is None or work is None:
            return
        step = next((one for one in state.plan.steps if one.id == ident), None)
        self.opened.show(state.plan, step, self._hand_step(), self._ways(), work.caution)
        self._try_soon(0)

    def _hand_step(self) -> HandStep | None:
        """The step under the cursor, where it is sewn by hand."""
        steps = self.work.steps if self.work is not None else ()
        return next((one for one in steps if one.step.id == self.hand.step), None)

    def _ways(self) -> tuple[OtherWay, ...]:
        """The ways of the step under the cursor: by machine, or by hand again."""
        one = self._hand_step()
        if one is not None:
            return one.ways
        back = self.work.to_machine if self.work is not None else ()
        return tuple(way for way in back if way.step == self.hand.step)

    def _try_soon(self, place: int) -> None:
        """The same once the cursor rests: keys that follow each other ask for nothing."""
        self._end_trying()
        self.resting = self.set_timer(REST, partial(self._try, place))

    def _end_trying(self) -> None:
        """Nothing is being tried any longer, nor will be."""
        if self.resting is not None:
            self.resting.stop()
        self.program.end_preview()

    def _try(self, place: int) -> None:
        """Ask what a way would make of the plan."""
        ways = self._ways()
        if place >= len(ways):
            self.program.end_preview()
            return

        def told(preview: Preview) -> None:
            if preview.sentence:
                self.opened.tell(place, preview.sentence)

        self.program.preview(_taking(ways[place]), told)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another step, or another of its ways, is under the cursor."""
        if event.lines is self.hand:
            self._open()
            self.refresh_bindings()
        elif event.key.startswith(f"{WAY} ") and self.opened.way not in self.opened.then:
            self._try_soon(self.opened.way)

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """From the list to what is opened; there, take a way."""
        if event.lines is self.hand:
            self.opened.focus()
        elif event.key.startswith(f"{WAY} "):
            self._take(int(event.key.partition(" ")[2]))

    def on_screen_resume(self) -> None:
        """Back from another screen: what was being tried is tried again."""
        if self.opened.step is not None and not self.opened.then:
            self._try_soon(0)

    def on_screen_suspend(self) -> None:
        """Nothing is tried while another screen is on top."""
        self._end_trying()

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can't be done to what is under the cursor isn't offered."""
        if action in ("log", "run_up", "edit", "arrange"):
            return self.hand.step is not None
        if action == "take_way":
            if parameters == ("machine",):  # always told; of a step without such a way it says so
                return self._hand_step() is not None
            return self._hand_step() is None and bool(self._ways())
        return True

    def action_arrange(self) -> None:
        """By garment, or by day again."""
        self.hand.group(not self.hand.by_garment)

    def action_take_way(self, to: str) -> None:
        """Take the way under the cursor, or the best: to the machine, or back to the hand."""
        self._take(self.opened.way)

    def _take(self, place: int) -> None:
        """Sew the step in one of its other ways."""
        state, ways, one = self.showing, self._ways(), self._hand_step()
        if state is None:
            return
        if place >= len(ways):
            self.program.tell(no_machine(state.plan, self._nearest()))
            return
        way = ways[place]
        label = chosen_label(state.plan, one, way) if one else back_label(state.plan, way)
        self.program.edit(label, _taking(way), cursor=way.step)
        self.hand.focus()

    def _nearest(self) -> str | None:
        """The step nearest to the cursor that a machine could sew, the next before the last."""
        steps = self.work.steps if self.work is not None else ()
        able = {one.step.id for one in steps if one.ways}
        keys = self.hand.steps_in_order()
        here = keys.index(self.hand.step) if self.hand.step in keys else 0
        by_distance = sorted(range(len(keys)), key=lambda at: (abs(at - here), at < here))
        return next((keys[at] for at in by_distance if keys[at] in able), None)

    def _saves_most(self) -> str | None:
        """The step of which a machine would save most."""
        steps = [one for one in (self.work.steps if self.work is not None else ()) if one.ways]
        best = max(steps, key=lambda one: one.ways[0].saved, default=None)
        return best.step.id if best is not None and best.ways[0].saved > 0 else None

    def action_log(self) -> None:
        """Ask what was done; the step under the cursor stands there as done."""
        from screens.log_rows import steps_for

        state, step = self.showing, self.hand.step
        if state is not None and step is not None:
            steps = steps_for(state.plan, state.project, state.plan.now.date(), first=step)
            self.program.log_steps(steps, marked=[step])

    def action_run_up(self) -> None:
        """Go to the step in the run-up."""
        if self.hand.step is not None:
            self.program.open_step(self.hand.step)

    def action_edit(self) -> None:
        """The step in a form."""
        from screens.forms.form import Form
        from screens.forms.step import StepQuestions

        state, step = self.showing, self.hand.step
        if state is not None and step is not None:
            garment = step.rpartition("/")[0]
            self.app.push_screen(Form(StepQuestions(state, garment, step)))

    def action_close(self) -> None:
        """Back to the list."""
        self.hand.focus()

    # the palette

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here, for the step under the cursor."""
        state, step = self.showing, self.hand.step
        if state is None or step is None:
            return
        name = name_of(state.plan, step)
        other = "by day" if self.hand.by_garment else "by garment"
        title = f"Show the hand sewing {other}"
        yield SystemCommand(title, "Each step beneath it", self.action_arrange)
        for place, way in enumerate(self._ways()):
            title = "by machine" if self._hand_step() is not None else "by hand again"
            told = clean(way.name)
            yield SystemCommand(f"Sew {name} {title}", told, partial(self._take, place))
        if (most := self._saves_most()) is not None:
            told = f"m sews it by machine: {name_of(state.plan, most)}"
            title = "Go to the step a machine would save most of"
            yield SystemCommand(title, told, partial(self.hand.find, most))
        yield SystemCommand(f"Go to {name} in the run-up", "Its day opened", self.action_run_up)
        yield SystemCommand(f"Edit {name}", "In a form", self.action_edit)
        yield SystemCommand(f"Log {name}", "As done or begun", self.action_log)


def _taking(way: OtherWay) -> Callable[[Project], Project]:
    """The edit that takes a way; one that the files don't offer is written there."""
    step, index, laid = way.step, way.index, way.way
    if not way.offered and laid is not None:
        return lambda project: add_way(project, step, laid)
    return lambda project: choose_way(project, step, index)
