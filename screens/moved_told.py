"""What moved between two plans in words: which steps, from when to when, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import TYPE_CHECKING, Final

from planner.plan import Plan
from planner.replanning.values import (
    Became,
    Cause,
    Gone,
    MoreOrLess,
    Moved,
    Shift,
    StepMoved,
)
from screens.moved_why import day_told, steps_told, why_told
from screens.wording import (
    abbreviated,
    clock,
    column,
    count,
    garment_of,
    name_of,
    named_date,
    share,
    short_date,
    spoken,
    the_occasion,
)

if TYPE_CHECKING:
    from screens.moved_since import MovedSince

ARROW: Final = "→"
NO_DAY: Final = "no time"
NOON: Final = time(12)
"""A plan made before it is this morning's."""


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


def summary(found: MovedSince, plan: Plan) -> str:
    """All of it in a sentence: "Since Monday 3 May: 4 steps done, 3 moved later."."""
    moved = found.moved
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
    if found.not_done:
        parts.append(f"{spoken(found.not_done)} planned and not done")
    begin = f"Since {_since(found, plan)}"
    return f"{begin}: {', '.join(parts)}." if parts else f"{begin} no step has moved."


def _since(found: MovedSince, plan: Plan) -> str:
    """The day of the plan that is compared with; of today's, when it was made."""
    named = named_date(found.behind.day, plan.now.date())
    made = found.behind.kept.as_of
    if named != "today":
        return named
    if made is None or made.date() != plan.now.date() or made.time() < NOON:
        return "this morning"
    return f"today, {clock(made)}"


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
    """What is short, before and now; less of it is no better where steps have no time at all."""
    gone = _minutes_gone(moved)
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
        if gone and one.after < one.before:
            beside = f"without the {spoken(gone)} that have no time any more"
            found[-1] = f"{found[-1].rstrip('.')}, {beside}."
    return found


def _minutes_gone(moved: Moved) -> int:
    """Minutes that have no time any more."""
    return sum(s.minutes for one in moved.steps for s in one.shifts if s.to_day is None)


def _late(moved: Moved, plan: Plan) -> list[str]:
    by: dict[str, list[str]] = {}
    for step, occasion in moved.late:
        by.setdefault(occasion, []).append(step)
    found = [
        f"Newly late for {the_occasion(plan, occasion)}: {steps_told(plan, steps)}."
        for occasion, steps in by.items()
    ]
    if moved.unplaced:
        gone, named = _minutes_gone(moved), steps_told(plan, moved.unplaced)
        found.append(f"No time at all any more for {spoken(gone)}: {named}.")
    if moved.in_time:
        steps = list(dict.fromkeys(step for step, _ in moved.in_time))
        found.append(f"Late no longer: {steps_told(plan, steps)}.")
    if moved.nothing_to_spare:
        found.append(f"Nothing to spare any more: {steps_told(plan, moved.nothing_to_spare)}.")
    return found


def _orders(moved: Moved, plan: Plan) -> list[str]:
    return [
        f"“{name_of(plan, one.stock)}” was to be ordered by {day_told(plan, one.order_by)},"
        " to come in time."
        for one in moved.orders_missed
    ]


def _wearable(moved: Moved, plan: Plan) -> list[str]:
    found = []
    for one in moved.wearable:
        name = f" ({name_of(plan, one.ensemble)})" if len(plan.wearable_on) > 1 else ""
        was = day_told(plan, one.before) or "never by the plan of then"
        now = day_told(plan, one.after) or "not by this plan"
        found.append(f"Wearable{name}: {now}; it was {was}.")
    return found


def moved_lines(found: MovedSince, plan: Plan) -> list[str]:
    """The sentences of it all, the summary first; rows are told by ``groups``."""
    return [summary(found, plan), *then_and_now(found.moved, plan)]


def in_few_letters(row: Row) -> str:
    """A row in one line: its days, minutes, name, and why."""
    days = row.days[0] if row.days else ""
    minutes = column(sum(row.minutes)) if row.minutes else ""
    return abbreviated(" ".join(part for part in (days, minutes, row.name, row.told) if part))
