"""What can be opened, as lines and in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from screens.paths import cut_within, path_told_apart, shown_path
from screens.recent import Recent
from screens.samples import Sample
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import (
    cells,
    clean,
    count,
    days_off,
    fitted,
    listed,
    long_date,
    padded,
    short_date,
    wrapped,
)

NEW, OPEN = "new", "open"
"""Keys of the lines that begin, and that look for a folder."""
WIDE_FROM = 109
"""Columns from which on there is more room."""
NARROW, WIDE = (24, 18), (38, 34)
"""Columns of a name and of an occasion that are listed, as the terminal is."""
HEAD, DATE, LEAST_OCCASION = 5, 10, 12
"""Columns before a name, of a day, and of an occasion at least."""
LONGEST_GONE = 40
"""Columns of the name of what has vanished."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """All that can be opened."""

    recent: tuple[Recent, ...] = ()
    gone: tuple[Recent, ...] = ()
    """What was listed and is no longer there."""
    samples: tuple[Sample, ...] = ()
    today: date = date.min

    def recent_of(self, key: str) -> Recent | None:
        """The workroom of a line."""
        return next((one for one in self.recent if str(one.path) == key), None)

    def sample_of(self, key: str) -> Sample | None:
        """The sample of a line."""
        return next((one for one in self.samples if one.id == key), None)


def lines_of(
    choices: Choices, width: int, cursor: str | None, height: int = 1000
) -> Sequence[Line]:
    """The page, line by line; the first that can be chosen has the cursor at first.

    Of what was opened lately so much comes first as leaves the samples in sight, the rest last.
    """
    keys = [
        *(str(one.path) for one in choices.recent),
        NEW,
        OPEN,
        *(one.id for one in choices.samples),
    ]
    here = cursor if cursor in keys else keys[0]
    name = (NARROW if width < WIDE_FROM else WIDE)[0]

    def choice(key: str, sign: str, title: str, told: str) -> Line:
        """A line of what isn't a recent workroom."""
        runs = (Run(text=padded(title, name)), Run(text=told, style="faint"))
        return Line(runs=(*_head(key, sign, here), *runs), key=key)

    first: list[Line] = []
    if choices.gone:
        told = wrapped([gone_told(choices.gone)], width - 2)
        first += [*(plain(f" {line}", "accent") for line in told), plain("")]
    own = [
        plain(" Your own", "faint"),
        choice(NEW, "n", "Begin a new one", "its hours, and what is made first"),
        choice(OPEN, "o", "Open a folder", "that holds a workroom.toml"),
    ]
    if choices.samples:
        own += [plain(""), plain(" Samples to look round in", "faint")]
        own += [choice(one.id, " ", one.name, one.told) for one in choices.samples]
    if not choices.recent:
        return [*first, *own]
    columns = _columns(choices, width)
    recent = [
        _recent(one, number, columns, choices, width, here)
        for number, one in enumerate(choices.recent, 1)
    ]
    # a heading before them and a blank behind
    room = max(1, height - len(first) - 2 - len(own))
    older = [plain(""), plain(" Opened before that", "faint"), *recent[room:]]
    lately = Line(
        runs=(Run(text=" Opened lately", style="faint"),),
        right=_how_many_older(len(recent) - room),
    )
    return [
        *first,
        lately,
        *recent[:room],
        plain(""),
        *own,
        *(older if len(recent) > room else ()),
    ]


def _how_many_older(number: int) -> Run | None:
    """That there are more at the end of the page."""
    told = f"{count(number, 'older one')} at the end"
    return Run(text=told, style="faint") if number > 0 else None


def _head(key: str, sign: str, cursor: str | None) -> tuple[Run, ...]:
    """The cursor's mark, and the key that chooses."""
    mark = CURSOR if key == cursor else " "
    return Run(text=f"{mark} ", style="accent"), Run(text=f"{sign}  ", style="accent")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """How wide what is told of a workroom is, in a list of them."""

    name: int
    occasion: int
    dates: bool
    """Whether there is room for the day."""


def _columns(choices: Choices, width: int) -> _Columns:
    """Columns that leave room for folders that tell the workrooms apart.

    The ends of occasions give way first, then days: all is told of what is under the cursor.
    """
    name, occasion = NARROW if width < WIDE_FROM else WIDE
    name = min(name, max(cells(_name(one)) for one in choices.recent))
    room = width - HEAD - name - 2
    wanted = max(cells(_least_path(one, choices)) for one in choices.recent) + 2
    wanted = min(wanted, room - LEAST_OCCASION - 2)
    dates = room - LEAST_OCCASION - 2 - DATE - 2 >= wanted
    left = room - 2 - wanted - (DATE + 2 if dates else 0)
    return _Columns(name=name, occasion=max(LEAST_OCCASION, min(occasion, left)), dates=dates)


def _name(one: Recent) -> str:
    return clean(one.name) or clean(one.path.name)


def _least_path(one: Recent, choices: Choices) -> str:
    """As much of a folder as tells it from the others."""
    return path_told_apart(one.path, [other.path for other in choices.recent], 0)


def _recent(
    one: Recent, number: int, columns: _Columns, choices: Choices, width: int, cursor: str | None
) -> Line:
    """Number, name, occasion, folder."""
    key = str(one.path)
    name = padded(_name(one), columns.name)
    when = f"  {short_date(one.on)}" if one.on is not None and columns.dates else ""
    told = f"{padded(clean(one.occasion), columns.occasion)}{when}" if one.occasion else ""
    runs = (Run(text=f"{name}  "), Run(text=f"{told}  ", style="faint"))
    # where one has no occasion its folder still ends with the others
    room = width - HEAD - columns.name - 2 - max(cells(told), columns.occasion) - 3
    folder = path_told_apart(one.path, [other.path for other in choices.recent], max(8, room))
    # a single name may be longer than that
    folder = cut_within(folder, width // 2)
    return Line(
        runs=(*_head(key, str(number), cursor), *runs),
        right=Run(text=folder, style="faint"),
        key=key,
    )


def gone_told(gone: Sequence[Recent]) -> str:
    """What was listed and has vanished, in a sentence."""
    names = [_gone(one) for one in gone]
    one = "is" if len(names) == 1 else "are"
    return f"{listed(names)} {one} no longer there, and no longer listed."


def _gone(one: Recent) -> str:
    """Its name, and that of its folder where it is another."""
    folder = cut_within(clean(one.path.name), LONGEST_GONE)
    return f"“{fitted(clean(one.name), LONGEST_GONE)}” ({folder})" if clean(one.name) else folder


def told_of(choices: Choices, key: str | None) -> str:
    """What is under the cursor, in a sentence or two; nothing is cut."""
    if key is None:
        return ""
    if (recent := choices.recent_of(key)) is not None:
        return _told_of_recent(recent, choices.today)
    if (sample := choices.sample_of(key)) is not None:
        day = long_date(sample.day, choices.today)
        return f"{sample.name}: {sample.told}. Written for {day}; a copy is opened, as of then."
    if key == NEW:
        return "Asks for a name, the day it is worn and your hours; nothing is written before that."
    return "Asks for its path, and completes it. An ensemble's file alone can be opened too."


def _told_of_recent(recent: Recent, today: date) -> str:
    name = clean(recent.name) or clean(recent.path.name)
    told = f"{name}: {clean(recent.occasion)}" if recent.occasion else name
    if recent.on is not None:
        told = f"{told}, {long_date(recent.on, today)}"
        # of a sample it is far from the day it is looked at from
        told += f", {days_off(recent.on, recent.as_of or today)}"
    as_of = f" As of {long_date(recent.as_of, today)}." if recent.as_of is not None else ""
    return f"{told}.{as_of} {shown_path(recent.path)}"
