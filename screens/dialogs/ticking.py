"""Ticking steps in a list, and seeing what that would make of the plan before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from planner.plan import Plan
from planner.problems import Problem
from screens.doing import Doing
from screens.forms.parts import Told
from screens.marks import DONE, NOTHING
from screens.previews import Preview
from screens.showing import ShowsState
from screens.state import State
from screens.then import PLANNING, became_sentence
from screens.widgets.ask_line import AskLine
from screens.widgets.key_line import KeyLine, Shown
from screens.widgets.lines import CURSOR, Line, Lines, Run
from screens.widgets.marked import MarkedLines, marked
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine
from screens.wording import cells, clean, wrapped

if TYPE_CHECKING:
    from screens.app import Wearby

ASK = "Drop what is ticked? Escape again drops it; any other key goes on."
NOTHING_YET = "then: nothing is ticked yet"
HELP = Shown(key="f1", sign="f1", told="help", action="help", own=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line of the list."""

    text: str
    key: str | None = None
    """What is ticked; None: nothing can be."""
    letter: str = ""
    """Of a step, its kind of work."""
    ticked: bool = False
    heading: bool = False
    right: str = ""


class Ticks(MarkedLines, can_focus=True):
    """Headings and steps; space ticks what the cursor is on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "choose", "tick", id="ticks.tick", tooltip="Tick this, or take it back"),
    ]

    def __init__(self) -> None:
        super().__init__(id="ticks")
        self.rows: Sequence[Row] = ()

    def show(self, rows: Sequence[Row]) -> None:
        """Show these lines; the cursor stays on its own."""
        self.rows = rows
        self.renew()

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it; the lines stay as they are."""
        moved = Lines.go(self, key, tell)
        self.lines = marked(self.lines, key) if moved else self.lines
        return moved

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A mark, the letter, the name, what is known at the right edge."""
        found: list[Line] = []
        for row in self.rows:
            found += self._row(row, width)
        return found

    def _row(self, row: Row, width: int) -> list[Line]:
        mark = DONE if row.ticked else NOTHING
        cursor = Run(text=CURSOR if row.key and row.key == self.cursor else " ", style="accent")
        style = "strong" if row.heading else "" if row.key else "faint"
        if row.heading and row.key is None:
            return [Line(runs=(Run(text=f" {one}", style=style),)) for one in
                    wrapped([row.text], max(20, width - 2))]  # fmt: skip
        head = [cursor, Run(text=f" {mark} ", style="accent" if row.ticked else "faint")]
        if not row.heading:
            letter = row.letter if row.key else ""
            head += [Run(text=" "), Run(text=row.letter or " ", style=letter), Run(text="  ")]
        indent = sum(cells(one.text) for one in head)
        room = max(12, width - indent - cells(row.right) - 2)
        first, *more = wrapped([row.text], room) or [""]
        right = Run(text=row.right, style="faint") if row.right else None
        line = Line(runs=(*head, Run(text=first, style=style)), right=right, key=row.key)
        rest = [Run(text=" " * indent + one, style=style) for one in more]
        return [line, *(Line(runs=(one,), click=row.key) for one in rest)]


class TickKeys(KeyLine):
    """The keys of the list, or of what is typed beneath it."""

    @property
    def keys(self) -> list[Shown]:
        """Keeping first, dropping last."""
        dialog = self.screen
        return dialog.shown_keys() if isinstance(dialog, Ticking) else []


class Ticking(ModalScreen[None], ShowsState):
    """A list of steps to tick, kept as one edit."""

    title_told = ""
    """What is ticked."""
    kept = "keep"
    """What keeping is called at its key."""
    how = "Space ticks, or takes back."
    """What is said beneath the list while there is nothing else to say."""
    AUTO_FOCUS = "#ticks"
    CSS_PATH = "ticking.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "keep", "keep", key_display="enter", id="ticking.keep",
                tooltip="Keep what is ticked"),
        Binding("ctrl+s", "keep", "keep", show=False, key_display="^s", id="ticking.keep-too",
                tooltip="Keep what is ticked"),
        Binding("escape", "drop", "drop", key_display="esc", id="ticking.drop",
                tooltip="Close and change nothing"),
    ]  # fmt: skip

    verdict = getters.query_one(VerdictLine)
    then = getters.query_one("#then", Told)
    heading = getters.query_one("#heading", Told)
    told = getters.query_one("#told", Told)
    ticks = getters.query_one(Ticks)
    line = getters.query_one("#ask", AskLine)

    def __init__(self, state: State) -> None:
        super().__init__()
        self.showing = state
        self.ticked: frozenset[str] = frozenset()
        self.said = ""
        """What the last tick did besides."""
        self.asking = False
        """Whether it was asked if all is to be dropped."""

    def compose(self) -> ComposeResult:
        """Verdict, what would become of it, the list, what is said, keys."""
        yield VerdictLine()
        yield Told(id="then")
        yield Stitching(classes="across")
        yield Told(id="heading")
        yield Ticks()
        yield Stitching(classes="across")
        yield Told(id="told")
        yield AskLine(id="ask")
        yield TickKeys()

    def on_mount(self) -> None:
        """Show what can be ticked."""
        self.verdict.plan = self.state.plan
        self.begin()
        self._read()

    @property
    def state(self) -> State:
        """The state as it is."""
        assert self.showing is not None
        return self.showing

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    # what the subclasses say

    def begin(self) -> None:
        """What is ticked at first."""

    def rows(self) -> Sequence[Row]:
        """The lines, as ticked."""
        raise NotImplementedError

    def toggle(self, key: str) -> str:
        """Tick what a key stands for, or take it back; what is to be said of that."""
        raise NotImplementedError

    def doing(self) -> Doing | None:
        """The edit; None where nothing is ticked."""
        raise NotImplementedError

    def summed(self) -> str:
        """What is ticked, at the right of the title."""
        return ""

    def shown_keys(self) -> list[Shown]:
        """The keys that can be pressed now."""
        if self.line.asking:
            return [
                Shown(key="enter", sign="enter", told="next", action="keep", own=True),
                Shown(key="escape", sign="esc", told="back", action="drop", own=True),
            ]
        keep = Shown(key="enter", sign="enter", told=self.kept, action="keep", own=True)
        tick = Shown(key="space", sign="space", told="tick", action="choose", own=True)
        drop = Shown(key="escape", sign="esc", told="drop", action="drop", own=True)
        return [*([keep] if self.ticked else []), tick, *self.more_keys(), drop, HELP]

    def more_keys(self) -> list[Shown]:
        """Keys besides ticking."""
        return []

    # what it comes to

    def _read(self) -> None:
        """Say what is ticked, and try it."""
        self.ticks.show(self.rows())
        self.heading.say(self.title_told, self.summed())
        doing = self.doing()
        if doing is None:
            self.program.end_preview()
            self.then.text = NOTHING_YET
        else:
            if self.then.text == NOTHING_YET:
                self.then.text = PLANNING
            self.program.preview(doing.change, self._tried)
        self._say()
        self.query_one(TickKeys).refresh()

    def read_again(self) -> None:
        """Something that was typed is another."""
        self._read()

    def _tried(self, preview: Preview) -> None:
        if not self.is_attached or self.doing() is None:
            return
        self.then.text = preview.sentence
        if preview.problems:
            self._say_wrong(preview.problems)

    def _say_wrong(self, problems: Sequence[Problem]) -> None:
        self.told.set_class(True, "-wrong")
        self.told.text = " ".join(clean(one.text) for one in problems[:2])

    def _say(self) -> None:
        self.told.set_class(False, "-wrong")
        self.told.text = ASK if self.asking else self.said or self.how

    # the state beneath

    def show(self, state: State, *, refined: bool = False) -> None:
        """The files were read again: what is ticked stays as far as it is there."""
        self.verdict.plan = state.plan
        self.showing = state
        if not refined:
            known = {one.id for one in state.plan.steps if not one.left_off}
            self.ticked &= known
            self._read()

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """The files can't be read just now; what is ticked stays."""
        self._say_wrong(problems)

    # keys

    def on_lines_chosen(self, event: Ticks.Chosen) -> None:
        """Space, or a click where the cursor stood."""
        event.stop()
        self.said = self.toggle(event.key)
        self._read()

    def key_came(self, key: str) -> bool:
        """A key was pressed: where it answers the question about dropping, that is all it does."""
        if not self.asking or key == "escape":
            return False
        self.asking = False
        self._say()
        return True

    def action_keep(self) -> None:
        """Make the edit."""
        doing, plan, program = self.doing(), self.state.plan, self.program
        if doing is None:
            self.said = "Nothing is ticked yet: space ticks what the cursor is on."
            self._say()
            return
        if refused := program.edit(doing.label, doing.change, cursor=doing.cursor):
            program.tell("")
            self._say_wrong(refused)
            return
        program.when_planned = partial(_say_what_became, program, plan)
        self.dismiss(None)

    def action_drop(self) -> None:
        """Close; asks first where something was ticked by hand."""
        if self.asking or not self.has_changed():
            self.program.end_preview()
            self.dismiss(None)
        else:
            self.asking = True
            self._say()

    def has_changed(self) -> bool:
        """Whether there is anything to lose."""
        return bool(self.ticked)


def _say_what_became(program: Wearby, before: Plan) -> None:
    """What it has made of the plan, where the screen beneath hasn't said so itself."""
    if program.state is None:
        return
    became = became_sentence(program.state.before or before, program.state.plan)
    for line in program.screen.query(VerdictLine):
        if line.told and became not in line.told:
            line.tell_more(became)
