"""Why a step moved, in words: each cause as a clause that stands at the end of a row."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from planner.plan import Plan
from planner.replanning.values import Cause, Why
from screens.wording import (
    clean,
    clock,
    listed,
    name_of,
    named_date,
    on_date,
    spoken,
    step_with_garment,
    the_occasion,
)

NAMED: Final = 2
"""So many steps are named as a reason; of more, the first, and how many others."""



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


def day_told(plan: Plan, day: date | None) -> str:
    """A day in a sentence; empty where there is none."""
    return named_date(day, plan.now.date()) if day is not None else ""


def steps_told(plan: Plan, names: Sequence[str]) -> str:
    """Steps by name: the first, and how many others."""
    return listed([step_with_garment(plan, one) for one in names], NAMED)


def _not_done(plan: Plan, why: Why) -> str:
    return f"not done {_on(plan, why.day)}"


def _follows(plan: Plan, why: Why) -> str:
    return f"it follows {steps_told(plan, why.names)}, which is done by {day_told(plan, why.day)}"


def _order(plan: Plan, why: Why) -> str:
    return f"it follows {steps_told(plan, why.names)} now"


def _leads(plan: Plan, why: Why) -> str:
    return f"{steps_told(plan, why.names)} follows it, from {day_told(plan, why.day)} on"


def _waits(plan: Plan, why: Why) -> str:
    at = f", {clock(why.until)}" if why.until and (why.until.hour or why.until.minute) else ""
    return f"it waits till {day_told(plan, why.day)}{at} for {steps_told(plan, why.names)}"


def _stock(plan: Plan, why: Why) -> str:
    names = listed([f"“{name_of(plan, one)}”" for one in why.names], NAMED)
    return f"{names} comes {_on(plan, why.day)}"


def _after_occasion(plan: Plan, why: Why) -> str:
    return f"it comes after {the_occasion(plan, why.names[0])}, {_on(plan, why.day)}"


def _not_before(plan: Plan, why: Why) -> str:
    return f"it is not to begin before {day_told(plan, why.day)}"


def _ready_by(plan: Plan, why: Why) -> str:
    return f"{the_occasion(plan, why.names[0])} wants it by {day_told(plan, why.day)}"


def _due_later(plan: Plan, why: Why) -> str:
    by = why.until.date() if why.until is not None else None
    return f"{the_occasion(plan, why.names[0])} wants it only by {day_told(plan, by)}"


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
    return f"it makes room for {steps_told(plan, why.names)}"


def _fills(plan: Plan, why: Why) -> str:
    return f"it takes hours that {steps_told(plan, why.names)} left"


def _fixed(plan: Plan, why: Why) -> str:
    return f"its day was fixed, {day_told(plan, why.day)}"


def _freed(plan: Plan, why: Why) -> str:
    return f"it was freed of its fixed day, {day_told(plan, why.day)}"


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
