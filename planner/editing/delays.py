"""Edits for when the week goes wrong: an evening lost, days away, a delivery that comes later, an
occasion that moves, a helper who can't come.

Each leaves everything else as it is. What can't be meant (a day that is past, a helper who wasn't
coming anyway) is an InputError with a sentence; what isn't there is a KeyError.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Final, NoReturn

from planner.day_hours import DaySpans, hours_of_days
from planner.editing.finding import ensemble_of, position, split_id
from planner.editing.hours import Spans, away, day_spans, set_day
from planner.editing.occasions import replace_occasion
from planner.editing.stock import replace_stock
from planner.ground import YEARS_AHEAD
from planner.hours import DAY
from planner.model import Coming, Occasion, OccasionKind, Project, Span, Stock
from planner.occasions import away_times
from planner.plan import Plan
from planner.problems import InputError, Problem
from planner.quantity import Quantity

NOTHING_DONE: Final = "nothing done"
"""Reason of an evening on which nothing was done."""
NO_HELPER: Final = "the helper can't come"
"""Reason of a day without the helper hours it had."""
ONE_DAY: Final = timedelta(days=1)


# an evening


def evening(project: Project, now: datetime) -> date | None:
    """The day whose hours ``nothing_done`` takes; None where it has none to take.

    Last night's where its hours go on past ``now``; else today's, those that are on or still to
    come. Where these are over and nothing was logged today, all that today had.
    """
    found = _from_when(project, now)
    return found[0] if found is not None else None


def nothing_done(project: Project, now: datetime) -> Project:
    """The rest of today's hours gone, at every place."""
    found = _from_when(project, now)
    if found is None:
        _refuse(project, "today has no hours left: nothing of it can be lost")
    return _cut(project, *found, NOTHING_DONE)


def _from_when(project: Project, now: datetime) -> tuple[date, int] | None:
    """The day, and the minute of it from which its hours go."""
    minute = _minute(now)
    yesterday = now.date() - ONE_DAY
    # a date alone is 00:00 of it, and means its own evening
    if minute and any(span.end > DAY + minute for span in _every(day_spans(project, yesterday))):
        return yesterday, DAY + minute
    today = _every(day_spans(project, now.date()))
    if any(span.end > minute for span in today):
        return now.date(), minute
    logged = any(entry.at.date() == now.date() for entry in project.diary.entries)
    return (now.date(), 0) if today and not logged else None


def _cut(project: Project, day: date, minute: int, reason: str) -> Project:
    """A day's hours up to a minute, and none after it."""
    spans = day_spans(project, day)
    return set_day(
        project,
        day,
        workroom=_up_to(spans.workroom, minute),
        sofa=_up_to(spans.sofa, minute),
        take_along=_up_to(spans.take_along, minute),
        helper=_up_to(spans.helper, minute),
        reason=_reason(project, day, reason),
    )


# days away


def away_until(
    project: Project, back: date, now: datetime, first: date | None = None, reason: str = ""
) -> Project:
    """Away from ``first`` (today) up to the day before ``back``: on that day one is there again.

    Today's hours that have begun stay as far as they have gone.
    """
    today = now.date()
    first = first or today
    if first < today:
        _refuse(project, f"{first} is past: days away begin today or later")
    if back <= first:
        _refuse(project, f"one is back after one has left: {back} is not after {first}")
    if back.year > today.year + YEARS_AHEAD:
        _refuse(project, f"{back} is more than {YEARS_AHEAD} years ahead: check the year")
    last = back - ONE_DAY
    if first == today and any(span.start < _minute(now) for span in _every_today(project, now)):
        cut = _cut(project, today, _minute(now), reason) if _left(project, now) else project
        if first == last and cut is project:
            _refuse(project, "today's hours are over: there is nothing to be away from")
        return cut if first == last else away(cut, first + ONE_DAY, last, reason)
    return away(project, first, last, reason)


def _every_today(project: Project, now: datetime) -> Spans:
    return _every(day_spans(project, now.date()))


def _left(project: Project, now: datetime) -> bool:
    """Whether today has hours after ``now``."""
    return any(span.end > _minute(now) for span in _every_today(project, now))


# a delivery


def delivery_meant(stock: Stock, today: date) -> int | None:
    """The delivery that is most likely meant, as an index of ``coming``: of those that aren't in
    the count the one due nearest to today, then one of which nobody knows the day; None: none."""
    found = [
        (one.arrives is None, abs((one.arrives - today).days) if one.arrives else 0, index)
        for index, one in enumerate(stock.coming)
        if not _counted(stock, one)
    ]
    return min(found)[2] if found else None


def _counted(stock: Stock, one: Coming) -> bool:
    """Whether a delivery is in the last count already."""
    return stock.counted is not None and one.arrives is not None and one.arrives <= stock.counted


def delivery_comes(
    project: Project,
    id: str,
    day: date,
    today: date,
    *,
    which: int | None = None,
    amount: Quantity | None = None,
) -> Project:
    """A delivery of a stock (full id) comes on another day: the one at ``which``, else the one
    that is most likely meant. Where none is coming, ``amount`` is noted as coming that day."""
    ensemble, name = split_id(id, 2)
    stocks = ensemble_of(project, ensemble).stock
    stock = stocks[position(stocks, name, id)]
    if day < today:
        _refuse(project, f"{day} is past: what has come is said at the stock")
    which = delivery_meant(stock, today) if which is None else which
    if which is None:
        if amount is None:
            called = stock.name or name
            _refuse(project, f"nothing of {called} is coming: say how much at the stock")
        coming = (*stock.coming, Coming(amount=amount, arrives=day))
    else:
        if not 0 <= which < len(stock.coming):
            raise KeyError(f"{id} coming[{which}]")
        if stock.coming[which].arrives == day:
            _refuse(project, f"it is due on {day} already")
        coming = tuple(
            replace(one, arrives=day) if index == which else one
            for index, one in enumerate(stock.coming)
        )
    return replace_stock(project, id, replace(stock, coming=coming))


# an occasion


def occasion_moves(project: Project, id: str, to: date | datetime, now: datetime) -> Project:
    """An occasion (full id) on another day, at the time it had unless ``to`` has one.

    What is done at it stays there. One that was past and is now ahead is still to be held.
    """
    ensemble, name = split_id(id, 2)
    occasions = ensemble_of(project, ensemble).occasions
    occasion = occasions[position(occasions, name, id)]
    at = moved_to(occasion, to)
    whole_day = occasion.kind in (OccasionKind.DEPARTURE, OccasionKind.EVENT)
    if at.date() < now.date() or (at < now and not whole_day):
        _refuse(project, f"{_moment(at)} is past: an occasion moves to a day ahead")
    if at == occasion.at:
        _refuse(project, f"it is on {_moment(at)} already")
    held = None if occasion.at <= now else occasion.held
    return replace_occasion(project, id, replace(occasion, at=at, held=held))


def moved_to(occasion: Occasion, to: date | datetime) -> datetime:
    """When an occasion would be: the time it had stays unless another is given."""
    return to if isinstance(to, datetime) else datetime.combine(to, occasion.at.time())


def passed(plan: Plan, id: str, at: datetime) -> tuple[str, ...]:
    """The occasions that an occasion would pass by moving to ``at``, although they want what
    comes after it, in order of time."""
    followers = _followers(plan, id)
    (moving,) = (one for one in plan.occasions if one.id == id)
    return tuple(
        one.id
        for one in plan.occasions
        if one.id != id and moving.at <= one.at <= at
        if followers.intersection((*one.wants, *one.during))
    )


def _followers(plan: Plan, id: str) -> set[str]:
    """The steps done at an occasion, and all that follow these or the occasion itself."""
    found = {step.id for step in plan.steps if step.during == id}
    reached = {id, *found}
    while True:
        more = {s.id for s in plan.steps if s.id not in reached and reached.intersection(s.after)}
        if not more:
            return found
        found |= more
        reached |= more


# a helper


def next_helper_day(project: Project, now: datetime) -> date | None:
    """The first day from ``now`` up to the last occasion on which a helper's hours count; None
    where there is none."""
    last = max((o.at.date() for e in project.ensembles for o in e.occasions), default=now.date())
    days = hours_of_days(project.workroom, now.date(), last, away_times(project.ensembles))
    for day in days:
        begin = _minute(now) if day.day == now.date() else 0
        if _helped(day.spans, begin):
            return day.day
    return None


def no_helper(project: Project, now: datetime, day: date | None = None) -> Project:
    """The helper hours of a day gone (the next there are), what of them is still to come."""
    day = day or next_helper_day(project, now)
    if day is None:
        _refuse(project, "no helper hours are ahead: there is nobody who could not come")
    if day < now.date():
        _refuse(project, f"{day} is past: helper hours go today or later")
    begin = _minute(now) if day == now.date() else 0
    helper = day_spans(project, day).helper
    if not any(span.end > begin for span in helper):
        _refuse(project, f"{day} has no helper hours")
    return set_day(
        project, day, helper=_up_to(helper, begin), reason=_reason(project, day, NO_HELPER)
    )


def _helped(spans: DaySpans, begin: int) -> bool:
    """Whether a helper is there in workroom hours after a minute of the day."""
    return any(
        max(one.start, two.start, begin) < min(one.end, two.end)
        for one in spans.helper
        for two in spans.workroom
    )


# afresh


def afresh(project: Project) -> Project:
    """The same project without the plan that was kept: the next plan holds on to nothing."""
    return replace(project, kept=replace(project.kept, let_go=True))


# what several share


def _minute(now: datetime) -> int:
    """The minute of its day."""
    return now.hour * 60 + now.minute


def _every(spans: DaySpans) -> Spans:
    """The hours of all places."""
    return (*spans.workroom, *spans.sofa, *spans.take_along)


def _up_to(spans: Iterable[Span], minute: int) -> Spans:
    """Hours up to a minute of their day."""
    return tuple(
        Span(start=span.start, end=min(span.end, minute)) for span in spans if span.start < minute
    )


def _reason(project: Project, day: date, words: str) -> str:
    """The reason a day's own change has, with one more."""
    own = [c for c in project.workroom.changes if c.rule is None]
    there = next((c.reason for c in reversed(own) if c.first == day and c.last in (day, None)), "")
    if not there or words in there:
        return there or words
    return f"{there}, {words}" if words else there


def _moment(at: datetime) -> str:
    return at.date().isoformat() if at.time() == time() else f"{at:%Y-%m-%d %H:%M}"


def _refuse(project: Project, text: str) -> NoReturn:
    """Raise what can't be meant."""
    raise InputError([Problem(file=project.workroom.file, place="", text=text)])
