"""The hem: the hours in hand drawn as the depth of a hem that narrows towards the occasion.

On top runs its stitching, sewn up to today and chalked beyond. Beneath hangs the cloth, as deep
as there are hours in hand; its edge comes up to the stitching as they go. What lies behind is
woven, what is planned only chalked, and the pace so far has a dashed edge of its own.
Where an edge has come up to the stitching there is nothing in hand any more, and that is said in
words. Pure: cells with the names of styles, for any width and number of rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from planner.going import Going
from planner.in_hand import InHand
from planner.plan import Plan, PlannedOccasion
from screens.going_told import about
from screens.wording import cells, occasion_name, short_date, spoken

SEWN, CHALKED = "╌", "·"
WEAVE = "░"
EDGES = "▔━▁"
"""An edge high, midway and low in its row."""
HANGS = "╎"
"""From an occasion down to its name."""
BARE = f" {CHALKED}"
"""Where words may stand at once."""
THREADED = f"{BARE}{HANGS}"
"""Where they may where else is no room."""
WOVEN = f"{BARE}{WEAVE}"
"""Where the first may stand: on the cloth."""
LONG_NAME = 22
"""A longer name gives way to the kind of occasion."""

Cell = tuple[str, str]
"""A character, and the name of its style: "" plain, "faint", "line", "strong", "accent"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of a line in one style."""

    text: str
    style: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What is written beneath at a column, at several lengths."""

    column: int
    texts: tuple[str, ...]
    """The longest first."""
    style: str = "faint"
    hangs: bool = True
    """Whether a thread leads down to it."""


def drawn(plan: Plan, going: Going, width: int, rows: int) -> list[list[Piece]]:
    """The hem in ``rows`` + 2 lines of a width: stitching, cloth, names. None without a goal."""
    if going.occasion is None or rows < 1 or width < 20:
        return []
    hem = _Hem(plan, going, width, rows)
    return [_pieces(line) for line in hem.lines()]


class _Hem:
    """A drawing under way."""

    def __init__(self, plan: Plan, going: Going, width: int, rows: int) -> None:
        self.plan, self.going, self.width, self.rows = plan, going, width, rows
        self.start = going.behind[0].at
        end = going.ahead[-1].at
        self.span = max((end - self.start).total_seconds(), 1.0)
        self.today = self._column(going.ahead[0].at)
        every = (*going.behind, *going.ahead, *going.at_pace)
        self.deepest = max(1, *(one.minutes for one in every))
        self.cloth: list[list[Cell]] = [[(" ", "")] * width for _ in range(rows)]

    def _column(self, moment: datetime) -> int:
        """The column of a moment; what is later than the end stands at the end."""
        share = (moment - self.start).total_seconds() / self.span
        return min(self.width - 1, max(0, round(share * (self.width - 1))))

    def _level(self, moments: Sequence[InHand], column: int) -> int:
        """How deep the hem is at a column, in thirds of a row; 0 where it has closed."""
        at = column / (self.width - 1) * self.span
        deep = _between(moments, self.start, at)
        return 0 if deep <= 0 else max(1, round(deep / self.deepest * 3 * self.rows))

    def lines(self) -> Iterator[list[Cell]]:
        """Stitching, cloth and names."""
        for column in range(self.today):
            self._hang(column, self._level(self.going.behind, column), "faint", woven=True)
        for column in range(self.today, self.width):
            planned = self._level(self.going.ahead, column)
            if self.going.at_pace and (column - self.today) % 2 == 0:
                paced = self._level(self.going.at_pace, column)
                if paced != planned:
                    self._hang(column, paced, "accent", woven=False)
            self._hang(column, planned, "", woven=False)
        labels, names = self._names()
        for label in labels:
            if label.hangs:
                self._thread(label)
        self._say()
        yield self._stitching(labels)
        yield from self.cloth
        yield names

    def _hang(self, column: int, level: int, style: str, *, woven: bool) -> None:
        """Cloth of a depth with its edge, at a column."""
        if level == 0:
            return
        row, height = divmod(level - 1, 3)
        for above in range(row):
            if woven:
                self.cloth[above][column] = (WEAVE, "line")
            elif (column + 2 * above) % 4 == 0 and self.cloth[above][column][0] == " ":
                self.cloth[above][column] = (CHALKED, "faint")
        self.cloth[row][column] = (EDGES[height], style)

    def _thread(self, label: Label) -> None:
        """A thread down to a name, through what is empty."""
        style = "accent" if label.style == "accent" else "line"
        for row in self.cloth:
            if row[label.column][0] in (" ", WEAVE, CHALKED):
                row[label.column] = (HANGS, style)

    def _stitching(self, labels: Sequence[Label]) -> list[Cell]:
        """Sewn up to today, chalked beyond it, with a mark at each name."""
        line = [(SEWN, "faint")] * self.today + [
            (CHALKED if (column - self.today) % 2 == 0 else " ", "faint")
            for column in range(self.today, self.width)
        ]
        for label in labels:
            if label.hangs:
                line[label.column] = ("┬", label.style)
        return line

    # words

    def _names(self) -> tuple[list[Label], list[Cell]]:
        """The names that find room, and the line they stand in.

        All are placed at their shortest first; then each is told longer where there is room.
        """
        line: list[Cell] = [(" ", "")] * self.width
        placed: list[tuple[Label, int, str]] = []
        for label in self._wished():
            if any(other.column == label.column for other, _, _ in placed):
                continue
            text = label.texts[-1]
            begin = self._room(line, label.column, cells(text))
            if begin is not None:
                placed.append((label, begin, text))
                _put(line, begin, text, label.style)
        for label, begin, short in placed:
            _put(line, begin, " " * cells(short), "")
            for text in label.texts:
                longer = self._room(line, label.column, cells(text))
                if longer is not None:
                    _put(line, longer, text, label.style)
                    break
        return [label for label, _, _ in placed], line

    def _room(self, line: Sequence[Cell], column: int, wide: int) -> int | None:
        """Where a text of so many cells can begin: under its column, else so that it ends there."""
        for begin in (column, min(column, self.width - wide), column - wide + 1):
            if begin < 0 or begin + wide > self.width or not begin <= column < begin + wide:
                continue
            around = line[max(0, begin - 2) : begin + wide + 2]
            if all(char == " " for char, _ in around):
                return begin
        return None

    def _wished(self) -> Iterator[Label]:
        """The names, the most needed first."""
        yield Label(column=self.today, texts=("today",), style="accent")
        ahead = [one for one in self.plan.occasions if not one.past]
        goal = next(one for one in ahead if one.id == self.going.occasion)
        # its ready-by may lie before it: the hem ends there
        yield self._occasion(goal, self.width - 1, "strong")
        if self.going.first is not None:
            begun = short_date(self.going.first)[4:].strip()
            yield Label(column=0, texts=(f"begun {begun}", begun), hangs=False)
        wanted = {one.occasion for one in self.going.by}
        for one in ahead:
            if one.id in wanted and one.id != goal.id:
                yield self._occasion(one, self._column(one.at), "")
        for one in self.plan.occasions:
            if one.past and one.at >= self.start and one.id.split("/")[0] == goal.id.split("/")[0]:
                yield self._occasion(one, self._column(one.at), "faint")

    def _occasion(self, one: PlannedOccasion, column: int, style: str) -> Label:
        """An occasion by its name and date, else by less."""
        name, day = occasion_name(one), " ".join(short_date(one.at.date()).split())
        kind = one.kind.value
        texts = [f"{name} {day}", f"{kind} {day}", name, kind]
        if cells(name) > LONG_NAME:
            texts = [f"{kind} {day}", kind]
        return Label(column=column, texts=tuple(dict.fromkeys(texts)), style=style)

    def _say(self) -> None:
        """How much is in hand: at first, today, and where nothing is any more."""
        first, now = self.going.behind[0], self.going.ahead[0]
        goal = next((one for one in self.going.by if one.occasion == self.going.occasion), None)
        if self.today > LONG_NAME and first.minutes > 0:
            self._write(f" {about(first.minutes)} in hand ", 2, WOVEN)
        short = goal is not None and goal.in_hand < 0
        hand = goal.in_hand if goal is not None and short else now.minutes
        told = f"{about(hand)} in hand" if hand else "nothing in hand"
        if hand < 0:
            told = f"{spoken(hand)} short"
        for begin, free in ((self.today + 2, BARE), (self.today - cells(told) - 1, BARE)):
            if self._write(told, begin, free):
                break
        else:
            self._write(told, self.today + 2, THREADED)
        if short:
            return
        if self.going.closes is not None:
            self._close(self.going.ahead, self.going.closes, "nothing in hand")
        elif self.going.closes_at_pace is not None and goal is not None:
            told = "nothing in hand at this pace"
            if goal.at_pace is not None and goal.at_pace < 0:
                told = f"at this pace {about(goal.at_pace)} short"
            self._close(self.going.at_pace, self.going.closes_at_pace, told)

    def _close(self, moments: Sequence[InHand], day: date, told: str) -> None:
        """Say beside the place where it closes that it does."""
        column = next(self._column(one.at) for one in moments if one.at.date() == day)
        ends = self.width - cells(told)
        for free in (BARE, THREADED):
            for begin in (column + 1, ends, ends - 2):
                if begin > self.today and self._write(told, begin, free):
                    return

    def _write(self, text: str, begin: int, free: str) -> bool:
        """A text in the first row that has nothing but what is ``free`` where it would stand."""
        wide = cells(text)
        if begin < 0 or begin + wide > self.width:
            return False
        for row in self.cloth:
            if all(char in free for char, _ in row[begin : begin + wide]):
                _put(row, begin, text, "")
                return True
        return False


def _put(line: list[Cell], begin: int, text: str, style: str) -> None:
    """A text in a line, over what stands there. A wide character takes two cells."""
    at = begin
    for char in text:
        wide = cells(char)
        if wide == 0:
            line[at - 1] = (line[at - 1][0] + char, style)
            continue
        line[at : at + wide] = [(char, style), *[("", style)] * (wide - 1)]
        at += wide


def _between(moments: Sequence[InHand], start: datetime, at: float) -> float:
    """Minutes in hand at so many seconds from the start, on a line from one moment to the next."""
    before = moments[0]
    for one in moments:
        seconds = (one.at - start).total_seconds()
        if seconds >= at:
            earlier = (before.at - start).total_seconds()
            if seconds <= earlier:
                return one.minutes
            share = (at - earlier) / (seconds - earlier)
            return before.minutes + share * (one.minutes - before.minutes)
        before = one
    return before.minutes


def _pieces(line: Sequence[Cell]) -> list[Piece]:
    """Cells of one style together."""
    return [
        Piece(text="".join(char for char, _ in group), style=style)
        for style, group in groupby(line, key=lambda cell: cell[1])
    ]


def as_text(lines: Sequence[Sequence[Piece]]) -> list[str]:
    """Without styles."""
    return ["".join(piece.text for piece in line).rstrip() for line in lines]


