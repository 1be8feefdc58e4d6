"""What went wrong, as edits with their names, without a screen: for the dialog and `wearby delay`.

Each comes from what was typed or chosen, and says what is to be known of it besides. What can't
be meant is a ValueError with a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from typing import Final

from planner.day_hours import DaySpans
from planner.editing.delays import (
    afresh,
    away_until,
    delivery_comes,
    evening,
    moved_to,
    next_helper_day,
    no_helper,
    nothing_done,
    occasion_moves,
    passed,
)
from planner.editing.hours import day_spans
from planner.looking_back import minutes_of
from planner.model import Coming, OccasionKind, Project, Span
from planner.plan import Plan
from planner.problems import InputError, Problem
from planner.quantity import Quantity
from planner.sitting_down import SatDown
from screens.amounts_told import worded_amount
from screens.clock_told import since_told
from screens.doing import Doing
from screens.forms import lookups
from screens.forms.fields import Change
from screens.forms.texts import moment_from
from screens.which_days import day_from
from screens.wording import (
    clean,
    clock,
    listed,
    long_date,
    named_date,
    on_date,
    spoken,
    the_occasion,
)

ONE_DAY = timedelta(days=1)
JUST_PAST = timedelta(days=120)
"""A day without a year that was no longer ago isn't taken for the next there is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class What:
    """One of the things that happen."""

    key: str
    """As it is typed behind `wearby delay PATH`."""
    name: str
    told: str


WHATS = (
    What(key="tonight", name="Nothing done tonight", told="what is left of today's hours is lost"),
    What(key="away", name="Away until …", told="no hours till the day you are back"),
    What(key="delivery", name="A delivery comes later …", told="cloth, trim or notions"),
    What(key="occasion", name="An occasion moves …", told="a fitting, a trial wear, the event"),
    What(key="helper", name="The helper can't come …", told="no second pair of hands that day"),
    What(key="afresh", name="Spread out afresh", told="hold on to nothing that was planned"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delay:
    """Something that happened, ready to be taken into the plan."""

    what: str
    """The key of its ``What``."""
    doing: Doing
    told: str = ""
    """What is to be known of it besides."""
    warning: str = ""
    """What is likely not meant, though it can be."""
    only_loses: bool = False
    """Whether it takes hours, hands or what comes away, and gives nothing."""


HOURS_OF: Final = ("in the workroom", "of setting up there", "on the sofa", "on the way")
"""What the hours of a day are, in words."""
_PLACES: Final[tuple[Callable[[DaySpans], tuple[Span, ...]], ...]] = (
    lambda one: one.workroom,
    lambda one: one.sofa,
    lambda one: one.take_along,
)


class Refused(ValueError):
    """What can't be meant, its dates as in the files."""


# what happened


def tonight(project: Project, now: datetime, sat: SatDown | None = None) -> Delay:
    """Nothing done tonight; ``sat``: what somebody sits at meanwhile, which isn't logged yet."""
    day = evening(project, now) or now.date()
    doing = _doing("nothing done tonight", partial(nothing_done, now=now), project, day.isoformat())
    told = _hours_lost(project, doing.change(project), day, now.date())
    if sat is not None:
        name, since = lookups.name_of(project, sat.step), since_told(sat.since, now.date())
        told += f" What was sat at “{name}” {since} isn't logged yet, and isn't lost:"
        told += " k puts it down."
    return Delay(what="tonight", doing=doing, told=told, only_loses=True)


def _hours_lost(before: Project, after: Project, day: date, today: date) -> str:
    """ "6 h 25 of hours today are lost: 4 h 40 in the workroom, 15 min of setting up there and
    1 h 30 on the sofa."."""
    was, becomes = day_spans(before, day), day_spans(after, day)
    lost = [
        minutes_of(DaySpans(workroom=place(was))) - minutes_of(DaySpans(workroom=place(becomes)))
        for place in _PLACES
    ]
    setting_up = before.workroom.setting_up
    usable = _usable(was.workroom, setting_up) - _usable(becomes.workroom, setting_up)
    minutes = (usable, lost[0] - usable, *lost[1:])
    parts = [f"{spoken(one)} {of}" for one, of in zip(minutes, HOURS_OF, strict=True) if one]
    told = f"{spoken(minutes_of(was) - minutes_of(becomes))} of hours {on_date(day, today)}"
    told += f" are lost{f': {listed(parts, len(parts))}' if len(parts) > 1 else ''}."
    return f"{told[:1].upper()}{told[1:]}"


def _usable(spans: tuple[Span, ...], setting_up: int) -> int:
    """Minutes of workroom hours without the setting up of each stretch, as they are planned."""
    total = begin = end = 0
    for span in sorted(spans, key=lambda one: one.start):
        if span.start > end or not end:
            total += max(0, end - begin - setting_up)
            begin = span.start
        end = max(end, span.end)
    return total + max(0, end - begin - setting_up)


def away(project: Project, back: date, now: datetime, first: date | None = None) -> Delay:
    """Away until a day: back on it."""
    today = now.date()
    label = f"away until {named_date(back, today)}"
    if first is not None and first != today:
        label = f"away from {named_date(first, today)} until {named_date(back, today)}"
    change = partial(away_until, back=back, now=now, first=first)
    doing = _doing(label, change, project, (first or today).isoformat())
    begin, last = first or today, back - ONE_DAY
    days = on_date(begin, today)
    if begin != last:
        first_named, last_named = named_date(begin, today), named_date(last, today)
        days = f"from {first_named} to {last_named}"
        if last - begin == ONE_DAY:
            days = f"{on_date(begin, today)} and {last_named}"
    lost = _lost(project, doing.change(project), begin, last)
    gone = f"{spoken(lost)} of hours go" if lost else "there are no hours on these days anyway"
    return Delay(
        what="away",
        doing=doing,
        told=f"Away {days}, back {on_date(back, today)}: {gone}.",
        only_loses=True,
    )


def _lost(before: Project, after: Project, first: date, last: date) -> int:
    """Minutes of hours that two projects differ by in a span of days."""
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return sum(minutes_of(day_spans(before, d)) - minutes_of(day_spans(after, d)) for d in days)


def delivery(
    project: Project, ident: str, one: Coming | None, day: date, now: datetime,
    amount: Quantity | None = None,
) -> Delay:  # fmt: skip
    """A delivery on another day; without one, an amount noted as coming then."""
    today, name = now.date(), lookups.name_of(project, ident)

    def change(it: Project) -> Project:
        stock = lookups.stock_of(it, ident)
        if stock is None or (one is not None and one not in stock.coming):
            raise _gone(it)
        which = None if one is None else stock.coming.index(one)
        return delivery_comes(it, ident, day, today, which=which, amount=amount)

    how_much = one.amount if one is not None else amount
    much = ""
    if how_much is not None:
        much = worded_amount(how_much.value, how_much.dimension, project.workroom.units)
    noted = "now due" if one is not None else "noted as coming"
    label = f"{f'{much} of ' if much else ''}{name} {noted} {on_date(day, today)}"
    was = one.arrives if one is not None else None
    told = f"It comes {on_date(day, today)}"
    told += f"; it was due {on_date(was, today)}." if was is not None else "."
    later = was is not None and day >= was
    doing = _doing(label, change, project)
    return Delay(what="delivery", doing=doing, told=told, only_loses=later)


def occasion(project: Project, plan: Plan, ident: str, to: date, now: datetime) -> Delay:
    """An occasion on another day, perhaps at another time; says whom it passes."""
    it = lookups.occasion_of(project, ident)
    if it is None:
        raise ValueError("That occasion is no longer there.")
    today, at = now.date(), moved_to(it, to)
    label = f"{lookups.name_of(project, ident)} moved to {_moment(it.kind, at, today)}"
    change = partial(occasion_moves, id=ident, to=to, now=now)
    over = [the_occasion(plan, one) for one in passed(plan, ident, at)]
    wants = "wants" if len(over) == 1 else "want"
    warning = ""
    if over:
        warning = f"It would be after {listed(over)}, which {wants} what comes after it."
    return Delay(
        what="occasion",
        doing=_doing(label, change, project, ident),
        told=f"It goes to {_moment(it.kind, at, today)}; it was {on_date(it.at.date(), today)}"
        f"{_at_time(it.kind, it.at)}.",
        warning=warning,
    )


def helper(project: Project, now: datetime, day: date | None = None) -> Delay:
    """The helper can't come on a day; without one, on the next."""
    day = day or next_helper_day(project, now)
    today = now.date()
    on = on_date(day, today) if day is not None else ""
    label = f"no helper {on}".strip()
    cursor = day.isoformat() if day is not None else None
    return Delay(
        what="helper",
        doing=_doing(label, partial(no_helper, now=now, day=day), project, cursor),
        told=f"No helper {on}: what needs two pairs of hands goes to other helper hours.",
        only_loses=True,
    )


def spread(project: Project) -> Delay:
    """Spread out afresh."""
    told = "What was planned so far is let go of, and all is planned as if for the first time."
    return Delay(what="afresh", doing=Doing(label="spread out afresh", change=afresh), told=told)


def _doing(label: str, change: Change, project: Project, cursor: str | None = None) -> Doing:
    """An edit that can be made; ValueError with a sentence where it can't."""

    def made(it: Project) -> Project:
        try:
            return change(it)
        except KeyError:
            raise _gone(it) from None

    try:
        made(project)
    except InputError as error:
        raise Refused(error.problems[0].text) from None
    return Doing(label=label, change=made, cursor=cursor)


def _gone(project: Project) -> InputError:
    text = "what is to be changed is no longer there"
    return InputError([Problem(file=project.workroom.file, place="", text=text)])


def _at_time(kind: OccasionKind, at: datetime) -> str:
    """ ", 14:00"; nothing of what has its whole day."""
    whole = kind in (OccasionKind.EVENT, OccasionKind.DEPARTURE) and at.time() == time()
    return "" if whole else f", {clock(at)}"


def _moment(kind: OccasionKind, at: datetime, today: date) -> str:
    return f"{named_date(at.date(), today)}{_at_time(kind, at)}"


# what is typed


def sentence(error: ValueError, today: date) -> str:
    """What is wrong, as a sentence; dates of the files as they are said."""

    def said(found: re.Match[str]) -> str:
        return named_date(date.fromisoformat(found[0]), today)

    text = clean(str(error)).rstrip(".")
    if isinstance(error, Refused):
        text = re.sub(r"\d{4}-\d\d-\d\d", said, text)
    return f"{text[:1].upper()}{text[1:]}."


def day_typed(text: str, today: date, *, ahead: bool = False) -> date:
    """A day as typed; ``ahead``: today's own weekday is that of the next week.

    ValueError with a sentence, too, where it is just past and the next there is would be meant
    only by chance: that of another year is written with its year.
    """
    words = text.strip()
    near = words.casefold() in ("today", "tomorrow")
    if not words:
        raise ValueError("Say on which day.")
    day = day_from(words, today + ONE_DAY if ahead and words.isalpha() and not near else today)
    _check_year(words, day, today)
    return day


def _check_year(words: str, day: date, today: date) -> None:
    """Raise ValueError where a day without a year is nearly a year ahead, and was just now."""
    if re.search(r"\d{4}", words) or words.isalpha() or (day.month, day.day) == (2, 29):
        return
    past = day.replace(year=day.year - 1)
    if timedelta() < today - past <= JUST_PAST:
        said = long_date(past).partition(" ")[2]
        raise ValueError(f"{said} is past; for {day.year} write {said} {day.year}.")


def moment_typed(text: str, today: date) -> date:
    """A day, or a day with a time (then a datetime): "Sunday", "9 May 16:00"."""
    words = re.sub(r"T(?=\d{1,2}[:.]\d\d$)", " ", text.strip())
    found = moment_from(words, today)
    if isinstance(found, date):
        _check_year(words, found if not isinstance(found, datetime) else found.date(), today)
        return found
    timed = re.fullmatch(r"(.*?),?\s+(?:at\s+)?(\d{1,2})[:.](\d\d)", words)
    if timed is None:
        return day_typed(words, today)
    day = day_typed(timed[1], today)
    try:
        return datetime.combine(day, time(int(timed[2]), int(timed[3])))
    except ValueError:
        raise ValueError(f"“{timed[2]}:{timed[3]}” is no time of a day.") from None


Read = Callable[[str], Delay]
"""What is typed comes to this; ValueError with a sentence where it comes to nothing."""

