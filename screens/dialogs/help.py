"""What the keys do, and what the letters stand for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from textual import getters
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.message import Message
from textual.screen import ModalScreen, Screen

from planner.model import Work
from screens.forms.parts import Told
from screens.strips import FREE, MARK, OTHERS
from screens.widgets.lines import Line, Lines, Run, plain
from screens.wording import cells, count, wrapped

STRIPS = (
    f"A letter of a strip is {{minutes}} minutes of work, {FREE} free time, {OTHERS} work for the"
    f" others. {MARK} ends hours; behind it come the day's next, in order of time: those at"
    " another place, or behind an occasion. Reversed letters behind it are work that the hours"
    " before it can't hold; a blank parts them from the next hours."
)
HERE, EVERYWHERE = "On this screen", "Everywhere"
MOVES = "lines."
"""Ids of bindings that only move a cursor begin so: they are told together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Keys that belong together, each with what it does."""

    title: str
    keys: tuple[tuple[str, str], ...]


def keys_of(app: App[Any], screen: Screen[Any]) -> tuple[Group, ...]:
    """The keys that can be pressed on a screen, as its bindings say: its own, then the app's."""
    told: dict[str, dict[str, list[str]]] = {HERE: {}, EVERYWHERE: {}}
    moves: list[str] = []
    for active in screen.active_bindings.values():
        binding = active.binding
        if not binding.tooltip or binding.system or not active.enabled:
            continue
        key = app.get_key_display(binding)
        if (binding.id or "").startswith(MOVES):
            moves.append(key)
            continue
        group = told[EVERYWHERE if active.node is app else HERE]
        group.setdefault(binding.tooltip, []).append(key)
    if moves:
        told[HERE]["Up and down: by lines, by pages, to the ends"] = [" ".join(moves)]
    return tuple(
        Group(
            title=title,
            keys=tuple((", ".join(dict.fromkeys(keys)), told) for told, keys in group.items()),
        )
        for title, group in told.items()
        if group
    )


def _letters() -> list[Line]:
    """The kinds of work with their letters."""
    lines, works = [], list(Work)
    for first in range(0, len(works), 4):
        runs = []
        for work in works[first : first + 4]:
            runs.append(Run(text=f"  {work.letter}", style=work.letter))
            runs.append(Run(text=f" {work.value:<10}"))
        lines.append(Line(runs=tuple(runs)))
    return lines


def _key(key: str, meaning: str, width: int) -> list[Line]:
    """A key with what it does; long ones have a line of their own."""
    head, *rest = wrapped([meaning], max(20, width - 14)) or [""]
    if cells(key) > 11:
        first = [plain(f"  {key}", "accent")]
        rest = [head, *rest]
    else:
        first = [Line(runs=(Run(text=f"  {key:<12}", style="accent"), Run(text=head)))]
    return [*first, *(plain(f"{'':14}{line}") for line in rest)]


class HelpLines(Lines):
    """The help's text; keys scroll it."""

    class Seen(Message):
        """Other lines are seen than before."""

    def __init__(self, groups: Sequence[Group], slice: int | None, told: str) -> None:
        super().__init__(id="help")
        self.groups = groups
        self.slice = slice
        self.told = told

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What the screen shows, the letters explained, then key by key."""
        found = [plain(line) for line in wrapped([self.told], width)]
        if self.told:
            found += _letters()
        if self.slice is not None:
            strips = STRIPS.format(minutes=self.slice)
            found += [plain(line) for line in wrapped([strips], width)]
        for group in self.groups:
            if found:
                found.append(plain(""))
            found.append(plain(group.title, "strong"))
            for key, meaning in group.keys:
                found += _key(key, meaning, width)
        return found

    # there is no cursor to move: keys scroll

    def action_step(self, steps: int) -> None:
        """A line up or down."""
        self.scroll_relative(y=steps, animate=False)

    def action_page(self, pages: int) -> None:
        """A page up or down."""
        height = max(1, self.scrollable_content_region.height - 1)
        self.scroll_relative(y=pages * height, animate=False)

    def action_edge(self, index: int) -> None:
        """To the beginning or the end."""
        self.scroll_to(y=0 if index == 0 else self.max_scroll_y, animate=False)

    @property
    def beneath(self) -> int:
        """How many lines there are below those that are seen."""
        return max(0, self.max_scroll_y - self.scroll_offset.y)

    def renew(self) -> None:
        """Compose afresh, and say how much there is beneath."""
        super().renew()
        self.post_message(self.Seen())

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Other lines are seen."""
        super().watch_scroll_y(old_value, new_value)
        self.post_message(self.Seen())


class Help(ModalScreen[None]):
    """Any of escape, enter, q and ? closes it."""

    CSS = """
    Help {
        align: center middle;
        background: $background 60%;
        #telling {
            width: 80;
            border-left: blank $background;
            border-right: blank $background;
            max-width: 100%;
            height: 24;
            max-height: 100%;
            padding: 1 2 0 2;
            background: $panel;
        }
        Lines {
            height: 1fr;
            background: $panel;
        }
        Told {
            height: 1;
            color: $accent;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape,enter,q,question_mark,f1",
            "leave",
            "close",
            id="help.close",
            tooltip="Close the help",
        ),
    ]

    lines = getters.query_one("#help", HelpLines)

    def __init__(self, groups: Sequence[Group], slice: int | None = None, told: str = "") -> None:
        """``told`` is what a screen says of itself, up to its letters; ``slice`` of its strips."""
        super().__init__()
        self.groups = groups
        self.slice = slice
        self.told = told

    def compose(self) -> ComposeResult:
        """The text, scrolling where the terminal is low."""
        with Container(id="telling"):
            yield HelpLines(self.groups, self.slice, self.told)
            yield Told(id="beneath")

    def on_help_lines_seen(self) -> None:
        """Say whether there is more, and how to get at it."""
        lines = count(self.lines.beneath, "more line")
        self.query_one("#beneath", Told).text = (
            f"{lines} beneath: down, page down, end" if self.lines.beneath else "esc closes"
        )

    def on_click(self) -> None:
        """A click closes it too."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
