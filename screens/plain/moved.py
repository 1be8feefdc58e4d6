"""`wearby moved`: the plan as it stands, compared with the one a day began with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from planner.files.plans_behind import PlanBehind, folder_of, plan_of_day, plans_known
from planner.replan import what_moves
from planner.replanning.values import Moved
from screens.answers import Question, fits_status
from screens.arguments import read_date, wrong
from screens.moved_told import Row, groups, moved_lines
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.wording import WEEKDAYS, column, listed, long_date, named_date, wrapped

TOLD = 4
"""So many days are named of which a plan is known."""
DAYS = 23
"""Columns of a move: from which day to which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Compared:
    """What was asked for, and what came of it."""

    since: date
    behind: PlanBehind
    moved: Moved


def status(question: Question) -> int:
    """Whether all fits now; raises InputError where no plan of then is known."""
    _compared(question)
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """What moved, by step, and what was otherwise then."""
    from planner.exports.moved_as_json import moved_as_json

    compared = _compared(question)
    return {
        **common(question.plan),
        "since": compared.since.isoformat(),
        "plan_of": compared.behind.day.isoformat(),
        **moved_as_json(compared.moved),
    }


def lines(question: Question) -> list[str]:
    """A sentence on top, then and now, and step by step from when to when, and why."""
    plan, compared = question.plan, _compared(question)
    found = verdict(plan)
    first, *others = moved_lines(compared.moved, plan, compared.behind.day)
    found += ["", *_nearest(question, compared), *wrapped([first], WIDTH)]
    for text in others:
        found += wrapped([text], WIDTH)
    every = groups(compared.moved, plan)
    names = names_column(row.name for group in every for row in group.rows)
    for group in every:
        found += ["", group.title]
        for row in group.rows:
            found += _row(row, names)
    return found


def _row(row: Row, names: int) -> list[str]:
    """Days, minutes, letter, step, then garment and why; further days beneath."""
    days, minutes = row.days or ("",), row.minutes
    first = f"{column(minutes[0]):>5}" if minutes else f"{'':5}"
    head = f"  {days[0]:<{DAYS}}  {first}  {row.letter}  "
    if not any(row.days):
        head = f"  {first}  {row.letter}  "
    found = named(head, row.name, row.told, names if not any(row.days) else 0)
    more = zip(days[1:], minutes[1:], strict=False)
    return found + [f"  {day:<{DAYS}}  {column(minute):>5}" for day, minute in more]


def _nearest(question: Question, compared: _Compared) -> list[str]:
    """That the plan of another day is compared with, where it is."""
    if compared.behind.day == compared.since:
        return []
    today = question.plan.now.date()
    text = f"No plan of {named_date(compared.since, today)} was kept; the nearest before it is"
    return wrapped([f"{text} that of {named_date(compared.behind.day, today)}."], WIDTH)


def _compared(question: Question) -> _Compared:
    """The plan of then, and what moved since; raises InputError where none is known."""
    today = question.plan.now.date()
    since = since_date(question.given.since, today)
    behind = _plan_of(question, since)
    if behind is None:
        raise wrong("--since", _unknown(question, since))
    moved = what_moves(behind.kept, question.plan, question.project)
    return _Compared(since=since, behind=behind, moved=moved)


def _plan_of(question: Question, since: date) -> PlanBehind | None:
    """The plan with which a day began, or the nearest before it; else the one accepted last, if
    it is as old."""
    folder = folder_of(question.project)
    found = plan_of_day(folder, since) if folder is not None else None
    kept = question.project.kept
    if found is None and kept.as_of is not None and kept.as_of.date() <= since:
        return PlanBehind(day=kept.as_of.date(), kept=kept)
    return found


def _unknown(question: Question, since: date) -> str:
    """That there is no plan of then, and what there is."""
    today = question.plan.now.date()
    folder = folder_of(question.project)
    known = plans_known(folder) if folder is not None else []
    days = [long_date(day, today) for day in known if day <= today]
    if not days:
        return (
            "No plan of an earlier day is known yet. One is kept each day on which the"
            " program is opened: wearby FOLDER."
        )
    first = f"No plan of {long_date(since, today)} or before is known."
    return f"{first} There are those of {listed(days, TOLD)}."


def since_date(text: str | None, today: date) -> date:
    """The day that was typed: 2027-05-03, yesterday, Monday (the last one); without it today.

    Raises InputError, also for a day to come.
    """
    word = (text or "today").strip().lower()
    weekdays = [day.lower() for day in WEEKDAYS]
    if word == "yesterday":
        return today - timedelta(days=1)
    if word in weekdays:
        back = (today.weekday() - weekdays.index(word)) % 7
        return today - timedelta(days=back or 7)
    found = read_date(word, "--since", today)
    if found > today:
        raise wrong("--since", f"{long_date(found, today)} is still to come: give a day behind.")
    return found
