"""Choosing a garment to add: every order of construction, with the hours each way."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from textual import events, getters, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Input

from planner.model import Project, Source
from planner.problems import InputError
from screens.forms.bottom import FormKeys
from screens.forms.parts import Told
from screens.new_garment import OrderRow, order_rows
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.stitching import Stitching
from screens.wording import clean, column, count, fitted, padded, spoken

OTHER = ""
"""Chosen in place of an order: a garment made up step by step."""
CELL = 8
"""Columns of the hours of one source."""
SOURCES = tuple(Source)
MADE = {
    Source.MAKE: "made",
    Source.OWN: "your own, looked over",
    Source.ALTER: "altered",
    Source.BORROW: "borrowed",
    Source.BUY: "bought",
}
WHICH = "Type a few letters, or go down; enter then chooses what the mark stands at."
UNKNOWN = "A garment of another kind: you give its steps yourself."


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What was chosen."""

    order: str
    """Its id, or OTHER."""
    source: Source = Source.MAKE
    letters: str = ""
    """What was typed."""


class Orders(Lines, can_focus=False):
    """The orders that match, by group; their hours by source."""

    def __init__(self) -> None:
        super().__init__(id="orders")
        self.rows: Sequence[OrderRow] = ()
        self.letters = ""
        self.source: Source | None = None
        """None: each as is usual for it."""
        self.waiting = True
        self.early = 0
        """Steps down before the orders were there."""
        self.pointed = False
        """Whether letters, an arrow or a click have said which is meant; no cursor before."""

    def point(self) -> None:
        """From now on there is a cursor."""
        if not self.pointed:
            self.pointed = True
            self.renew()

    def matching(self) -> list[OrderRow]:
        """Those that hold every word typed; what begins with them first."""
        typed = self.letters.casefold().strip()
        found = [one for one in self.rows if all(word in one.words for word in typed.split())]
        if not typed:
            return found
        return sorted(found, key=lambda one: _rank(one, typed))

    def row(self) -> OrderRow | None:
        """The order under the cursor."""
        return next((one for one in self.rows if one.id == self.cursor), None)

    def source_of(self, row: OrderRow) -> Source:
        """Where a garment comes from, if it were chosen now."""
        usual = next(iter(row.ways), Source.MAKE)
        return self.source if self.source in row.ways and self.source is not None else usual

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line an order, under the headings of their groups."""
        if self.waiting:
            return [plain(" Reading the orders of construction…", "faint")]
        rows = self.matching()
        if not self.pointed:
            self.cursor = None
        elif self.cursor not in {OTHER, *(one.id for one in rows)} or self.cursor is None:
            self.cursor = rows[0].id if rows else OTHER
        lines = list(self._lines(rows, max(12, width - CELL * len(SOURCES) - 2)))
        here = CURSOR if self.cursor == OTHER else " "
        other = (Run(text=f"{here} ", style="accent"), Run(text="of another kind, step by step"))
        return [*lines, self._line(other, OTHER)]

    def _line(self, runs: tuple[Run, ...], key: str) -> Line:
        """A line that the cursor can stand on, once there is one."""
        return Line(runs=runs, key=key) if self.pointed else Line(runs=runs, click=key)

    def _lines(self, rows: Sequence[OrderRow], width: int) -> Iterator[Line]:
        group = None
        for row in rows:
            if row.group != group and not self.letters.strip():
                group = row.group
                yield plain(f" {clean(group)}", "strong")
            here = row.id == self.cursor
            name = f"{clean(row.name)} (yours)" if row.own else clean(row.name)
            runs = [
                Run(text=f"{CURSOR if here else ' '} ", style="accent"),
                Run(text=padded(name, width)),
            ]
            for source in SOURCES:
                runs.append(_cell(row, source, here and source is self.source_of(row)))
            yield self._line(tuple(runs), row.id)

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along."""
        self.point()
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved

    def action_step(self, steps: int) -> None:
        """Another match; at first the first. Steps before the orders are there count then."""
        if self.waiting:
            self.pointed = True
            self.early += steps
        elif self.pointed:
            super().action_step(steps)
        else:
            self.point()

    def came(self, rows: Sequence[OrderRow]) -> None:
        """The orders are there."""
        self.rows, self.waiting = rows, False
        self.renew()
        if self.early > 1:
            self.action_step(self.early - 1)

    def action_page(self, pages: int) -> None:
        """A page of matches; at first the first."""
        super().action_page(pages) if self.pointed else self.point()

    def on_click(self, event: events.Click) -> None:
        """A click on hours also says where from."""
        place = self.scrollable_content_region.width - CELL * len(SOURCES)
        if event.x >= place and self.pointed:
            self.source = SOURCES[min((event.x - place) // CELL, len(SOURCES) - 1)]
            self.renew()


def _rank(row: OrderRow, typed: str) -> tuple[bool, bool]:
    name = row.name.casefold()
    return not name.startswith(typed), not any(w.startswith(typed) for w in name.split())


def _cell(row: OrderRow, source: Source, chosen: bool) -> Run:
    way = row.ways.get(source)
    told = column(round(way[0].typical)) if way is not None else "-"
    if chosen:
        return Run(text=f"‹{told}›".rjust(CELL), style="accent")
    return Run(text=f"{told:>{CELL - 1}} ", style="faint")


class Letters(Input):
    """Letters that are looked for; enter, behind them in the queue, chooses."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "submit",
            "choose",
            key_display="enter",
            id="choose.take",
            tooltip="Choose what is under the cursor",
        ),
    ]


class ChooseOrder(ModalScreen[None]):
    """Type letters, choose with the arrows and enter; escape closes."""

    CSS = """
    ChooseOrder {
        background: $background;
        color: $foreground;

        #asked {
            height: 1;
            padding: 0 1;
            text-style: bold;
        }
        Input {
            height: 1;
            border: none;
            padding: 0;
            margin: 0 1;
            background: $cursor;
            background-tint: $foreground 0%;
            color: $foreground;
            & > .input--placeholder {
                color: $faint;
            }
        }
        #columns {
            height: 1;
            padding: 0 2 0 0;
            color: $faint;
        }
        Orders {
            height: 1fr;
            & > .lines--cursor {
                background: $cursor;
                text-style: bold;
            }
        }
        Stitching {
            height: 1;
            color: $line;
        }
        #told {
            height: 3;
            padding: 0 1;
            color: $foreground;
        }
        FormKeys {
            height: 1;
            padding: 0 1;
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "right",
            "source(1)",
            "where from",
            key_display="← →",
            priority=True,
            id="choose.right",
            tooltip="Make, own, alter, borrow, buy",
        ),
        Binding("left", "source(-1)", "where from", show=False, priority=True, id="choose.left"),
        Binding("down", "move(1)", "next", show=False, id="choose.down", tooltip="Next match"),
        Binding("up", "move(-1)", "previous", show=False, id="choose.up", tooltip="Match above"),
        Binding("pagedown", "page(1)", "page", show=False, id="choose.pagedown"),
        Binding("pageup", "page(-1)", "page", show=False, id="choose.pageup"),
        Binding(
            "escape", "leave", "close", key_display="esc", id="choose.close", tooltip="Add nothing"
        ),
    ]

    @dataclass
    class Read(Message):
        """The orders were read and estimated."""

        rows: Sequence[OrderRow]
        problem: str = ""

    orders = getters.query_one("#orders", Orders)
    told = getters.query_one("#told", Told)

    def __init__(self, project: Project, ensemble: str, opened: Callable[[Chosen], None]) -> None:
        """``ensemble`` is its name, to be shown; ``opened`` is told what was chosen."""
        super().__init__()
        self.opened = opened
        self.project = project
        self.ensemble = ensemble
        self.is_coming = False
        """Enter was pressed before the orders were there: what is typed then is for the form."""

    def compose(self) -> ComposeResult:
        """What is asked, letters, orders, what is said of the one under the cursor, keys."""
        yield Told(id="asked")
        letters = Letters(placeholder="type a few letters: gown, hat, stays", id="letters")
        letters.cursor_blink = False
        yield letters
        yield Told(id="columns")
        yield Orders()
        yield Stitching()
        yield Told(id="told")
        yield FormKeys()

    def on_mount(self) -> None:
        """Read the orders beside the screen."""
        self.query_one("#asked", Told).say(
            f"Which garment is added to {fitted(clean(self.ensemble), 48)}?"
        )
        self._read()

    @work(thread=True, exit_on_error=False)
    def _read(self) -> None:
        try:
            self.post_message(self.Read(order_rows(self.project)))
        except InputError as error:
            self.post_message(self.Read((), str(error.problems[0])))

    def on_choose_order_read(self, event: Read) -> None:
        """Show them; what was typed meanwhile counts."""
        self.orders.came(event.rows)
        self._say(event.problem)
        if self.is_coming:
            self.is_coming = False
            self.action_take()

    def on_resize(self) -> None:
        """The headings of the columns stand above them."""
        names = "".join(f"{one.value:>{CELL - 1}} " for one in SOURCES)
        self.query_one("#columns", Told).say("", names.strip())

    def _say(self, problem: str = "") -> None:
        """What there is to say of the order under the cursor."""
        row = self.orders.row()
        if not self.orders.pointed:
            self.told.text = problem or ("" if self.orders.waiting else WHICH)
            return
        if row is None:
            self.told.text = problem or ("" if self.orders.waiting else UNKNOWN)
            return
        source = self.orders.source_of(row)
        if source not in row.ways:
            self.told.text = f"{row.name}: its steps can't be worked out; choose it to see why."
            return
        minutes, steps = row.ways[source]
        bounds = f"{spoken(round(minutes.low))} to {spoken(round(minutes.high))}"
        asks = "; ".join(f"{one[:1].lower()}{one[1:]}" for one in row.asks)
        self.told.text = (
            f"{row.name}, {MADE[source]}: {spoken(round(minutes.typical))} ({bounds}),"
            f" {count(steps, 'step')}."
            + (f" It asks: {asks}." if source in list(row.ways)[:1] else "")
        )

    def on_input_changed(self, event: Input.Changed) -> None:
        """Match afresh; the best match is under the cursor."""
        self._match(event.value)

    def _match(self, letters: str) -> None:
        if letters == self.orders.letters:
            return
        self.orders.letters = letters
        if letters.strip():
            self.orders.pointed = True
            self.orders.cursor = next((one.id for one in self.orders.matching()), None)
        self.orders.renew()
        self.orders.scroll_to(y=0, animate=False)
        self._say()

    def on_input_submitted(self) -> None:
        """Enter in the letters chooses."""
        self.action_take()

    def on_lines_moved(self, event: Lines.Moved) -> None:
        """Another order is under the cursor."""
        self._point()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """A second click chooses."""
        self.action_take()

    def action_source(self, steps: int) -> None:
        """Where it is to come from."""
        if not self.orders.pointed:
            self._point()
            return
        row = self.orders.row()
        if row is None or not row.ways:
            return
        there = [one for one in SOURCES if one in row.ways]
        now = there.index(self.orders.source_of(row))
        self.orders.source = there[(now + steps) % len(there)]
        self.orders.renew()
        self._say()

    def action_move(self, steps: int) -> None:
        """Another match."""
        self.orders.action_step(steps)
        self._point()

    def action_page(self, pages: int) -> None:
        """A page of matches."""
        self.orders.action_page(pages)
        self._point()

    def _point(self) -> None:
        """Something is pointed at, if only by an arrow."""
        self.orders.point()
        self._say()

    def action_take(self) -> None:
        """Choose what is under the cursor."""
        letters = self.query_one(Letters)
        self._match(letters.value)
        if not self.orders.pointed:
            return
        if self.orders.waiting:
            self.is_coming = True
            return
        row = self.orders.row()
        chosen = Chosen(order=OTHER, letters=letters.value)
        if row is not None:
            chosen = replace(chosen, order=row.id, source=self.orders.source_of(row))
        self.dismiss(None)
        self.opened(chosen)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)
