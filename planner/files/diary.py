"""The diary's entries."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Final

from planner.durations import parse_duration
from planner.files.checks import Table
from planner.files.findings import Findings, nearest, shown
from planner.model import NONE, Diary, Ensemble, Entry, Used

_LONGEST: Final = 60 * 10_000
_NEVER: Final = datetime(2000, 1, 1)


def read_diary(table: Table) -> Diary:
    """The diary of a document; closing the table is the caller's."""
    return Diary(
        entries=tuple(_entry(item) for item in table.tables("entry")), file=table.findings.file
    )


def warn_of_lost_steps(
    diary: Diary,
    ensembles: Iterable[Ensemble],
    findings: Findings,
    others: Collection[str] = (),
) -> None:
    """Warn of entries whose step is in no ensemble, with the nearest that is.

    ``others``: ids of ensembles that are there and weren't read; their entries are passed over.
    """
    known = {
        f"{ensemble.id}/{garment.id}/{step.id}"
        for ensemble in ensembles
        for garment in ensemble.garments
        for step in garment.steps
    }
    for entry in diary.entries:
        if entry.step not in known and entry.step.split("/")[0] not in others:
            near = _nearest_step(entry.step, known)
            hint = f'did you mean "{near}"?' if near else "the entry is kept, and not used"
            findings.warn(f"{entry.where}.step", f"there is no step {shown(entry.step)}: {hint}")


def _nearest_step(step: str, known: set[str]) -> str | None:
    """The step that is most likely meant: of the same garment and id, where a file was renamed."""
    _, _, rest = step.partition("/")
    same = sorted(one for one in known if one.partition("/")[2] == rest)
    return nearest(step, same or known) or next(iter(same), None)


def warn_of_lost_stock(diary: Diary, ensembles: Iterable[Ensemble], findings: Findings) -> None:
    """Warn of what was taken of a stock that isn't in the step's ensemble."""
    stocks = {ensemble.id: {stock.id for stock in ensemble.stock} for ensemble in ensembles}
    for entry in diary.entries:
        known = stocks.get(entry.step.split("/")[0])
        for k, used in enumerate(entry.used if known is not None else ()):
            if known is not None and used.stock not in known:
                near = nearest(used.stock, known)
                hint = f'did you mean "{near}"?' if near else "it is kept, and not taken off"
                text = f"there is no stock {shown(used.stock)} in this ensemble: {hint}"
                findings.warn(f"{entry.where}.used[{k}].stock", text)


def _entry(table: Table) -> Entry:
    # what was logged at one time is told by its moment from what was logged just before
    at = table.moment("at", seconds=True)
    if not table.has("at"):
        table.problem("at", "at is missing: write when it was done, at = 2027-05-04T21:30:00")
    done = table.flag("done") or False
    left = _minutes(table, "left")
    if done and left:
        table.problem("left", "the step is done and has minutes left: keep one of the two")
    entry = Entry(
        at=at or _NEVER,
        step=_full_id(table),
        minutes=_minutes(table, "minutes") or 0,
        done=done,
        left=left,
        note=table.text("note") or "",
        used=tuple(_used(item) for item in table.tables("used")),
        where=table.where,
    )
    table.close()
    return entry


def _used(table: Table) -> Used:
    """A stock and how much of it was really taken."""
    amount = table.quantity("amount")
    if not table.has("amount"):
        table.problem("amount", 'amount is missing: write how much was taken, amount = "2.4 m"')
    found = Used(stock=table.id("stock"), amount=amount or NONE)
    table.close()
    return found


def _full_id(table: Table) -> str:
    value = table.text("step")
    if not table.has("step"):
        table.problem("step", 'step is missing: write its full id, step = "ferry/bodice/hem"')
    if value is not None:
        parts = value.split("/")
        if len(parts) != 3 or not all(part.strip() for part in parts):
            table.problem("step", f"{shown(value)} is not a full id: write ensemble/garment/step")
    return value or ""


def _minutes(table: Table, key: str) -> int | None:
    """Minutes as a whole number, or a duration such as "1h30"."""
    if isinstance(table.get(key), str):
        return table.duration(key, parse_duration, 0, _LONGEST)
    return table.whole(key, 0, _LONGEST)
