"""What can be known without looking at any day, in a few lines under the verdict."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from screens.glance_told import LABEL, in_few_lines, labelled
from screens.looked_at import LookedAt
from screens.wording import fitted, name_of

LEAST_HEIGHT = 20
"""Lines of the screen below which days and steps need them all."""
ROOMY = (100, 34)
"""Columns and lines of the screen from which on each thing has a line of its own."""


class AtAGlance(Widget):
    """Today's work, what is over, hand sewing to come, when it can be worn."""

    def __init__(self) -> None:
        super().__init__(id="glance")
        self.looked: LookedAt | None = None
        self._height = -1

    def show(self, looked: LookedAt) -> None:
        """Show what is looked at."""
        self.looked = looked
        self.fit()

    def fit(self) -> None:
        """Take the room there is, and draw."""
        lines = len(self._lines())
        if lines != self._height:
            self._height = lines
            self.display = bool(lines)
            self.styles.height = max(1, lines)
        self.refresh()

    @property
    def roomy(self) -> bool:
        """Whether each thing has a line of its own."""
        size = self.screen.size
        return size.width >= ROOMY[0] and size.height >= ROOMY[1]

    def _lines(self) -> list[str]:
        """What is told, in lines of this width."""
        looked, size = self.looked, self.screen.size
        if looked is None or not looked.days or size.height < LEAST_HEIGHT:
            return []
        width = max(20, size.width - 2)
        told = labelled if self.roomy else in_few_lines
        return [*self._alone(looked, width), *told(looked.plan, looked.seen, looked.lost, width)]

    def _alone(self, looked: LookedAt, width: int) -> list[str]:
        """Which ensemble is looked at, where it is one of several."""
        if looked.alone is None:
            return []
        name = name_of(looked.plan, looked.alone)
        return [fitted(f"Only {name}; hours and verdict are those of all.", width)]

    def render(self) -> Content:
        """Labels in few colours, the rest plain; never markup."""
        looked = self.looked
        first = 1 if looked is not None and looked.alone is not None else 0
        parts: list[str | tuple[str, str]] = []
        for number, line in enumerate(self._lines()):
            parts.append("\n" if number else "")
            if number < first:
                parts.append((line, "bold"))
            elif self.roomy:
                parts += [(line[:LABEL], "$faint"), line[LABEL:]]
            else:
                parts.append(line)
        return Content.assemble(*parts)
