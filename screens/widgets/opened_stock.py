"""A stock opened: how it stands, and its account, step by step and delivery by delivery."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.plan import Plan
from planner.stock_report import StockReport
from screens.stock_account import Entry, account
from screens.stock_told import sentences
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.widgets.marked import OpeningLines
from screens.wording import cells, name_of, short_date, wrapped

DAY = 10
"""Columns of a day."""
LEAST_TOLD = 26
"""Columns from which on what takes or comes stands beside the amounts."""
STEP, COMING = "step", "coming"
"""First words of keys; behind them the step's full id, or the delivery's place."""


class OpenedStock(OpeningLines):
    """One stock."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "its day",
            show=False,
            key_display="enter",
            id="opened-stock.enter",
            tooltip="Go to this step in the run-up; of a delivery: it has come",
        ),
        Binding(
            "escape",
            "screen.close",
            "back",
            key_display="esc",
            id="opened-stock.escape",
            tooltip="Back to the list",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.report: StockReport | None = None

    def show(self, plan: Plan, report: StockReport | None) -> None:
        """Show a stock by a plan."""
        if report is None or self.report is None or report.id != self.report.id:
            self.cursor = None
            if self.is_attached:
                self.scroll_to(y=0, animate=False)
        self.plan, self.report = plan, report
        self.renew()

    @property
    def delivery(self) -> int | None:
        """Place of the delivery under the cursor, where it is on one."""
        kind, _, place = (self.cursor or "").partition(" ")
        return int(place) if kind == COMING and self.has_focus else None

    @property
    def step(self) -> str | None:
        """The step under the cursor, where it is on one."""
        kind, _, ident = (self.cursor or "").partition(" ")
        return ident if kind == STEP and self.has_focus else None

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Name, how it stands, its account."""
        plan, report = self.plan, self.report
        if plan is None or report is None:
            return ()
        name = name_of(plan, report.id)
        ensemble = name_of(plan, report.id.split("/")[0])
        several = sum(1 for key in plan.names if "/" not in key) > 1
        heading = f"{name}, for {ensemble}" if several else name
        found = [plain(f" {line}", "strong") for line in wrapped([heading], width - 2)]
        found += [plain(f" {line}") for line in wrapped(sentences(plan, report), width - 2)]
        entries = account(plan, report)
        if not report.uses and not report.arrivals:
            return found
        amounts = max(cells(one.amount) for one in entries)
        lefts = max(cells(one.left) for one in entries if not one.out)
        days = [one.day for one in entries if one.day is not None]
        if days != sorted(days):
            found.append(plain(" The most urgent is served first:", "faint"))
        for entry in entries:
            found += self._entry(entry, width, amounts, lefts)
        return found

    def _entry(self, entry: Entry, width: int, amounts: int, lefts: int) -> list[Line]:
        """One line of the account; a long name has as many as it needs."""
        key = None
        if entry.step is not None:
            key = f"{STEP} {entry.step}"
        elif entry.coming is not None:
            key = f"{COMING} {entry.coming}"
        here = CURSOR if key is not None and key == self.cursor and self.has_focus else " "
        day = short_date(entry.day) if entry.day is not None else ""
        right = Run(
            text=f"{entry.amount:>{amounts}}  {entry.left:>{lefts}}",
            style="accent" if entry.out else "",
        )
        mark = Run(text=here, style="accent")
        style = "" if entry.step is not None else "faint"
        room = width - DAY - 6 - cells(right.text)
        if room >= LEAST_TOLD or (not day and cells(entry.told) <= room + DAY):
            indent = DAY if day or entry.step else 0
            first, *rest = wrapped([entry.told], room + DAY - indent)
            head = Run(text=f"{day:<{indent}}  " if indent else " ", style="faint")
            begin = [mark, head, Run(text=first, style=style)]
        else:
            # too narrow for both: what it is stands beneath
            beside = cells(day) + 3 + cells(right.text) <= width
            told = entry.told if beside or not day else f"{day}: {entry.told}"
            indent, begin = 1, [mark, Run(text=day if beside else "", style="faint")]
            rest = wrapped([told], width - 4)
        found = [Line(runs=tuple(begin), right=right, key=key)]
        for text in rest:
            runs = (Run(text=f"{'':{indent + 3}}{text}", style=style),)
            found.append(Line(runs=runs, click=key))
        return found
