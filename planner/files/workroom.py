"""A workroom's own tables: hours by weekday, changes, and how it works."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Final

from planner.durations import parse_duration, parse_share
from planner.files.checks import Table
from planner.files.clock import checked_rule, parse_span
from planner.files.findings import nearest, shown
from planner.model import NO_HOURS, Change, PaceChoices, Span, WeekHours, Workroom

WEEKDAYS: Final = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
)  # fmt: skip
HOURS_TABLES: Final = ("workroom_hours", "sofa_hours", "take_along_hours", "helper_hours")
PLACES_OF_CHANGE: Final = ("workroom", "sofa", "take_along", "helper")
SETTINGS: Final = ("units", "fill_to", "setting_up", "hand_sewing_limit")
WORKROOM_KEYS: Final = (*SETTINGS, "pace", *HOURS_TABLES, "change")
LEAST_PACE, MOST_PACE = 0.1, 10.0
_DAY_MINUTES = 24 * 60


def read_workroom(table: Table) -> Workroom:
    """The workroom of a document; closing the table is the caller's."""
    fill_to = table.parsed("fill_to", parse_share, '"70%"')
    if fill_to is not None and not 0 <= fill_to <= 1:
        table.problem("fill_to", "days are filled to at least 0% and at most 100%: write "
                      'a share such as "70%"')  # fmt: skip
    weeks = {name: _week(table.table(name)) for name in HOURS_TABLES}
    return Workroom(
        file=table.findings.file,
        units=table.word("units", ("metric", "imperial")) or "metric",
        fill_to=0.7 if fill_to is None else fill_to,
        setting_up=table.duration("setting_up", parse_duration, 0, _DAY_MINUTES) or 0,
        hand_sewing_limit=table.duration("hand_sewing_limit", parse_duration, 0, _DAY_MINUTES),
        changes=tuple(_change(item) for item in table.tables("change")),
        pace=_pace(table.table("pace")),
        **weeks,
    )


def _pace(table: Table | None) -> PaceChoices:
    """The maker's own pace: learn, and ratios by "all", kind of work or technique."""
    if table is None:
        return PaceChoices()
    learn = table.flag("learn")
    ratios: dict[str, float] = {}
    for key in table.data:
        if key == "learn":
            continue
        value = table.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            table.problem(key, f"{shown(value)} is no pace: write a number such as 1.2")
        elif not LEAST_PACE <= value <= MOST_PACE:
            table.problem(
                key, f"a pace lies between {LEAST_PACE} and {MOST_PACE}, 1.2 is a fifth slower"
            )
        else:
            ratios[key] = float(value)
    table.close()
    return PaceChoices(learn=learn is not False, by_hand=ratios)


def _week(table: Table | None) -> WeekHours:
    """Seven days' spans of one place, Monday first."""
    if table is None:
        return NO_HOURS
    for key in table.data:
        if key not in WEEKDAYS:
            near = nearest(key, WEEKDAYS)
            hint = f'did you mean "{near}"?' if near else "write monday to sunday"
            table.problem(key, f"{shown(key)} is not a weekday: {hint}")
    return tuple(_spans(table, day) or () for day in WEEKDAYS)


def _spans(table: Table, key: str) -> tuple[Span, ...] | None:
    """Spans of a list such as ["10:00-13:00", "14:00-17:00"]; None when missing."""
    found = table.items(key)
    if found is None:
        return None
    spans = []
    for where, item in found:
        if not isinstance(item, str):
            table.findings.problem(
                where, f'{shown(item)} is not a span of hours: write "19:30-21:30" in quotes'
            )
            continue
        try:
            spans.append(parse_span(item))
        except ValueError as error:
            table.findings.problem(where, str(error))
    return tuple(spans)


def _change(table: Table) -> Change:
    on, first, last = table.day("on"), table.day("from"), table.day("to")
    rule = _rule(table, first)
    _check_days(table)
    if first is not None and last is not None and last < first:
        table.problem("to", f"{last} is before {first}: let the span end after it begins")
    if not any(table.has(name) for name in PLACES_OF_CHANGE):
        table.warn("", "this change names no hours and changes nothing: add workroom = [], say")
    by_rule = table.has("rule")
    start = first if by_rule else on or first
    change = Change(
        first=start,
        last=None if by_rule else last or start,
        rule=rule,
        workroom=_spans(table, "workroom"),
        sofa=_spans(table, "sofa"),
        take_along=_spans(table, "take_along"),
        helper=_spans(table, "helper"),
        reason=table.text("reason") or "",
        where=table.where,
    )
    table.close()
    return change


def _rule(table: Table, first: date | None) -> str | None:
    anchor = None if first is None else datetime.combine(first, time())
    return table.parsed("rule", lambda text: checked_rule(text, anchor), '"FREQ=MONTHLY;BYDAY=1TU"')


def _check_days(table: Table) -> None:
    """A change has exactly one of a day, a span and a rule."""
    named = [key for key in ("on", "from", "rule") if table.has(key)]
    if not named:
        key = "to" if table.has("to") else ""
        table.problem(key, "this change names no day: write on, or from and to, or rule")
    elif "on" in named and len(named) > 1:
        table.problem("on", f"this change has on and {named[1]}: keep one of them")
    elif table.has("to") and named == ["on"]:
        table.problem("to", "a span begins with from: write from in place of on")
    elif table.has("to") and "rule" in named:
        table.problem("to", "a rule ends by UNTIL=20270630 inside it: take to out")
