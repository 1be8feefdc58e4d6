"""Which workroom: where nothing is open yet, and where another is to be opened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from screens.entering import enter
from screens.forms.parts import Told
from screens.recent import Recent
from screens.samples import Sample, there
from screens.which_told import NEW, OPEN, Choices, lines_of, told_of
from screens.widgets.key_line import KeyLine
from screens.widgets.lines import Line, Lines
from screens.widgets.marked import MarkedLines
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine

if TYPE_CHECKING:
    from screens.app import Wearby

WHAT = "wearby plans the making of a whole costume backwards from the day it is worn."
NOTHING_OPEN = "No workroom is open yet: look round in a sample, or begin one of your own."


class Doors(MarkedLines, can_focus=True):
    """All that can be opened or begun, line by line."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter", "choose", "open", key_display="enter", id="doors.open", tooltip="Open this"
        ),
    ]

    def __init__(self) -> None:
        super().__init__(id="doors")
        self.choices = Choices()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What was opened lately, what can be begun or looked for, the samples."""
        height = self.scrollable_content_region.height
        return lines_of(self.choices, width, self.cursor, height)


class WhichWorkroom(ModalScreen[None]):
    """Opens what is chosen; escape goes back to what is open."""

    CSS_PATH = ["which.tcss"]  # noqa: RUF012  # so declared by Textual
    AUTO_FOCUS = "#doors"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "begin", "new", id="which.new", tooltip="Begin a new workroom"),
        Binding(
            "o", "look_for", "a folder", id="which.folder", tooltip="Open a folder by its path"
        ),
        *(
            Binding(
                str(digit),
                f"recent({digit})",
                "lately",
                show=False,
                id=f"which.{digit}",
                tooltip="Open what was opened lately, by its number",
            )
            for digit in range(1, 10)
        ),
        Binding("escape", "back", "back", key_display="esc", id="which.back", tooltip="Back"),
        Binding("q", "app.quit", "leave", id="which.leave", tooltip="Leave wearby"),
        Binding(
            "question_mark,f1",
            "app.help",
            "help",
            key_display="?",
            id="which.help",
            tooltip="Show what the keys do",
        ),
    ]
    told_in_help = (
        "A workroom is a folder with your hours (workroom.toml) and an ensemble in each of its"
        " other files. What you open is listed on top. A sample is copied before it is opened,"
        " so that you can change whatever you like."
    )

    doors = getters.query_one("#doors", Doors)
    told = getters.query_one("#told", Told)
    verdict = getters.query_one(VerdictLine)

    def compose(self) -> ComposeResult:
        """What is open, what can be, more of what is under the cursor, keys."""
        yield VerdictLine()
        yield Stitching(classes="across")
        yield Doors()
        yield Stitching(classes="across")
        yield Told(id="told")
        yield KeyLine()

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    @property
    def nothing_open(self) -> bool:
        """Whether this is the first thing one sees."""
        return self.program.beginning is not None

    def on_mount(self) -> None:
        """Say what is open, and what was."""
        if self.nothing_open:
            self.verdict.waiting, self.verdict.waiting_for = WHAT, NOTHING_OPEN
        else:
            state = self.program.state
            self.verdict.plan = state.plan if state is not None else None
            self.verdict.waiting, self.verdict.waiting_for = WHAT, ""
        self.look_again()

    def on_screen_resume(self) -> None:
        """A folder may have vanished meanwhile, or a workroom been begun."""
        self.look_again()

    def look_again(self) -> None:
        """List what there is; what has vanished is said once, and forgotten."""
        listed: tuple[Recent, ...] = ()
        gone: tuple[Recent, ...] = ()
        if self.program.recent is not None:
            listed, gone = self.program.recent.without_vanished()
        if not self.nothing_open:
            # what is open stands on top
            here = self.program.path.resolve()
            listed = tuple(one for one in listed if one.path != here)
        self.doors.choices = Choices(
            recent=listed,
            gone=gone or self.doors.choices.gone,
            samples=there(),
            today=self.program.started_with().date(),
        )
        self.doors.renew()
        self._say()

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another line is under the cursor."""
        self._say()

    def _say(self) -> None:
        self.told.text = told_of(self.doors.choices, self.doors.cursor)

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Open it, or ask what is still to be asked."""
        choices = self.doors.choices
        if event.key == NEW:
            self.action_begin()
        elif event.key == OPEN:
            self.action_look_for()
        elif (recent := choices.recent_of(event.key)) is not None:
            self.enter_recent(recent)
        elif (sample := choices.sample_of(event.key)) is not None:
            self.copy(sample)

    def enter_recent(self, recent: Recent) -> None:
        """Open one again, unless it has just vanished."""
        if recent.path.exists():
            self.app.call_later(enter, self.program, recent.path, as_of=recent.as_of)
        else:
            self.look_again()

    def copy(self, sample: Sample) -> None:
        """Ask where the copy of a sample goes."""
        from screens.forms.sample import CopySample, SampleQuestions

        today = self.program.started_with().date()
        self.app.push_screen(CopySample(SampleQuestions(sample, today)))

    def action_begin(self) -> None:
        """Ask what a new workroom needs."""
        from screens.beginning import beginning_at

        form = beginning_at(None, self.program.started_with())
        if form is not None:
            self.app.push_screen(form)

    def action_look_for(self) -> None:
        """Ask for a folder."""
        from screens.dialogs.open_folder import OpenFolder

        def found(path: Path | None) -> None:
            if path is not None:
                self.app.call_later(enter, self.program, path)

        self.app.push_screen(OpenFolder(), found)

    def action_recent(self, digit: int) -> None:
        """Open the one of this number."""
        listed = self.doors.choices.recent
        if digit <= len(listed):
            self.enter_recent(listed[digit - 1])

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """One can't go back to what isn't there, nor open what isn't listed."""
        if action == "back":
            return not self.nothing_open
        if action == "recent":
            return parameters[0] in range(1, len(self.doors.choices.recent) + 1)
        return super().check_action(action, parameters)

    def action_back(self) -> None:
        """Back to what is open."""
        self.dismiss(None)

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers here."""
        choices = self.doors.choices
        yield SystemCommand("Begin a new workroom", "A folder of its own", self.action_begin)
        yield SystemCommand("Open a folder", "By its path", self.action_look_for)
        for recent in choices.recent:
            told = f"{recent.path}"
            yield SystemCommand(
                f"Open {recent.name or recent.path.name}", told, partial(self.enter_recent, recent)
            )
        for sample in choices.samples:
            copy = partial(self.copy, sample)
            yield SystemCommand(f"Look round in {sample.name}", sample.told, copy)
        if not self.nothing_open:
            yield SystemCommand("Go back to what is open", "Opens nothing", self.action_back)
