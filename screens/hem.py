"""The hem: the hours in hand drawn as the depth of a hem that narrows towards the occasion.

The folded edge lies straight beneath; above it runs the stitching, and between both is the cloth,
as deep as there are hours in hand. The stitching comes down to the fold as they go. What lies
behind is woven close, what is planned open; of what the pace so far would leave of it the rest is
chalk only. Where the stitching lies on the fold there is nothing in hand, and that is said.
Pure: cells with the names of styles, for any width and number of rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from planner.going import Going
from planner.in_hand import InHand
from planner.plan import Plan, PlannedOccasion
from screens.going_told import about, at_this_pace, in_hand
from screens.wording import cells, occasion_name, short_date, spoken

FOLD, HUNG = "═", "╤"
"""The folded edge, and the same where a name hangs from it."""
WOVEN, OPEN, CHALK = "▒", "░", "·"
"""Cloth behind today, cloth ahead, and what of that the pace so far would not leave."""
CLOTH = f"{WOVEN}{OPEN}"
STITCHES = "▁━"
"""A stitching low and midway in its row: higher it would lie loose above the cloth."""
GRAIN = len(STITCHES)
"""Depths to a row."""
STEEP = "│"
"""Where it comes down, or goes up, by more than a row at once."""
THREAD = "╎"
"""Through the cloth, above a name."""
LEAST_BEHIND = 8
"""Columns behind today that hold a figure."""
LEAST_PIECE = 3
"""Columns of a piece of cloth behind a place where it has closed."""
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
    """The hem in ``rows`` + 2 lines of a width: cloth, fold, names; three where it has closed
    altogether, none without a goal."""
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
        self.shut = self._shut()
        ahead = [] if self.shut >= width else [*going.ahead, *going.at_pace]
        self.deepest = max(1, *(one.minutes for one in (*going.behind, *ahead)))
        self.cloth: list[list[Cell]] = [[(" ", "")] * width for _ in range(rows)]
        self.levels = _without_shreds([self._planned(column) for column in range(width)])
        if not any(self.levels):
            # without cloth there are only words above the fold
            self.rows, self.cloth = 1, self.cloth[:1]

    def _shut(self) -> int:
        """The column up to which nothing is in hand, since hours are short by what is there."""
        at = {one.id: one.at for one in self.plan.occasions}
        short = [one.occasion for one in self.going.by if one.in_hand < 0]
        if self.going.occasion in short:
            return self.width
        return max((self._column(at[one]) for one in short), default=-1)

    def _column(self, moment: datetime) -> int:
        """The column of a moment; what is later than the end stands at the end."""
        share = (moment - self.start).total_seconds() / self.span
        return min(self.width - 1, max(0, round(share * (self.width - 1))))

    def _level(self, moments: Sequence[InHand], column: int) -> int:
        """How deep the hem is at a column, in half rows; 0 where it has closed."""
        at = column / (self.width - 1) * self.span
        deep = _between(moments, self.start, at)
        return 0 if deep <= 0 else max(1, round(deep / self.deepest * GRAIN * self.rows))

    def _planned(self, column: int) -> int:
        """The depth as it was, and from today on by the plan."""
        if column < self.today:
            return self._level(self.going.behind, column)
        return 0 if column <= self.shut else self._level(self.going.ahead, column)

    def lines(self) -> Iterator[list[Cell]]:
        """Cloth, fold and names."""
        for column, level in enumerate(self.levels):
            woven = column < self.today
            for row in range((level - 1) // GRAIN):
                self._put(row, column, (WOVEN if woven else OPEN, "line"))
        self._stitch(self.levels, 0, self.today, "faint")
        if self.going.at_pace and self.shut < 0:
            self._chalk()
        self._stitch(self.levels, self.today, self.width, "")
        labels, names = self._names()
        for label in labels:
            self._thread(label)
        self._say()
        yield from self.cloth
        yield self._fold(labels)
        yield names

    def _put(self, row: int, column: int, cell: Cell) -> None:
        """A cell, in rows counted from the fold."""
        self.cloth[self.rows - 1 - row][column] = cell

    def _stitch(self, levels: Sequence[int], begin: int, end: int, style: str) -> None:
        """A stitching along the depths, without a gap."""
        for column in range(begin, end):
            level, before = levels[column], levels[max(begin, column - 1)]
            if level:
                row, height = divmod(level - 1, GRAIN)
                self._put(row, column, (STITCHES[height], style))
            low, high = sorted((level, before))
            if high - low > GRAIN:
                beside = column if level < before else column - 1
                for row in range((low - 1) // GRAIN + 1, (high - 1) // GRAIN + 1):
                    self._put(row, beside, (STEEP, style))

    def _chalk(self) -> None:
        """Only chalk where the pace so far would leave no cloth."""
        for column in range(self.today, self.width):
            left = self._level(self.going.at_pace, column)
            for row in range(round(left / GRAIN), (self.levels[column] - 1) // GRAIN):
                self._put(row, column, (CHALK if (column + row) % 2 else " ", "faint"))

    def _thread(self, label: Label) -> None:
        """A thread above a name: of today all the way, of others through the cloth."""
        if not label.hangs:
            return
        today = label.column == self.today
        for row in self.cloth:
            if row[label.column][0] in CLOTH or (today and row[label.column][0] in f" {CHALK}"):
                row[label.column] = (THREAD, "accent" if today else "line")

    def _fold(self, labels: Sequence[Label]) -> list[Cell]:
        """The folded edge, with a mark at each name."""
        line = [(FOLD, "faint")] * self.width
        for label in labels:
            if label.hangs:
                line[label.column] = (HUNG, label.style)
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
        """How much is in hand: at first, today and at last; and where nothing is, that."""
        first, now = self.going.behind[0], self.going.ahead[0]
        if self.today > LEAST_BEHIND and first.minutes > 0:
            self._figure(about(first.minutes), 1, self.today)
        if self.shut >= self.width:
            # by how much it is short the sentence above says
            self._beside("nothing in hand")
            return
        if self.shut >= 0:
            self._beside(*dict.fromkeys((in_hand(self.plan, self.going), self._short())))
            return
        if now.minutes > 0:
            told = about(now.minutes)
            # beside what is said of the pace the figure alone has room more often
            self._beside(*([] if self.going.at_pace else [f"{told} in hand"]), told)
        else:
            self._beside("nothing in hand")
        self._at_pace()
        closes = self.going.closes
        if closes is not None:
            self._close(closes, "nothing in hand")
            return
        last = [one for one in self.going.ahead if one.minutes > 0]
        if len(last) > 2:
            self._figure(about(last[-1].minutes), self._column(last[-1].at) - 4, self.width - 1)

    def _short(self) -> str:
        """By how much the first is short."""
        return f"{spoken(next(one.in_hand for one in self.going.by if one.in_hand < 0))} short"

    def _at_pace(self) -> None:
        """What comes of the pace so far, where it isn't the plan's."""
        if not self.going.at_pace:
            return
        told = at_this_pace(self.plan, self.going)
        brief = told.partition(" by ")[0].replace(" still ", " ")
        for text in dict.fromkeys((told, brief)):
            ends = self.width - cells(text)
            for begin in (ends - 1, ends, self.today + 2):
                # two cells off what is said beside it
                if begin > self.today and self._write(f" {text}", begin - 1, " "):
                    return

    def _close(self, day: date, told: str) -> None:
        """Say beside the place where it closes that it does."""
        column = next(self._column(one.at) for one in self.going.ahead if one.at.date() == day)
        for begin in (column + 1, self.width - cells(told)):
            if begin > self.today and self._write(told, begin, " "):
                return

    def _beside(self, *texts: str) -> None:
        """The first of the texts that finds room at today: behind its thread, else before it."""
        for text in texts:
            for begin in (self.today + 2, self.today - cells(text) - 1):
                for free in (CLOTH, " ", f" {CHALK}"):
                    if self._write(text, begin, free):
                        return

    def _figure(self, text: str, begin: int, end: int) -> bool:
        """A figure on the cloth, else above it, between two columns."""
        for free in (CLOTH, " "):
            for at in range(max(1, begin), end - cells(text)):
                if self._write(text, at, free):
                    return True
        return False

    def _write(self, text: str, begin: int, free: str) -> bool:
        """A text in the lowest row that has nothing but what is ``free`` where it would stand."""
        wide = cells(text)
        if begin < 0 or begin + wide > self.width:
            return False
        left, right = max(0, begin - 1), min(self.width, begin + wide + 1)
        for row in reversed(self.cloth):
            around = [row[begin - 1][0]] if begin else []
            around += [row[begin + wide][0]] if begin + wide < self.width else []
            if all(char in free for char, _ in row[begin : begin + wide]) and all(
                char in f"{free} {THREAD}" for char in around
            ):
                for column in {left, right - 1}:
                    if row[column][0] in CLOTH:
                        row[column] = (" ", "")
                _put(row, begin, text, "")
                return True
        return False


def _without_shreds(levels: Sequence[int]) -> list[int]:
    """The depths without what would lie about alone: pieces hardly wider than a letter."""
    found: list[int] = []
    for deep, group in groupby(levels, key=bool):
        run = list(group)
        whole = not deep or not found or len(run) >= LEAST_PIECE
        found += run if whole else [0] * len(run)
    return found


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


