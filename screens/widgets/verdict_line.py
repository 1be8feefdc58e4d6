"""The verdict: the same two lines on top of every screen; beneath them what there is to tell."""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from planner.plan import Plan
from screens.verdict import verdict_lines
from screens.wording import cells, clean, fitted, wrapped

LINES = 2
PLANNING = "planning …"
"""Stands at the right of the first line while a plan is long in coming."""
MOST_TOLD = 4
"""Lines that what is told may take; the rest is cut."""


class VerdictLine(Widget):
    """Two lines: for what and when, and whether it fits. And what was done, or would be."""

    _whole = ""
    """What is told, once it holds what that made of the plan."""
    plan: reactive[Plan | None] = reactive(None)
    waiting: reactive[str] = reactive("Reading…")
    """What the first line says while there is no plan."""
    waiting_for: reactive[str] = reactive("")
    """What the second line says then."""
    told: reactive[str] = reactive("")
    """What was just done or couldn't be, on lines of its own; empty: nothing."""
    sitting: reactive[str] = reactive("")
    """What somebody sits at just now, on a line of its own; empty: nothing."""
    planning: reactive[bool] = reactive(False)
    """Whether another plan is being made, and that takes a while."""

    def tell_more(self, became: str) -> None:
        """What was just done has made of the plan. Once: a plan that follows is of something else.
        """
        if self.told and self.told != self._whole:
            self._whole = f"{self.told} {became}"
            self.told = self._whole

    def tell_besides(self, sentence: str) -> None:
        """Something else behind what is told already; empty for nothing."""
        if sentence:
            self._whole = f"{self.told} {sentence}".strip()
            self.told = self._whole

    def render(self) -> Content:
        """The two lines at this width, and what is told; never markup."""
        width = max(1, self.content_size.width)
        if self.plan is None:
            first, second = fitted(self.waiting, width), fitted(self.waiting_for, width)
        else:
            first, second = verdict_lines(self.plan, width)
        heading: list[str | tuple[str, str]] = [(first, "$faint")]
        if self.planning:
            first = fitted(first, max(0, width - cells(PLANNING) - 1))
            gap = " " * max(0, width - cells(first) - cells(PLANNING))
            heading = [(first, "$faint"), gap, (PLANNING, "$accent")]
        content = Content.assemble(*heading, "\n", (second, "bold $accent"))
        if self.sitting:
            content = content.append_text(f"\n{fitted(clean(self.sitting), width)}", "$faint")
        for line in self._told(width):
            content = content.append_text(f"\n{line}", "bold")
        return content

    def _told(self, width: int) -> list[str]:
        """What is told, in lines of this width."""
        lines = wrapped([clean(self.told)], width)
        if len(lines) > MOST_TOLD:
            lines = [*lines[: MOST_TOLD - 1], " ".join(lines[MOST_TOLD - 1 :])]
        return [fitted(line, width) for line in lines]

    def watch_told(self) -> None:
        """Take as much room as that needs."""
        self._make_room()

    def watch_sitting(self) -> None:
        """One line more, or none."""
        self._make_room()

    def on_resize(self) -> None:
        """Another width, perhaps another number of lines."""
        self._make_room()

    def _make_room(self) -> None:
        width = self.content_size.width
        lines = len(self._told(width)) if self.told and width > 0 else 0
        lines += bool(self.sitting)
        # without anything to tell the stylesheet's height holds again
        self.styles.height = LINES + lines if lines else None
