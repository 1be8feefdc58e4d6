"""The hours in words, without a screen: days and weeks, why a day differs, how full each is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from planner.day_hours import DayHours, DaySpans
from planner.editing import PLACES
from planner.hours_ahead import DayAhead, WeekAhead, WindowAhead, days_changed
from planner.looking_back import leaves_none
from planner.model import Change, Place, Span, WeekHours, Workroom
from planner.plan import Plan
from planner.week import format_week
from screens.which_days import days_told
from screens.wording import (
    MONTHS,
    WEEKDAYS,
    clean,
    clock,
    column,
    count,
    listed,
    long_date,
    named_date,
    share,
    short_date,
    spoken,
)

NAMES: Final[Mapping[str, str]] = {
    "workroom": "workroom", "sofa": "sofa", "take_along": "on the way", "helper": "helper",
}  # fmt: skip
"""What each sort of hours is called, in a column and at a field."""
OF_PLACE: Final = {
    Place.WORKROOM: "workroom", Place.SOFA: "sofa", Place.TAKE_ALONG: "take_along",
}  # fmt: skip
SETTING_UP, FILL_TO, LIMIT = "setting_up", "fill_to", "hand_sewing_limit"


# hours


def compact(spans: Sequence[Span]) -> str:
    """Hours in a column: "19:30-21:30", "10:00-13:00 14:00-17:00"."""
    return " ".join(f"{_at(span.start)}-{_at(span.end)}" for span in spans)


def _at(minute: int) -> str:
    """A time of day: 09:30; 24:00 is midnight, and after it the next day's morning."""
    hour, rest = divmod(minute if minute <= 24 * 60 else minute - 24 * 60, 60)
    return f"{hour:02}:{rest:02}"


def hours_or_none(spans: Sequence[Span]) -> str:
    """Hours in a sentence."""
    return compact(spans) or "none"


# how full


@dataclass(frozen=True, slots=True, kw_only=True)
class Full:
    """How full something is, in few words."""

    text: str
    over: bool = False


def day_full(day: DayAhead) -> Full:
    """How full a day is, all its hours together; over where any window is."""
    return _full(day.over, day.load)


def week_full(week: WeekAhead) -> Full:
    """As of a day."""
    return _full(week.over, week.load)


def window_full(there: WindowAhead) -> Full:
    """Whether it is over or free; how full, in percent, is said of the whole day alone."""
    if there.window.planned and not there.over:
        return Full(text="")
    return _full(there.over, 0.0)


def _full(over: int, load: float | None) -> Full:
    if over:
        return Full(text=f"over {column(over)}", over=True)
    if load is None:
        return Full(text="")
    return Full(text=share(load) if load else "free")


# a week, and its days


def week_told(week: WeekAhead) -> str:
    """ "3 to 9 May: 10:30 of hours, 7:15 planned"."""
    first, last = week.days[0].day, week.days[-1].day
    month = "" if first.month == last.month else f" {MONTHS[first.month - 1]}"
    span = f"{first.day}{month} to {last.day} {MONTHS[last.month - 1]}"
    if first == last:
        span = f"{last.day} {MONTHS[last.month - 1]}"
    if not any(day.in_plan for day in week.days):
        return f"{span}: no occasion ahead"
    if not week.available:
        return f"{span}: no hours"
    planned = f"{column(week.planned)} planned" if week.planned else "nothing planned"
    return f"{span}: {column(week.available)} of hours, {planned}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """A day as a row of columns."""

    day: date
    dated: str
    cells: tuple[str, ...]
    """Hours of the ``PLACES``, in their order."""
    instead: str
    """What stands in their place where there are none: away, no hours."""
    note: str
    """Why it differs from its week; empty where it doesn't."""
    full: Full


def day_row(day: DayAhead) -> DayRow:
    """A day as a row of columns."""
    hours = day.hours
    spans = hours.spans
    # a second pair of hands counts only where workroom hours are
    there = spans if spans.workroom else replace(spans, helper=())
    cells = tuple(compact(getattr(there, place)) for place in PLACES)
    changed = bool(hours.changes) or (hours.away and hours.spans != hours.week)
    instead = ""
    if not any(cells):
        gone = hours.away or any(leaves_none(change) for change in hours.changes)
        instead = "away" if gone and changed else "no hours"
    return DayRow(
        day=day.day,
        dated=short_date(day.day),
        cells=cells,
        instead=instead,
        note=_note(hours) if changed else "",
        full=day_full(day),
    )


def _note(hours: DayHours) -> str:
    """Reasons in few words."""
    reasons = list(dict.fromkeys(clean(change.reason) for change in hours.changes))
    named = [reason for reason in reasons if reason]
    if named:
        return ", ".join(named)
    if not hours.changes:
        return "from the departure to the event"
    return "" if any(leaves_none(change) for change in hours.changes) else "changed"


# a day opened


def day_heading(day: DayAhead, today: date) -> str:
    """ "Thursday 6 May: 2:00 of hours, 1:45 planned, 88 % of them"."""
    named = named_date(day.day, today)
    if named in ("today", "tomorrow"):
        named = f"{named[:1].upper()}{named[1:]}, {' '.join(short_date(day.day).split())}"
    if not day.in_plan:
        return f"{named}: after the last occasion, so nothing is planned"
    if not day.available:
        return f"{named}: no hours"
    planned = f"{column(day.planned)} planned" if day.planned else "nothing planned"
    if day.over:
        planned += f", {day_full(day).text}"
    elif day.planned:
        planned += f", {day_full(day).text} of them"
    return f"{named}: {column(day.available)} of hours, {planned}"


def how_to_give_hours(day: DayAhead, workroom: Workroom) -> str:
    """What to do about a day without any hours; empty where it has some, or is away."""
    if day.hours.spans or day.hours.changes or day.hours.away:
        return ""
    if any(week_minutes(week_of(workroom, place)) for place in PLACES):
        return "Enter gives this day hours; w goes to the usual week."
    return "No hours are written yet: w goes to the usual week, enter gives this day some."


def why_it_differs(hours: DayHours, today: date) -> list[str]:
    """By whom a day is other than its week: for each change what it says, and what is usual."""
    found = []
    for change in hours.changes:
        places = [place for place in PLACES if _source(hours, place) is change]
        if not places:
            continue
        found.append(f"{_of_change(change, hours.day, today)}: {_against(hours, places)}.")
    if hours.away:
        found.append(
            "Away from the departure to the event: of workroom and sofa there are only the hours"
            " given for this very day."
        )
    return found


def _source(hours: DayHours, place: str) -> Change | None:
    """The change that gives a place its hours; None where it is the week."""
    spans = getattr(hours.spans, place)
    named = [change for change in hours.changes if getattr(change, place) is not None]
    return named[-1] if named and getattr(named[-1], place) == spans else None


def _against(hours: DayHours, places: Sequence[str]) -> str:
    """ "workroom none, usually 19:30-21:30"; "no hours, usually workroom 19:30-21:30"."""
    usual = {place: getattr(hours.week, place) for place in places}
    if not hours.spans and set(places) >= set(PLACES[:3]):
        told = ", ".join(f"{NAMES[p]} {compact(spans)}" for p, spans in usual.items() if spans)
        return f"no hours, usually {told}" if told else "no hours, and usually none"
    parts = []
    for place in places:
        spans = getattr(hours.spans, place)
        told = f"{NAMES[place]} {hours_or_none(spans)}"
        if spans == usual[place]:
            parts.append(f"{told} as usual")
        else:
            parts.append(f"{told}, usually {hours_or_none(usual[place])}")
    return "; ".join(parts)


def _of_change(change: Change, day: date, today: date) -> str:
    """ "On the night ferry, Fri 14 May to Sun 16 May"; of the day itself its reason alone."""
    reason = clean(change.reason)
    alone = change.rule is None and change.first == day and change.last in (day, None)
    if alone:
        return _capital(reason) or "Changed for this day"
    which = days_told(change, today)
    return f"{_capital(reason)}, {which}" if reason else _capital(which)


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def window_told(there: WindowAhead) -> str:
    """ "19:45-21:30  1:30 of 1:45"; of a free one how long it is."""
    window = there.window
    minutes = column(window.minutes)
    planned = f"{column(window.planned)} of {minutes}" if window.planned else minutes
    return f"{clock(window.start)}-{clock(window.end)}  {planned}"


def without_window(day: DayAhead, place: str) -> str:
    """Why hours that are written of a place are nowhere to be had; empty where they are."""
    spans = getattr(day.hours.spans, place)
    if (
        not spans
        or not day.in_plan
        or any(OF_PLACE[one.window.place] == place for one in day.windows)
    ):
        return ""
    return "nothing of it can be used: it is past, taken, or too short"


# the usual week, changes, settings


def week_row(workroom: Workroom, place: str) -> str:
    """A place's usual week in a line."""
    return format_week(week_of(workroom, place)) or "none"


def week_of(workroom: Workroom, place: str) -> WeekHours:
    """A place's usual week."""
    week: WeekHours = getattr(workroom, f"{place}_hours")
    return week


def week_minutes(week: WeekHours) -> int:
    """Minutes of a week."""
    return sum(span.end - span.start for spans in week for span in spans)


SERVES: Final[Mapping[str, str]] = {
    "workroom": "Every step can be done in them: table, machine and iron are there.",
    "sofa": "For what wants needle, lamp and lap, and what can be taken along.",
    "take_along": "For what goes into a bag: hand sewing without an iron in reach.",
    "helper": "Workroom hours in which a second pair of hands is there: lacing, pinning a back,"
    " levelling a hem wait for them.",
}


def week_sentences(week: WeekHours, place: str) -> list[str]:
    """A usual week opened: what these hours are for, and weekday by weekday."""
    days = [f"{name} {compact(spans)}" for name, spans in zip(WEEKDAYS, week, strict=True) if spans]
    return [SERVES[place], f"{'; '.join(days)}." if days else "There are none."]


def gives(change: Change) -> str:
    """What a change gives: "no hours", "workroom 19-21, sofa none"."""
    named = {place: getattr(change, place) for place in PLACES}
    there = {place: spans for place, spans in named.items() if spans is not None}
    if all(there.get(place) == () for place in PLACES[:3]) and not there.get("helper"):
        return "no hours"
    if not there:
        return "changes nothing"
    return ", ".join(f"{NAMES[place]} {hours_or_none(spans)}" for place, spans in there.items())


def is_past(change: Change, today: date) -> bool:
    """Whether a change of days is over, so that it says nothing of those ahead."""
    last = change.last or change.first
    return change.rule is None and last is not None and last < today


def change_sentences(change: Change, days: Sequence[date], today: date) -> list[str]:
    """A change opened: what it gives, and on which of the days ahead."""
    falls = days_changed(change, days)
    told = [" ".join(short_date(day).split()) for day in falls]
    end = f"up to {long_date(days[-1], today)}" if days else "ahead"
    if not falls:
        when = f"It falls on no day from today {end}."
    else:
        when = f"{count(len(falls), 'day')} {end}: {listed(told, 6)}."
    kept = [NAMES[place] for place in PLACES if getattr(change, place) is None]
    rest = f"{_capital(listed(kept, 4))}: as in the week." if kept else ""
    return [f"{_capital(gives(change))}.", *([rest] if rest else []), when]


def settings_rows(workroom: Workroom) -> tuple[tuple[str, str, str], ...]:
    """Each setting: its key, its name, what it says."""
    limit, off = workroom.hand_sewing_limit, column(workroom.setting_up)
    return (
        (SETTING_UP, "setting up", f"{off} off every stretch in the workroom"),
        (FILL_TO, "how full days are", f"{share(workroom.fill_to)} before work begins earlier"),
        (LIMIT, "hand sewing a day", "no limit" if limit is None else f"{column(limit)} at most"),
    )


SETTING_MEANS: Final[Mapping[str, str]] = {
    SETTING_UP: "Getting out and putting away: it is taken from the beginning of every stretch"
    " of workroom hours.",
    FILL_TO: "How full workroom hours are made before work begins earlier. The rest is reserve:"
    " making takes longer than one thinks.",
    LIMIT: "More hand sewing than this in a day is told on that day.",
}


# labels of edits


def away_label(first: date, last: date) -> str:
    """ "away on Thu 6 May", "away from Thu 6 May to Sat 8 May"."""
    begin, end = (" ".join(short_date(day).split()) for day in (first, last))
    return f"away on {begin}" if first == last else f"away from {begin} to {end}"


def day_label(day: date) -> str:
    """ "hours of Thu 6 May changed"."""
    return f"hours of {' '.join(short_date(day).split())} changed"


def back_label(change: Change, day: date) -> str:
    """ "on the night ferry taken back for Thu 6 May"."""
    dated = " ".join(short_date(day).split())
    reason = clean(change.reason)
    return f"“{reason}” taken back on {dated}" if reason else f"{dated} as it was without a change"


def change_label(change: Change, today: date, done: str) -> str:
    """ "change of hours added: every first Tuesday"."""
    return f"change of hours {done}: {days_told(change, today)}"


def spans_told(spans: DaySpans, setting_up: int = 0) -> str:
    """ "2 h in the workroom less setting up, 30 min on the way"; a day as it would be written."""
    parts = []
    for place, where in (
        ("workroom", "in the workroom"), ("sofa", "on the sofa"), ("take_along", "on the way"),
    ):  # fmt: skip
        minutes = sum(span.end - span.start for span in getattr(spans, place))
        if minutes:
            less = " less setting up" if setting_up and place == "workroom" else ""
            parts.append(f"{spoken(minutes)} {where}{less}")
    return ", ".join(parts) or "no hours at all"


def planned_there(plan: Plan, days: Sequence[date]) -> int:
    """Minutes planned on some days, occasions' own time aside."""
    there = set(days)
    return sum(one.minutes for one in plan.sittings if one.date in there and one.window is not None)
