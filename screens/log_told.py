"""What was logged, and what was left of it, in words: for the log sheet and the command."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

from planner.far_more import FAR, FarMore
from planner.model import Diary, Entry, Warned
from planner.plan import Plan
from planner.problems import Problem
from planner.quantity import Quantity
from screens.amounts_told import worded_amount
from screens.log_rows import LogRow, Mark
from screens.state import State
from screens.wording import (
    clean,
    clock,
    column,
    count,
    listed,
    long_date,
    named_date,
    spoken,
    step_with_garment,
)

NOTHING_YET = "then: nothing is ticked yet"
HOW = "Space: × done, / half done, · nothing. Digits: minutes worked, → what is left."
"""What is typed in a row."""
LATELY = 12
"""So many entries are told as those logged last, as far as there is room."""
GONE = "no longer in the files"
READING = "The files have changed: they are read again first …"
NOTHING_LOGGED = (
    "Nothing is logged yet. Write what was done as wearby log PATH hem 45 done, or tick steps in"
    " the program with the space bar."
)
NO_STEPS = "No step stands here. Press / to find the one you worked on."


def heading(at: datetime, now: datetime, *, exactly_now: bool) -> str:
    """ "What was done, now: Monday 3 May, 20:40"; of a day behind, when it is taken to be."""
    day = named_date(at.date(), now.date())
    if exactly_now:
        return f"What was done, now: {long_date(at.date(), now.date())}, {clock(at)}"
    whole = long_date(at.date(), now.date())
    named = f"{day}, {whole}" if day != whole else whole
    return f"What was done {'on ' if day == whole else ''}{named}, till {clock(at)}"


def sums(rows: Sequence[LogRow]) -> str:
    """ "3 steps, 2 h 10"; empty where nothing is said yet."""
    said = [row for row in rows if row.changed]
    minutes = sum(row.minutes for row in said)
    if not said:
        return ""
    return f"{count(len(said), 'step')}{f', {spoken(minutes)}' if minutes else ''}"


def already_told(row: LogRow) -> str:
    """ "0:35 already": in the diary of that day; empty where nothing is."""
    return f"{column(row.already)} already" if row.already else ""


def row_told(row: LogRow) -> str:
    """What the row under the cursor comes to, and what is in that day's diary of it already."""
    told = _comes_to(row)
    if row.already and not row.wrong and not row.gone:
        return f"{told} {spoken(row.already)} are in that day's diary already; yours come on top."
    return told


def _comes_to(row: LogRow) -> str:
    """What the row comes to, in a sentence."""
    if row.wrong:
        return row.wrong
    if row.gone:
        return _gone_told(row)
    left = row.left_then
    if row.is_done:
        return "Done." if not row.minutes else f"Done in {spoken(row.minutes)} more."
    if row.mark is Mark.OPEN:
        return f"Open again, with {spoken(row.left_now)} left; type another guess with →."
    if left is not None:
        return f"{'Half done' if row.mark is Mark.HALF else 'Not done yet'}: {spoken(left)} left."
    if row.done_already and row.minutes:
        return f"Done already: {spoken(row.minutes)} are logged as more of it."
    if row.done_already:
        return f"Done already. Space opens it again, with {spoken(row.left_now)} left."
    if row.minutes:
        return f"Goes on: of {spoken(row.left_now)} left, {spoken(row.minutes)} were worked."
    return f"{spoken(row.left_now)} left."


def _gone_told(row: LogRow) -> str:
    """That a step has gone, and what can be done with what was typed of it."""
    gone = f"“{row.name}” is no longer in the files."
    if not row.changed:
        return f"{gone} / finds another step."
    return (
        f"{gone} / puts what you typed onto another step; enter keeps it in the diary under"
        f" {clean(row.step)}."
    )


def refused(problems: Sequence[Problem]) -> str:
    """Why it can't be logged: "Not logged: ferrywoman.toml, line 3: ...". What is typed stays."""
    first = problems[0]
    where = ", ".join(part for part in (Path(first.file).name, clean(first.place)) if part)
    more = f" And {count(len(problems) - 1, 'more problem')}." if problems[1:] else ""
    text = clean(first.text)
    told = f"{where}: {text}" if where else text
    return f"Not logged yet: {told}{'' if text[-1:] in '.?!' else '.'}{more}"


def label(plan: Plan, entries: Sequence[Entry], gone: Sequence[LogRow] = ()) -> str:
    """What was done, as a past fact: "“hem” (Petticoat) done", "3 steps logged".

    ``gone``: rows of steps that are no longer in the files, and are kept by their ids.
    """
    if gone:
        ids = listed([clean(row.step) for row in gone], 3)
        kept = f"kept in the diary under {ids}, no longer in the files"
        if len(gone) == len(entries):
            what = f"“{gone[0].name}”" if len(gone) == 1 else count(len(gone), "step")
            return f"{what} {kept}"
        return f"{count(len(entries), 'step')} logged, {len(gone)} of them {kept}"
    if len({entry.step for entry in entries}) != 1 or len(entries) != 1:
        return f"{count(len(entries), 'step')} logged"
    (entry,) = entries
    name = step_with_garment(plan, entry.step)
    if entry.done:
        return f"{name} done{f', {spoken(entry.minutes)}' if entry.minutes else ''}"
    if entry.left is not None:
        was_done = any(step.id == entry.step and step.done for step in plan.steps)
        again = "open again, " if was_done else ""
        worked = f"{spoken(entry.minutes)} worked, " if entry.minutes else ""
        return f"{name} {again}{worked}{spoken(entry.left)} left"
    if entry.minutes:
        return f"{spoken(entry.minutes)} of {name} logged"
    return f"note on {name} logged"


def logged_sentences(plan: Plan, after: Plan, entries: Sequence[Entry]) -> list[str]:
    """ "Done: “hem” (Petticoat), 45 min." "Left: 30 min of “trim” (Jacket)." """
    left = {step.id: step.left for step in after.steps}
    done = [one for one in entries if one.done]
    open_ = [one for one in entries if not one.done]
    found = []
    if done:
        told = [f"{_with_minutes(plan, one)}{_used(after, one)}" for one in done]
        found.append(f"Done: {'; '.join(told)}.")
    if open_:
        told = [
            f"{spoken(left.get(one.step, 0))} of {step_with_garment(plan, one.step)}"
            f"{f' after {spoken(one.minutes)}' if one.minutes else ''}{_used(after, one)}"
            for one in open_
        ]
        found.append(f"Left: {'; '.join(told)}.")
    return found


def planned_sentence(plan: Plan, after: Plan, entries: Sequence[Entry]) -> str:
    """Why the plan loses more by what was logged than the minutes of it: "That was planned as
    1 h 45; 45 min were logged (quicker than planned)."; empty where it doesn't."""
    then = {step.id: step for step in after.steps}
    steps = {one.step for one in entries}
    was = [step for step in plan.steps if step.id in steps and step.wanted and step.id in then]
    gone = {step.id: step.left - then[step.id].left for step in was}
    spent = {step: sum(one.minutes for one in entries if one.step == step) for step in gone}
    lost, logged = sum(gone.values()), sum(spent.values())
    if lost <= logged:
        return ""
    timeless = sum(not spent[step] and minutes > 0 for step, minutes in gone.items())
    quicker = any(0 < spent[step] < minutes for step, minutes in gone.items())
    why = ["quicker than planned"] if quicker else []
    if timeless:
        why.append(f"{count(timeless, 'step')} without minutes")
    were = f"{spoken(logged)} were logged" if logged else "no minutes were logged"
    told = f" ({', and '.join(why)})" if logged and why else ""
    return f"That was planned as {spoken(lost)}; {were}{told}."


def logged_lately(state: State) -> tuple[str, ...]:
    """What the diary ends with, the newest first."""
    today = state.now.date()
    entries = state.project.diary.entries[: -LATELY - 1 : -1]
    return tuple(entry_told(state.plan, entry, today) for entry in entries)


def done_already_sentences(
    plan: Plan, diary: Diary, entries: Sequence[Entry], now: date
) -> list[str]:
    """Which of these steps were done already by the plan before: logged all the same, and said."""
    done = {step.id for step in plan.steps if step.done}
    found = []
    for one in entries:
        if one.step not in done or one.left is not None:
            continue
        ends = [entry.at for entry in diary.entries if entry.step == one.step and entry.done]
        since = f" since {named_date(ends[-1].date(), now)}" if ends else ""
        more = "as more minutes" if one.minutes else "once more"
        found.append(f"{step_with_garment(plan, one.step)} is done already{since}; logged {more}.")
    return found


def far_more_sentences(plan: Plan, found: Sequence[FarMore]) -> list[str]:
    """What may be a slip: "99 m of organza is far more than the 1.2 m planned, and more than
    there is (2 m). If that is a slip, --undo takes it back."."""
    told = []
    for one in found:
        name = clean(plan.names.get(one.stock, "")) or clean(one.stock.rpartition("/")[2])
        parts = []
        if one.planned is not None and one.used.value > FAR * one.planned.value:
            parts.append(f"far more than the {_amount(plan, one.planned)} planned")
        if one.planned is None:
            parts.append("not planned in this step")
        if one.there is not None:
            parts.append(f"more than the {_amount(plan, one.there)} there is of it")
        told.append(f"{_amount(plan, one.used)} of {name} is {' and '.join(parts)}.")
    return [*told, "If that is a slip, --undo takes it back."] if told else []


def as_of_sentence(at: datetime, now: date) -> str:
    """ "As of yesterday, 23:30."; empty of today."""
    if at.date() == now:
        return ""
    named = f"{named_date(at.date(), now)}, {clock(at)}"
    return f"As of {named}."


def broken_sentences(warnings: Sequence[Warned], diary: str) -> list[str]:
    """What of the diary couldn't be read, line by line."""
    return [
        f"{Path(one.file).name}, {clean(one.place)}: {clean(one.text)}."
        for one in warnings
        if one.file == diary and one.place.startswith("line")
    ]


def _amount(plan: Plan, amount: Quantity) -> str:
    return worded_amount(amount.value, amount.dimension, plan.units)


def _with_minutes(plan: Plan, entry: Entry) -> str:
    name = step_with_garment(plan, entry.step)
    return f"{name}, {spoken(entry.minutes)}" if entry.minutes else name


def _used(plan: Plan, entry: Entry) -> str:
    """What was taken: ", 2.9 m of braid used"."""
    ensemble = entry.step.split("/")[0]
    told = [
        f", {worded_amount(one.amount.value, one.amount.dimension, plan.units)} of"
        f" {clean(plan.names.get(f'{ensemble}/{one.stock}', '')) or clean(one.stock)} used"
        for one in entry.used
    ]
    return "".join(told)


def entry_told(plan: Plan, entry: Entry, now: date) -> str:
    """An entry that is taken back: "yesterday, 21:30: “hem” (Petticoat), 45 min, done"."""
    parts = [_with_minutes(plan, entry)]
    if entry.done:
        parts.append("done")
    elif entry.left is not None:
        parts.append(f"{spoken(entry.left)} left")
    if entry.note:
        parts.append(f"“{clean(entry.note)}”")
    told = f"{', '.join(parts)}{_used(plan, entry)}"
    return f"{named_date(entry.at.date(), now)}, {clock(entry.at)}: {told}"
