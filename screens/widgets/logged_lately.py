"""What the diary ends with, told in the room that is left: the newest first, a line each."""

from __future__ import annotations

from collections.abc import Sequence

from screens.log_told import logged_lately
from screens.state import State
from screens.widgets.lines import Line, Lines, plain
from screens.wording import fitted


class LoggedLately(Lines, can_focus=False):
    """Lines to be read: as many entries as there is room for."""

    def __init__(self) -> None:
        super().__init__(id="logged")
        self.entries: tuple[str, ...] = ()

    def tell(self, state: State) -> None:
        """Tell those of a state."""
        told = logged_lately(state)
        if told != self.entries:
            self.entries = told
            self.renew()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A heading and the entries, longer ones cut; nothing where not even one has room."""
        room = self.scrollable_content_region.height - 1
        if room < 1 or not self.entries:
            return ()
        told = [f"   {entry}" for entry in self.entries[:room]]
        return [plain(fitted(text, width - 1), "faint") for text in (" Logged last:", *told)]
