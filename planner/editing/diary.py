"""Edits to the diary: what was done is logged, put right, taken back, and steps are opened again.

What can't be said raises InputError with every problem at once, each with the key path the entry
would have had, and nothing is changed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from planner.editing.finding import exchanged, garment_of, settled, step_of, with_steps
from planner.estimate import MOST_MINUTES
from planner.ground import all_operations
from planner.model import Entry, Project, Stock
from planner.nearest import is_meant
from planner.problems import InputError, Problem
from planner.quantity import COUNT

DIARY = "diary.toml"
"""Stands for the diary's file where there is none yet."""

_DIMENSIONS = ("a count", "a length", "an area")


def log(project: Project, entries: Sequence[Entry], *, gone: Collection[str] = ()) -> Project:
    """The project with entries behind all there are, in their order.

    ``gone``: full ids that were steps and may have been taken out of the files meanwhile; what
    is said of them is kept in the diary all the same.

    A step that was done before the diary no longer is where an entry says that some is left.
    Minutes of an earlier moment than what the step's last guess of what is left is of don't make
    that less: whoever guessed knew of them. Then the entry says that as much is left as was.
    Raises InputError where one names no step or stock, says two things at once, or takes of a
    stock what isn't measured so.
    """
    there = project.diary.entries
    added = [replace(one, where=f"entry[{len(there) + k}]") for k, one in enumerate(entries)]
    _check(project, added, gone)
    every = list(there)
    for one in added:
        every.append(_counted_already(one, every))
    known = _steps(project)
    opened = [
        one.step for one in added if one.left is not None and not one.done and one.step in known
    ]
    return _with_entries(_with_done(project, opened, done=False), every)


def _counted_already(entry: Entry, there: Sequence[Entry]) -> Entry:
    """The entry; with what was left then, where a later guess has counted it already."""
    if entry.done or entry.left is not None or not entry.minutes:
        return entry
    left: int | None = None
    guessed = entry.at
    for one in there:
        if one.step != entry.step:
            continue
        if one.done or one.left is not None:
            left, guessed = (None if one.done else one.left), max(guessed, one.at)
        elif left is not None:
            left = max(0, left - one.minutes)
    return replace(entry, left=left) if left is not None and guessed > entry.at else entry


def replace_entry(project: Project, index: int, entry: Entry) -> Project:
    """The project with its entry ``index`` exchanged for another. Raises as ``log`` does.

    An entry whose step is gone may stay with it.
    """
    there = project.diary.entries
    if not 0 <= index < len(there):
        raise InputError([_problem(project, "", _none_there(index, len(there)))])
    new = replace(entry, where=f"entry[{index}]")
    _check(project, [new], (there[index].step,))
    return _with_entries(project, (*there[:index], new, *there[index + 1 :]))


def remove_entry(project: Project, index: int) -> Project:
    """The project without its entry ``index``. Raises InputError where there is none."""
    there = project.diary.entries
    if not 0 <= index < len(there):
        raise InputError([_problem(project, "", _none_there(index, len(there)))])
    return _with_entries(project, (*there[:index], *there[index + 1 :]))


def logged_last(project: Project) -> tuple[Entry, ...]:
    """The entries at the end of the diary that were logged together: those of one moment."""
    there = project.diary.entries
    first = len(there)
    while first and there[first - 1].at == there[-1].at:
        first -= 1
    return there[first:]


def reopen(
    project: Project,
    steps: Sequence[str],
    at: datetime,
    *,
    left: Mapping[str, int] | None = None,
    note: str = "",
) -> Project:
    """The steps, by full id, are open again from ``at`` on, each with an entry that says so.

    ``left``: minutes left, by full id; the whole estimate of those that aren't named. A step done
    before the diary no longer is. Raises InputError where one is no step.
    """
    steps = tuple(dict.fromkeys(steps))
    _check_steps(project, steps)
    left = left or {}
    whole = _estimates(project, [one for one in steps if one not in left])
    entries = [
        Entry(at=at, step=one, left=left[one] if one in left else whole[one], note=note)
        for one in steps
    ]
    return log(project, entries)


def done_before(project: Project, steps: Sequence[str]) -> Project:
    """The steps, by full id, as done before the diary began: without times, teaching no pace.

    Raises InputError where one is no step.
    """
    _check_steps(project, steps)
    return _with_done(project, steps, done=True)


def _with_entries(project: Project, entries: Sequence[Entry]) -> Project:
    """Other entries, each with the key path its file will have."""
    placed = tuple(replace(one, where=f"entry[{k}]") for k, one in enumerate(entries))
    return replace(project, diary=replace(project.diary, entries=placed))


def _with_done(project: Project, steps: Sequence[str], *, done: bool) -> Project:
    """Steps with or without the word that they were done before the diary."""
    after = project
    for full in steps:
        step = step_of(after, full)
        if step.done is not done:
            garment = full.rpartition("/")[0]
            old = garment_of(after, garment).steps
            new = exchanged(old, step.id, replace(step, done=done))
            after = with_steps(after, garment, new)
    return after if after is project else settled(project, after)


def _estimates(project: Project, steps: Sequence[str]) -> dict[str, int]:
    """By full id, the whole minutes a step is estimated at."""
    if not steps:
        return {}
    ops = all_operations(project)
    return {one: int(ops[one].minutes.typical) for one in steps}


# what can't be said


def _check(project: Project, entries: Sequence[Entry], gone: Collection[str] = ()) -> None:
    """Raise InputError with all that is wrong with the entries; steps may be ``gone``."""
    stocks = {f"{e.id}/{s.id}": s for e in project.ensembles for s in e.stock}
    known = _steps(project)
    problems: list[Problem] = []
    for entry in entries:
        for place, text in _wrong(entry, known | set(gone), stocks):
            problems.append(_problem(project, f"{entry.where}.{place}", text))
    if problems:
        raise InputError(problems)


def _wrong(entry: Entry, known: set[str], stocks: Mapping[str, Stock]) -> Iterator[tuple[str, str]]:
    """What is wrong with an entry, each with its key."""
    if entry.step not in known:
        yield "step", _no_step(entry.step, known)
    if entry.at.tzinfo is not None:
        yield "at", "leave the offset off: the diary goes by the clock on your wall"
    if not 0 <= entry.minutes <= MOST_MINUTES:
        yield "minutes", "minutes are from 0 to 10 000 hours"
    if entry.left is not None and not 0 <= entry.left <= MOST_MINUTES:
        yield "left", "minutes left are from 0 to 10 000 hours"
    if entry.done and entry.left:
        yield "left", "the step is done and has minutes left: keep one of the two"
    for k, used in enumerate(entry.used):
        full = f"{entry.step.split('/')[0]}/{used.stock}"
        stock = stocks.get(full)
        if stock is None:
            mine = [s.id for id, s in stocks.items() if id.split("/")[0] == full.split("/")[0]]
            text = f'there is no stock "{used.stock}" in this ensemble.'
            yield f"used[{k}].stock", text + is_meant(used.stock, mine)
        elif kept_by(stock) not in (None, used.amount.dimension):
            text = f"`{used.stock}` is kept by {_DIMENSIONS[kept_by(stock) or COUNT]}, "
            text += f"and this is {_DIMENSIONS[used.amount.dimension]}: use the same for both"
            yield f"used[{k}].amount", text


def kept_by(stock: Stock) -> int | None:
    """What a stock is measured in; None where a bare 0 with nothing coming doesn't say."""
    if stock.have.value or stock.have.dimension != COUNT:
        return stock.have.dimension
    return stock.coming[0].amount.dimension if stock.coming else None


def _check_steps(project: Project, steps: Sequence[str]) -> None:
    """Raise InputError with those that are no steps."""
    known = _steps(project)
    gone = [one for one in steps if one not in known]
    if gone:
        raise InputError([_problem(project, "", _no_step(one, known)) for one in gone])


def _steps(project: Project) -> set[str]:
    """Every step by full id."""
    return {
        f"{ensemble.id}/{garment.id}/{step.id}"
        for ensemble in project.ensembles
        for garment in ensemble.garments
        for step in garment.steps
    }


def _no_step(name: str, known: set[str]) -> str:
    return f'there is no step "{name}".{is_meant(name, sorted(known))}'


def _none_there(index: int, many: int) -> str:
    return f"there is no entry {index} in the diary: it has {many}"


def _problem(project: Project, place: str, text: str) -> Problem:
    return Problem(file=project.diary.file or DIARY, place=place, text=text)
