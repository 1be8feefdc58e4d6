"""What the keys do, and what the letters stand for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.message import Message
from textual.screen import ModalScreen

from planner.model import Work
from screens.forms.parts import Told
from screens.strips import FREE, MARK
from screens.widgets.lines import Line, Lines, Run, plain
from screens.wording import count, wrapped


class HelpLines(Lines):
    """The help's text; keys scroll it."""

    class Seen(Message):
        """Other lines are seen than before."""

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
        strips = (
            ""
            if self.told
            else (
                f"{FREE} is free time. Hours end at {MARK}; letters after it, reversed, are over:"
                " more work than there are hours."
            )
        )
        found += [plain(line) for line in wrapped([strips], width)]
        found.append(plain(""))
        for key, meaning in self.keys:
            head, *rest = wrapped([meaning], max(20, width - 14)) or [""]
            found.append(Line(runs=(Run(text=f"  {key:<12}", style="accent"), Run(text=head))))
            found += [plain(f"{'':14}{line}") for line in rest]
        return found

    # there is no cursor to move: keys scroll

    def action_step(self, steps: int) -> None:
        """A line up or down."""
        self.scroll_relative(y=steps, animate=False)

    def action_page(self, pages: int) -> None:
        """A page up or down."""
        height = max(1, self.scrollable_content_region.height - 1)
        self.scroll_relative(y=pages * height, animate=False)

    def action_edge(self, index: int) -> None:
        """To the beginning or the end."""
        self.scroll_to(y=0 if index == 0 else self.max_scroll_y, animate=False)

    @property
    def beneath(self) -> int:
        """How many lines there are below those that are seen."""
        return max(0, self.max_scroll_y - self.scroll_offset.y)

    def renew(self) -> None:
        """Compose afresh, and say how much there is beneath."""
        super().renew()
        self.post_message(self.Seen())

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Other lines are seen."""
        super().watch_scroll_y(old_value, new_value)
        self.post_message(self.Seen())


class Help(ModalScreen[None]):
    """Any of escape, enter, q and ? closes it."""

    CSS = """
    Help {
        align: center middle;
        background: $background 60%;
        #telling {
            width: 72;
            max-width: 100%;
            height: 24;
            max-height: 100%;
            padding: 1 2 0 2;
            background: $panel;
        }
        Lines {
            height: 1fr;
            background: $panel;
        }
        Told {
            height: 1;
            color: $accent;
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

    lines = getters.query_one("#help", HelpLines)

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
            yield Told(id="beneath")

    def on_help_lines_seen(self) -> None:
        """Say whether there is more, and how to get at it."""
        lines = count(self.lines.beneath, "more line")
        self.query_one("#beneath", Told).text = (
            f"{lines} beneath: down, page down, end" if self.lines.beneath else "esc closes"
        )

    def on_click(self) -> None:
        """A click closes it too."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
