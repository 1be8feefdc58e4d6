"""What the diary has taught of the maker's pace, as lines: each opens to what it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.model import Project, Technique
from planner.plan import Plan
from screens.pace_told import (
    PaceLine,
    nothing_learnt,
    pace_rows,
    rests_told,
    sentences,
    techniques_of,
)
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.widgets.marked import MarkedLines
from screens.wording import cells, padded, wrapped

LEAST_NAME = 20
"""Columns a name gets at the least."""
BEGIN = (
    "A step logged as done with its minutes teaches it. Or set one by hand: e on a line, 1.2 for"
    " a fifth slower than the catalogue."
)


class PaceList(MarkedLines, can_focus=True):
    """All work, each kind of work, and its techniques beneath."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "rests on",
            key_display="enter",
            id="pace.enter",
            tooltip="Open or close the steps this pace rests on",
        ),
        Binding(
            "escape",
            "screen.diary",
            "diary",
            show=False,
            key_display="esc",
            id="pace.back",
            tooltip="Back to the diary",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.rows: tuple[PaceLine, ...] = ()
        self.open: str | None = None
        """The key of the line that is open."""
        self.all_techniques = False
        """Whether the workroom's techniques of which nothing is learnt are told, too."""
        self.own: Sequence[Technique] = ()
        self.asking = False
        """Whether something is typed beneath: the mark is there then."""

    def show(self, plan: Plan, project: Project) -> None:
        """Show the pace of a plan; the cursor stays on its line."""
        self.plan, self.own = plan, project.techniques
        self._find_rows()

    def tell_all(self, all_techniques: bool) -> None:
        """With the techniques of which nothing is learnt, or without them again."""
        self.all_techniques = all_techniques
        self._find_rows()
        if self.row is None and self.rows:
            self.go(self.rows[0].key)
        self.call_after_refresh(self.keep_in_view)

    def _find_rows(self) -> None:
        if self.plan is not None:
            also = techniques_of(self.plan) if self.all_techniques else ()
            self.rows = pace_rows(self.plan.pace, self.own, also)
            self.renew()

    def ask(self, asking: bool) -> None:
        """The cursor's mark goes to what is typed beneath, or comes back."""
        self.asking = asking
        self.renew()

    @property
    def row(self) -> PaceLine | None:
        """The line under the cursor."""
        return next((one for one in self.rows if one.key == self.cursor), None)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Sentences, then the table."""
        plan = self.plan
        if plan is None:
            return ()
        told = [*sentences(plan.pace), *([BEGIN] if nothing_learnt(plan.pace) else [])]
        found = [plain(f" {line}", "strong") for line in wrapped(told[:1], max(20, width - 2))]
        found += [plain(f" {line}") for line in wrapped(told[1:], max(20, width - 2))]
        between = max((cells(one.between) for one in self.rows), default=0)
        words = max((cells(one.words) for one in self.rows), default=0)
        steps = max((cells(one.steps) for one in self.rows), default=0)
        fixed = 3 + 6 + 2 + words + 2 + between + 2 + steps
        name = max(LEAST_NAME, min(width - fixed, max(cells(_named(one)) for one in self.rows)))
        for one in self.rows:
            found += self._row(plan, one, name, words, between, width)
        return found

    def _row(
        self, plan: Plan, one: PaceLine, name: int, words: int, between: int, width: int
    ) -> list[Line]:
        """A pace; open, with what it rests on."""
        mark = CURSOR if one.key == self.cursor and not self.asking else " "
        letter = one.row.work.letter if one.row.work is not None and one.depth == 1 else " "
        style = letter if letter != " " else ""
        line = Line(
            runs=(
                Run(text=mark, style="accent"),
                Run(text=letter, style=style),
                Run(text=f" {padded(_named(one), name)}", style="strong" if not one.depth else ""),
                Run(text=f"  {one.ratio:>4}", style="accent" if one.by_hand else ""),
                Run(text=f"  {padded(one.words, words)}"),
                Run(text=f"  {padded(one.between, between)}", style="faint"),
            ),
            right=Run(text=one.steps, style="faint"),
            key=one.key,
        )
        if one.key != self.open:
            return [line]
        beneath = [f"    {text}" for text in wrapped([one.sentence], max(20, width - 6))]
        beneath += [f"    {text}" for text in rests_told(plan, one.row.rests)]
        return [line, *(Line(runs=(Run(text=text, style="faint"),), click=one.key)
                        for text in beneath)]  # fmt: skip

    def toggle(self, key: str) -> None:
        """Open a line, or close it."""
        self.open = None if self.open == key else key
        self.renew()
        self.call_after_refresh(self.keep_in_view)


def _named(one: PaceLine) -> str:
    """The name, indented by what it stands beneath."""
    return f"{'  ' * max(0, one.depth - 1)}{one.name}"
