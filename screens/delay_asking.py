"""What is asked of each thing that can go wrong, with a good proposal: which, and on what day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil

from planner.editing.delays import next_helper_day
from planner.exports.account import stock_reports_of
from planner.model import Coming, OccasionKind, Project
from planner.plan import Plan, PlannedOccasion
from planner.quantity import AREA, METRES, Quantity, parse_quantity
from planner.sitting_down import SatDown
from planner.stock import GRAIN
from planner.stock_report import StockReport
from screens import delays_doing as doing
from screens.amounts_told import unit_for
from screens.delaying import Near
from screens.delays_doing import Delay
from screens.forms.fields import Option
from screens.stock_told import amount_of, unit_of
from screens.wording import clean, clock, long_date, name_of, named_date, occasion_name

SUNDAY = 6
LATELY = timedelta(days=7)
"""An occasion so long past may not have been held, and move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """What one of the things asks at most: which is meant, and a text."""

    what: str
    read: Callable[[str, str], Delay]
    """The key of what is meant and the text come to this; ValueError with a sentence."""
    which: str = ""
    """The question which is meant; empty where that isn't asked."""
    options: tuple[Option, ...] = ()
    there: str = ""
    """The option that is most likely meant."""
    nothing: str = ""
    """Why nothing can be meant, where there are no options."""
    label: str = ""
    """What the text is; empty where none is asked."""
    help: str = ""
    proposed: Callable[[str], str] = lambda key: ""
    """What stands there at first, for the key of what is meant."""


def asking(
    what: str, project: Project, plan: Plan, now: datetime, near: Near, sat: SatDown | None = None
) -> Asking:
    """What is asked, for the key of one of the things that happen; ``sat``: what somebody sits at
    meanwhile."""
    if what == "away":
        return _away(project, plan, now, near)
    if what == "delivery":
        return _delivery(project, plan, now, near)
    if what == "occasion":
        return _occasion(project, plan, now, near)
    if what == "helper":
        return _helper(project, plan, now, near)
    if what == "tonight":
        return Asking(what=what, read=lambda key, text: doing.tonight(project, now, sat))
    return Asking(what=what, read=lambda key, text: doing.spread(project))


def day_text(day: date, today: date) -> str:
    """A day as it stands in a field: "Friday 7 May"."""
    return long_date(day, today)


# away


def _away(project: Project, plan: Plan, now: datetime, near: Near) -> Asking:
    today = now.date()

    def read(key: str, text: str) -> Delay:
        return doing.away(project, doing.day_typed(text, today, ahead=True), now)

    return Asking(
        what="away",
        read=read,
        label="Back on",
        help="The first day you are there again: Friday, 7 May, tomorrow.",
        proposed=lambda key: day_text(_back(plan, today, near), today),
    )


def _back(plan: Plan, today: date, near: Near) -> date:
    """The day under the cursor; else the one after the next with hours, that has some too."""
    if near.day is not None and near.day > today:
        return near.day
    days = [day.date for day in plan.days if day.date > today and _has_hours(plan, day.date)]
    return days[1] if len(days) > 1 else today + timedelta(days=2)


def _has_hours(plan: Plan, on: date) -> bool:
    return any(window.day == on for window in plan.windows)


# a delivery


def _delivery(project: Project, plan: Plan, now: datetime, near: Near) -> Asking:
    today = now.date()
    reports = {one.id: one for one in stock_reports_of(project, plan)}
    meant = _deliveries(reports, today)
    there = next((key for key in meant if near.stock and _stock(key) == near.stock), "")

    def coming(key: str) -> Coming | None:
        return meant[key]

    def read(key: str, text: str) -> Delay:
        ident, one = _stock(key), coming(key)
        amount = None if one is not None else short_amount(plan, reports[ident])
        day = doing.day_typed(text, today)
        return doing.delivery(project, ident, one, day, now, amount=amount)

    return Asking(
        what="delivery",
        read=read,
        which="Which delivery?",
        options=tuple(_delivery_option(plan, reports, key, one) for key, one in meant.items()),
        there=there or next(iter(meant), ""),
        nothing="Nothing is coming, and nothing runs out. What is ordered is written down at the"
        " Stock, by d.",
        label="Comes on",
        help="The day it comes instead: the 6th as 6 May, Thursday, 2027-05-06.",
        proposed=lambda key: day_text(_arrival(reports[_stock(key)], coming(key), today), today),
    )


def _stock(key: str) -> str:
    """Full id of the stock of an option."""
    return key.partition(" ")[0]


def _deliveries(reports: dict[str, StockReport], today: date) -> dict[str, Coming | None]:
    """What may be meant: deliveries, the one due nearest first, then those of which nobody knows
    the day; then what runs out and isn't coming (None)."""
    found: list[tuple[tuple[int, int], str, Coming | None]] = []
    for ident, report in reports.items():
        for place, one in enumerate(report.arrivals):
            off = abs((one.arrives - today).days) if one.arrives is not None else 0
            found.append(((int(one.arrives is None), off), f"{ident} {place}", one))
        if not report.arrivals and report.short > GRAIN:
            found.append(((2, 0), f"{ident} ", None))
    return {key: one for _, key, one in sorted(found, key=lambda one: one[0])}


def _delivery_option(
    plan: Plan, reports: dict[str, StockReport], key: str, one: Coming | None
) -> Option:
    report, today = reports[_stock(key)], plan.now.date()
    name = name_of(plan, report.id)
    if one is None:
        amount = amount_of(plan, report, report.short)
        return Option(key=key, name=f"{name}, {amount}", told="wanted, not yet coming")
    due = "nobody knows when" if one.arrives is None else f"due {named_date(one.arrives, today)}"
    return Option(key=key, name=f"{name}, {amount_of(plan, report, one.amount.value)}", told=due)


def short_amount(plan: Plan, report: StockReport) -> Quantity | None:
    """What is wanted more than there is and comes, no less, as a number that is easily written;
    None where there is enough."""
    if report.short <= GRAIN:
        return None
    unit = unit_of(plan, report) or unit_for(report.short, report.dimension, plan.units)
    scale = METRES[unit] ** report.dimension if unit else 1.0
    number = ceil(report.short / scale * 100 - GRAIN) / 100
    square = "2" if report.dimension == AREA else ""
    return parse_quantity(f"{number:g} {unit}{square}" if unit else f"{number:g}")


def _arrival(report: StockReport, one: Coming | None, today: date) -> date:
    """Two days later than it was due; the next day where it is due by today. Not on a Sunday."""
    due = one.arrives if one is not None else None
    if due is None:
        day = today + timedelta(days=report.stock.lead or 3)
    else:
        day = due + timedelta(days=2) if due > today else today + timedelta(days=1)
    return day + timedelta(days=1) if day.weekday() == SUNDAY else day


# an occasion


def _occasion(project: Project, plan: Plan, now: datetime, near: Near) -> Asking:
    today = now.date()
    known = {
        one.id: one
        for one in plan.occasions
        if not one.past or (_can_be_missed(one) and one.end > now - LATELY)
    }
    first = next((one.id for one in known.values() if not one.past), next(iter(known), ""))

    def read(key: str, text: str) -> Delay:
        return doing.occasion(project, plan, key, doing.moment_typed(text, today), now)

    return Asking(
        what="occasion",
        read=read,
        which="Which occasion?",
        options=tuple(_occasion_option(plan, one) for one in known.values()),
        there=near.occasion if near.occasion in known else first,
        nothing="No occasion lies ahead; one is added at the Garments, or from the list of all"
        " that can be done.",
        label="Moves to",
        help="The day, and the time where that changes too: Sunday, 9 May 16:00.",
        proposed=lambda key: day_text(_moves_to(plan, known[key], near), today),
    )


def _can_be_missed(one: PlannedOccasion) -> bool:
    return one.kind in (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR)


def _occasion_option(plan: Plan, one: PlannedOccasion) -> Option:
    name = occasion_name(one)
    if len(plan.wearable_on) > 1:
        name = f"{name}, {clean(plan.names.get(one.id.split('/', 1)[0], ''))}"
    day = named_date(one.at.date(), plan.now.date())
    told = f"{day}, {clock(one.at)}" if _can_be_missed(one) else day
    return Option(key=one.id, name=name, told=f"was {told}" if one.past else told)


def _moves_to(plan: Plan, one: PlannedOccasion, near: Near) -> date:
    """The day under the cursor where that is ahead and another; else the next day with hours, of
    a departure or event a week later."""
    today, day = plan.now.date(), one.at.date()
    if near.day is not None and near.day > today and near.day != day:
        return near.day
    if not _can_be_missed(one):
        return max(day, today) + timedelta(days=7)
    later = [window.day for window in plan.windows if window.day > max(day, today)]
    return min(later, default=max(day, today) + timedelta(days=1))


# a helper


def _helper(project: Project, plan: Plan, now: datetime, near: Near) -> Asking:
    today = now.date()
    following = next_helper_day(project, now)
    helped = {window.day for window in plan.windows if window.helper}
    there = near.day if near.day in helped else following

    def read(key: str, text: str) -> Delay:
        return doing.helper(project, now, doing.day_typed(text, today))

    return Asking(
        what="helper",
        read=read if following is not None else lambda key, text: doing.helper(project, now),
        label="Can't come on" if following is not None else "",
        help="The day of the helper hours that go: Saturday, 8 May.",
        proposed=lambda key: day_text(there, today) if there is not None else "",
    )
