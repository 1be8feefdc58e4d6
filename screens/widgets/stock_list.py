"""The stock as lines: what is short first, with wanted, there, coming, short, and by when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.plan import Plan
from planner.stock_report import StockReport
from screens.stock_told import amount_of, by_when, coming_told, groups, headline
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines, marked
from screens.wording import cells, name_of, padded, wrapped

HEADS = ("wanted", "there", "coming", "short")
LEAST_NAME = 16
"""Columns a name gets at the least."""
MOST_AMOUNT = 10
"""Columns an amount gets at the most."""


class StockList(MarkedLines, can_focus=True):
    """Every stock, group by group."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "steps",
            show=False,
            key_display="enter",
            id="stock.enter",
            tooltip="Go to the steps that take of it",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.reports: tuple[StockReport, ...] = ()
        self.asking = False
        """Whether something is typed beneath: the mark is there then."""

    def ask(self, asking: bool) -> None:
        """The cursor's mark goes to what is typed beneath, or comes back."""
        self.asking = asking
        self.renew()

    def show(self, plan: Plan, reports: Sequence[StockReport]) -> None:
        """Show what a plan says of the stock; the cursor stays on its own."""
        self.plan, self.reports = plan, tuple(reports)
        self.renew()

    def renew(self) -> None:
        """Compose afresh; tells where the cursor begins."""
        before = self.cursor
        super().renew()
        if before is None and self.cursor is not None:
            self.post_message(self.Moved(self, self.cursor))

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it; the lines stay as they are."""
        moved = Lines.go(self, key, tell)
        self.lines = marked(self.lines, key) if moved else self.lines
        return moved

    @property
    def report(self) -> StockReport | None:
        """What is under the cursor."""
        return next((one for one in self.reports if one.id == self.cursor), None)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What runs out in a sentence, then the groups."""
        plan = self.plan
        if plan is None:
            return ()
        if not self.reports:
            return [plain(""), *(plain(f"  {line}", "faint") for line in _nothing(plan, width - 4))]
        told = wrapped([headline(plan, self.reports)], width - 2)
        found = [plain(f" {line}", "strong") for line in told]
        amounts = self._amounts(plan)
        by = max(cells(by_when(plan, one)) for one in self.reports)
        room = width - 3 - sum(wide + 2 for wide in amounts if wide) - (by + 1 if by else 0)
        found_groups = groups(self.reports, plan.now.date())
        longest = max(cells(self._told(plan, one)) for one in self.reports)
        # beside the first title stand the titles of the columns, where there is room
        wanted = max(longest, cells(found_groups[0].title) - 1)
        name = max(LEAST_NAME, min(room, wanted))
        heads = "".join(
            f"  {head:>{wide}}" for head, wide in zip(HEADS, amounts, strict=True) if wide
        )
        for number, group in enumerate(found_groups):
            title = Run(text=f" {group.title}", style="accent" if group.short else "")
            runs: tuple[Run, ...] = (title,)
            if number == 0 and cells(group.title) <= name + 1:
                gap = Run(text=" " * (name + 1 - cells(group.title)))
                runs = (title, gap, Run(text=heads, style="faint"))
            elif number == 0:
                found.append(plain(f" {'':{name + 1}}{heads}", "faint"))
            found.append(Line(runs=runs))
            for one in group.reports:
                found += self._row(plan, one, name, amounts)
        return found

    def _amounts(self, plan: Plan) -> list[int]:
        """Columns of each amount."""
        texts = [_texts(plan, one) for one in self.reports]
        found = []
        for place, head in enumerate(HEADS):
            widest = max(cells(row[place]) for row in texts)
            found.append(min(MOST_AMOUNT, max(widest, len(head))) if widest else 0)
        return found

    def _told(self, plan: Plan, report: StockReport) -> str:
        """Its name, with its ensemble's where several have stock."""
        ensembles = {one.id.split("/")[0] for one in self.reports}
        name = name_of(plan, report.id)
        same = [one for one in self.reports if name_of(plan, one.id) == name]
        if len(ensembles) > 1 and len(same) > 1:
            return f"{name}, {name_of(plan, report.id.split('/')[0])}"
        return name

    def _row(
        self, plan: Plan, report: StockReport, name: int, amounts: Sequence[int]
    ) -> list[Line]:
        """One stock; a longer name goes on beneath."""
        here = CURSOR if report.id == self.cursor and not self.asking else " "
        wanted, there, coming, short = (
            f"  {text:>{wide}}" if wide else ""
            for text, wide in zip(_texts(plan, report), amounts, strict=True)
        )
        by = by_when(plan, report)
        faint = "" if report.uses else "faint"
        first, *rest = wrapped([self._told(plan, report)], name) or [""]
        line = Line(
            runs=(
                Run(text=here, style="accent"),
                Run(text=f" {padded(first, name)}", style=faint),
                Run(text=f"{wanted}{there}{coming}", style=faint),
                Run(text=short, style="accent"),
            ),
            right=Run(text=by, style="accent" if report.short else "faint") if by else None,
            key=report.id,
        )
        beneath = [
            Line(runs=(Run(text=f"  {text}", style=faint),), click=report.id) for text in rest
        ]
        return [line, *beneath]


def _texts(plan: Plan, report: StockReport) -> tuple[str, str, str, str]:
    """Wanted, there, coming, short; empty where there is none of it."""
    return (
        amount_of(plan, report, report.wanted) if report.uses else "",
        amount_of(plan, report, report.there),
        coming_told(plan, report),
        amount_of(plan, report, report.short) if report.short else "",
    )


def _nothing(plan: Plan, width: int) -> list[str]:
    """What to do where nothing is written down yet."""
    told = (
        "No cloth, trim or notions are written down yet. a adds the first: what it is, how much"
        " there is, and how long more of it takes to come. A step says in its form what it uses;"
        " then it is told here where it runs out."
    )
    if not plan.names:
        told = "There is no ensemble here yet; the garments (g) begin one, and its stock."
    return wrapped([told], max(20, min(width, 72)))
