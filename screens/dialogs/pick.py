"""Looking something up: a few letters, the matches, one of them picked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen
from textual.widgets import Input

from screens.forms.fields import Option
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.wording import clean


class Picks(Lines, can_focus=False):
    """The options that match."""

    def __init__(self, options: Sequence[Option], there: str) -> None:
        super().__init__(id="picks")
        self.options = options
        self.letters = ""
        self.cursor = there

    def matching(self) -> list[Option]:
        """Those whose name, key or what is told of them hold every word typed."""
        words = self.letters.casefold().split()
        return [
            one
            for one in self.options
            if all(word in f"{one.name} {one.key} {one.told}".casefold() for word in words)
        ]

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line an option."""
        options = self.matching()
        if not options:
            return [plain(" Nothing here has these letters.", "faint")]
        if self.cursor not in {one.key for one in options}:
            self.cursor = options[0].key
        return [
            Line(
                runs=(
                    Run(text=f"{CURSOR if one.key == self.cursor else ' '} ", style="accent"),
                    Run(text=clean(one.name)),
                ),
                right=Run(text=clean(one.told), style="faint") if one.told else None,
                key=one.key,
            )
            for one in options
        ]

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved

    def clicked(self, key: str) -> None:
        """A click picks at once."""
        self.post_message(self.Chosen(self, key))


class Pick(ModalScreen[str | None]):
    """Type letters, pick with the arrows and enter; escape closes. Gives the option's key."""

    CSS = """
    Pick {
        align: center middle;
        background: $background 60%;
        #picking {
            width: 76;
            max-width: 100%;
            height: 18;
            max-height: 100%;
            padding: 0 1;
            background: $panel;
        }
        Input {
            height: 1;
            border: none;
            padding: 0;
            background: $panel;
            color: $foreground;
        }
        Lines {
            height: 1fr;
            background: $panel;
            & > .lines--cursor {
                background: $cursor;
                text-style: bold;
            }
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "close", id="pick.close", tooltip="Close without picking"),
        Binding("down", "move(1)", "next", show=False, id="pick.down", tooltip="Next match"),
        Binding("up", "move(-1)", "previous", show=False, id="pick.up", tooltip="Match above"),
        Binding("pagedown", "page(1)", "page", show=False, id="pick.pagedown", tooltip="Further"),
        Binding("pageup", "page(-1)", "page", show=False, id="pick.pageup", tooltip="Back"),
    ]

    picks = getters.query_one("#picks", Picks)

    def __init__(self, what: str, options: Sequence[Option], there: str = "") -> None:
        super().__init__()
        self.what = what
        self.options = options
        self.there = there

    def compose(self) -> ComposeResult:
        """A line to type in, and what matches."""
        with Container(id="picking"):
            asked = Input(placeholder=f"{clean(self.what)}: type a few letters", id="letters")
            asked.cursor_blink = False
            yield asked
            yield Picks(self.options, self.there)

    def on_mount(self) -> None:
        """Show what stands there now."""
        self.call_after_refresh(self.picks.keep_in_view)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Match afresh."""
        if event.value == self.picks.letters:
            return
        self.picks.letters = event.value
        self.picks.renew()
        self.picks.scroll_to(y=0, animate=False)

    def on_input_submitted(self) -> None:
        """Pick the match under the cursor."""
        if self.picks.matching():
            self.picks.action_choose()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """A match was picked."""
        self.dismiss(event.key)

    def action_move(self, steps: int) -> None:
        """Another match."""
        self.picks.action_step(steps)

    def action_page(self, pages: int) -> None:
        """A page of matches."""
        self.picks.action_page(pages)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
