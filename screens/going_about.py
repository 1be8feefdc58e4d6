"""Going about in the program: from screen to screen, to a step or day, and into its dialogs.

What holds on every screen; ``app`` adds the workroom, its plan and its edits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.app import App, SystemCommand
from textual.screen import Screen

from screens.offered import offered
from screens.showing import ShowsState

if TYPE_CHECKING:
    from screens.app import Wearby
    from screens.dialogs.what_to_do import WhatToDo
    from screens.state import State


class GoesAbout(App[int]):
    """A program of screens that show one state."""

    state: State | None

    @property
    def _program(self) -> Wearby:
        """What it is with all its parts."""
        return cast("Wearby", self)

    def _showing(self) -> list[ShowsState]:
        """The screens that show the state, the lowest first."""
        return [screen for screen in self.screen_stack if isinstance(screen, ShowsState)]

    @property
    def asked_of(self) -> Screen[Any]:
        """The screen that keys and commands are for: the one on top, or beneath their list."""
        stack = self.screen_stack
        beneath = getattr(stack[-1], "lists_what_is_beneath", False)
        return stack[-2] if beneath else stack[-1]

    # going from one screen to another

    def open_step(self, step: str) -> None:
        """Go to a step in the run-up: its day opened, its reason told."""
        self._go("run-up", step)

    def open_day(self, day: date) -> None:
        """Go to a day in the run-up."""
        self._go("run-up", day.isoformat())

    def open_occasion(self, occasion: str) -> None:
        """Go to what must be there before an occasion."""
        self._go("before", occasion)

    def _go(self, mode: str, ident: str) -> None:
        async def go() -> None:
            if self.current_mode != mode:
                await self.switch_mode(mode)
            for screen in self._showing():
                # a screen that is new has no lines before it was drawn
                screen.call_after_refresh(screen.go_to, ident)

        self.call_later(go)

    def action_find(self) -> None:
        """Find a step by a few letters, and go to it."""
        from screens.dialogs.find_step import FindStep

        if self.state is not None:
            self.push_screen(FindStep(self.state.plan), self._found)

    def _found(self, step: str | None) -> None:
        if step is not None:
            self.open_step(step)

    def log_steps(
        self, steps: Sequence[str], *, marked: Sequence[str] = (), day: date | None = None
    ) -> None:
        """Ask what was done of these steps, by full id; those ``marked`` stand there as done.

        ``day``: the one on which it was done, where that is behind; None: now.
        """
        from screens.dialogs.log_sheet import LogSheet

        if self.state is not None:
            self.push_screen(LogSheet(self.state, steps, marked=marked, day=day))

    def action_delay(self, what: str | None = None) -> None:
        """Say what went wrong, and see what that would move before it is accepted.

        ``what`` is the key of what happened, where that is known already.
        """
        from screens.delaying import Near
        from screens.dialogs.delay import DelayDialog

        if self.state is not None:
            near = getattr(self.asked_of, "near", Near())
            self.push_screen(DelayDialog(near, what))

    def action_what_moved(self) -> None:
        """See what moved since an earlier day, and why."""
        from screens.dialogs.what_moved import WhatMoved

        if self.state is not None:
            self.push_screen(WhatMoved())

    # what can be done anywhere

    def action_help(self) -> None:
        """Show the keys of the screen, and the letters."""
        from screens.dialogs.help import Help, keys_of

        screen = self.screen
        if isinstance(screen, Help):
            screen.dismiss(None)
            return
        slice = screen.slice if isinstance(screen, ShowsState) else None
        told = getattr(screen, "told_in_help", "")
        self.push_screen(Help(keys_of(self, screen), slice, told))

    def action_command_palette(self) -> None:
        """Everything that can be done here, by name; done once its list is closed."""
        from screens.dialogs.what_to_do import WhatToDo

        if not isinstance(self.screen, WhatToDo) and not getattr(self.screen, "asks", False):
            commands = offered(self._program, self.screen)
            asked = WhatToDo(commands)
            self.push_screen(asked, partial(self._do, asked))

    def _offer_anew(self) -> None:
        """The list of what can be done follows what can be done."""
        from screens.dialogs.what_to_do import WhatToDo

        if isinstance(self.screen, WhatToDo):
            self.screen.follow(offered(self._program, self.asked_of))

    def _do(self, asked: WhatToDo, chosen: str | None) -> None:
        """Do what was chosen, on the screen that is on top again."""
        if chosen is not None:
            self.call_later(asked.entries.commands[int(chosen)].callback)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """What can be done on a screen, in plain words."""
        return offered(self._program, screen).all
