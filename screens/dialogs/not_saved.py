"""An edit that couldn't be saved: keep it, throw it away, or decide later."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.files.recovery import Unsaved
from screens.dialogs.looking import ListKeys
from screens.recovering import offered
from screens.widgets.lines import CURSOR, Line, Lines, Run
from screens.wording import clean

KEEP, DROP, LATER = "keep", "throw away", "later"
ANSWERS: Final = {
    KEEP: ("keep it", "made now, on what the files say by now"),
    DROP: ("throw it away", "its words are gone then"),
    LATER: ("decide later", "asked again when the workroom is opened"),
}


class Answers(Lines):
    """A line for each answer."""

    def __init__(self) -> None:
        super().__init__(id="answers")
        self.cursor = KEEP

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What to do, and what comes of it."""
        return [
            Line(
                runs=(
                    Run(text=f"{CURSOR if key == self.cursor else ' '} ", style="accent"),
                    Run(text=f"{word:<14} "),
                    Run(text=told, style="faint"),
                ),
                key=key,
            )
            for key, (word, told) in ANSWERS.items()
        ]

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved


class NotSavedYet(ModalScreen[str]):
    """Arrows and enter; escape decides later. Gives one of the answers' keys."""

    CSS = """
    NotSavedYet {
        align: center middle;
        background: $background 60%;
        #asking {
            width: 76;
            border: blank $background;
            max-width: 100%;
            height: auto;
            max-height: 100%;
            padding: 1 1;
            background: $panel;
        }
        Lines {
            height: 3;
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
        #asked {
            height: auto;
            padding: 0 1;
            text-style: bold;
        }
        #where {
            height: auto;
            padding: 0 1;
            color: $faint;
        }
        ListKeys {
            height: 1;
            padding: 0 1;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "later", id="not-saved.later", tooltip="Decide later"),
        Binding(
            "enter",
            "choose",
            "choose",
            key_display="enter",
            id="not-saved.choose",
            tooltip="Do what the mark stands at",
        ),
    ]

    def __init__(self, edit: Unsaved) -> None:
        super().__init__()
        self.edit = edit

    def compose(self) -> ComposeResult:
        """What wasn't saved, and what can become of it."""
        with Container(id="asking"):
            yield Static(Content(offered(self.edit)), id="asked")
            yield Static(Content(f"It changes {self._names()}."), id="where")
            yield Answers()
            yield ListKeys()

    def _names(self) -> str:
        """The files it changes."""
        return ", ".join(clean(one.name) for one in self.edit.files)

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Answered."""
        event.stop()
        self.dismiss(event.key)

    def action_choose(self) -> None:
        """Answer with the line under the cursor."""
        self.query_one(Answers).action_choose()

    def action_leave(self) -> None:
        """Decide later."""
        self.dismiss(LATER)
