"""The lesser parts of a form: told lines, the way to further fields, the region beside."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widget import Widget

from planner.plan import Plan
from screens.forms.fields import Field, Texts
from screens.forms.questions import Questions
from screens.widgets.lines import CURSOR, Line, Lines
from screens.wording import cells, clean, fitted, wrapped


class Told(Widget):
    """A few lines of plain text, with something at the right edge; no higher than it needs."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._text = ""
        self.right = ""
        self.right_style = "$faint"

    @property
    def text(self) -> str:
        """What it says."""
        return self._text

    @text.setter
    def text(self, text: str) -> None:
        self.say(text)

    def say(self, text: str, right: str = "") -> None:
        """Say something; empty for nothing."""
        if (text, right) != (self._text, self.right):
            before = self._height()
            self._text, self.right = text, right
            self.set_class(bool(text), "-telling")
            # to lay out the whole form takes longer than all else a key does
            self.refresh(layout=self._height() != before)

    def _height(self) -> int:
        """Lines of the text at the width there is."""
        return len(self._lines(max(1, self.content_size.width)))

    def _lines(self, width: int) -> list[str]:
        """The text at a width; what stands at the right has a line for itself where it must."""
        if not self.right:
            return wrapped([clean(self._text)], width)
        if cells(clean(self._text)) + 2 + cells(clean(self.right)) <= width:
            return [clean(self._text)]
        return [*(wrapped([clean(self._text)], width) if self._text else ()), ""]

    def render(self) -> Content:
        """Wrapped at the width there is; never markup."""
        width = max(1, self.content_size.width)
        *above, last = self._lines(width) or [""]
        if not self.right:
            return Content("\n".join([*above, last]))
        right = fitted(clean(self.right), width)
        gap = max(0, width - cells(last) - cells(right))
        head = "".join(f"{line}\n" for line in above) + last
        return Content.assemble((head, "bold"), " " * gap, (right, self.right_style))


class Further(Widget, can_focus=True):
    """The line that brings the further fields; enter, space or a click."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "screen.further", "further fields", show=False),
    ]

    def __init__(self) -> None:
        super().__init__(classes="form--stop")
        self.told = ""

    def say(self, hidden: Sequence[Field], shown: bool) -> None:
        """Which fields there are besides."""
        self.display = bool(hidden)
        names = ", ".join(clean(field.label).lower() for field in hidden)
        self.told = "Only the usual fields" if shown else f"Further fields: {names}"
        self.refresh()

    def render(self) -> Content:
        """The mark of the focus, and what there is."""
        here = CURSOR if self.has_focus else " "
        width = max(4, self.size.width - 2)
        return Content.assemble((f"{here} ", "$accent"), (fitted(self.told, width), "$faint"))

    def on_click(self, event: events.Click) -> None:
        """A click brings them."""
        event.stop()
        self.call_later(self.run_action, "screen.further")


class Beside(Lines, can_focus=False):
    """What the owner of the form shows beside its fields."""

    def __init__(self, questions: Questions) -> None:
        super().__init__(id="beside")
        self.questions = questions
        self.texts: Texts = {}
        self.future: Plan | None = None

    def show(self, texts: Texts, future: Plan | None) -> None:
        """For what is typed, and the plan as it would become."""
        self.texts, self.future = texts, future
        width = self.scrollable_content_region.width
        if width <= 0 or tuple(self.compose_lines(width)) != self.lines:
            self.renew()

    @property
    def has_any(self) -> bool:
        """Whether there is anything to show."""
        return bool(self.compose_lines(max(20, self.size.width)))

    def compose_lines(self, width: int) -> Sequence[Line]:
        """As the owner says."""
        return self.questions.beside(self.texts, self.future, width) if self.texts else ()
