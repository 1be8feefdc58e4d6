"""A day as a strip of stitches, without a screen.

Each cell is a slice of time and carries the letter of its kind of work. The hours end at a
mark; what lies beyond it is over. Used by the Run-up and by plain text alike.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from planner.glance import is_of
from planner.model import Work
from planner.plan import Plan, PlannedWindow, Sitting, Where

SLICES = (10, 15, 20, 30)
"""Minutes a cell may stand for."""

FREE = "·"
"""An hour that is not used."""
MARK = "╵"
"""Where hours end."""
GAP = " "
"""Between what is over and the day's next hours."""
OTHERS = "-"
"""Work of the ensembles that aren't looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a strip."""

    letter: str
    """A letter of work, FREE, MARK or OTHERS."""
    over: bool = False


_CELLS = {
    letter: Cell(letter=letter)
    for letter in (FREE, MARK, GAP, OTHERS, "?", *(work.letter for work in Work))
}
"""One cell of each letter, for there are thousands in a long plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """The strips of all days of a plan, at one slice."""

    slice: int
    days: Mapping[date, tuple[Cell, ...]]

    def of(self, day: date) -> tuple[Cell, ...]:
        """A day's strip; empty without hours."""
        return self.days.get(day, ())


def strips(plan: Plan, width: int, alone: str | None = None) -> Strips:
    """All strips at the smallest slice at which the fullest day fits ``width``.

    The slice depends on nothing but plan and width: the same plan always looks the same.
    ``alone``: only the work of this ensemble has its letters.
    """
    letters = {
        step.id: step.work.letter if is_of(step.id, alone) else OTHERS for step in plan.steps
    }
    by_window: dict[int, list[Sitting]] = defaultdict(list)
    for sitting in plan.sittings:
        if sitting.window is not None and sitting.where is not Where.OCCASION:
            by_window[sitting.window].append(sitting)
    made = Strips(slice=SLICES[0], days={})
    for size in SLICES:
        made = Strips(slice=size, days=_days(plan, by_window, letters, size))
        if all(len(cells) <= width for cells in made.days.values()):
            break
    return made


def _days(
    plan: Plan,
    by_window: Mapping[int, Sequence[Sitting]],
    letters: Mapping[str, str],
    size: int,
) -> dict[date, tuple[Cell, ...]]:
    """Every day's cells at one slice."""
    days: dict[date, list[Cell]] = defaultdict(list)
    order = sorted(range(len(plan.windows)), key=lambda index: plan.windows[index].start)
    for place, index in enumerate(order):
        window = plan.windows[index]
        sittings = by_window.get(index, ())
        days[window.day] += _within(window, sittings, letters, size)
        after = plan.windows[order[place + 1]] if place + 1 < len(order) else None
        over = [sitting for sitting in sittings if sitting.over]
        if over or not _touches(window, after):
            days[window.day].append(_CELLS[MARK])
        days[window.day] += _beyond(over, letters, size)
        if over and after is not None and after.day == window.day:
            days[window.day].append(_CELLS[GAP])
    return {day: tuple(cells) for day, cells in days.items()}


def _beyond(over: Sequence[Sitting], letters: Mapping[str, str], size: int) -> list[Cell]:
    """What is beyond the hours: as many cells as all of it makes, at least one, each with the
    letter of the work most of it is, in order of time."""
    work = [(letters.get(one.step, "?"), one.over) for one in over]
    total = sum(minutes for _, minutes in work)
    found = []
    for index in range(max(1, round(total / size)) if work else 0):
        begin, at = index * size, 0
        spent: dict[str, int] = {}
        for letter, minutes in work:
            shared = min(at + minutes, begin + size) - max(at, begin)
            spent[letter] = spent.get(letter, 0) + max(0, shared)
            at += minutes
        found.append(Cell(letter=max(spent, key=lambda one: spent[one]), over=True))
    return found


def _within(
    window: PlannedWindow,
    sittings: Sequence[Sitting],
    letters: Mapping[str, str],
    size: int,
) -> list[Cell]:
    """The cells inside the hours: in each slice the work that takes most of it."""
    work = [
        (_minutes(window, one.start), _minutes(window, one.end), letters.get(one.step, "?"))
        for one in sittings
        if one.start and one.end
    ]
    found = []
    for index in range(max(1, round(window.minutes / size))):
        begin = index * size
        end = min(begin + size, _minutes(window, window.end))
        spent: dict[str, float] = {}
        for start, stop, letter in work:
            if start < end and stop > begin:
                spent[letter] = spent.get(letter, 0.0) + min(stop, end) - max(start, begin)
        busiest = max(spent, key=lambda letter: spent[letter], default=FREE)
        free = end - begin - sum(spent.values())
        found.append(_CELLS[busiest if spent and spent[busiest] >= free else FREE])
    return found


def _minutes(window: PlannedWindow, moment: datetime) -> float:
    """Minutes from a window's beginning."""
    return (moment - window.start).total_seconds() / 60


def _touches(window: PlannedWindow, after: PlannedWindow | None) -> bool:
    """Whether the next window goes on where this one ends."""
    return after is not None and (after.day, after.start, after.place) == (
        window.day,
        window.end,
        window.place,
    )


def as_text(cells: Sequence[Cell]) -> str:
    """A strip as letters."""
    return "".join(cell.letter for cell in cells)
