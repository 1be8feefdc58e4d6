"""What happened as a numbered list; what would move as lines to look through."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from screens.delays_told import Effect, Move, moves, told
from screens.forms.fields import Option
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines
from screens.wording import abbreviated, cells, clean, padded, wrapped

LABEL = 14
"""Columns of a label with the space before and after it."""
BESIDE = 100
"""Columns from which on why a step moves stands beside it."""
NAME = 44
"""Columns a step's name and garment take at most, beside why."""
ALWAYS = "Then"
"""The label whose text is read first."""


class Numbered(MarkedLines, can_focus=False):
    """Options with their digits; a click chooses at once."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self.options: tuple[Option, ...] = ()

    def show(self, options: Sequence[Option], there: str) -> None:
        """Other options, the mark at one of them."""
        self.options, self.cursor = tuple(options), there
        self.scroll_to(y=0, animate=False)
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def choose(self, index: int) -> None:
        """Choose by place, where there is such."""
        if index < len(self.options):
            self.go(self.options[index].key)
            self.action_choose()

    def clicked(self, key: str) -> None:
        """A click chooses at once."""
        self.go(key)
        self.action_choose()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line an option: mark, digit, name, what is told of it."""
        names = max((cells(clean(one.name)) for one in self.options), default=0)
        column = min(names, max(10, width - 40))
        return [self._line(k, one, column) for k, one in enumerate(self.options)]

    def _line(self, index: int, one: Option, column: int) -> Line:
        digit = f"{index + 1} " if index < 9 else "  "
        return Line(
            runs=(
                Run(text=CURSOR if one.key == self.cursor else " ", style="accent"),
                Run(text=" "),
                Run(text=f"{digit} ", style="accent"),
                Run(text=padded(clean(one.name), column)),
                Run(text=f"   {clean(one.told)}", style="faint"),
            ),
            key=one.key,
        )


class WouldMove(Lines, can_focus=False):
    """What would move, once it is known."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self.effect: Effect | None = None
        self.meanwhile = ""

    def show(self, effect: Effect) -> None:
        """This would come of it."""
        self.effect, self.meanwhile = effect, ""
        self.renew()
        self.scroll_to(y=0, animate=False)

    def waiting(self, told: str) -> None:
        """It isn't known yet, or nothing comes of it."""
        self.effect, self.meanwhile = None, told
        self.renew()

    @property
    def goes_on(self) -> bool:
        """Whether there is more than can be seen at once."""
        return len(self.lines) > self.scrollable_content_region.height

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Labels with what is told, then the steps that change day."""
        if self.effect is None:
            return [plain(f" {line}", "faint") for line in wrapped([self.meanwhile], width - 2)]
        found: list[Line] = []
        for one in told(self.effect, width - LABEL - 1):
            found += _labelled(one.label, one.text, width)
        rows = moves(self.effect)
        found += [plain("")] if rows else []
        for move in rows:
            found += _beside(move, width) if width >= BESIDE else _row(move, width)
        return found


def _labelled(label: str, text: str, width: int) -> list[Line]:
    """A label, and its text in as many lines as it needs."""
    first, *rest = wrapped([text], max(20, width - LABEL - 1)) or [""]
    style = "strong" if label == ALWAYS else ""
    head = Run(text=padded(f" {label}", LABEL), style="faint")
    lines = [Line(runs=(head, Run(text=first, style=style)))]
    return [*lines, *(plain(f"{' ' * LABEL}{line}", style) for line in rest)]


def _row(move: Move, width: int) -> list[Line]:
    """A step and from which day to which; beneath it why."""
    first, *others = move.days
    beside = cells(first) + 2
    name, *rest = wrapped([move.name], width - 4 - beside)
    room = max(20, width - 6 - (beside if len(others) > len(rest) else 1))
    beneath = [Run(text=f"    {line}") for line in rest]
    beneath += [Run(text=f"      {line}", style="faint") for line in wrapped([_why(move)], room)]
    letter = Run(text=f" {move.letter}  ", style=move.letter)
    found = [Line(runs=(letter, Run(text=name)), right=Run(text=first))]
    for line, days in zip_longest(beneath, others):
        right = Run(text=days) if days else None
        found.append(Line(runs=(line or Run(text=""),), right=right))
    return found


def _why(move: Move) -> str:
    """Why, in few letters."""
    return abbreviated(move.why)


def _beside(move: Move, width: int) -> list[Line]:
    """The same with why in a column of its own."""
    days = max(map(cells, move.days))
    column = width - 4 - NAME - 2 - days - 3
    why = wrapped([_why(move)], max(20, column - 1))
    names = wrapped([move.name], NAME)
    found: list[Line] = []
    for name, day, line in zip_longest(names, move.days, why, fillvalue=""):
        letter = " " if found else move.letter
        found.append(
            Line(
                runs=(
                    Run(text=f" {letter}  ", style=letter.strip()),
                    Run(text=padded(name, NAME)),
                    Run(text=f"  {padded(day, days)}   "),
                    Run(text=line, style="faint"),
                )
            )
        )
    return found
