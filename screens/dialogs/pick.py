"""Looking something up: a few letters, the matches, one of them picked."""

from __future__ import annotations

from collections.abc import Sequence

from screens.dialogs.looking import Looking, Matches
from screens.finding import begin_in, holds
from screens.forms.fields import Option
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import clean, wrapped

NOTHING = "There is nothing to choose from yet."


class Picks(Matches, can_focus=False):
    """The options that match."""

    def __init__(self, options: Sequence[Option], there: str, nothing: str) -> None:
        super().__init__(id="picks")
        self.options = options
        self.nothing = nothing
        self.cursor = there

    def matching(self) -> list[Option]:
        """Those whose name, key or what is told of them hold every word typed; what begins so
        first."""
        words = self.letters.casefold().split()
        texts = {one.key: f"{one.name} {one.key} {one.told}" for one in self.options}
        found = [one for one in self.options if holds(texts[one.key], words)]
        return sorted(found, key=lambda one: not begin_in(texts[one.key], words))

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line an option."""
        options = self.matching()
        if not options:
            told = "Nothing here has these letters." if self.options else self.nothing
            return [plain(f" {line}", "faint") for line in wrapped([told], max(20, width - 2))]
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
            width: 80;
            height: 20;
        }
    }
    """

    def __init__(
        self, what: str, options: Sequence[Option], there: str = "", nothing: str = NOTHING
    ) -> None:
        """``nothing`` says why there are no options, where there are none."""
        self.picks = Picks(options, there, nothing)
        asked = f"{clean(what)}: type a few letters" if options else clean(what)
        super().__init__(asked, self.picks)

    def on_mount(self) -> None:
        """Show what stands there now."""
        self.call_after_refresh(self.picks.keep_in_view)
