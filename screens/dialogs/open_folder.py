"""Opening a folder by its path, which completes itself."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen
from textual.widgets import Input

from screens.dialogs.looking import Matches
from screens.forms.parts import Told
from screens.paths import Place, completed, opens, places, typed_path
from screens.widgets.lines import CURSOR, Line, Run, plain

ASK = "Which folder? Its path, or the beginning of it"
KEYS_TOLD = "tab completes, enter opens, esc closes"


class Places(Matches, can_focus=False):
    """What the text may mean."""

    def __init__(self) -> None:
        super().__init__(id="places")
        self.found: tuple[Place, ...] = ()
        self.nothing = ""
        """Why there is none."""

    def look(self, text: str) -> None:
        """List what a text may mean; the first has the cursor."""
        self.nothing = ""
        try:
            self.found = places(text)
        except (FileNotFoundError, NotADirectoryError):
            self.found, self.nothing = (), "There is no such folder."
        except (OSError, ValueError):
            self.found, self.nothing = (), "This folder can't be looked into."
        if not text.strip():
            self.nothing = ""  # before anything is typed nothing can be wrong
        elif not self.found and not self.nothing:
            self.nothing = "Nothing there begins so, and nothing in it can be opened."
        self.cursor = self.found[0].typed if self.found else None
        self.renew()
        self.scroll_to(y=0, animate=False)

    @property
    def here(self) -> Place | None:
        """The place under the cursor."""
        return next((one for one in self.found if one.typed == self.cursor), None)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line a place: its name, and whether it can be opened."""
        if not self.found:
            return [plain(f" {self.nothing}", "faint")]
        return [
            Line(
                runs=(
                    Run(text=f"{CURSOR if one.typed == self.cursor else ' '} ", style="accent"),
                    Run(text=one.name, style="" if one.opens else "faint"),
                ),
                right=Run(text=one.opens, style="accent"),
                key=one.typed,
            )
            for one in self.found
        ]


class OpenFolder(ModalScreen[Path | None]):
    """Type a path; gives the workroom's folder or the ensemble's file."""

    CSS = """
    OpenFolder {
        align: center top;
        background: $background;
        #looking {
            width: 72;
            height: 16;
            margin: 3 0 0 0;
            max-width: 100%;
            max-height: 100%;
            padding: 0 1;
            background: $panel;
        }
        Input {
            height: 1;
            border: none;
            padding: 0;
            background: $panel;
            color: $foreground;
        }
        Lines {
            height: 1fr;
            background: $panel;
            & > .lines--cursor {
                background: $cursor;
                text-style: bold;
            }
        }
        Told {
            height: 1;
            color: $accent;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "close", id="folder.close", tooltip="Close, opening nothing"),
        Binding(
            "tab",
            "complete",
            "complete",
            priority=True,
            id="folder.complete",
            tooltip="Complete the path",
        ),
        Binding("down", "move(1)", "next", show=False, id="folder.down", tooltip="Next folder"),
        Binding("up", "move(-1)", "previous", show=False, id="folder.up", tooltip="Folder above"),
        Binding("pagedown", "page(1)", "page", show=False, id="folder.next", tooltip="Further"),
        Binding("pageup", "page(-1)", "page", show=False, id="folder.before", tooltip="Back"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.found = Places()

    def compose(self) -> ComposeResult:
        """A line to type in, what it may mean, what is wrong."""
        with Container(id="looking"):
            asked = Input(placeholder=ASK, id="path", select_on_focus=False)
            asked.cursor_blink = False
            yield asked
            yield self.found
            yield Told(id="wrong")

    @property
    def asked(self) -> Input:
        """Where it is typed."""
        return self.query_one("#path", Input)

    def on_mount(self) -> None:
        """What lies in the folder one stands in."""
        self.found.look("")
        self._say("")

    def _say(self, wrong: str) -> None:
        self.query_one("#wrong", Told).text = wrong or KEYS_TOLD

    def on_input_changed(self, event: Input.Changed) -> None:
        """Look afresh."""
        self.found.look(event.value)
        self._say("")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Open what was typed, else what is under the cursor."""
        path = typed_path(event.value)
        here = self.found.here
        if event.value.strip() and opens(path):
            self.dismiss(path)
        elif here is not None:
            self._take(here)
        elif event.value.strip() and path.is_dir():
            self._say("There is no workroom in this folder: n, behind this, begins one.")
        else:
            self._say(self.found.nothing or "Type the path of a folder.")

    def on_lines_chosen(self, event: Matches.Chosen) -> None:
        """A place was clicked."""
        self.found.cursor = event.key
        if self.found.here is not None:
            self._take(self.found.here)

    def _take(self, place: Place) -> None:
        """Open it, or look further in it."""
        if place.opens:
            self.dismiss(place.path)
        else:
            self._type(place.typed)

    def _type(self, text: str) -> None:
        self.asked.value = text
        self.asked.cursor_position = len(text)
        self.asked.focus()

    def action_complete(self) -> None:
        """All that every place begins with; where that is typed already, the one at the cursor."""
        text = self.asked.value
        longer = completed(text, self.found.found)
        if longer == text and self.found.here is not None:
            longer = self.found.here.typed
        self._type(longer)

    def action_move(self, steps: int) -> None:
        """Another place."""
        self.found.action_step(steps)

    def action_page(self, pages: int) -> None:
        """A page of places."""
        self.found.action_page(pages)

    def on_click(self, event: events.Click) -> None:
        """What is typed stays in hand."""
        self.asked.focus()

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
