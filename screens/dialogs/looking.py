"""Looking for one of many by a few of its letters: a line to type in, beneath it what matches."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen
from textual.widgets import Input

from screens.widgets.key_line import KeyLine, Shown
from screens.widgets.marked import MarkedLines

ENTER = Shown(key="enter", sign="enter", told="chooses", action="choose", own=True)
ESCAPE = Shown(key="escape", sign="esc", told="closes", action="leave", own=True)


class Matches(MarkedLines, can_focus=False):
    """What matches the letters; a click chooses at once."""

    letters = ""

    @property
    def has_any(self) -> bool:
        """Whether something matches."""
        return any(line.key for line in self.lines)

    def clicked(self, key: str) -> None:
        """A click chooses at once."""
        self.post_message(self.Chosen(self, key))


class ListKeys(KeyLine):
    """The keys that hold in a list, at its lower edge; not those of what lies beneath it."""

    def __init__(self, matches: Matches | None = None) -> None:
        """``matches`` may be none; without it there is always something to choose."""
        super().__init__()
        self.matches = matches

    @property
    def keys(self) -> list[Shown]:
        """Enter chooses where something matches; escape closes."""
        has_any = self.matches is None or self.matches.has_any
        return [ENTER, ESCAPE] if has_any else [ESCAPE]


class Looking(ModalScreen[str | None]):
    """Type letters, choose with the arrows and enter; escape closes. Gives the line's key."""

    CSS_PATH = "looking.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "close", id="looking.close", tooltip="Close without choosing"),
        Binding("down", "move(1)", "next", show=False, id="looking.down", tooltip="Next match"),
        Binding("up", "move(-1)", "previous", show=False, id="looking.up", tooltip="Match above"),
        Binding("pagedown", "page(1)", "page", show=False, id="looking.next", tooltip="Further"),
        Binding("pageup", "page(-1)", "page", show=False, id="looking.before", tooltip="Back"),
    ]

    def __init__(self, ask: str, matches: Matches) -> None:
        """``ask`` stands where nothing is typed yet."""
        super().__init__()
        self.ask = ask
        self.matches = matches

    def compose(self) -> ComposeResult:
        """A line to type in, and what matches."""
        with Container(id="looking"):
            asked = Input(placeholder=self.ask, id="letters")
            asked.cursor_blink = False
            yield asked
            yield self.matches
            yield from self.beneath()
            yield ListKeys(self.matches)

    def beneath(self) -> ComposeResult:
        """What stands beneath the matches; nothing by itself."""
        yield from ()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Match afresh."""
        if event.value == self.matches.letters:
            return
        self.matches.letters = event.value
        self.matches.renew()
        self.query_one(ListKeys).refresh()
        self.matches.scroll_to(y=0, animate=False)

    def on_input_submitted(self) -> None:
        """Choose the match under the cursor, if anything matches."""
        if self.matches.cursor in {line.key for line in self.matches.lines if line.key}:
            self.matches.action_choose()

    def on_lines_chosen(self, event: Matches.Chosen) -> None:
        """A match was chosen."""
        self.dismiss(event.key)

    def action_move(self, steps: int) -> None:
        """Another match."""
        self.matches.action_step(steps)

    def action_page(self, pages: int) -> None:
        """A page of matches."""
        self.matches.action_page(pages)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
