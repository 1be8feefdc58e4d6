"""Edits of the maker's hours: one day, days away, the usual week, and changes one by one.

A day's hours are its week's, and then what changes say of it, the later in the file winning
place by place. An edit of one day or of days away touches no hours of other days.

What can't be meant (hours that overlap, a span that ends before it begins, a rule that is none)
is a ValueError with a sentence.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import Any, Final

from planner.day_hours import WEEKDAYS, DaySpans, falls_on, hours_of_days
from planner.files.clock import checked_rule, format_span
from planner.hours import DAY
from planner.looking_back import leaves_none
from planner.model import Change, Project, Span, WeekHours
from planner.occasions import away_times

PLACES: Final = ("workroom", "sofa", "take_along", "helper")
"""What hours are of, as changes and ``DaySpans`` name it."""

Spans = tuple[Span, ...]


def day_spans(project: Project, day: date) -> DaySpans:
    """What the week and its changes give a day: before occasions, setting up and cuts, but
    without workroom and sofa hours of a day wholly between a departure and its event."""
    away = away_times(project.ensembles)
    return hours_of_days(project.workroom, day, day, away)[0].spans


def set_day(
    project: Project,
    day: date,
    *,
    workroom: Spans | None = None,
    sofa: Spans | None = None,
    take_along: Spans | None = None,
    helper: Spans | None = None,
    reason: str | None = None,
) -> Project:
    """Other hours on one day; None keeps what the day has, and its change's reason.

    The change for exactly that day names only what differs from what the day would have
    without it, and stands behind every other change that would win. With nothing to name it
    goes. Raises ValueError where hours overlap or a span has no length.
    """
    given = {"workroom": workroom, "sofa": sofa, "take_along": take_along, "helper": helper}
    asked = {place: spans for place, spans in given.items() if spans is not None}
    for spans in asked.values():
        check_spans(spans)
    wanted = _by_place(day_spans(project, day)) | asked
    own = [i for i, change in enumerate(project.workroom.changes) if _is_for(change, day)]
    bare = _without(project, own)
    there = _by_place(day_spans(bare, day))
    differs = {place: spans for place, spans in wanted.items() if spans != there[place]}
    if not differs:
        return bare if own else project
    if reason is None:
        reason = project.workroom.changes[own[-1]].reason if own else ""
    change = Change(
        first=day,
        last=day,
        workroom=differs.get("workroom"),
        sofa=differs.get("sofa"),
        take_along=differs.get("take_along"),
        helper=differs.get("helper"),
        reason=reason.strip(),
    )
    return _put(project, own, change, day)


def away(project: Project, first: date, last: date, reason: str = "") -> Project:
    """No hours at any place from ``first`` to ``last``, inclusive, whatever was said before.

    What was away of these days already is so by the new change; days of such a span outside
    stay away by what is left of it. Raises ValueError where the span ends before it begins.
    """
    check_days(first, last)
    changes: list[Change] = []
    for change in project.workroom.changes:
        changes += _cut_out(change, first, last) if leaves_none(change) else [change]
    gone = Change(
        first=first, last=last, workroom=(), sofa=(), take_along=(), helper=(),
        reason=reason.strip(),
    )  # fmt: skip
    return _with_changes(project, (*changes, gone))


def present(project: Project, day: date) -> Project:
    """The day's own change taken back, or its part of a span of days, which is split.

    Where several are for the day, the last of them goes; the project itself where none is.
    """
    taken = taken_back(project, day)
    if taken is None:
        return project
    changes: list[Change] = []
    for change in project.workroom.changes:
        changes += _cut_out(change, day, day) if change is taken else [change]
    return _with_changes(project, changes)


def taken_back(project: Project, day: date) -> Change | None:
    """What ``present`` would take back on a day: the last change for it or a span around it
    that names any hours. None where none does; a recurrence is never taken back."""
    for change in reversed(project.workroom.changes):
        if change.rule is None and falls_on(change, day) and _names(change):
            return change
    return None


def add_change(project: Project, change: Change) -> Project:
    """A change more, behind the others, so that it wins."""
    check_change(change)
    return _with_changes(project, (*project.workroom.changes, change))


def replace_change(project: Project, index: int, change: Change) -> Project:
    """Another change in the place of one. KeyError where there is none."""
    check_change(change)
    changes = list(project.workroom.changes)
    changes[_checked(project, index)] = change
    return _with_changes(project, changes)


def remove_change(project: Project, index: int) -> Project:
    """The project without a change. KeyError where there is none."""
    return _without(project, [_checked(project, index)])


def set_week(project: Project, place: str, week: WeekHours) -> Project:
    """Other usual hours of a place (one of ``PLACES``), Monday first."""
    if place not in PLACES:
        raise KeyError(place)
    for weekday, spans in zip(WEEKDAYS, week, strict=True):
        try:
            check_spans(spans)
        except ValueError as error:
            raise ValueError(f"{weekday.capitalize()}: {error}") from None
    hours: dict[str, Any] = {f"{place}_hours": week}
    return replace(project, workroom=replace(project.workroom, **hours))


def check_spans(spans: Sequence[Span]) -> None:
    """Raise ValueError where spans of one day and place overlap, or are none."""
    for span in spans:
        if not 0 <= span.start < DAY:
            raise ValueError(f"{span.start} minutes is no time of a day: 0 to {DAY - 1} are")
        if not span.start < span.end <= span.start + DAY:
            raise ValueError(
                f'"{format_span(span)}" ends before it begins, or is longer than a day'
            )
    for one, two in pairwise(sorted(spans, key=lambda span: span.start)):
        if two.start < one.end:
            raise ValueError(
                f"{format_span(one)} and {format_span(two)} overlap: write them as one, or "
                "let the second begin when the first ends"
            )


def check_days(first: date, last: date) -> None:
    """Raise ValueError where a span of days ends before it begins."""
    if last < first:
        raise ValueError(f"{last} is before {first}: let the span end after it begins")


def check_change(change: Change) -> None:
    """Raise ValueError where a change is none: of no day, of a rule that isn't RFC 5545, of
    hours that overlap, or of none at all."""
    if change.rule is not None:
        anchor = None if change.first is None else datetime.combine(change.first, time())
        checked_rule(change.rule, anchor)
        if change.last is not None:
            raise ValueError("a rule ends by UNTIL=20270630 inside it: take to out")
    elif change.first is None:
        raise ValueError("this change names no day: write a day, a span of days, or a rule")
    elif change.last is not None:
        check_days(change.first, change.last)
    if not _names(change):
        raise ValueError('this change names no hours and changes nothing: write hours, or "none"')
    for place in PLACES:
        check_spans(getattr(change, place) or ())


# What changes are for


def _names(change: Change) -> bool:
    """Whether a change names hours of any place."""
    return any(getattr(change, place) is not None for place in PLACES)


def _is_for(change: Change, day: date) -> bool:
    """Whether a change is for exactly this day."""
    return change.rule is None and change.first == day and change.last in (day, None)


def _by_place(spans: DaySpans) -> dict[str, Spans]:
    return {place: getattr(spans, place) for place in PLACES}


def _put(project: Project, own: Sequence[int], change: Change, day: date) -> Project:
    """The project with a change for a day in the place of those at ``own``."""
    at = _place_of(project.workroom.changes, own, change, day)
    changes: list[Change] = []
    for i, old in enumerate(project.workroom.changes):
        if i == at:
            changes.append(change)
        elif i not in own:
            changes.append(old)
    return _with_changes(project, changes if at is not None else (*changes, change))


def _place_of(
    changes: Sequence[Change], own: Sequence[int], change: Change, day: date
) -> int | None:
    """Where a day's change can stand so that it wins: in the place of the last it had, so that
    what the maker wrote beside that stays; None for behind all others."""
    if not own:
        return None
    for later in changes[own[-1] + 1 :]:
        both = any(
            getattr(later, place) is not None and getattr(change, place) is not None
            for place in PLACES
        )
        if both and falls_on(later, day):
            return None
    return own[-1]


def _cut_out(change: Change, first: date, last: date) -> list[Change]:
    """What is left of a change of days without ``first`` to ``last``: none, one or two."""
    begin = change.first
    if begin is None:
        return [change]
    end = change.last or begin
    if end < first or last < begin:
        return [change]
    left = []
    if begin < first:
        left.append(replace(change, first=begin, last=first - timedelta(days=1)))
    if last < end:
        left.append(replace(change, first=last + timedelta(days=1), last=end))
    return left


# Changes of a project


def _checked(project: Project, index: int) -> int:
    if not 0 <= index < len(project.workroom.changes):
        raise KeyError(f"change[{index}]")
    return index


def _without(project: Project, gone: Sequence[int]) -> Project:
    changes = project.workroom.changes
    return _with_changes(project, [c for i, c in enumerate(changes) if i not in gone])


def _with_changes(project: Project, changes: Iterable[Change]) -> Project:
    """The project with other changes, each with its key path as the file will have it."""
    placed = tuple(replace(change, where=f"change[{i}]") for i, change in enumerate(changes))
    return replace(project, workroom=replace(project.workroom, changes=placed))
