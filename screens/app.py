"""The Textual program: opens a workroom, holds the one current state, replans, switches screens."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from time import monotonic
from typing import Any, ClassVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen

from planner.problems import InputError, Problem
from screens import state
from screens.registry import SCREENS
from screens.showing import ShowsState
from screens.state import Fingerprint, State, fingerprint
from screens.themes import DAYLIGHT, LAMPLIGHT, THEMES

LOOK_EVERY = 2.0
"""Seconds between looks at the files."""
BLINK = 0.25
"""Seconds after which a plan that isn't exact yet is worth showing."""
PATIENCE = 0.5
"""Seconds for which the first picture waits for the verdict."""


class Wearby(App[int]):
    """One workroom, one state, one plan."""

    TITLE = "wearby"
    CSS_PATH = "app.tcss"
    MODES: ClassVar = {one.name: one.make for one in SCREENS}
    DEFAULT_MODE = SCREENS[0].name
    COMMAND_PALETTE_DISPLAY = "^p"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "question_mark,f1",
            "help",
            "help",
            key_display="?",
            id="app.help",
            tooltip="Show what the keys do and what the letters stand for",
        ),
        Binding("q", "quit", "leave", id="app.leave", tooltip="Leave wearby"),
        Binding(
            "ctrl+q",
            "quit",
            "leave",
            show=False,
            priority=True,
            id="app.leave-at-once",
            tooltip="Leave wearby",
        ),
        Binding(
            "ctrl+p",
            "command_palette",
            "more",
            show=False,
            priority=True,
            key_display="^p",
            id="app.more",
            tooltip="Everything that can be done here, by name",
        ),
    ]

    @dataclass
    class Planned(Message):
        """A plan was made."""

        number: int
        state: State
        refined: bool = False
        """The same plan as the one before, with more of it exact."""

    @dataclass
    class NotRead(Message):
        """The files could not be read."""

        number: int
        problems: tuple[Problem, ...]

    def __init__(self, path: Path, clock: Callable[[], datetime]) -> None:
        super().__init__()
        self.path = path
        self.clock = clock
        self.state: State | None = None
        self.seen: Fingerprint = ()
        self.requested = 0
        self.held_back = ExitStack()
        """Holds the first picture back till its verdict is there, though not for long."""
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = LAMPLIGHT.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own variables, in whatever colours."""
        return LAMPLIGHT.variables

    def on_mount(self) -> None:
        """Read and plan, and look at the files from time to time."""
        self.held_back.enter_context(self.batch_update())
        self.set_timer(PATIENCE, self.held_back.close)
        self.replan()
        self.set_interval(LOOK_EVERY, self.look)

    # the state

    def replan(self) -> None:
        """Ask for a plan of the files as they are."""
        self.requested += 1
        self.seen = fingerprint(self.path)
        self._plan(self.requested, self.path, self.clock())

    @work(thread=True, group="plan", exit_on_error=False)
    def _plan(self, number: int, path: Path, now: datetime) -> None:
        """Read and plan beside the screen; only tells what came of it.

        Where the quick plan takes longer than a blink it is shown before the thorough one.
        """
        try:
            begun = monotonic()
            quick = state.read_and_plan(path, now, thorough=False)
            slow = monotonic() - begun > BLINK
            if slow:
                self.post_message(self.Planned(number, quick))
            thorough = state.read_and_plan(path, now)
            self.post_message(self.Planned(number, thorough, refined=slow))
        except InputError as error:
            self.post_message(self.NotRead(number, error.problems))
        except Exception as error:
            text = f"wearby itself failed ({type(error).__name__}: {error}); please report it."
            problem = Problem(file=str(path), place="", text=text)
            self.post_message(self.NotRead(number, (problem,)))

    def look(self) -> None:
        """Replan when a file or the date has changed."""
        shown = self.state
        new_day = shown is not None and shown.now.date() != self.clock().date()
        if new_day or fingerprint(self.path) != self.seen:
            self.replan()

    def on_wearby_planned(self, event: Planned) -> None:
        """Show the newest plan; an older one that comes late is dropped."""
        if event.number != self.requested:
            return
        self.state = event.state
        for screen in self.screen_stack:
            if isinstance(screen, ShowsState):
                screen.showing = event.state
                screen.show(event.state, refined=event.refined)
        self.held_back.close()

    def on_wearby_not_read(self, event: NotRead) -> None:
        """Show what is wrong, and keep the last plan."""
        if event.number != self.requested:
            return
        for screen in self.screen_stack:
            if isinstance(screen, ShowsState):
                screen.show_problems(event.problems, self.state)
        self.held_back.close()

    # what can be done anywhere

    def action_help(self) -> None:
        """Show the keys of the screen, and the letters."""
        from screens.dialogs.help import Help

        screen = self.screen
        slice = screen.slice if isinstance(screen, ShowsState) else None
        self.push_screen(Help(self._keys(screen), slice))

    def _keys(self, screen: Screen[Any]) -> list[tuple[str, str]]:
        """Each key with what it does, as the screen's bindings say."""
        told: dict[str, list[str]] = {}
        for active in screen.active_bindings.values():
            binding = active.binding
            meaning = binding.tooltip
            if meaning and not binding.system:
                told.setdefault(meaning, []).append(self.get_key_display(binding))
        return [(", ".join(dict.fromkeys(keys)), meaning) for meaning, keys in told.items()]

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """What the command palette offers, in plain words."""
        if isinstance(screen, ShowsState):
            yield from screen.get_commands()
        for one in SCREENS:
            if one.name != self.current_mode:
                go = partial(self.switch_mode, one.name)
                yield SystemCommand(f"Go to {one.title}", one.answers, go)
        other = DAYLIGHT if self.theme == LAMPLIGHT.name else LAMPLIGHT
        yield SystemCommand(
            f"Change to {other.name} colours",
            "Dark letters on light" if other is DAYLIGHT else "Light letters on dark",
            lambda: setattr(self, "theme", other.name),
        )
        yield SystemCommand("Read the files again", "And plan afresh", self.replan)
        yield SystemCommand("Show the keys", "And what the letters stand for", self.action_help)
        yield SystemCommand("Leave wearby", "Nothing needs saving", self.action_quit)
