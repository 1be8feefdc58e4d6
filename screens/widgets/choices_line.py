"""A line of quick choices: each a few words, the chosen one between marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from screens.wording import cells

GAP = 3
"""Columns between two choices."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing to choose."""

    name: str
    words: tuple[str, ...]
    chosen: int
    alone: str
    """What stands for it where there is no room for all its words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Words on the line."""

    choice: str
    word: int | None
    """Which of its words; None: the one that stands for all."""
    text: str
    begin: int
    chosen: bool

    @property
    def end(self) -> int:
        """Column after it."""
        return self.begin + cells(self.text)


def placed(choices: Sequence[Choice], width: int) -> list[Placed]:
    """The words where they stand; the longest choices shortened where it must be."""
    short: set[str] = set()
    while True:
        found = _laid(choices, short)
        longest = [c for c in choices if c.name not in short and len(c.words) > 2]
        if not found or found[-1].end <= width or not longest:
            return found
        short.add(max(longest, key=lambda c: sum(cells(word) + 3 for word in c.words)).name)


def _laid(choices: Sequence[Choice], short: set[str]) -> list[Placed]:
    found: list[Placed] = []
    at = 0
    for choice in choices:
        if choice.name in short:
            words: list[tuple[int | None, str]] = [(None, choice.alone)]
        else:
            words = list(enumerate(choice.words))
        for word, text in words:
            chosen = word is None or word == choice.chosen
            told = f"‹{text}›" if chosen else f" {text} "
            found.append(
                Placed(choice=choice.name, word=word, text=told, begin=at, chosen=chosen)
            )
            at += cells(told)
        at += GAP - 1
    return found


class ChoicesLine(Widget):
    """The choices; a click on a word chooses it, on the chosen one the next."""

    @dataclass
    class Chosen(Message):
        """A word was clicked; ``word`` None asks for the next."""

        choice: str
        word: int | None

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.choices: tuple[Choice, ...] = ()

    def show(self, choices: tuple[Choice, ...]) -> None:
        """Show these."""
        self.choices = choices
        self.refresh()

    def render(self) -> Content:
        """The line at this width."""
        parts: list[tuple[str, str]] = []
        at = 0
        for one in placed(self.choices, self.content_size.width):
            parts.append((" " * (one.begin - at), ""))
            parts.append((one.text, "bold $accent" if one.chosen else "$faint"))
            at = one.end
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        """Choose what was clicked."""
        at = event.get_content_offset(self)
        if at is None:
            return
        for one in placed(self.choices, self.content_size.width):
            if one.begin <= at.x < one.end:
                self.post_message(self.Chosen(one.choice, None if one.chosen else one.word))
                return
