"""Laws of what goes wrong in a week: it takes what it says of the hours, and nothing else."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from hypothesis import assume, given
from hypothesis import strategies as st

from planner import editing as e
from planner.day_hours import DaySpans
from planner.editing.delays import away_until, evening, no_helper, nothing_done
from planner.model import Project, Span
from planner.problems import InputError
from tests.planner.test_editing_hours import DAYS, LAWS, days, hours, projects

PLACES = ("workroom", "sofa", "take_along")
MIDNIGHT = datetime(2027, 1, 1)

moments = st.tuples(days, st.integers(0, 1439) | st.sampled_from([0, 1, 1140, 1230])).map(
    lambda it: datetime.combine(it[0], MIDNIGHT.time()) + timedelta(minutes=it[1])
)


def _minutes(project: Project, day: date, place: str) -> set[int]:
    """Every minute of the hours of a day."""
    spans: tuple[Span, ...] = getattr(e.day_spans(project, day), place)
    return {minute for span in spans for minute in range(span.start, span.end)}


def _since(day: date, now: datetime) -> int:
    """The minute of a day that is now."""
    begin = datetime.combine(day, MIDNIGHT.time())
    return int((now - begin).total_seconds()) // 60


@LAWS
@given(projects(), moments)
def test_an_evening_loses_what_is_to_come(project: Project, now: datetime) -> None:
    """Of its day every minute from now on, or, once it is over, all of them; those before stay,
    and so do all other days. It is refused where there is nothing to lose."""
    day = evening(project, now)
    if day is None:
        try:
            nothing_done(project, now)
        except InputError:
            return
        raise AssertionError("nothing to lose, and not refused")
    after, since = nothing_done(project, now), _since(day, now)
    for place in PLACES:
        was = _minutes(project, day, place)
        assert _minutes(after, day, place) in ({m for m in was if m < since}, set())
    to_come = {m for place in PLACES for m in _minutes(project, day, place) if m >= since}
    left = {m for place in PLACES for m in _minutes(after, day, place)}
    assert not left & to_come
    if to_come:
        assert left == {m for p in PLACES for m in _minutes(project, day, p) if m < since}
    assert hours(after, day) == hours(project, day)
    assert day in (now.date(), now.date() - timedelta(days=1))


@LAWS
@given(projects(), moments, days, st.none() | days)
def test_away_until_is_back_on_that_day(
    project: Project, now: datetime, back: date, first: date | None
) -> None:
    """The days before it have no hours after now, that day and all others what they had."""
    today = now.date()
    begin = first or today
    assume(today <= begin < back)
    try:
        after = away_until(project, back, now, first)
    except InputError:
        assert (begin, back) == (today, today + timedelta(days=1))
        assert not any(m >= _since(today, now) for p in PLACES for m in _minutes(project, today, p))
        return
    inside = [day for day in DAYS if begin <= day < back]
    assert hours(after, *inside) == hours(project, *inside)
    for day in inside:
        if day == today:
            left = {m for place in PLACES for m in _minutes(after, day, place)}
            assert all(m < _since(day, now) for m in left)
        else:
            assert e.day_spans(after, day) == DaySpans()


@LAWS
@given(projects(), moments, days)
def test_a_helper_takes_no_other_hours_along(project: Project, now: datetime, day: date) -> None:
    """Only the helper hours of that day go, those that were stay."""
    try:
        after = no_helper(project, now, day)
    except InputError:
        assert day < now.date() or not any(
            m >= (_since(day, now) if day == now.date() else 0)
            for m in _minutes(project, day, "helper")
        )
        return
    assert hours(after, day) == hours(project, day)
    for place in PLACES:
        assert _minutes(after, day, place) == _minutes(project, day, place)
    since = max(0, _since(day, now))
    was = _minutes(project, day, "helper")
    assert _minutes(after, day, "helper") == {m for m in was if m < since}
