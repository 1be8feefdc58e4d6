"""Lines that draw the mark of their cursor themselves, and so are drawn anew where it moves."""

from __future__ import annotations

from screens.widgets.lines import Lines


class MarkedLines(Lines, can_focus=False):
    """Lines with a mark at the cursor."""

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved


class OpeningLines(MarkedLines, can_focus=True):
    """Marked lines, each of which opens and closes; the mark is there while the focus is."""

    def on_focus(self) -> None:
        """Show the cursor's mark, once the focus is here."""
        self.call_later(self.renew)

    def on_blur(self) -> None:
        """Hide it."""
        self.call_later(self.renew)

    def clicked(self, key: str) -> None:
        """A click opens at once."""
        self.go(key)
        self.post_message(self.Chosen(self, key))
