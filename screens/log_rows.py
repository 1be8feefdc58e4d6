"""The rows of the log sheet, without a screen: what was typed of each step, what it comes to."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from planner.durations import parse_duration
from planner.editing.diary import log
from planner.estimate import LEAST_LEFT, MOST_MINUTES
from planner.model import Entry, Project
from planner.plan import Plan, PlannedStep
from planner.when_logged import own_moment
from screens.marks import BEGUN, DONE, NOTHING
from screens.wording import clean

LETTERS: Final = "0123456789h:m"
"""What a duration is typed with."""
LONGEST: Final = 7
"""Letters of a duration: "9999h59"."""


class Mark(StrEnum):
    """What the maker says of a step."""

    NOTHING = "nothing"
    DONE = "done"
    HALF = "half done"
    OPEN = "open again"


class Column(StrEnum):
    """What digits are typed into."""

    WORKED = "worked"
    LEFT = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRow:
    """A step, and what was said of it so far."""

    step: str
    """Full id."""
    name: str
    garment: str
    letter: str
    left_now: int
    """Minutes left of it; of one that is done, those it would have open again."""
    done_already: bool
    mark: Mark = Mark.NOTHING
    worked: str = ""
    """As typed."""
    left: str = ""
    """As typed."""
    note: str = ""
    gone: bool = False
    """Whether its step is no longer in the files."""
    already: int = 0
    """Minutes of it that are in the diary of that day."""

    # what is typed

    def marked(self) -> LogRow:
        """With the next mark: nothing, done, half done; of a done step open again, half done."""
        first = Mark.OPEN if self.done_already else Mark.DONE
        order = [Mark.NOTHING, first, Mark.HALF]
        at = 0 if self.left else order.index(self.mark) + 1
        return replace(self, mark=order[at % len(order)], left="")

    def typed(self, column: Column, letter: str) -> LogRow:
        """With a letter more in a column; what is left by guess is no longer done or half done."""
        if column is Column.WORKED:
            return replace(self, worked=f"{self.worked}{letter}"[:LONGEST])
        return replace(self, left=f"{self.left}{letter}"[:LONGEST], mark=Mark.NOTHING)

    def rubbed_out(self, column: Column) -> LogRow:
        """With a letter less in a column."""
        if column is Column.WORKED:
            return replace(self, worked=self.worked[:-1])
        return replace(self, left=self.left[:-1])

    # what it comes to

    @property
    def minutes(self) -> int:
        """Minutes worked; 0 where none are typed, or none that can be understood."""
        return _read(self.worked) or 0

    @property
    def left_then(self) -> int | None:
        """Minutes left by guess; None where nothing is said of them."""
        if self.left:
            return _read(self.left)
        if self.mark is Mark.HALF:
            return max(1, (self.left_now + 1) // 2)
        return self.left_now if self.mark is Mark.OPEN else None

    @property
    def is_done(self) -> bool:
        """Whether this says that it is done."""
        return self.mark is Mark.DONE or (bool(self.left) and _read(self.left) == 0)

    @property
    def changed(self) -> bool:
        """Whether anything is said."""
        return bool(self.mark is not Mark.NOTHING or self.worked or self.left or self.note)

    @property
    def sign(self) -> str:
        """A cross-stitch where it is done, half of one where it is begun."""
        if self.is_done or (self.done_already and self.left_then is None):
            return DONE
        begun = self.mark is Mark.HALF or self.left or self.worked
        return BEGUN if begun else NOTHING

    @property
    def word(self) -> str:
        """The same in a word; empty where nothing is said of an open step."""
        if self.gone:
            return "gone"
        if self.is_done:
            return Mark.DONE.value
        if self.mark is not Mark.NOTHING:
            return self.mark.value
        if self.done_already and not self.left:
            return "done already"
        return "begun" if self.worked or self.left else ""

    @property
    def wrong(self) -> str:
        """What can't be understood, and what to write; empty where all can."""
        for text in (self.worked, self.left):
            try:
                minutes_from(text or "0")
            except TooLong as error:
                return str(error)
            except ValueError:
                return f"“{text}” is no time: type minutes as 45, or 1h30, or 1:30."
        return ""

    def entry(self, at: datetime) -> Entry | None:
        """What goes into the diary; None where nothing was said."""
        if not self.changed:
            return None
        done = self.is_done
        return Entry(
            at=at,
            step=self.step,
            minutes=self.minutes,
            done=done,
            left=None if done else self.left_then,
            note=clean(self.note),
        )


class TooLong(ValueError):
    """A time that no step takes; says so in a sentence."""


def minutes_from(text: str) -> int:
    """Minutes as typed: 45, 45m, 1h30, 1:30. Raises ValueError with a sentence."""
    text = text.strip()
    hours, colon, rest = text.partition(":")
    if text.isascii() and text.isdigit():
        minutes = int(text[:20])
    elif colon and hours.isdigit() and len(rest) == 2 and rest.isdigit() and int(rest) < 60:
        minutes = 60 * int(hours) + int(rest)
    else:
        minutes = parse_duration(text)
    if minutes > MOST_MINUTES:
        raise TooLong(f"“{text}” is more than any step takes; minutes are up to 10 000 hours.")
    return minutes


def _read(text: str) -> int | None:
    try:
        return minutes_from(text)
    except ValueError:
        return None


# the rows of a sheet


def rows_of(
    plan: Plan, project: Project, steps: Sequence[str], marked: Sequence[str] = ()
) -> tuple[LogRow, ...]:
    """A row for each step there is, in this order; those ``marked`` stand there as done."""
    known = {step.id: step for step in plan.steps}
    return tuple(
        row_of(known[one], project, done=one in marked)
        for one in dict.fromkeys(steps)
        if one in known
    )


def row_of(step: PlannedStep, project: Project, *, done: bool = False) -> LogRow:
    """The row of a step; ``done``: it stands there as done, unless it is so already."""
    return LogRow(
        step=step.id,
        name=clean(step.name),
        garment=clean(step.garment),
        letter=step.work.letter,
        left_now=left_if_open(step, project) if step.done else step.left,
        done_already=step.done,
        mark=Mark.DONE if done and not step.done else Mark.NOTHING,
    )


def on_day(rows: Sequence[LogRow], project: Project, day: date) -> tuple[LogRow, ...]:
    """The rows with what is in the diary of a day already."""
    logged: dict[str, int] = {}
    for entry in project.diary.entries:
        if entry.at.date() == day:
            logged[entry.step] = logged.get(entry.step, 0) + entry.minutes
    return tuple(replace(row, already=logged.get(row.step, 0)) for row in rows)


def left_if_open(step: PlannedStep, project: Project) -> int:
    """Minutes a done step would have left if it weren't: as if its ticks weren't there."""
    left, begun = step.minutes, False
    for entry in project.diary.entries:
        if entry.step == step.id:
            begun = begun or entry.minutes > 0
            guessed = entry.left is not None and not entry.done
            left = entry.left or 0 if guessed else left - entry.minutes
    return max(left, min(LEAST_LEFT, step.minutes)) if begun else max(left, 1)


def renewed(
    rows: Sequence[LogRow], plan: Plan, project: Project, *, keep: Collection[str | None] = ()
) -> tuple[LogRow, ...]:
    """The rows by another plan; nothing typed is lost.

    A row whose step has gone stays where anything was said of it, or where it is to be kept:
    the one under the cursor, or that of a note in hand, which would else be of another step.
    """
    known = {step.id: step for step in plan.steps}
    found = []
    for row in rows:
        if row.step not in known:
            if row.changed or row.step in keep:
                found.append(replace(row, gone=True))
        else:
            fresh = row_of(known[row.step], project)
            mark = row.mark if row.done_already == fresh.done_already else Mark.NOTHING
            found.append(replace(fresh, mark=mark, worked=row.worked, left=row.left, note=row.note))
    return tuple(found)


def steps_for(
    plan: Plan, project: Project, day: date, *, first: str | None = None, alone: str | None = None
) -> list[str]:
    """What may have been done on a day, by full id: ``first``, then what is planned for it, or for
    the next day with work, and what was logged on it. ``alone``: of this ensemble only."""
    today = plan.now.date()
    ahead = sorted({one.date for one in plan.sittings if one.date >= max(day, today)})
    planned = [one.step for one in plan.sittings if ahead and one.date == ahead[0]]
    logged = [one.step for one in project.diary.entries if one.at.date() == day]
    behind = day < today
    found = [*logged, *planned] if behind else [*planned, *logged]
    found = [one for one in found if alone is None or one.startswith(f"{alone}/")]
    return list(dict.fromkeys([*([first] if first else []), *found]))


def put_onto(rows: Sequence[LogRow], gone: LogRow, step: LogRow) -> tuple[LogRow, ...]:
    """The rows with what was typed of a step that has gone said of another one instead.

    Where something is said of that already, minutes are added up, notes stand one behind the
    other, and its own mark and what is left of it stay.
    """
    there = next((row for row in rows if row.step == step.step), step)
    minutes = there.minutes + gone.minutes
    both = bool(there.worked and gone.worked)
    own = there.mark is not Mark.NOTHING or bool(there.left)
    mark = gone.mark if gone.mark is not Mark.OPEN or there.done_already else Mark.NOTHING
    taken = replace(
        there,
        worked=(str(minutes) if both else there.worked or gone.worked)[:LONGEST],
        mark=there.mark if own else mark,
        left=there.left if own else gone.left,
        note="; ".join(note for note in (there.note, gone.note) if note),
    )
    if all(row.step != step.step for row in rows):
        return tuple(taken if row.step == gone.step else row for row in rows)
    return tuple(taken if row.step == step.step else row for row in rows if row.step != gone.step)


def entries_of(rows: Sequence[LogRow], at: datetime) -> list[Entry]:
    """What goes into the diary of all of them, in their order."""
    return [entry for row in rows if (entry := row.entry(at)) is not None]


def logging(rows: Sequence[LogRow], at: datetime) -> Callable[[Project], Project]:
    """The edit that logs all that was said, as of one moment of its own."""
    said = tuple(rows)

    gone = {row.step for row in said if row.gone}

    def change(project: Project) -> Project:
        return log(project, entries_of(said, own_moment(project.diary, at)), gone=gone)

    return change
