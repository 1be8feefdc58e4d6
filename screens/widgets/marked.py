"""Lines that draw the mark of their cursor themselves, and so are drawn anew where it moves."""

from __future__ import annotations

from collections.abc import Iterable

from screens.widgets.lines import CURSOR, Line, Lines, Run


def marked(lines: Iterable[Line], key: str | None) -> tuple[Line, ...]:
    """Lines that begin with the mark of the cursor, or a space for it, with the mark moved."""
    return tuple(_marked(line, key) for line in lines)


def _marked(line: Line, key: str | None) -> Line:
    if line.key is None:
        return line
    mark = Run(text=CURSOR if line.key == key else " ", style="accent")
    if line.runs[:1] == (mark,):
        return line
    return Line(runs=(mark, *line.runs[1:]), right=line.right, key=line.key, click=line.click)


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
