"""What the command palette offers, with every text drawn as it stands: a name is never markup.

All that can be done is there: what screens say they can do for what is under the cursor, what the
program can do, and whatever else has a key at this moment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual import actions
from textual.app import SystemCommand
from textual.binding import ActiveBinding
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content
from textual.fuzzy import FuzzySearch
from textual.screen import ModalScreen, Screen
from textual.style import Style

from screens.registry import SCREENS
from screens.themes import DAYLIGHT, LAMPLIGHT
from screens.wording import clean

if TYPE_CHECKING:
    from screens.app import Wearby

ASKED = "What shall be done? A few letters"
"""Stands where nothing is typed yet."""
MOVES = "lines."
"""Ids of bindings that only move a cursor begin so: they are no commands."""

Action = tuple[str, tuple[object, ...]]
"""Name of an action, and what it is given."""


class Offered(Provider):
    """The commands of the screen and of the program."""

    async def discover(self) -> Hits:
        """All of them, by the alphabet."""
        offered = self.app.get_system_commands(self.screen)
        for title, told, do, shown in sorted(offered, key=lambda one: one.title):
            if shown:
                yield DiscoveryHit(Content(title), do, text=title, help=_as_it_stands(told))

    async def search(self, query: str) -> Hits:
        """Those whose title has these letters, which are marked."""
        letters = FuzzySearch()
        for title, told, do, _ in self.app.get_system_commands(self.screen):
            score, places = letters.match(query, title)
            if score > 0:
                found = _marked(title, places, self.match_style or Style(bold=True))
                yield Hit(score, found, do, text=title, help=_as_it_stands(told))


def everything(program: Wearby, screen: Screen[Any]) -> Iterator[SystemCommand]:
    """All that can be done on a screen, in plain verb phrases; nothing twice."""
    told: list[SystemCommand] = []
    if own := getattr(screen, "get_commands", None):
        told += own()
    # one can't go elsewhere before a question is answered
    if not isinstance(screen, ModalScreen):
        told += _elsewhere(program)
        told += _history(program)
    told += _anywhere(program)
    yield from told
    yield from _by_key_alone(program, screen, told)


def _elsewhere(program: Wearby) -> Iterator[SystemCommand]:
    """The other screens, a step, another workroom."""
    for one in SCREENS:
        if one.name != program.current_mode:
            go = partial(program.switch_mode, one.name)
            yield SystemCommand(f"Go to {one.title}", one.answers, go)
    if program.state is not None:
        yield SystemCommand("Find a step", "By a few of its letters", program.action_find)
    told = "Or begin one, or look round in a sample"
    yield SystemCommand("Open another workroom", told, program.action_open_another)
    yield SystemCommand("Read the files again", "And plan afresh", program.replan)


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
    yield SystemCommand("Leave wearby", "Nothing needs saving", program.action_quit)


def _by_key_alone(
    program: Wearby, screen: Screen[Any], told: Iterable[SystemCommand]
) -> Iterator[SystemCommand]:
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
            yield SystemCommand(binding.tooltip, f"Key {key}", _doing(program, active))


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


def _marked(title: str, places: Sequence[int], style: Style) -> Content:
    """A title with the letters at some places marked."""
    content = Content(title)
    for place in places:
        if not title[place].isspace():
            content = content.stylize(style, place, place + 1)
    return content


def _as_it_stands(text: str) -> str:
    """A text that the palette is not to read as markup: it takes content for that as well."""
    return cast("str", Content(text))
