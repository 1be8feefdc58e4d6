"""All that can be done at this moment, in plain verb phrases: on the screen, and everywhere.

What screens say they can do for what is under the cursor, what the program can do, and whatever
else has a key at this moment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from textual import actions
from textual.app import SystemCommand
from textual.binding import ActiveBinding
from textual.screen import ModalScreen, Screen

from screens.after_wearing import next_wearing_commands
from screens.registry import SCREENS
from screens.settling import ask_again, bring_back, lost
from screens.themes import DAYLIGHT, LAMPLIGHT
from screens.wording import clean, count

if TYPE_CHECKING:
    from screens.app import Wearby

MOVES = "lines."
"""Ids of bindings that only move a cursor begin so: they are no commands."""

Action = tuple[str, tuple[object, ...]]
"""Name of an action, and what it is given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What can be done, nothing twice."""

    here: tuple[SystemCommand, ...]
    """On the screen, for what is under the cursor."""
    everywhere: tuple[SystemCommand, ...]

    @property
    def all(self) -> tuple[SystemCommand, ...]:
        """The screen's own first."""
        return (*self.here, *self.everywhere)


def offered(program: Wearby, screen: Screen[Any]) -> Offered:
    """All that can be done on a screen."""
    own = getattr(screen, "get_commands", None)
    here: list[SystemCommand] = [*own()] if own else []
    everywhere: list[SystemCommand] = []
    # one can't go elsewhere before a question is answered
    if not isinstance(screen, ModalScreen):
        everywhere += _elsewhere(program)
        everywhere += _history(program)
    everywhere += _anywhere(program)
    by_key = list(_by_key_alone(program, screen, (*here, *everywhere)))
    here += (one for active, one in by_key if active.node is not program)
    everywhere += (one for active, one in by_key if active.node is program)
    return Offered(here=tuple(here), everywhere=tuple(everywhere))


def _elsewhere(program: Wearby) -> Iterator[SystemCommand]:
    """The other screens, a step, another workroom."""
    for one in SCREENS:
        if one.name != program.current_mode:
            go = partial(program.switch_mode, one.name)
            yield SystemCommand(f"Go to {one.title}", one.answers, go)
    if program.state is not None:
        yield SystemCommand("Find a step", "By a few of its letters", program.action_find)
        yield from next_wearing_commands(program, program.state)
        yield from _delays(program)
        told = "Against the plan of an earlier day: which steps, from when to when, and why"
        yield SystemCommand("See what moved since an earlier day", told, program.action_what_moved)
    told = "Or begin one, or look round in a sample"
    yield SystemCommand("Open another workroom", told, program.action_open_another)
    yield SystemCommand("Read the files again", "And plan afresh", program.replan)
    told = "Of the states that were kept when it was changed here"
    yield SystemCommand("Bring back an earlier state of a file", told, partial(bring_back, program))
    if unsaved := program.session.unsaved:
        told = f"{count(len(unsaved), 'edit')}: keep, throw away, or decide later"
        yield SystemCommand("See what could not be saved", told, partial(ask_again, program))


def _delays(program: Wearby) -> Iterator[SystemCommand]:
    """What is said when the week goes wrong; each shows first what would move."""
    from screens.delays_doing import WHATS

    told = "Nothing done tonight, days away, a delivery later, an occasion moved, no helper"
    yield SystemCommand("Say what went wrong", told, program.action_delay)
    for one in WHATS:
        told = f"{one.told[:1].upper()}{one.told[1:]}; shows what would move"
        yield SystemCommand(one.name, told, partial(program.action_delay, one.key))


def _history(program: Wearby) -> Iterator[SystemCommand]:
    """What can be taken back, and made again, by its label."""
    done, undone = program.session.done, program.session.undone
    if done:
        told = f"Takes back: {clean(done[-1].label)}"
        yield SystemCommand("Undo the last edit", told, program.action_undo)
    if undone:
        told = f"That is: {clean(undone[-1].label)}"
        yield SystemCommand("Make the edit again", told, program.action_redo)


def _anywhere(program: Wearby) -> Iterator[SystemCommand]:
    """Colours, help, and the way out."""
    other = DAYLIGHT if program.theme == LAMPLIGHT.name else LAMPLIGHT
    yield SystemCommand(
        f"Change to {other.name} colours",
        "Dark letters on light" if other is DAYLIGHT else "Light letters on dark",
        lambda: setattr(program, "theme", other.name),
    )
    yield SystemCommand("Show the keys", "And what the letters stand for", program.action_help)
    told = "Asks first: an edit could not be saved" if lost(program) else "Nothing needs saving"
    yield SystemCommand("Leave wearby", told, program.action_quit)


def _by_key_alone(
    program: Wearby, screen: Screen[Any], told: Iterable[SystemCommand]
) -> Iterator[tuple[ActiveBinding, SystemCommand]]:
    """What has a key now and no command yet; digits only type."""
    known = {done for one in told if (done := _done_by(one.callback)) is not None}
    # undo and redo have their labels, or nothing to take back
    known |= {("undo", ()), ("redo", ()), ("command_palette", ())}
    for active in screen.active_bindings.values():
        binding = active.binding
        _, name, given = actions.parse(binding.action)
        moves = (binding.id or "").startswith(MOVES)
        typed = binding.key.isdigit() or binding.key == "backspace"
        if not binding.tooltip or binding.system or moves or typed or not active.enabled:
            continue
        if (name, given) not in known:
            known.add((name, given))
            key = program.get_key_display(binding)
            does = _doing(program, active)
            yield active, SystemCommand(binding.tooltip, f"Key {key}", does)


def _doing(program: Wearby, active: ActiveBinding) -> Callable[[], Any]:
    """What a key does, where it is pressed."""
    return partial(program.run_action, active.binding.action, active.node)


def _done_by(callback: Callable[[], Any]) -> Action | None:
    """The action a command does; None where it is none that could have a key."""
    given: tuple[object, ...] = ()
    while isinstance(callback, partial):
        given = (*callback.args, *given)
        callback = callback.func
    name = getattr(callback, "__name__", "")
    return (name.removeprefix("action_"), given) if name != "<lambda>" else None
