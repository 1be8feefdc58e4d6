"""One field of a form as it is drawn: label, text or choice, and what is wrong under it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input

from screens.forms.fields import Field, Option
from screens.forms.texts import without_or_with
from screens.widgets.lines import CURSOR
from screens.wording import cells, clean, fitted, padded, wrapped

LABEL = 22
"""Columns of a field's mark and label, unless labels are longer."""
LONGEST = 36
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


def _more_at(strip: Strip, at: int) -> Strip:
    """The mark of more, looking like what stands there."""
    style = next((segment.style for segment in strip.crop(at, at + 1)), None)
    return Strip([Segment("…", style)], 1)


class TypedLast:
    """What stood in a field before; a word that is typed letter by letter is one step."""

    def __init__(self, text: str) -> None:
        self.now = text
        self.before: list[str] = []
        self.after: list[str] = []
        self._more: int | None = None
        """Letters that came with the last change, or went; None where it wasn't typed."""

    def came(self, text: str) -> None:
        """Another text stands there now."""
        if text == self.now:
            return
        more = len(text) - len(self.now)
        runs_on = more in (1, -1) and more == self._more and not text.endswith(" ")
        if not runs_on:
            self.before.append(self.now)
        self.now, self._more = text, more
        self.after.clear()

    def back(self) -> str:
        """What stood there before."""
        return self._go(self.before, self.after)

    def forth(self) -> str:
        """What stood there before that was taken back."""
        return self._go(self.after, self.before)

    def _go(self, there: list[str], here: list[str]) -> str:
        if there:
            here.append(self.now)
            self.now = there.pop()
            self._more = None
        return self.now


class TextValue(Input):
    """A text; nothing in it is markup."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+f", "screen.look_up", "look up", show=False, tooltip="Look it up in a list"),
        Binding(
            "ctrl+z",
            "take_back",
            "undo",
            show=False,
            key_display="^z",
            tooltip="Take back what was typed last in this field",
        ),
        Binding(
            "ctrl+y",
            "type_again",
            "redo",
            show=False,
            key_display="^y",
            tooltip="Type again what was taken back",
        ),
    ]

    def __init__(self, field: Field, text: str) -> None:
        super().__init__(text, placeholder=field.empty, compact=True, classes="form--stop")
        self.cursor_blink = False
        self.key = field.key
        self.typing = TypedLast(text)

    def begin(self, text: str) -> None:
        """Another text, not typed: there is nothing to take back."""
        self.typing = TypedLast(text)
        self.value = text

    def action_take_back(self) -> None:
        """The text as it was before what was typed last."""
        self.value = self.typing.back()

    def action_type_again(self) -> None:
        """The text as it was before that was taken back."""
        self.value = self.typing.forth()

    @property
    def _value(self) -> Text:
        """The text as drawn: what would steer the terminal is a mark of one column."""
        drawn = super()._value
        marked = _STEERS.sub("\N{REPLACEMENT CHARACTER}", drawn.plain)
        return drawn if marked == drawn.plain else Text(marked, no_wrap=True, end="")

    def render_line(self, y: int) -> Strip:
        """A text that is longer than its room says at which end there is more."""
        strip = super().render_line(y)
        width = self.scrollable_content_region.width
        if y or not self.value or width < 3:
            return strip
        begin = round(self.scroll_offset.x)
        cursor = cells(self.value[: self.cursor_position]) - begin if self.has_focus else -1
        if begin > 0 and cursor != 0:
            strip = Strip.join([_more_at(strip, 0), strip.crop(1)])
        if cells(self.value) - begin > width and cursor != width - 1:
            strip = Strip.join([strip.crop(0, width - 1), _more_at(strip, width - 1)])
            strip = strip.extend_cell_length(width + 1)
        return strip

    def on_blur(self, event: events.Blur) -> None:
        """A text that isn't typed in is seen from its beginning."""
        self.scroll_to(x=0, animate=False)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Tell the form."""
        event.stop()
        self.typing.came(event.value)
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
        from screens.dialogs.pick import NOTHING, Pick

        field = self.field

        def picked(key: str | None) -> None:
            if key is not None:
                name = key if field.chosen else field.names(key)
                self.put(without_or_with(self.text, name) if field.several else name)

        options = field.options or (field.found() if field.found is not None else ())
        here = self.text if field.chosen else next(
            (one.key for one in options if field.names(one.key) == self.text), "")
        nothing = field.nothing or NOTHING
        self.app.push_screen(Pick(field.label, options, here, nothing), picked)

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
                value.begin(text)
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
        """As many lines as heading, label, value and problem need."""
        width = max(20, self.size.width - self.label - 1)
        self.told = tuple(wrapped([clean(self.wrong)], width)) if self.wrong else ()
        above = 1 if self.field.heading else 0
        self.styles.height = above + max(1 + len(self.told), len(self._label()))
        if not self.children:
            return
        self.value.styles.margin = (above, 1, 0, self.label)
        self.refresh(layout=True)

    def _label(self) -> list[str]:
        """The label, whole, in as many lines as it needs."""
        return wrapped([clean(self.field.label)], self.label - 3) or [""]

    def render(self) -> Content:
        """Heading, mark and label, problem; never markup."""
        here = CURSOR if self.has_focus_within else " "
        style = "$foreground" if self.wrong else "$faint"
        parts: list[tuple[str, str]] = []
        if self.field.heading:
            parts.append((f" {clean(self.field.heading)}\n", "bold"))
        label = self._label()
        for place in range(max(len(label), 1 + len(self.told))):
            left = label[place] if place < len(label) else ""
            parts.append((here if not place else "\n ", "$accent"))
            parts.append((f" {padded(left, self.label - 2)}", style))
            if 0 < place <= len(self.told):
                parts.append((self.told[place - 1], "$accent"))
        return Content.assemble(*parts)
