"""One field of a form as it is drawn: label, text or choice, and what is wrong under it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from screens.forms.fields import Field, Option, without_or_with
from screens.widgets.lines import CURSOR
from screens.wording import cells, clean, fitted, padded, wrapped

LABEL = 22
"""Columns of a field's mark and label, unless labels are longer."""
LONGEST = 32
"""Columns that mark and label take at most."""


def label_width(labels: Iterable[str]) -> int:
    """Columns for marks and labels, the same for all fields of a form."""
    return max(LABEL, min(LONGEST, max((cells(clean(one)) for one in labels), default=0) + 4))


@dataclass
class Typed(Message):
    """Something was typed or chosen in a field."""

    key: str


@dataclass
class Came(Message):
    """A field is there, and can have the focus."""

    key: str


@dataclass
class Next(Message):
    """Enter was pressed in a field."""

    key: str


_STEERS = re.compile(r"[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Control characters, and those that turn the direction of what follows."""


class TextValue(Input):
    """A text; nothing in it is markup."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+f", "screen.look_up", "look up", show=False, tooltip="Look it up in a list"),
    ]

    def __init__(self, field: Field, text: str) -> None:
        super().__init__(text, placeholder=field.empty, compact=True, classes="form--stop")
        self.cursor_blink = False
        self.key = field.key

    @property
    def _value(self) -> Text:
        """The text as drawn: what would steer the terminal is a mark of one column."""
        drawn = super()._value
        marked = _STEERS.sub("\N{REPLACEMENT CHARACTER}", drawn.plain)
        return drawn if marked == drawn.plain else Text(marked, no_wrap=True, end="")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Tell the form."""
        event.stop()
        self.post_message(Typed(self.key))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes on."""
        event.stop()
        self.post_message(Next(self.key))


class ChoiceValue(Widget, can_focus=True):
    """A choice: its options in a row where there is room, else the chosen one alone."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "by(-1)", "before", show=False, tooltip="The answer before"),
        Binding("right,space", "by(1)", "after", show=False, tooltip="The next answer"),
        Binding("home", "edge(0)", "first", show=False, tooltip="The first answer"),
        Binding("end", "edge(-1)", "last", show=False, tooltip="The last answer"),
        Binding(
            "enter",
            "submit",
            "next",
            show=False,
            key_display="enter",
            tooltip="Go on to the next field",
        ),
    ]

    def __init__(self, field: Field, text: str) -> None:
        super().__init__(classes="form--stop")
        self.key = field.key
        self.options: Sequence[Option] = field.options
        self.value = text
        self.cleared: list[tuple[int, int, str]] = []
        """From column, to column, option: what a click means."""

    @property
    def index(self) -> int:
        """Place of the chosen option; the first where none is."""
        return next((i for i, one in enumerate(self.options) if one.key == self.value), 0)

    def render(self) -> Content:
        """The options, the chosen one between marks; never markup."""
        width = max(4, self.size.width)
        names = [clean(one.name) for one in self.options]
        if sum(cells(name) + 3 for name in names) <= width + 1:
            return self._all(names)
        name = fitted(names[self.index], max(4, width - 14))
        self.cleared = [(0, 1, "-"), (2, width, "+")]
        place = f"  {self.index + 1} of {len(names)}"
        return Content.assemble(("‹ ", "$accent"), name, (" ›", "$accent"), (place, "$faint"))

    def _all(self, names: Sequence[str]) -> Content:
        parts: list[tuple[str, str]] = []
        self.cleared = []
        column = 0
        for place, (one, name) in enumerate(zip(self.options, names, strict=True)):
            here = place == self.index
            text = f"‹{name}›" if here else f" {name} "
            self.cleared.append((column, column + cells(text), one.key))
            parts += [(text, "bold $accent" if here else "$faint"), (" ", "")]
            column += cells(text) + 1
        return Content.assemble(*parts)

    def take(self, options: Sequence[Option], value: str) -> None:
        """Other options, and the chosen one, without telling."""
        self.options, self.value = options, value
        self.refresh()

    def choose(self, key: str) -> None:
        """Choose an option, and tell the form."""
        if key != self.value:
            self.value = key
            self.refresh()
            self.post_message(Typed(self.key))

    def action_by(self, steps: int) -> None:
        """The option before or after, round and round."""
        self.choose(self.options[(self.index + steps) % len(self.options)].key)

    def action_edge(self, place: int) -> None:
        """The first or the last option."""
        self.choose(self.options[place].key)

    def action_submit(self) -> None:
        """Enter goes on."""
        self.post_message(Next(self.key))

    def on_key(self, event: events.Key) -> None:
        """A letter goes to the next option that begins with it."""
        letter = event.character
        if letter is None or not letter.isalnum():
            return
        count = len(self.options)
        for steps in range(1, count + 1):
            one = self.options[(self.index + steps) % count]
            if clean(one.name).casefold().startswith(letter.casefold()):
                event.stop()
                self.choose(one.key)
                return

    def on_click(self, event: events.Click) -> None:
        """A click on an option chooses it."""
        event.stop()
        for first, last, key in self.cleared:
            if first <= event.x < last:
                if key in ("-", "+") and len(self.cleared) == 2:
                    self.action_by(-1 if key == "-" else 1)
                else:
                    self.choose(key)
                return


class FieldRow(Widget):
    """A field: its label, its value, and beneath them what is wrong with it."""

    DEFAULT_CSS = """
    FieldRow {
        height: 1;
        width: 1fr;
        layout: vertical;
    }
    FieldRow TextValue, FieldRow ChoiceValue {
        height: 1;
        margin: 0 1 0 22;
    }
    """

    def __init__(self, field: Field, text: str, label: int) -> None:
        super().__init__()
        self.field = field
        self.started = text
        self.label = label
        self.wrong = ""
        self.told: tuple[str, ...] = ()

    def compose(self) -> ComposeResult:
        """The value; the label is drawn by ``render``."""
        kind = ChoiceValue if self.field.chosen else TextValue
        yield kind(self.field, self.started)

    def on_mount(self) -> None:
        """Tell the form, which may wait for it."""
        self.post_message(Came(self.field.key))

    @property
    def value(self) -> TextValue | ChoiceValue:
        """What the text stands in."""
        found = self.children[0]
        assert isinstance(found, TextValue | ChoiceValue)
        return found

    @property
    def text(self) -> str:
        """What stands there."""
        return self.value.value if self.children else self.started

    def put(self, text: str) -> None:
        """Put a text there, as if it were typed."""
        if isinstance(self.value, ChoiceValue):
            self.value.choose(text)
        else:
            self.value.value = text

    def look_up(self) -> None:
        """Let something be picked from what can stand here."""
        from screens.dialogs.pick import Pick

        field = self.field

        def picked(key: str | None) -> None:
            if key is not None:
                self.put(without_or_with(self.text, key) if field.several else key)

        options = field.options or (field.found() if field.found is not None else ())
        self.app.push_screen(Pick(field.label, options, self.text), picked)

    def renew(self, field: Field, text: str, label: int) -> None:
        """The same field, asked a little differently; ``text`` is what is to stand there."""
        same = field == self.field and text == self.text and label == self.label
        self.field, self.label = field, label
        if same:
            return
        self.started = text
        if not self.children:
            return
        value = self.value
        if isinstance(value, ChoiceValue):
            value.take(field.options, text)
        else:
            value.placeholder = field.empty
            if value.value != text:
                value.value = text
        self._measure()

    def say(self, wrong: str) -> None:
        """What is wrong with it; empty for nothing."""
        if wrong != self.wrong:
            self.wrong = wrong
            self._measure()

    def on_resize(self) -> None:
        """What is wrong may need other lines."""
        self._measure()

    def _measure(self) -> None:
        """As many lines as heading, value and problem need."""
        width = max(20, self.size.width - self.label - 1)
        self.told = tuple(wrapped([clean(self.wrong)], width)) if self.wrong else ()
        above = 1 if self.field.heading else 0
        self.styles.height = 1 + above + len(self.told)
        if not self.children:
            return
        self.value.styles.margin = (above, 1, 0, self.label)
        self.refresh(layout=True)

    def render(self) -> Content:
        """Heading, mark and label, problem; never markup."""
        here = CURSOR if self.has_focus_within else " "
        label = padded(clean(self.field.label), self.label - 3)
        parts: list[tuple[str, str]] = []
        if self.field.heading:
            parts.append((f" {clean(self.field.heading)}\n", "bold"))
        parts += [(here, "$accent"), (f" {label}", "$foreground" if self.wrong else "$faint")]
        for line in self.told:
            parts.append((f"\n{'':{self.label}}{line}", "$accent"))
        return Content.assemble(*parts)
