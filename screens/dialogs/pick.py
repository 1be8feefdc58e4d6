"""Looking something up: a few letters, the matches, one of them picked."""

from __future__ import annotations

from collections.abc import Sequence

from screens.dialogs.looking import Looking, Matches
from screens.forms.fields import Option
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import clean


class Picks(Matches, can_focus=False):
    """The options that match."""

    def __init__(self, options: Sequence[Option], there: str) -> None:
        super().__init__(id="picks")
        self.options = options
        self.cursor = there

    def matching(self) -> list[Option]:
        """Those whose name, key or what is told of them hold every word typed."""
        words = self.letters.casefold().split()
        return [
            one
            for one in self.options
            if all(word in f"{one.name} {one.key} {one.told}".casefold() for word in words)
        ]

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line an option."""
        options = self.matching()
        if not options:
            return [plain(" Nothing here has these letters.", "faint")]
        if self.cursor not in {one.key for one in options}:
            self.cursor = options[0].key
        return [
            Line(
                runs=(
                    Run(text=f"{CURSOR if one.key == self.cursor else ' '} ", style="accent"),
                    Run(text=clean(one.name)),
                ),
                right=Run(text=clean(one.told), style="faint") if one.told else None,
                key=one.key,
            )
            for one in options
        ]


class Pick(Looking):
    """Gives the option's key."""

    CSS = """
    Pick {
        align: center middle;
        #looking {
            width: 76;
            height: 18;
        }
    }
    """

    def __init__(self, what: str, options: Sequence[Option], there: str = "") -> None:
        self.picks = Picks(options, there)
        super().__init__(f"{clean(what)}: type a few letters", self.picks)

    def on_mount(self) -> None:
        """Show what stands there now."""
        self.call_after_refresh(self.picks.keep_in_view)
