"""The bottom line: the keys of this screen, the letters of the others, help.

It shows what fits and says nothing twice: first what is done here, then as many of the other
screens as there is room for; help, and the way to everything else by name, are always there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget

from screens.wording import cells

GAP = 2
"""Columns between two keys."""
LAST = ("find", "help", "command_palette")
"""Actions that are always shown, at the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A key with what it does."""

    key: str
    """As the program knows it: "question_mark"."""
    sign: str
    """As it is shown: "?"."""
    told: str
    action: str
    own: bool
    """Of this screen, not of the whole program."""

    @property
    def width(self) -> int:
        """Columns it takes."""
        return cells(self.sign) + 1 + cells(self.told)


class KeyLine(Widget):
    """The keys that can be pressed now, in one line; a click presses one."""

    def on_mount(self) -> None:
        """Follow what can be pressed."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def on_unmount(self) -> None:
        """Follow no longer."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, screen: Screen[object]) -> None:
        if self.is_attached and screen is self.screen:
            self.refresh()

    @property
    def keys(self) -> list[Shown]:
        """Every key that is offered now, once each: this screen's, then the program's."""
        found: dict[str, Shown] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            last = binding.action in LAST
            if not (binding.show or last) or not active.enabled:
                continue
            sign = self.app.get_key_display(binding)
            own = active.node is not self.app
            shown = Shown(
                key=binding.key, sign=sign, told=binding.description, action=binding.action, own=own
            )
            found.setdefault(binding.action, shown)
        return sorted(found.values(), key=lambda one: (one.action in LAST, not one.own))

    def placed(self, width: int) -> list[tuple[int, Shown]]:
        """What fits into so many columns, each with the column it begins at."""
        keys = self.keys
        last = [one for one in keys if one.action in LAST]
        room = width - sum(one.width + GAP for one in last) + GAP
        placed, at = [], 0
        for one in (one for one in keys if one.action not in LAST):
            if at + one.width + GAP <= room:
                placed.append((at, one))
                at += one.width + GAP
        at = max(at, room)
        for one in last:
            placed.append((at, one))
            at += one.width + GAP
        return placed

    def render(self) -> Content:
        """The line at this width."""
        parts: list[str | tuple[str, str]] = []
        at = 0
        for begin, one in self.placed(self.content_size.width):
            parts += [" " * (begin - at), (one.sign, "bold $accent"), (f" {one.told}", "$faint")]
            at = begin + one.width
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        """Press the key that was clicked."""
        at = event.get_content_offset(self)
        if at is not None and (one := key_at(self.placed(self.content_size.width), at.x)):
            self.app.simulate_key(one.key)


def key_at(placed: Sequence[tuple[int, Shown]], column: int) -> Shown | None:
    """The key that stands at a column."""
    for begin, one in placed:
        if begin <= column < begin + one.width:
            return one
    return None
