"""One line typed in place, beneath a list: what is asked, the text, and what would come of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from screens.forms.fields import Field
from screens.forms.rows import Came, Next, TextValue
from screens.forms.rows import Typed as TypedIn
from screens.widgets.lines import CURSOR
from screens.wording import abbreviated, cells, clean, fitted, wrapped

LABEL = 44
"""Columns the question may take."""
TOLD = 3
"""Lines of what would come of it, at the most."""


def takes(name: str, what: str) -> bool:
    """Whether a question shows all of a name."""
    return cells(clean(name)) <= LABEL - cells(what) - 5


class AskLine(Widget):
    """Asks for one text at a time; hidden while nothing is asked."""

    DEFAULT_CSS = """
    AskLine {
        display: none;
        height: auto;
        layout: vertical;
    }
    AskLine.-asking {
        display: block;
    }
    AskLine TextValue {
        height: 1;
        width: 1fr;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape",
            "drop",
            "drop",
            key_display="esc",
            id="ask.drop",
            tooltip="Drop what was typed",
        ),
    ]

    @dataclass
    class Changed(Message):
        """The text is another."""

        text: str

    @dataclass
    class Kept(Message):
        """Enter was pressed."""

        text: str

    @dataclass
    class Dropped(Message):
        """Escape was pressed."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self.label = ""
        self.told: tuple[str, ...] = ()
        self.text = TextValue(Field(key="text", label=""), "")
        # what stands there is gone on with, not replaced
        self.text.select_on_focus = False

    def compose(self) -> ComposeResult:
        """What is typed; the rest is drawn by ``render``."""
        yield self.text

    @property
    def asking(self) -> bool:
        """Whether something is asked."""
        return self.has_class("-asking")

    def ask(self, name: str, what: str, text: str, example: str) -> None:
        """Ask for a text; ``text`` stands there at first, ``example`` while it is empty.

        Of ``name`` as much is shown as there is room for, of ``what`` is asked of it all; without
        a name it begins the sentence.
        """
        self.label = f"{fitted(clean(name), LABEL - cells(what) - 5)}, {what}"
        if not name:
            self.label = f"{what[:1].upper()}{what[1:]}"
        self.set_class(True, "-asking")
        with self.prevent(TypedIn):
            self.text.value = text
        self.text.placeholder = example
        self.text.cursor_position = len(text)
        self.say("")
        self.text.focus()

    def close(self) -> None:
        """Ask nothing any longer."""
        self.set_class(False, "-asking")

    def say(self, told: str) -> None:
        """Say what would come of it, or what is wrong."""
        width = max(20, self.size.width - 2)
        self.told = tuple(wrapped([abbreviated(clean(told))], width))[:TOLD] if told else ()
        label = cells(self.label) + 3
        self.text.styles.margin = (0, 1, 0, label)
        self.styles.height = 1 + len(self.told)
        self.refresh(layout=True)

    def on_typed(self, event: TypedIn) -> None:
        """Another text."""
        event.stop()
        self.post_message(self.Changed(self.text.value))

    def on_next(self, event: Next) -> None:
        """Enter."""
        event.stop()
        self.post_message(self.Kept(self.text.value))

    def on_came(self, event: Came) -> None:
        """Of no use here."""
        event.stop()

    def action_drop(self) -> None:
        """Escape."""
        self.post_message(self.Dropped())

    def render(self) -> Content:
        """The question, and what would come of it; never markup."""
        parts: list[tuple[str, str]] = [(CURSOR, "$accent"), (f" {self.label}", "bold")]
        for line in self.told:
            parts.append((f"\n {line}", "$accent"))
        return Content.assemble(*parts)
