"""Lines of coloured text with a cursor: the one widget that draws days, steps and problems.

It renders line by line (many widgets would cost far more) and keeps its cursor on a key, not on
an index, so that the cursor stays on the same day or step when the lines change.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from screens.wording import cells, fitted

CURSOR = "▸"


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A stretch of text in one style."""

    text: str
    style: str = ""
    """A component of ``Lines`` without its "lines--"; empty for plain."""
    reverse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line."""

    runs: tuple[Run, ...] = ()
    right: Run | None = None
    """Set against the right edge, where there is room."""
    key: str | None = None
    """What the cursor can stand on; None where it can't."""
    click: str | None = None
    """The key a click means where the cursor can't stand here."""


def plain(text: str, style: str = "", key: str | None = None) -> Line:
    """A line of one style."""
    return Line(runs=(Run(text=text, style=style),), key=key)


class Lines(ScrollView, can_focus=True):
    """Lines with a cursor."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "lines--faint",
        "lines--strong",
        "lines--accent",
        "lines--line",
        "lines--cursor",
        *(f"lines--{letter}" for letter in "dcmhpfbk"),
    }
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "Line above", show=False, id="lines.up", tooltip="One line up"),
        Binding(
            "down", "step(1)", "Line below", show=False, id="lines.down", tooltip="One line down"
        ),
        Binding(
            "pageup", "page(-1)", "Page up", show=False, id="lines.pageup", tooltip="A page up"
        ),
        Binding(
            "pagedown",
            "page(1)",
            "Page down",
            show=False,
            id="lines.pagedown",
            tooltip="A page down",
        ),
        Binding("home", "edge(0)", "First", show=False, id="lines.home", tooltip="To the first"),
        Binding("end", "edge(-1)", "Last", show=False, id="lines.end", tooltip="To the last"),
    ]

    @dataclass
    class Moved(Message):
        """The cursor has come to a key."""

        lines: Lines
        key: str

        @property
        def control(self) -> Lines:
            return self.lines

    @dataclass
    class Chosen(Message):
        """A key was chosen, by enter or by a click on the cursor's line."""

        lines: Lines
        key: str

        @property
        def control(self) -> Lines:
            return self.lines

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.lines: tuple[Line, ...] = ()
        self.cursor: str | None = None
        self._base = Style()
        self._parts: dict[str, Style] = {}
        """Colours of the picture that is being drawn: the same for all its lines."""

    # what is shown

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The lines at a width; what the subclasses say."""
        return ()

    def renew(self) -> None:
        """Compose afresh; the cursor stays on its key, or goes to the nearest place."""
        width = self.scrollable_content_region.width
        if width <= 0:
            return
        before = self._index()
        self.lines = tuple(self.compose_lines(width))
        keys = self._keys()
        if self.cursor not in keys:
            near = [line.key for line in self.lines[before or 0 :] if line.key is not None]
            self.cursor = next(iter(near), keys[-1] if keys else None)
            if self.cursor is not None:
                self.post_message(self.Moved(self, self.cursor))
            self.lines = tuple(self.compose_lines(width))
        self.virtual_size = Size(width, len(self.lines))
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:
        """Compose for the new width; keep the cursor in view."""
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines of a picture; its colours are looked up once."""
        self._base = self.rich_style
        self._parts.clear()
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        """One line of the screen."""
        width = self.scrollable_content_region.width
        index = y + self.scroll_offset.y
        base = self._base
        if index >= len(self.lines):
            return Strip.blank(width, base)
        line = self.lines[index]
        if line.key is not None and line.key == self.cursor:
            base += self._component("cursor")
        return _drawn(line, width, base, self._component)

    def _component(self, name: str) -> Style:
        """A component's own colours."""
        if name not in self._parts:
            self._parts[name] = self.get_component_rich_style(f"lines--{name}", partial=True)
        return self._parts[name]

    # the cursor

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a key; whether there is one."""
        if key not in self._keys():
            return False
        changed = key != self.cursor
        self.cursor = key
        self.refresh()
        self.keep_in_view()
        if changed and tell:
            self.post_message(self.Moved(self, key))
        return True

    def keep_in_view(self) -> None:
        """Scroll the least that shows the cursor's line and what belongs to it."""
        index = self._index()
        if index is None:
            return
        last = index
        while last + 1 < len(self.lines) and self.lines[last + 1].key is None:
            last += 1
        height = max(1, self.scrollable_content_region.height)
        first = 0 if index == self._first_key() else index
        shown = min(last - first + 1, height)
        self.scroll_to_region(
            Region(0, first if index - first < height else index, 1, shown),
            animate=False,
            force=True,
        )

    def _first_key(self) -> int | None:
        """The first line the cursor can stand on."""
        return next((i for i, line in enumerate(self.lines) if line.key is not None), None)

    def _keys(self) -> list[str]:
        return [line.key for line in self.lines if line.key is not None]

    def _index(self) -> int | None:
        """The line the cursor stands on."""
        if self.cursor is None:
            return None
        return next((i for i, line in enumerate(self.lines) if line.key == self.cursor), None)

    def _go_by(self, steps: int) -> None:
        keys = self._keys()
        if not keys:
            return
        here = keys.index(self.cursor) if self.cursor in keys else 0
        self.go(keys[max(0, min(len(keys) - 1, here + steps))])

    def action_step(self, steps: int) -> None:
        """Up or down."""
        self._go_by(steps)

    def action_page(self, pages: int) -> None:
        """A page up or down."""
        self._go_by(pages * max(1, self.scrollable_content_region.height - 1))

    def action_edge(self, index: int) -> None:
        """To the first or the last."""
        keys = self._keys()
        if keys:
            self.go(keys[index])

    def action_choose(self) -> None:
        """Choose what the cursor stands on."""
        if self.cursor is not None:
            self.post_message(self.Chosen(self, self.cursor))

    def on_click(self, event: events.Click) -> None:
        """A click goes to the line."""
        index = event.y + self.scroll_offset.y
        if not 0 <= index < len(self.lines):
            return
        key = self.lines[index].key or self.lines[index].click
        if key is not None:
            self.clicked(key)

    def clicked(self, key: str) -> None:
        """Go there; a click where the cursor already stood chooses."""
        if key == self.cursor:
            self.post_message(self.Chosen(self, key))
        else:
            self.go(key)


def _drawn(line: Line, width: int, base: Style, component: Callable[[str], Style]) -> Strip:
    """A line as a strip of exactly ``width``."""
    segments: list[Segment] = []
    used = 0
    right = line.right if line.right is not None and line.right.text else None
    room = width - (cells(right.text) + 1 if right is not None else 0)
    for run in line.runs:
        text = fitted(run.text, room - used)
        used += cells(text)
        segments.append(Segment(text, _style(run, base, component)))
        if used >= room:
            break
    if right is not None and used <= room:
        segments.append(Segment(" " * (width - used - cells(right.text)), base))
        segments.append(Segment(right.text, _style(right, base, component)))
    return Strip(segments).adjust_cell_length(width, base)


def _style(run: Run, base: Style, component: Callable[[str], Style]) -> Style:
    style = base + component(run.style) if run.style else base
    return style + Style(reverse=True) if run.reverse else style
