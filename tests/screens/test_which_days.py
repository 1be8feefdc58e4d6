"""Which days a change is for: typed, said in words, and kept as an RFC 5545 rule."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model import Change
from screens.which_days import Days, days_from, days_text, days_told

TODAY = date(2027, 5, 3)


@pytest.mark.parametrize(
    ("typed", "want"),
    [
        ("14 May", Days(first=date(2027, 5, 14), last=date(2027, 5, 14))),
        ("today", Days(first=TODAY, last=TODAY)),
        ("Thursday", Days(first=date(2027, 5, 6), last=date(2027, 5, 6))),
        ("14 May to 16 May", Days(first=date(2027, 5, 14), last=date(2027, 5, 16))),
        ("14 to 16 May", Days(first=date(2027, 5, 14), last=date(2027, 5, 16))),
        ("2027-05-14 - 2027-05-16", Days(first=date(2027, 5, 14), last=date(2027, 5, 16))),
        ("28 Dec to 3 Jan", Days(first=date(2027, 12, 28), last=date(2028, 1, 3))),
        ("thu to sun", Days(first=date(2027, 5, 6), last=date(2027, 5, 9))),
        ("every Tuesday", Days(rule="FREQ=WEEKLY;BYDAY=TU")),
        ("every tue, thu and sat", Days(rule="FREQ=WEEKLY;BYDAY=TU,TH,SA")),
        ("every weekday", Days(rule="FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR")),
        (
            "every other Thursday from 6 May",
            Days(first=date(2027, 5, 6), rule="FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"),
        ),
        (
            "every 3 weeks on Monday from today",
            Days(first=TODAY, rule="FREQ=WEEKLY;INTERVAL=3;BYDAY=MO"),
        ),
        ("every first Tuesday", Days(rule="FREQ=MONTHLY;BYDAY=1TU")),
        ("Every 1st and 3rd tuesday of the month", Days(rule="FREQ=MONTHLY;BYDAY=1TU,3TU")),
        ("every last Friday until 30 June", Days(rule="FREQ=MONTHLY;BYDAY=-1FR;UNTIL=20270630")),
        ("every 15th", Days(rule="FREQ=MONTHLY;BYMONTHDAY=15")),
        ("every last day of the month", Days(rule="FREQ=MONTHLY;BYMONTHDAY=-1")),
        ("daily until 9 May", Days(rule="FREQ=DAILY;UNTIL=20270509")),
        (
            "every Monday from 3 May 4 times",
            Days(first=TODAY, rule="FREQ=WEEKLY;BYDAY=MO;COUNT=4"),
        ),
        ("RRULE:FREQ=YEARLY;BYMONTH=5", Days(rule="FREQ=YEARLY;BYMONTH=5")),
    ],
)  # fmt: skip
def test_days_are_typed_as_one_says_them(typed: str, want: Days) -> None:
    """A day, a span, a recurrence with its ends, or a rule as it stands in the files."""
    assert days_from(typed, TODAY) == want


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Say which days"),
        ("soon", "“soon” is no date"),
        ("16 May 2027 to 14 May 2027", "2027-05-14 is before 2027-05-16"),
        ("1 May to 2 May to 3 May", "more than two ends"),
        ("every", "Say what recurs"),
        ("every blue moon", "no recurrence known here"),
        ("every other Tuesday", "Say from which day it is counted"),
        ("every 45th", "every 45th|no day ever|BYMONTHDAY"),
        ("FREQ=HOURLY", "repeats within a day"),
        ("every Tuesday until soon", "“soon” is no date"),
    ],
)
def test_what_is_no_day_is_said(typed: str, said: str) -> None:
    """Each with what to write instead."""
    with pytest.raises(ValueError, match=said) as error:
        days_from(typed, TODAY)
    assert str(error.value).endswith(".")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (Change(first=date(2027, 5, 14)), "Fri 14 May"),
        (Change(first=date(2027, 12, 30), last=date(2028, 1, 2)), "Thu 30 Dec to Sun 2 Jan 2028"),
        (Change(rule="FREQ=MONTHLY;BYDAY=1TU"), "every first Tuesday"),
        (Change(rule="freq=weekly;byday=tu,th"), "every Tuesday and Thursday"),
        (
            Change(rule="FREQ=DAILY;INTERVAL=2;UNTIL=20270509", first=TODAY),
            "every other day from Mon 3 May until Sun 9 May",
        ),
        (Change(rule="FREQ=MONTHLY;BYMONTHDAY=1,22"), "every 1st and 22nd of the month"),
        (Change(rule="FREQ=YEARLY;BYMONTH=5"), "FREQ=YEARLY;BYMONTH=5"),
        (Change(rule="FREQ=MONTHLY;BYDAY=1TU,1WE"), "FREQ=MONTHLY;BYDAY=1TU,1WE"),
        (Change(rule="FREQ=WEEKLY;BYDAY=TU;WKST=SU"), "FREQ=WEEKLY;BYDAY=TU;WKST=SU"),
    ],
)
def test_days_are_said_in_words(change: Change, told: str) -> None:
    """Where there are words that say the same; else the rule as it stands."""
    assert days_told(change, TODAY) == told


dates = st.dates(date(2026, 1, 1), date(2029, 12, 31))
ends = st.sampled_from(["", ";UNTIL=20280229", ";COUNT=3"])
weekdays = st.sampled_from(["MO", "TU", "WE", "TH", "FR", "SA", "SU"])
codes = st.lists(weekdays, min_size=1, unique=True)
numbered = st.builds(
    lambda numbers, code: ",".join(f"{n}{code}" for n in numbers),
    st.lists(st.sampled_from([1, 2, 3, 4, 5, -1]), min_size=1, unique=True),
    st.sampled_from(["MO", "TH", "SU"]),
)
month_days = st.lists(st.integers(1, 31).map(str), min_size=1, unique=True).map(",".join)
steps = st.sampled_from(["", ";INTERVAL=2", ";INTERVAL=5"])
rules = st.one_of(
    st.builds("FREQ=DAILY{}{}".format, steps, ends),
    st.builds(lambda s, c, e: f"FREQ=WEEKLY{s};BYDAY={','.join(c)}{e}", steps, codes, ends),
    st.builds("FREQ=MONTHLY;BYDAY={}{}".format, numbered, ends),
    st.builds("FREQ=MONTHLY;BYMONTHDAY={}{}".format, month_days, ends),
    st.sampled_from(["FREQ=YEARLY;BYMONTH=5;BYDAY=1SA", "FREQ=MONTHLY;BYDAY=TU;BYMONTHDAY=13"]),
)


@given(st.builds(lambda r, d: Change(rule=r, first=d), rules, dates))
def test_what_is_said_of_a_rule_can_be_typed(change: Change) -> None:
    """The field of a form says a recurrence in words that read as the very same rule."""
    assert days_from(days_text(change), TODAY) == Days(first=change.first, rule=change.rule)


@given(dates, dates)
def test_what_is_said_of_a_span_can_be_typed(one: date, two: date) -> None:
    """Dates are written in full, so that past ones stay past."""
    first, last = min(one, two), max(one, two)
    change = Change(first=first, last=last)
    assert days_from(days_text(change), TODAY) == Days(first=first, last=last)
