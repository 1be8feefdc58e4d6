"""What moved between two plans in words: which steps, from when to when, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from planner.plan import Plan
from planner.replanning.values import (
    Became,
    Cause,
    Gone,
    MoreOrLess,
    Moved,
    Shift,
    StepMoved,
    Why,
)
from screens.wording import (
    abbreviated,
    clean,
    clock,
    column,
    count,
    garment_of,
    listed,
    name_of,
    named_date,
    on_date,
    share,
    short_date,
    spoken,
    step_with_garment,
    the_occasion,
)

ARROW: Final = "→"
NAMED: Final = 2
"""So many steps are named as a reason; of more, the first, and how many others."""
NO_DAY: Final = "no time"


# why


def why_told(plan: Plan, why: Why) -> str:
    """The reason of a move, as the end of a sentence: "nobody helps on Saturday 8 May"."""
    teller = _TELLERS.get(why.cause)
    return teller(plan, why) if teller is not None else _PLAIN[why.cause]


_PLAIN: Final = {
    Cause.NEW: "it is new",
    Cause.OPENED: "it is to be done again",
    Cause.WANTED: "it is wanted now",
    Cause.NO_DAY_THEN: "it had no day then",
    Cause.NO_TIME: "there is no time for it",
    Cause.EVENS_OUT: "so no hours are fuller than they must be",
    Cause.AFRESH: "spread out afresh",
}


def _on(plan: Plan, day: date | None) -> str:
    return on_date(day, plan.now.date()) if day is not None else ""


def _named(plan: Plan, day: date | None) -> str:
    return named_date(day, plan.now.date()) if day is not None else ""


def _steps(plan: Plan, names: Sequence[str]) -> str:
    return listed([step_with_garment(plan, one) for one in names], NAMED)


def _not_done(plan: Plan, why: Why) -> str:
    return f"not done {_on(plan, why.day)}"


def _follows(plan: Plan, why: Why) -> str:
    return f"it follows {_steps(plan, why.names)}, which is done by {_named(plan, why.day)}"


def _order(plan: Plan, why: Why) -> str:
    return f"it follows {_steps(plan, why.names)} now"


def _leads(plan: Plan, why: Why) -> str:
    return f"{_steps(plan, why.names)} follows it, from {_named(plan, why.day)} on"


def _waits(plan: Plan, why: Why) -> str:
    at = f", {clock(why.until)}" if why.until and (why.until.hour or why.until.minute) else ""
    return f"it waits till {_named(plan, why.day)}{at} for {_steps(plan, why.names)}"


def _stock(plan: Plan, why: Why) -> str:
    names = listed([f"“{name_of(plan, one)}”" for one in why.names], NAMED)
    return f"{names} comes {_on(plan, why.day)}"


def _after_occasion(plan: Plan, why: Why) -> str:
    return f"it comes after {the_occasion(plan, why.names[0])}, {_on(plan, why.day)}"


def _not_before(plan: Plan, why: Why) -> str:
    return f"it is not to begin before {_named(plan, why.day)}"


def _ready_by(plan: Plan, why: Why) -> str:
    return f"{the_occasion(plan, why.names[0])} wants it by {_named(plan, why.day)}"


def _due_later(plan: Plan, why: Why) -> str:
    by = why.until.date() if why.until is not None else None
    return f"{the_occasion(plan, why.names[0])} wants it only by {_named(plan, by)}"


def _at_occasion(plan: Plan, why: Why) -> str:
    return f"it is done at {the_occasion(plan, why.names[0])}"


def _not_at_occasion(plan: Plan, why: Why) -> str:
    return f"{the_occasion(plan, why.names[0])} went by without it"


def _hours_gone(plan: Plan, why: Why) -> str:
    much = spoken(why.minutes or 0)
    if why.names:
        return f"{the_occasion(plan, why.names[0])} takes {much} {_on(plan, why.day)}"
    reason = f" ({clean(why.reason)})" if clean(why.reason) else ""
    return f"{much} less {_on(plan, why.day)}{reason}"


def _more_hours(plan: Plan, why: Why) -> str:
    return f"{spoken(why.minutes or 0)} more {_on(plan, why.day)}"


def _no_helper(plan: Plan, why: Why) -> str:
    return f"nobody is there to help {_on(plan, why.day)}"


def _sized(plan: Plan, why: Why) -> str:
    more = "more" if why.cause is Cause.LONGER else "less"
    guessed = ", by your guess" if why.guessed else ""
    return f"it takes {spoken(why.minutes or 0)} {more} than was thought{guessed}"


def _makes_room(plan: Plan, why: Why) -> str:
    return f"it makes room for {_steps(plan, why.names)}"


def _fills(plan: Plan, why: Why) -> str:
    return f"it takes hours that {_steps(plan, why.names)} left"


def _fixed(plan: Plan, why: Why) -> str:
    return f"its day was fixed, {_named(plan, why.day)}"


def _freed(plan: Plan, why: Why) -> str:
    return f"it was freed of its fixed day, {_named(plan, why.day)}"


_TELLERS: Final = {
    Cause.NOT_DONE: _not_done,
    Cause.FOLLOWS: _follows,
    Cause.ORDER: _order,
    Cause.LEADS: _leads,
    Cause.WAITS: _waits,
    Cause.STOCK: _stock,
    Cause.AFTER_OCCASION: _after_occasion,
    Cause.NOT_BEFORE: _not_before,
    Cause.READY_BY: _ready_by,
    Cause.DUE_LATER: _due_later,
    Cause.AT_OCCASION: _at_occasion,
    Cause.NOT_AT_OCCASION: _not_at_occasion,
    Cause.HOURS_GONE: _hours_gone,
    Cause.MORE_HOURS: _more_hours,
    Cause.NO_HELPER: _no_helper,
    Cause.LONGER: _sized,
    Cause.SHORTER: _sized,
    Cause.MAKES_ROOM: _makes_room,
    Cause.FILLS: _fills,
    Cause.FIXED: _fixed,
    Cause.FREED: _freed,
}


# rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One step: where its minutes were and are, and why."""

    step: str
    days: tuple[str, ...]
    """ "Tue  4 May → Thu  6 May", one a shift; empty where there is none to tell."""
    minutes: tuple[int, ...]
    """Of each; as many as days, or one."""
    letter: str
    """Of its kind of work; a blank where it is in the files no longer."""
    name: str
    told: str
    """Its garment, and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Steps with which the same came about."""

    title: str
    rows: tuple[Row, ...]


def groups(moved: Moved, plan: Plan) -> list[Group]:
    """Every step of which there is something to tell; ``plan`` is the one after."""
    done = [one for one in moved.gone if one.became is Became.DONE]
    others = [one for one in moved.gone if one.became is not Became.DONE]
    found = [
        Group(title="Later", rows=tuple(_moved_row(plan, one) for one in moved.later)),
        Group(title="Earlier", rows=tuple(_moved_row(plan, one) for one in moved.earlier)),
        Group(title="Takes more or less", rows=tuple(_sized_row(plan, s) for s in moved.resized)),
        Group(title="Planned now", rows=tuple(_new_row(plan, one) for one in moved.new)),
        Group(title="Done since", rows=tuple(_gone_row(plan, one) for one in done)),
        Group(title="Planned no longer", rows=tuple(_gone_row(plan, one) for one in others)),
    ]
    return [group for group in found if group.rows]


def shift_told(shift: Shift) -> str:
    """From which day to which: "Tue  4 May → Thu  6 May"."""
    return f"{_day(shift.from_day)} {ARROW} {_day(shift.to_day)}"


def _day(day: date | None) -> str:
    return short_date(day) if day is not None else f"{NO_DAY:<10}"


def _moved_row(plan: Plan, one: StepMoved) -> Row:
    """A step that moved; of what wasn't done on the day it comes from, the day is told already."""
    lost = {shift.from_day for shift in one.shifts if shift.lost}
    of_its_day = one.why.cause is Cause.NOT_DONE and lost == {one.why.day}
    return _row(
        plan,
        one.step,
        tuple(shift_told(shift) for shift in one.shifts),
        tuple(shift.minutes for shift in one.shifts),
        "not done" if of_its_day else why_told(plan, one.why),
    )


def _sized_row(plan: Plan, one: MoreOrLess) -> Row:
    told = why_told(plan, one.why)
    days = (short_date(one.days[0]),) if one.days else ()
    return _row(plan, one.step, days, (one.minutes,), told)


def _new_row(plan: Plan, one: MoreOrLess) -> Row:
    days = (short_date(one.days[0]),) if one.days else ()
    return _row(plan, one.step, days, (one.minutes,), why_told(plan, one.why))


def _gone_row(plan: Plan, one: Gone) -> Row:
    minutes = (one.minutes,) if one.minutes else ()
    return _row(plan, one.step, (), minutes, _BECAME[one.became])


_BECAME: Final = {
    Became.DONE: "",
    Became.LEFT_OFF: "left off",
    Became.NOT_WANTED: "no occasion wants it",
    Became.REMOVED: "no longer in the files",
}


def _row(
    plan: Plan, step: str, days: tuple[str, ...], minutes: tuple[int, ...], told: str
) -> Row:
    letter = next((one.work.letter for one in plan.steps if one.id == step), " ")
    return Row(
        step=step,
        days=days,
        minutes=minutes,
        letter=letter,
        name=name_of(plan, step),
        told="; ".join(part for part in (garment_of(plan, step), told) if part),
    )


# sentences


def summary(moved: Moved, plan: Plan, since: date) -> str:
    """All of it in a sentence: "Since Monday 3 May: 4 steps done, 3 moved later."."""
    parts: list[str] = []
    done = sum(one.became is Became.DONE for one in moved.gone)
    gone = sum(one.became is not Became.DONE for one in moved.gone)
    counted = (
        (done, "done"),
        (len(moved.later), "moved later"),
        (len(moved.earlier), "moved earlier"),
        (len(moved.new), "planned that had no day"),
        (gone, "planned no longer"),
    )
    for number, told in counted:
        if number:
            steps = f"{count(number, 'step')} " if not parts else f"{number} "
            parts.append(f"{steps}{told}")
    if moved.done:
        parts.append(f"{spoken(moved.done)} worked")
    if moved.lost:
        parts.append(f"{spoken(moved.lost)} planned and not done")
    begin = f"Since {_since(since, plan)}"
    return f"{begin}: {', '.join(parts)}." if parts else f"{begin} no step has moved."


def _since(day: date, plan: Plan) -> str:
    named = named_date(day, plan.now.date())
    return "this morning" if named == "today" else named


def then_and_now(moved: Moved, plan: Plan) -> list[str]:
    """Verdict, how full, what is short, late, to be ordered, wearable: before and now."""
    return [
        *_verdicts(moved),
        *_short(moved, plan),
        *_late(moved, plan),
        *_orders(moved, plan),
        *_wearable(moved, plan),
    ]


def _verdicts(moved: Moved) -> list[str]:
    """ "Then it fitted, 78 % full at the fullest; now it doesn't fit, at 110 %."."""
    was, now = moved.verdict_before, moved.verdict
    full = f", {share(moved.full)} full at the fullest" if moved.full is not None else ""
    then = ""
    if moved.full_before is not None:
        then = f", {share(moved.full_before)} full at the fullest"
    if was is None:
        return []
    return [f"The plan of then: {was.value}{then}. The plan of now: {now.value}{full}."]


def _short(moved: Moved, plan: Plan) -> list[str]:
    found = []
    for one in moved.short:
        name = the_occasion(plan, one.occasion)
        if not one.before:
            found.append(f"Newly short before {name}: {spoken(one.after)}.")
        elif not one.after:
            found.append(f"No longer short before {name}; it was {spoken(one.before)}.")
        else:
            found.append(
                f"Short before {name}: {spoken(one.after)}; it was {spoken(one.before)}."
            )
    return found


def _late(moved: Moved, plan: Plan) -> list[str]:
    by: dict[str, list[str]] = {}
    for step, occasion in moved.late:
        by.setdefault(occasion, []).append(step)
    found = [
        f"Newly late for {the_occasion(plan, occasion)}: {_steps(plan, steps)}."
        for occasion, steps in by.items()
    ]
    if moved.unplaced:
        found.append(f"No time at all any more for {_steps(plan, moved.unplaced)}.")
    if moved.in_time:
        steps = list(dict.fromkeys(step for step, _ in moved.in_time))
        found.append(f"Late no longer: {_steps(plan, steps)}.")
    if moved.nothing_to_spare:
        found.append(f"Nothing to spare any more: {_steps(plan, moved.nothing_to_spare)}.")
    return found


def _orders(moved: Moved, plan: Plan) -> list[str]:
    return [
        f"“{name_of(plan, one.stock)}” was to be ordered by {_named(plan, one.order_by)},"
        " to come in time."
        for one in moved.orders_missed
    ]


def _wearable(moved: Moved, plan: Plan) -> list[str]:
    found = []
    for one in moved.wearable:
        name = f" ({name_of(plan, one.ensemble)})" if len(plan.wearable_on) > 1 else ""
        was = _named(plan, one.before) or "never by the plan of then"
        now = _named(plan, one.after) or "not by this plan"
        found.append(f"Wearable{name}: {now}; it was {was}.")
    return found


def moved_lines(moved: Moved, plan: Plan, since: date) -> list[str]:
    """The sentences of it all, the summary first; rows are told by ``groups``."""
    return [summary(moved, plan, since), *then_and_now(moved, plan)]


def in_few_letters(row: Row) -> str:
    """A row in one line: its days, minutes, name, and why."""
    days = row.days[0] if row.days else ""
    minutes = column(sum(row.minutes)) if row.minutes else ""
    return abbreviated(" ".join(part for part in (days, minutes, row.name, row.told) if part))
