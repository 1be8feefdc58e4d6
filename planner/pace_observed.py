"""What the diary says of how long steps really took.

A step teaches when the diary says it is done and every entry that says ``done`` or ``left`` of it
gives its minutes. It teaches nothing where it

* was done before the diary began (``done = true`` in the file), is left off, or isn't done yet,
  also if it has taken longer than its estimate: how long it will take isn't known;
* was opened again after it was done: what of the later work was new can't be told;
* has the maker's own ``hours``: they are the maker's word, not the catalogue's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from planner.estimate import Operation
from planner.model import Entry, Work


@dataclass(frozen=True, slots=True)
class Observed:
    """A step that was done and timed."""

    step: str
    """Full id."""
    work: Work
    technique: str
    estimate: int
    """Minutes by the catalogue."""
    took: int
    """Minutes logged."""
    at: datetime
    """Of its last entry."""
    sittings: tuple[int, ...] = ()
    """Minutes of its entries one by one, those that say some."""


def observed(entries: Iterable[Entry], unpaced: Mapping[str, Operation]) -> list[Observed]:
    """Every step that teaches, in the order in which they were last logged.

    ``unpaced``: the operations by full id with the catalogue's minutes.
    """
    took: dict[str, list[int]] = {}
    last: dict[str, Entry] = {}
    done: set[str] = set()
    spoilt: set[str] = set()
    for entry in entries:
        step = entry.step
        # taken out and put in again: the step that was last logged stands last
        took[step] = [*took.pop(step, ()), *([entry.minutes] if entry.minutes else ())]
        last[step] = entry
        if entry.done or entry.left is not None:
            if not entry.minutes or (step in done and not entry.done):
                spoilt.add(step)
            if entry.done:
                done.add(step)
    found = []
    for step, minutes in took.items():
        op = unpaced.get(step)
        if step not in done or step in spoilt or op is None or op.technique is None:
            continue
        if op.step.done or op.step.left_off:
            continue
        found.append(
            Observed(
                step=step,
                work=op.work,
                technique=op.technique,
                estimate=int(op.by_catalogue.typical),
                took=sum(minutes),
                at=last[step].at,
                sittings=tuple(minutes),
            )
        )
    return found
