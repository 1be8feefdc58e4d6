"""How it is going, on top of the diary: its sentence, and the hem of the hours in hand."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from planner.going import Going
from planner.plan import Plan
from screens.going_told import in_few, sentences
from screens.hem import Piece, drawn
from screens.widgets.at_a_glance import LEAST_HEIGHT, ROOMY
from screens.wording import fitted, wrapped

ROWS = 3
"""Rows of cloth where there are few lines."""
ROOMY_ROWS = 5
"""Rows of cloth where there is room."""
STYLES = {"faint": "$faint", "line": "$line", "strong": "bold", "accent": "$accent", "": ""}
"""What the drawing's styles are here."""


class Hem(Widget):
    """One sentence and the hem; below twenty lines the sentence alone, in roomy terminals more."""

    DEFAULT_CSS = "Hem { height: 6; padding: 0 1; }"

    def __init__(self, *, id: str = "hem") -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.going: Going | None = None

    def show(self, plan: Plan, going: Going) -> None:
        """Show how it goes by a plan."""
        self.plan, self.going = plan, going
        self.fit()

    def on_resize(self) -> None:
        """Another size, perhaps another number of lines."""
        self.fit()

    def fit(self) -> None:
        """Take the room there is, and draw."""
        self.styles.height = max(1, len(self._lines()))
        self.refresh()

    @property
    def roomy(self) -> bool:
        """Whether all the sentences and a deep hem have room."""
        size = self.screen.size
        return size.width >= ROOMY[0] and size.height >= ROOMY[1]

    def _lines(self) -> list[list[Piece]]:
        """Sentences and hem in lines of this width."""
        if self.plan is None or self.going is None:
            return []
        width = max(20, self.screen.size.width - 2)
        told = in_few(self.plan, self.going, width)
        lines = [[Piece(text=fitted(line, width), style="strong")] for line in told]
        if self.roomy:
            first, *rest = sentences(self.plan, self.going)
            lines = [[Piece(text=line, style="strong")] for line in wrapped([first], width)]
            lines += [[Piece(text=line, style="")] for line in wrapped(rest, width)]
        if self.screen.size.height >= LEAST_HEIGHT:
            rows = ROOMY_ROWS if self.roomy else ROWS
            lines += drawn(self.plan, self.going, width, rows)
        return lines

    def render(self) -> Content:
        """The lines; never markup."""
        parts: list[str | tuple[str, str]] = []
        for number, line in enumerate(self._lines()):
            parts.append("\n" if number else "")
            parts += [(piece.text, STYLES[piece.style]) for piece in line]
        return Content.assemble(*parts)
