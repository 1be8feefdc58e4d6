"""Choosing an earlier state of a file: a line for each, and a look at the one under the cursor."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from screens.dialogs.pick import Pick
from screens.earlier import State, as_options, look_at
from screens.widgets.lines import Lines
from screens.wording import cells, wrapped

MOST = 3
"""Lines that what comes back may take, and what goes."""


class Look(Static):
    """What a state would bring back, and what would go."""

    def __init__(self, states: Sequence[State]) -> None:
        super().__init__(id="look")
        self.states = {one.key: one for one in states}
        self.display = bool(states)

    def show(self, key: str | None) -> None:
        """Look at one; at none where nothing matches."""
        one = self.states.get(key or "")
        width = max(20, self.content_size.width or 72)
        lines = []
        for told in look_at(one) if one is not None else ():
            lines += _cut(wrapped([told], width), width)
        self.update(Content("\n".join(lines)))


def _cut(lines: list[str], width: int) -> list[str]:
    """No more lines than there is room for, each no longer than that."""
    found = [line if cells(line) <= width else f"{line[: width - 1]}…" for line in lines[:MOST]]
    if len(lines) > MOST:
        found[-1] = f"{found[-1][: width - 2]} …"
    return found


class EarlierStates(Pick):
    """Gives the state's key."""

    CSS = """
    EarlierStates {
        align: center middle;
        #looking {
            width: 80;
            height: 20;
        }
        #look {
            height: 7;
            padding: 1 1 0 1;
            background: $panel;
        }
    }
    """

    def __init__(self, states: Sequence[State], today: date, nothing: str) -> None:
        self.look = Look(states)
        super().__init__("An earlier state", as_options(list(states), today), nothing=nothing)

    def beneath(self) -> ComposeResult:
        """The look."""
        yield self.look

    def on_mount(self) -> None:
        """Look at the newest."""
        self.call_after_refresh(self._show)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another is under the cursor."""
        self._show()

    def on_input_changed(self, event: object) -> None:
        """Others match."""
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        keys = {line.key for line in self.picks.lines if line.key}
        self.look.show(self.picks.cursor if self.picks.cursor in keys else None)
