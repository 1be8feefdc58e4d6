"""The occasions to choose from, by date, in a line or two; a click or a digit chooses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from screens.wording import cells, fitted

GAP = 1
"""Columns between two occasions, besides the space around each."""
EDGE = 1
"""Columns kept at both ends, for "…" where there are more."""
LINES = 2
"""So many lines at most, and one more on a tall screen; what doesn't fit is a key press away."""
TALL = 30
"""Lines of a tall screen."""
DIGITS = 9
"""So many have a digit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An occasion to choose."""

    id: str
    label: str
    past: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where a choice stands."""

    index: int
    text: str
    line: int
    column: int


def placed(choices: Sequence[Choice], chosen: int, width: int, lines: int) -> list[Placed]:
    """The choices in lines of a width: from the first on, or, where there are too many, from
    as far back before the chosen one as lets it stand in the last line."""
    for first in range(len(choices)):
        found = _filled(choices, first, width, lines)
        if first >= chosen or any(one.index == chosen for one in found):
            return found
    return []


def _filled(choices: Sequence[Choice], first: int, width: int, lines: int) -> list[Placed]:
    """The choices from one on, as many as fit."""
    found: list[Placed] = []
    line, column = 0, EDGE
    for index, choice in enumerate(choices[first:], first):
        number = f"{index + 1} " if index < DIGITS else ""
        text = fitted(f" {number}{choice.label} ", max(width - 2 * EDGE, 1))
        if found and column + cells(text) > width - EDGE:
            line, column = line + 1, EDGE
        if line == lines:
            break
        found.append(Placed(index=index, text=text, line=line, column=column))
        column += cells(text) + GAP
    return found


class Occasions(Widget):
    """The choices; the chosen one is marked."""

    @dataclass
    class Chosen(Message):
        """An occasion was chosen by a click."""

        id: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.choices: tuple[Choice, ...] = ()
        self.chosen = 0

    def show(self, choices: Sequence[Choice], chosen: int) -> None:
        """Show these, with one chosen."""
        self.choices, self.chosen = tuple(choices), chosen
        self.refresh(layout=True)

    def _placed(self, width: int) -> list[Placed]:
        lines = LINES + (self.app.size.height >= TALL)
        return placed(self.choices, self.chosen, max(width, 1), lines)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as they take."""
        found = self._placed(width)
        return found[-1].line + 1 if found else 1

    def render(self) -> Content:
        """The lines at this width."""
        found = self._placed(self.content_size.width)
        if not found:
            return Content("")
        parts: list[str | tuple[str, str]] = ["…" if found[0].index else " "]
        line, column = 0, EDGE
        for one in found:
            if one.line != line:
                parts.append("\n" + " " * EDGE)
                line, column = one.line, EDGE
            parts.append(" " * (one.column - column))
            parts.append((one.text, self._style(one.index)))
            column = one.column + cells(one.text)
        if found[-1].index < len(self.choices) - 1:
            parts.append("…")
        return Content.assemble(*parts)

    def _style(self, index: int) -> str:
        """Reversed where it is chosen, faint where it is past."""
        if index == self.chosen:
            return "bold reverse"
        return "$faint" if self.choices[index].past else "$foreground"

    def on_click(self, event: events.Click) -> None:
        """Choose what was clicked."""
        at = event.get_content_offset(self)
        if at is None:
            return
        for one in self._placed(self.content_size.width):
            if one.line == at.y and one.column <= at.x < one.column + cells(one.text):
                self.post_message(self.Chosen(self.choices[one.index].id))
