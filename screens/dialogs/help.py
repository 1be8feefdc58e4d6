"""What the keys do, and what the letters stand for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen

from planner.model import Work
from screens.strips import FREE, MARK
from screens.widgets.lines import Line, Lines, Run, plain
from screens.wording import wrapped


class HelpLines(Lines):
    """The help's text."""

    def __init__(self, keys: Sequence[tuple[str, str]], slice: int | None, told: str) -> None:
        super().__init__(id="help")
        self.keys = keys
        self.slice = slice
        self.told = told

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What the screen shows, the letters explained, then key by key."""
        size = f"{self.slice} minutes" if self.slice else "a slice of time"
        told = self.told or (
            "A line is a day: days to go, its date, the work planned on it, and its strip. Each"
            f" letter of the strip is {size} of work, and says which kind:"
        )
        found = [plain(line) for line in wrapped([told], width)]
        works = list(Work)
        for first in range(0, len(works), 4):
            runs = []
            for work in works[first : first + 4]:
                runs.append(Run(text=f"  {work.letter}", style=work.letter))
                runs.append(Run(text=f" {work.value:<10}"))
            found.append(Line(runs=tuple(runs)))
        more = (
            ""
            if self.told
            else (
                f"{FREE} is free time. Hours end at {MARK}; letters after it, reversed, are over:"
                " more work than there are hours."
            )
        )
        found += [plain(line) for line in wrapped([more], width)]
        found.append(plain(""))
        for key, meaning in self.keys:
            found.append(Line(runs=(Run(text=f"  {key:<12}", style="accent"), Run(text=meaning))))
        return found


class Help(ModalScreen[None]):
    """Any of escape, enter, q and ? closes it."""

    CSS = """
    Help {
        align: center middle;
        background: $background 60%;
        #telling {
            width: 72;
            max-width: 100%;
            height: auto;
            max-height: 100%;
            padding: 1 2;
            background: $panel;
        }
        Lines {
            height: 20;
            max-height: 100%;
            background: $panel;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape,enter,q,question_mark",
            "leave",
            "close",
            id="help.close",
            tooltip="Close the help",
        ),
    ]

    def __init__(self, keys: Sequence[tuple[str, str]], slice: int | None, told: str = "") -> None:
        """``told`` is what a screen without strips says of itself, up to its letters."""
        super().__init__()
        self.keys = keys
        self.slice = slice
        self.told = told

    def compose(self) -> ComposeResult:
        """The text, scrolling where the terminal is low."""
        with Container(id="telling"):
            yield HelpLines(self.keys, self.slice, self.told)

    def on_click(self) -> None:
        """A click closes it too."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
