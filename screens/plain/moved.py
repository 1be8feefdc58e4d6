"""`wearby moved`: the plan as it stands, compared with the one a day began with."""

from __future__ import annotations

from typing import Any

from screens.answers import Question, fits_status
from screens.arguments import wrong
from screens.moved_since import (
    OPTION,
    MovedSince,
    moved_since,
    nearest_told,
    since_date,
    unknown_told,
)
from screens.moved_told import Row, groups, moved_lines
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.wording import column, wrapped

DAYS = 23
"""Columns of a move: from which day to which."""


def status(question: Question) -> int:
    """Whether all fits now; raises InputError where no plan of then is known."""
    _found(question)
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """What moved, by step, and what was otherwise then."""
    from planner.exports.moved_as_json import moved_as_json

    found = _found(question)
    return {
        **common(question.plan),
        "since": found.since.isoformat(),
        "plan_of": found.behind.day.isoformat(),
        "not_done": found.not_done,
        **moved_as_json(found.moved),
    }


def lines(question: Question) -> list[str]:
    """A sentence on top, then and now, and step by step from when to when, and why."""
    plan, compared = question.plan, _found(question)
    nearest = nearest_told(compared, plan.now.date())
    found = [*verdict(plan), "", *wrapped([nearest], WIDTH)]
    for text in moved_lines(compared, plan):
        found += wrapped([text], WIDTH)
    for group in groups(compared.moved, plan):
        found += ["", f"{group.title}:"]
        names = names_column(row.name for row in group.rows if not row.days)
        for row in group.rows:
            found += _row(row, names)
    return found


def _row(row: Row, names: int) -> list[str]:
    """Days, minutes, letter, step, then garment and why; further days beneath."""
    minutes = [f"{column(one):>5}" for one in row.minutes] or [" " * 5]
    if not row.days:
        return named(f"  {minutes[0]}  {row.letter}  ", row.name, row.told, names)
    first, *rest = row.days
    found = named(f"  {first:<{DAYS}}  {minutes[0]}  {row.letter}  ", row.name, row.told, 0)
    more = zip(rest, minutes[1:], strict=False)
    return found + [f"  {day:<{DAYS}}  {time}" for day, time in more]


def _found(question: Question) -> MovedSince:
    """What moved since the day that was typed; raises InputError where no plan is known."""
    today = question.plan.now.date()
    since = since_date(question.given.since, today)
    found = moved_since(question.project, question.plan, since)
    if found is None:
        raise wrong(OPTION, unknown_told(question.project, since, today))
    return found
