"""What is to become of the step one sits at: put down, done, go on, thrown away."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import ClassVar

from textual import getters
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen

from planner.plan import Plan
from planner.sitting_down import SatDown, TooLong, minutes_sat
from screens.clock_told import (
    Choice,
    Offered,
    asks_how_long,
    asks_left,
    choices,
    heading,
    proposed,
)
from screens.forms.parts import Told
from screens.log_rows import minutes_from
from screens.sitting import Ended
from screens.widgets.ask_line import AskLine
from screens.widgets.key_line import KeyLine, Shown
from screens.widgets.lines import CURSOR, Line, Run
from screens.widgets.marked import MarkedLines
from screens.wording import cells, clean, column, padded

TOGETHER = 0.04
"""Seconds for which nothing is drawn while the dialog finds its place."""
WHILE_TYPED = (
    Shown(key="enter", sign="enter", told="next", action="choose", own=True),
    Shown(key="escape", sign="esc", told="back", action="leave", own=True),
)
WHILE_CHOSEN = (
    Shown(key="enter", sign="enter", told="choose", action="choose", own=True),
    Shown(key="escape", sign="esc", told="go on sitting", action="leave", own=True),
)


class Choices(MarkedLines, can_focus=True):
    """What can be done, a line each."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter", "choose", "choose", key_display="enter", id="put-down.enter",
            tooltip="Do this",
        ),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__(id="choices")
        self.offered: Sequence[Offered] = ()

    def show(self, offered: Sequence[Offered]) -> None:
        """Show what can be done, the first marked."""
        self.offered = offered
        self.cursor = offered[0].choice.value
        self.styles.height = len(offered)
        self.renew()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The mark, what is done, what comes of it."""
        wide = max((cells(one.title) for one in self.offered), default=0) + 3
        return [
            Line(
                runs=(
                    Run(
                        text=f"{CURSOR if one.choice.value == self.cursor else ' '} ",
                        style="accent",
                    ),
                    Run(text=padded(one.title, min(wide, max(20, width // 2)))),
                    Run(text=one.told, style="faint"),
                ),
                key=one.choice.value,
            )
            for one in self.offered
        ]


class DialogKeys(KeyLine):
    """The keys of the dialog; not those of what lies beneath it."""

    @property
    def keys(self) -> list[Shown]:
        """Enter and escape, as they do now."""
        dialog = self.screen
        typing = isinstance(dialog, PutDown) and dialog.line.asking
        return list(WHILE_TYPED if typing else WHILE_CHOSEN)


class PutDown(ModalScreen[Ended | None]):
    """Gives what became of a sitting; None: it goes on."""

    AUTO_FOCUS = "#choices"
    CSS = """
    PutDown {
        background: $background 60%;
        align: center middle;

        #sheet {
            width: 80;
            max-width: 100%;
            height: auto;
            background: $panel;
            border: blank $background;
            padding: 0 1;
        }
        Told {
            height: auto;
            text-style: bold;
        }
        #why {
            text-style: none;
            color: $accent;
            display: none;

            &.-telling {
                display: block;
            }
        }
        Choices, AskLine {
            background: $panel;
            margin: 1 0 1 0;
        }
        Choices > .lines--cursor {
            background: $cursor;
            text-style: bold;
        }
        TextValue {
            background: $cursor;
            color: $foreground;
        }
        DialogKeys {
            height: 1;
            background: $panel;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,k", "leave", "go on", key_display="esc", id="put-down.leave",
                tooltip="Go on sitting: the clock runs on"),
    ]  # fmt: skip

    line = getters.query_one("#ask", AskLine)
    list = getters.query_one("#choices", Choices)

    def __init__(
        self,
        plan: Plan,
        sat: SatDown,
        now: datetime,
        long: TooLong | None,
        instead: str | None = None,
    ) -> None:
        """``long``: it ran for longer than can be; ``instead``: the step one might go on with."""
        super().__init__()
        self.plan, self.sat, self.now, self.long, self.instead = plan, sat, now, long, instead
        self.minutes = minutes_sat(sat, now) if long is None else 0
        """Minutes that would be logged; 0 where it isn't known how many."""
        self.asking_left = False
        """Whether what is typed is what is left; else the minutes it took."""

    def compose(self) -> ComposeResult:
        """What it is about, what can be done or is asked, keys."""
        with Container(id="sheet"):
            yield Told(id="about")
            yield Told(id="why")
            yield Choices()
            yield AskLine(id="ask")
            yield DialogKeys()

    def on_mount(self) -> None:
        """Ask for how long where the clock can't be believed; else what is to be done.

        Drawn at once, when all of it has its place: parts alone would stand there for a moment.
        """
        App.delay_update(self.app, TOGETHER)
        if not self.minutes:
            self.query_one("#why", Told).text = asks_how_long(
                self.plan, self.sat, self.now, self.long
            )
            self._ask_minutes(proposed(self.sat, self.now, self.long))
        else:
            self._choose()

    def _choose(self) -> None:
        """Ask what is to be done."""
        told = heading(self.plan, self.sat, self.now)
        minutes = f", {column(self.minutes)}" if self.minutes else ""
        self.query_one("#about", Told).text = f"{told}{minutes}"
        self.query_one("#why", Told).text = ""
        self.line.close()
        self.list.display = True
        self.list.show(choices(self.plan, self.minutes, self.instead))
        self.set_focus(self.list)
        self.query_one(DialogKeys).refresh()

    def _ask_minutes(self, there: int | None) -> None:
        self.asking_left = False
        self._ask("for how long:", column(there) if there else "", "25 or 1:30")

    def _ask_left(self) -> None:
        self.asking_left = True
        self.query_one("#why", Told).text = asks_left(self.plan, self.sat.step)
        self._ask("left, by guess:", "", "may stay empty")

    def _ask(self, what: str, text: str, example: str) -> None:
        self.query_one("#about", Told).text = heading(self.plan, self.sat, self.now)
        self.list.display = False
        name = clean(self.plan.names.get(self.sat.step, "")) or self.sat.step.rsplit("/")[-1]
        self.line.ask(name, what, text, example)
        # a proposal is typed over, not gone on with
        self.call_after_refresh(self.line.text.action_select_all)
        self.query_one(DialogKeys).refresh()

    # answers

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """What was wrong is being put right."""
        self.line.say("")

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Minutes, or what is left."""
        text = event.text.strip()
        if self.asking_left and not text:
            self.dismiss(Ended(minutes=self.minutes))
            return
        try:
            minutes = minutes_from(text)
        except ValueError:
            self.line.say("Write minutes as 25, 1:30 or 1h30.")
            return
        if self.asking_left:
            ended = Ended(minutes=self.minutes, done=not minutes, left=minutes or None)
            self.dismiss(ended)
        elif not minutes:
            self.line.say("It took some minutes; esc, and throw it away where it took none.")
        else:
            self.minutes = minutes
            self._choose()

    def on_ask_line_dropped(self) -> None:
        """Escape while something is typed: back to the choices."""
        self._choose()

    def on_lines_chosen(self, event: Choices.Chosen) -> None:
        """Done with it, or ask on."""
        event.stop()
        choice = Choice(event.key)
        if choice is Choice.PUT_DOWN:
            self._ask_left()
        elif choice is Choice.DONE:
            self.dismiss(Ended(minutes=self.minutes, done=True))
        elif choice is Choice.INSTEAD:
            self.dismiss(Ended(minutes=self.minutes, then=self.instead))
        elif choice is Choice.OTHER_MINUTES:
            there = self.minutes or proposed(self.sat, self.now, self.long)
            self._ask_minutes(there)
        elif choice is Choice.THROW_AWAY:
            self.dismiss(Ended())
        else:
            self.dismiss(None)

    def action_leave(self) -> None:
        """Go on sitting."""
        self.dismiss(None)
