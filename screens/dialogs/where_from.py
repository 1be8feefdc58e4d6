"""Where a garment comes from: made, owned, altered, borrowed or bought, with the hours each way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen

from planner.model import Source
from screens.dialogs.looking import ListKeys
from screens.forms.parts import Told
from screens.previews import Preview
from screens.splits import From
from screens.widgets.lines import CURSOR, Line, Lines, Run
from screens.wording import clean, count, spoken

if TYPE_CHECKING:
    from screens.app import Wearby

WORDS = {
    Source.MAKE: "make it",
    Source.OWN: "it is in the wardrobe",
    Source.ALTER: "alter it",
    Source.BORROW: "borrow it",
    Source.BUY: "buy it",
}


ONLY_THE_WORD = (
    "No order of construction is known for it, so choosing changes this word alone. Its steps are"
    " changed one by one: x leaves one off, i adds one."
)


def _staying(steps: int) -> str:
    """ "this word alone changes, its 3 steps stay"."""
    stay = {0: "", 1: ", its step stays"}.get(steps, f", its {steps} steps stay")
    return f"this word alone changes{stay}"


class Ways(Lines):
    """A line for each place."""

    def __init__(self, ways: Sequence[From]) -> None:
        super().__init__(id="ways")
        self.ways = ways
        self.cursor = ways[0].source.value

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What to do, and the hours of it."""
        return [self._line(way) for way in self.ways]

    def _line(self, way: From) -> Line:
        key = way.source.value
        here = CURSOR if key == self.cursor else " "
        word = "as it is now" if way.now else WORDS[way.source]
        told = "not known"
        if not way.anew:
            told = _staying(way.steps)
        if way.minutes is not None:
            minutes = way.minutes
            low, high = spoken(round(minutes.low)), spoken(round(minutes.high))
            told = f"{spoken(round(minutes.typical)):>8}   {low} to {high}, "
            told += count(way.steps, "step")
        return Line(
            runs=(
                Run(text=f"{here} ", style="accent"),
                Run(text=f"{key:<7} {word:<22} ", style="strong" if way.now else ""),
                Run(text=told, style="faint"),
            ),
            key=key,
        )

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved


class WhereFrom(ModalScreen[From | None]):
    """Arrows or a first letter, enter; escape closes. Shows what each would make of the plan."""

    CSS = """
    WhereFrom {
        align: center middle;
        background: $background 60%;
        #asking {
            width: 80;
            border: blank $background;
            max-width: 100%;
            height: auto;
            max-height: 100%;
            padding: 1 1;
            background: $panel;
        }
        Lines {
            height: 5;
            margin: 1 0;
            background: $panel;
            & > .lines--cursor {
                background: $cursor;
            }
            &:focus > .lines--cursor {
                background: $cursor;
                text-style: none;
            }
        }
        #then {
            height: 3;
            padding: 0 1;
        }
        ListKeys {
            height: 1;
            padding: 0 1;
        }
        #asked {
            height: 1;
            padding: 0 1;
            text-style: bold;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "close", id="where.close", tooltip="Leave it as it is"),
        Binding(
            "enter",
            "choose",
            "choose",
            key_display="enter",
            id="where.choose",
            tooltip="Take this way",
        ),
    ]

    ways = getters.query_one("#ways", Ways)
    then = getters.query_one("#then", Told)

    def __init__(self, name: str, ways: Sequence[From]) -> None:
        super().__init__()
        self.garment = name
        self.found = {way.source.value: way for way in ways}

    def compose(self) -> ComposeResult:
        """The question, the ways, and what would become of the plan."""
        with Container(id="asking"):
            yield Told(id="asked")
            yield Ways(tuple(self.found.values()))
            yield Told(id="then")
            yield ListKeys()

    def on_mount(self) -> None:
        """Ask."""
        question = f"{clean(self.garment)}: where from?"
        self.query_one("#asked", Told).text = question
        if all(way.now or not way.anew for way in self.found.values()):
            self.then.text = ONLY_THE_WORD

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Try this way."""
        event.stop()
        change = self.found[event.key].change
        if change is None:
            self.program.end_preview()
            self.then.text = ""
        else:
            self.program.preview(change, self._told)

    def _told(self, preview: Preview) -> None:
        if self.is_attached:
            why = preview.problems[0].text if preview.problems else ""
            self.then.text = preview.sentence or f"then: this can't be planned. {why}"

    def on_key(self, event: events.Key) -> None:
        """A letter goes to the next way that begins with it."""
        keys = list(self.found)
        here = keys.index(self.ways.cursor or keys[0])
        for steps in range(1, len(keys) + 1):
            key = keys[(here + steps) % len(keys)]
            if event.character and key.startswith(event.character.casefold()):
                event.stop()
                self.ways.go(key)
                return

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Take it."""
        event.stop()
        self._close(self.found[event.key])

    def action_choose(self) -> None:
        """Take the way under the cursor."""
        self.ways.action_choose()

    def action_leave(self) -> None:
        """Leave it as it is."""
        self._close(None)

    def _close(self, way: From | None) -> None:
        self.program.end_preview()
        self.dismiss(way)
