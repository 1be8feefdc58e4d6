"""The occasions to choose from, by date: all where there is room, else those beside the chosen.

A click or a digit chooses; the chosen one stands between marks.
"""

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
"""Columns kept at both ends."""
LINES = 4
"""So many lines at most on a tall screen; on others there is one."""
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
    short: str = ""
    """What is left of the label where there is little room: its day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where a choice stands."""

    index: int
    text: str
    line: int
    column: int


def placed(choices: Sequence[Choice], chosen: int, width: int, lines: int) -> list[Placed]:
    """All choices in lines of a width where they fit; else the chosen one in one line, with
    those before and after it."""
    every = _filled(choices, chosen, width, lines)
    return every if len(every) == len(choices) else _around(choices, chosen, width)


def counted(choices: Sequence[Choice], chosen: int, found: Sequence[Placed]) -> str:
    """Which of how many it is, where not all are shown: "4 of 8"."""
    return f"{chosen + 1} of {len(choices)}" if len(found) < len(choices) else ""


def _text(choices: Sequence[Choice], index: int, chosen: int, *, short: bool = False) -> str:
    """A choice with its digit, the chosen one between marks."""
    number = f"{index + 1} " if index < DIGITS else ""
    choice = choices[index]
    text = f"{number}{(choice.short if short else '') or choice.label}"
    return f"‹{text}›" if index == chosen else f" {text} "


def _filled(choices: Sequence[Choice], chosen: int, width: int, lines: int) -> list[Placed]:
    """The choices from the first on, as many as fit."""
    found: list[Placed] = []
    line, column = 0, EDGE
    for index in range(len(choices)):
        text = _text(choices, index, chosen)
        if found and column + cells(text) > width - EDGE:
            line, column = line + 1, EDGE
        if line == lines or cells(text) > width - 2 * EDGE:
            break
        found.append(Placed(index=index, text=text, line=line, column=column))
        column += cells(text) + GAP
    return found


def _around(choices: Sequence[Choice], chosen: int, width: int) -> list[Placed]:
    """The chosen one whole, the one before and the one after it, by their days alone where there
    is no more room, then whole ones besides."""
    room = width - 2 * EDGE - cells(f"{len(choices)} of {len(choices)}") - 2
    own = fitted(_text(choices, chosen, chosen), max(1, room))
    left = room - cells(own)
    beside = [one for one in (chosen - 1, chosen + 1) if 0 <= one < len(choices)]
    texts = {chosen: own}
    for number, index in enumerate(beside):
        text = _text(choices, index, chosen)
        fair = left // (len(beside) - number) - GAP
        if number == 0 and len(beside) == 2:
            other = cells(_text(choices, beside[1], chosen)) + GAP
            fair = max(fair, left - other - GAP)
        if cells(text) > fair:
            text = _text(choices, index, chosen, short=True)
        if cells(text) <= fair:
            texts[index] = text
            left -= cells(text) + GAP
    for index in (chosen + 2, chosen - 2):
        if 0 <= index < len(choices) and (index + chosen) // 2 in texts:
            text = _text(choices, index, chosen)
            if cells(text) + GAP <= left:
                texts[index] = text
                left -= cells(text) + GAP
    found, column = [], EDGE
    for index in sorted(texts):
        found.append(Placed(index=index, text=texts[index], line=0, column=column))
        column += cells(texts[index]) + GAP
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
        lines = LINES if self.app.size.height >= TALL else 1
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
        parts: list[str | tuple[str, str]] = [" " * EDGE]
        line, column = 0, EDGE
        for one in found:
            if one.line != line:
                parts.append("\n" + " " * EDGE)
                line, column = one.line, EDGE
            parts.append(" " * (one.column - column))
            parts.append((one.text, self._style(one.index)))
            column = one.column + cells(one.text)
        told = counted(self.choices, self.chosen, found)
        gap = self.content_size.width - EDGE - column - cells(told)
        if told and gap > 0:
            parts.append((f"{' ' * gap}{told}", "$faint"))
        return Content.assemble(*parts)

    def _style(self, index: int) -> str:
        """Strong where it is chosen, faint where it is past."""
        if index == self.chosen:
            return "bold $accent"
        return "$faint" if self.choices[index].past else "$foreground"

    def on_click(self, event: events.Click) -> None:
        """Choose what was clicked."""
        at = event.get_content_offset(self)
        if at is None:
            return
        for one in self._placed(self.content_size.width):
            if one.line == at.y and one.column <= at.x < one.column + cells(one.text):
                self.post_message(self.Chosen(self.choices[one.index].id))
