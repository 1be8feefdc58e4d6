"""What can be opened, as lines and in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from screens.paths import shown_path
from screens.recent import Recent
from screens.samples import Sample
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import cells, clean, days_off, listed, long_date, padded, short_date, wrapped

NEW, OPEN = "new", "open"
"""Keys of the lines that begin, and that look for a folder."""
WIDE_FROM = 109
"""Columns from which on there is more room."""
NARROW, WIDE = (24, 18), (38, 34)
"""Columns of a name and of an occasion that are listed, as the terminal is."""


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


def lines_of(choices: Choices, width: int, cursor: str | None) -> Sequence[Line]:
    """The page, line by line; the first that can be chosen has the cursor at first."""
    keys = [
        *(str(one.path) for one in choices.recent),
        NEW,
        OPEN,
        *(one.id for one in choices.samples),
    ]
    here = cursor if cursor in keys else keys[0]
    name = _columns(width)[0]

    def choice(key: str, sign: str, title: str, told: str) -> Line:
        """A line of what isn't a recent workroom."""
        runs = (Run(text=padded(title, name)), Run(text=told, style="faint"))
        return Line(runs=(*_head(key, sign, here), *runs), key=key)

    lines: list[Line] = []
    if choices.gone:
        told = wrapped([gone_told(choices.gone)], width - 2)
        lines += [*(plain(f" {line}", "accent") for line in told), plain("")]
    if choices.recent:
        lines.append(plain(" Opened lately", "faint"))
        for number, one in enumerate(choices.recent, 1):
            lines.append(_recent(one, number, choices.today, width, here))
        lines.append(plain(""))
    lines.append(plain(" Your own", "faint"))
    lines.append(choice(NEW, "n", "Begin a new one", "its hours, and what is made first"))
    lines.append(choice(OPEN, "o", "Open a folder", "that holds a workroom.toml"))
    if choices.samples:
        lines += [plain(""), plain(" Samples to look round in", "faint")]
        lines += [choice(one.id, " ", one.name, one.told) for one in choices.samples]
    return lines


def _head(key: str, sign: str, cursor: str | None) -> tuple[Run, ...]:
    """The cursor's mark, and the key that chooses."""
    mark = CURSOR if key == cursor else " "
    return Run(text=f"{mark} ", style="accent"), Run(text=f"{sign}  ", style="accent")


def _columns(width: int) -> tuple[int, int]:
    """Columns of a name and of an occasion."""
    return NARROW if width < WIDE_FROM else WIDE


def _recent(one: Recent, number: int, today: date, width: int, cursor: str | None) -> Line:
    """Number, name, occasion, folder."""
    key, columns = str(one.path), _columns(width)
    name = padded(clean(one.name) or clean(one.path.name), columns[0])
    when = f"  {short_date(one.on)}" if one.on is not None else ""
    told = f"{padded(clean(one.occasion), columns[1])}{when}" if one.occasion else ""
    runs = (Run(text=f"{name}  "), Run(text=f"{told}  ", style="faint"))
    room = width - 5 - cells(name) - 2 - cells(told) - 3
    folder = shown_path(one.path, max(8, room))
    return Line(
        runs=(*_head(key, str(number), cursor), *runs),
        right=Run(text=folder, style="faint"),
        key=key,
    )


def gone_told(gone: Sequence[Recent]) -> str:
    """What was listed and has vanished, in a sentence."""
    names = [f"{clean(one.name) or 'a workroom'} ({shown_path(one.path)})" for one in gone]
    one = "is" if len(names) == 1 else "are"
    return f"{listed(names)} {one} no longer there, and no longer listed."


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
