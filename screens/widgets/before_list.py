"""What an occasion needs, as lines with a cursor: each opens beneath itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message

from planner.before import Before
from planner.plan import Plan
from screens.widgets.before_parts import ITEM, Drawing
from screens.widgets.lines import Line
from screens.widgets.marked import MarkedLines

WORK, OWN, WAITING = "work", "own", "wait"
"""The parts: what must be done before it, its own list, what can wait."""
MARK = 3
"""Columns in which a click ticks."""


class BeforeList(MarkedLines, can_focus=True):
    """Some of the parts of what an occasion needs."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="before.enter",
            tooltip="Open or close what is under the cursor: why, what to watch, what it lacks",
        ),
        Binding("escape", "close", "close", show=False, id="before.escape", tooltip="Close it"),
        Binding("left", "screen.turn(-1)", "occasion", show=False, id="before.list-left"),
        Binding("right", "screen.turn(1)", "occasion", show=False, id="before.list-right"),
    ]

    class Ticked(Message):
        """The mark of something to pack was clicked."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.needed: Before | None = None
        self.parts: tuple[str, ...] = ()
        self.by_garment = False
        self.open: str | None = None
        """The key that is open."""
        self.starts: dict[str, int] = {}
        """The line each part begins on."""

    def show(
        self, plan: Plan, needed: Before, parts: tuple[str, ...], by_garment: bool
    ) -> None:
        """Show parts of what an occasion needs; of another one, from the top."""
        other = self.needed is None or self.needed.occasion.id != needed.occasion.id
        if other:
            self.open = self.cursor = None
            self.scroll_to(y=0, animate=False)
        self.plan, self.needed, self.parts = plan, needed, parts
        self.by_garment = by_garment
        self.renew()
        if not other:
            self.call_after_refresh(self.keep_in_view)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The parts in order."""
        plan, needed = self.plan, self.needed
        if plan is None or needed is None:
            return ()
        drawing = Drawing(
            plan=plan,
            needed=needed,
            steps={step.id: step for step in plan.steps},
            by_garment=self.by_garment,
            width=width,
            cursor=self.cursor if self.has_focus else None,
            open=self.open,
        )
        drawn = {WORK: drawing.work, OWN: drawing.own, WAITING: drawing.wait}
        found: list[Line] = []
        for part in self.parts:
            self.starts[part] = len(found)
            found += drawn[part]()
        return found

    def on_focus(self) -> None:
        """Show the cursor's mark, once the focus is here."""
        self.call_later(self.renew)

    def on_blur(self) -> None:
        """Hide it."""
        self.call_later(self.renew)

    @property
    def subject(self) -> tuple[str, str]:
        """What the cursor stands on, and which."""
        kind, _, ident = (self.cursor or "").partition(" ")
        return kind, ident

    def first(self, *kinds: str) -> str | None:
        """The first key of some kinds."""
        return next((key for key in self._keys() if key.split(" ")[0] in kinds), None)

    def find(self, ident: str) -> bool:
        """Put the cursor on a step or garment by its full id; whether it is here."""
        found = next((key for key in self._keys() if key.partition(" ")[2] == ident), None)
        return found is not None and self.go(found)

    def top(self, part: str) -> None:
        """Scroll the beginning of a part to the top."""
        y = self.starts.get(part, 0)
        self.call_after_refresh(self.scroll_to, y=y, animate=False, force=True)

    # keys

    def on_lines_chosen(self, event: MarkedLines.Chosen) -> None:
        """Open it, or close it."""
        event.stop()
        self.open = None if self.open == event.key else event.key
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def action_close(self) -> None:
        """Close what is open."""
        self.open = None
        self.renew()

    def on_click(self, event: events.Click) -> None:
        """A click on the mark of something to pack ticks it; any other goes to the line."""
        index = event.y + self.scroll_offset.y
        key = self.lines[index].key if 0 <= index < len(self.lines) else None
        packs = self.needed is not None and bool(self.needed.packing)
        if key is not None and packs and key.split(" ")[0] == ITEM and event.x < MARK:
            event.prevent_default()
            self.go(key)
            self.post_message(self.Ticked())
