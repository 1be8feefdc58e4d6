"""What every screen of the app is: it shows the one state, and what is wrong in the files."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from textual.app import SystemCommand
from textual.screen import Screen

from planner.problems import Problem
from screens.state import HoldsState, State
from screens.widgets.verdict_line import VerdictLine


class ShowsState(Screen[None]):
    """A screen over the current state; the app tells it each new one."""

    showing: State | None = None
    """The state as last shown."""

    def show(self, state: State, *, refined: bool = False) -> None:
        """Show a state; ``refined``: the same plan with more of it exact."""

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """Say what is wrong in the files; the last plan stays where there is one."""

    def go_to(self, ident: str) -> None:
        """Put the cursor on a garment, step or occasion by its full id, where it is shown."""

    def key_came(self, key: str) -> bool:
        """A key was pressed, whatever it is for; whether that was all it does."""
        return False

    @property
    def asks_for(self) -> str:
        """Which of several edits it asks for just now; empty where it only asks for one."""
        return ""

    @property
    def told_in_help(self) -> str:
        """What the screen shows and what its letters stand for, in a sentence or two."""
        return ""

    @property
    def slice(self) -> int | None:
        """Minutes of a cell of its strips; None where it draws none."""
        return None

    def get_commands(self) -> Iterable[SystemCommand]:
        """What the palette offers on this screen, in plain verb phrases."""
        return ()

    def on_screen_resume(self) -> None:
        """Catch up with what was planned while another screen was on top."""
        app = cast(HoldsState, self.app)
        held = app.state
        for verdict in self.query(VerdictLine):
            verdict.sitting = app.sitting.told
        if held is not None and held is not self.showing:
            self.showing = held
            self.show(held)
        if app.problems:
            self.show_problems(app.problems, held)
        app.resumed(self)
