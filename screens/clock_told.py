"""The clock in words: who sits at what, since when, and what putting it down would log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from planner.plan import Plan
from planner.sitting_down import SatDown, TooLong, minutes_sat
from screens.wording import (
    clock,
    column,
    fitted,
    name_of,
    named_date,
    quoted,
    short_date,
    spoken,
    step_with_garment,
)

REACHES = "k puts it down"
NOT_AGAIN = "Its clock doesn't run again: k sits down anew."
STOPS_AGAIN = "Its clock has stopped again."
LONG_NAME, SHORT_NAME = 36, 20
"""Columns of a step's name in the line, and where there is more to say: so it fits into 80."""


class Choice(StrEnum):
    """What can be done with a step one sits at."""

    PUT_DOWN = "put down"
    DONE = "done"
    GO_ON = "go on"
    OTHER_MINUTES = "other minutes"
    THROW_AWAY = "throw away"
    INSTEAD = "instead"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """A choice, and what comes of it."""

    choice: Choice
    title: str
    told: str


def since_told(since: datetime, today: date, short: bool = False) -> str:
    """ "since 19:42"; of another day "since yesterday, 19:42"; ``short``: "since Sun 7 Mar, 20:10".
    """
    named = named_date(since.date(), today)
    if short and (today - since.date()).days > 1:
        named = " ".join(short_date(since.date()).split())
    day = "" if since.date() == today else f"{named}, "
    return f"since {day}{clock(since)}"


def sitting_line(plan: Plan, sat: SatDown, now: datetime, long: bool) -> str:
    """ "Sitting at “fell the lining” since 19:42, 0:23." """
    name = fitted(name_of(plan, sat.step), LONG_NAME if not long else SHORT_NAME)
    head = f"Sitting at “{name}” {since_told(sat.since, now.date(), short=long)}"
    return f"{head}: k asks how long." if long else f"{head}, {column(minutes_sat(sat, now))}."


def heading(plan: Plan, sat: SatDown, now: datetime) -> str:
    """Which step it is about, and since when."""
    return f"Sitting at {step_with_garment(plan, sat.step)} {since_told(sat.since, now.date())}"


def asks_how_long(plan: Plan, sat: SatDown, now: datetime, found: TooLong | None) -> str:
    """Why it is asked for how long it was."""
    ran = minutes_sat(sat, now)
    if found is None:
        return "Less than a minute by the clock: for how long was it really?"
    until = " Proposed: till the end of your hours." if found.minutes is not None else ""
    return f"The clock ran for {spoken(ran)}: too long.{until}"


def proposed(sat: SatDown, now: datetime, found: TooLong | None) -> int | None:
    """Minutes that are proposed where it is asked for how long; None for none."""
    if found is None:
        return minutes_sat(sat, now) or None
    if found.minutes is None and sat.since.date() == now.date():
        return minutes_sat(sat, now)
    return found.minutes


def asks_left(plan: Plan, step: str) -> str:
    """What is left is asked with what the plan thinks."""
    left = next((one.left for one in plan.steps if one.id == step), 0)
    return f"The plan has {spoken(left)} left before this sitting; your guess counts more."


def choices(plan: Plan, minutes: int, instead: str | None) -> Sequence[Offered]:
    """What can be done, each with what comes of it.

    ``minutes``: 0 where it isn't known for how long it was; ``instead``: the step under the
    cursor.
    """
    logged = f"logs {spoken(minutes)}"
    how_long = Offered(
        choice=Choice.OTHER_MINUTES,
        title="it was longer or shorter" if minutes else "say for how long it was",
        told="asks for the minutes",
    )
    done = Offered(
        choice=Choice.DONE,
        title="it is done",
        told=f"{logged}, done" if minutes else "logs that it is done, without a time",
    )
    go_on = Offered(choice=Choice.GO_ON, title="go on", told="the clock runs on")
    away = Offered(choice=Choice.THROW_AWAY, title="throw it away", told="logs nothing")
    if not minutes:
        return (how_long, done, go_on, away)
    put_down = Offered(
        choice=Choice.PUT_DOWN, title="put it down", told=f"{logged}; it goes on another time"
    )
    if instead is None:
        return (put_down, done, go_on, how_long, away)
    other = Offered(
        choice=Choice.INSTEAD,
        title=f"put it down, sit down to {quoted(plan, instead)}",
        told=logged,
    )
    return (put_down, done, go_on, other, how_long, away)


def sat_down(plan: Plan, sat: SatDown) -> str:
    """Said when the clock begins to run."""
    return f"Sat down to {step_with_garment(plan, sat.step)} at {clock(sat.since)}; {REACHES}."


def is_done(plan: Plan, step: str, over: bool) -> str:
    """Why nobody sits down to a step; ``over``: it can be opened here."""
    how = "f does it over." if over else "where it must be done over, f in the diary (l) opens it."
    return f"{step_with_garment(plan, step)} is done already: {how}"


def put_down(plan: Plan, step: str, minutes: int, done: bool) -> str:
    """What was done, as a past fact."""
    what = "done" if done else "put down"
    after = f" after {spoken(minutes)}" if minutes else ""
    return f"{step_with_garment(plan, step)} {what}{after}"


def thrown_away(plan: Plan, step: str) -> str:
    """Said when nothing is logged."""
    return f"Nothing is logged of {step_with_garment(plan, step)}; the clock has stopped."


def runs_again(sat: SatDown, now: datetime) -> str:
    """Said when putting down was taken back."""
    return f"Its clock runs on, {since_told(sat.since, now.date())}."


def runs_for_other(plan: Plan, sat: SatDown) -> str:
    """Said when putting down was taken back, and somebody sits at another step by now."""
    return f"The clock runs on for {quoted(plan, sat.step)}, which you sit at now."
