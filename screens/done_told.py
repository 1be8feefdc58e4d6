"""What was really done on a day, in words, as the diary says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.looking_back import DayLost
from planner.model import Entry
from planner.plan import Plan, PlannedStep
from screens.opened import day_named
from screens.wording import clean, clock, column, garment_of, name_of, spoken, wrapped


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneLine:
    """One entry of the diary."""

    entry: Entry
    letter: str
    """ "?" where its step is no longer in the files."""
    name: str
    garment: str
    known: str
    """Whether it is done by that, or what was left."""
    note: str
    """The maker's own words."""


def done_heading(plan: Plan, day: date, entries: Sequence[Entry]) -> str:
    """ "Yesterday, Sun 6 Jun: 1:40 done"."""
    minutes = sum(entry.minutes for entry in entries)
    told = f"{column(minutes)} done" if entries else "nothing done"
    return f"{day_named(day, plan.now.date())}: {told}"


def done_lines(
    plan: Plan, steps: Mapping[str, PlannedStep], entries: Sequence[Entry]
) -> list[DoneLine]:
    """What was logged, entry by entry."""
    found = []
    for entry in entries:
        step = steps.get(entry.step)
        found.append(
            DoneLine(
                entry=entry,
                letter=step.work.letter if step is not None else "?",
                name=name_of(plan, entry.step),
                garment=garment_of(plan, entry.step),
                known=_known(entry, step),
                note=clean(entry.note),
            )
        )
    return found


def _known(entry: Entry, step: PlannedStep | None) -> str:
    """ "done", "10 min left", "begun"."""
    if step is None:
        return "no longer in the files"
    if entry.done:
        return "done"
    if entry.left is not None:
        return f"{spoken(entry.left)} left then"
    return "goes on"


def done_already(minutes: int) -> str:
    """ "Done today already: 1 h 20."; without a time where none was logged."""
    return f"Done today already: {spoken(minutes)}." if minutes else "Done today already:"


def lost_sentence(lost: DayLost) -> str:
    """ "3 h of hours lost: fever, in bed.", "1 h 30 planned and not done."."""
    reason = f": {clean(lost.reason)}" if lost.reason else ""
    if lost.planned:
        return f"{spoken(lost.minutes)} planned and not done{reason}."
    return f"{spoken(lost.minutes)} of hours lost{reason}."


def done_as_text(line: DoneLine, width: int) -> list[str]:
    """An entry for print: when it ended, minutes, letter, step, garment, and what was noted."""
    told = "; ".join(part for part in (line.garment, line.known, line.note) if part)
    head = f"  {clock(line.entry.at):<5} {column(line.entry.minutes):>5}  {line.letter}  "
    first, *rest = wrapped([f"{line.name}, {told}"], width - len(head))
    return [head + first, *(" " * len(head) + more for more in rest)]
