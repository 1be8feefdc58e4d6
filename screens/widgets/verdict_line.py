"""The verdict: the same two lines on top of every screen."""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from planner.plan import Plan
from screens.verdict import verdict_lines
from screens.wording import fitted


class VerdictLine(Widget):
    """Two lines: for what and when, and whether it fits."""

    plan: reactive[Plan | None] = reactive(None)
    waiting: reactive[str] = reactive("Reading…")
    """What the first line says while there is no plan."""
    waiting_for: reactive[str] = reactive("")
    """What the second line says then."""

    def render(self) -> Content:
        """The two lines at this width; never markup."""
        width = max(1, self.content_size.width)
        if self.plan is None:
            first, second = fitted(self.waiting, width), fitted(self.waiting_for, width)
        else:
            first, second = verdict_lines(self.plan, width)
        return Content.assemble((first, "$faint"), "\n", (second, "bold $accent"))
