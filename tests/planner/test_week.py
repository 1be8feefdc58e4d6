"""A week's hours typed as one line, and written as the shortest."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.clock import parse_span
from planner.model import NO_HOURS, Span, WeekHours
from planner.week import format_week, parse_week

EVENING = parse_span("19:30-21:30")


def week(**days: str) -> WeekHours:
    """A week of spans by "mon" to "sun"."""
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    return tuple(tuple(parse_span(s) for s in days.get(name, "").split()) for name in names)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        (
            "tue thu 19:30-21:30, sat 10:00-13:00 14:00-17:00",
            week(tue="19:30-21:30", thu="19:30-21:30", sat="10:00-13:00 14:00-17:00"),
        ),
        ("tue, thu 19:30-21:30", week(tue="19:30-21:30", thu="19:30-21:30")),
        ("Tuesday and THURS. 19:30 – 21:30", week(tue="19:30-21:30", thu="19:30-21:30")),
        ("sat-mon 9-12", week(sat="09:00-12:00", sun="09:00-12:00", mon="09:00-12:00")),
        ("mon - wed 20:00-21:15", week(mon="20:00-21:15", tue="20:00-21:15", wed="20:00-21:15")),
        ("weekend 22:00-01:00; fri 9:05-24:00",
         week(sat="22:00-01:00", sun="22:00-01:00", fri="09:05-24:00")),
        ("daily 07:40-08:10", (((parse_span("07:40-08:10"),),) * 7)),
        ("weekdays 07:40-08:10 fri 17-18",
         (((parse_span("07:40-08:10"),),) * 4
          + ((parse_span("07:40-08:10"), parse_span("17:00-18:00")),) + ((),) * 2)),
        ("", NO_HOURS),
        ("  none ", NO_HOURS),
    ],
)  # fmt: skip
def test_what_is_typed_is_understood(text: str, meant: WeekHours) -> None:
    """Days, ranges, sets of days and hours mean what a maker would expect."""
    assert parse_week(text) == meant


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("19:30-21:30", "for no day"),
        ("tue thu", '"tue thu" has no hours'),
        ("tue 19:30-21:30, thu", '"thu" has no hours'),
        ("teusday 19:30-21:30", 'did you mean "tuesday"?'),
        ("t 19:30-21:30", "neither a weekday nor hours"),
        ("tue half past seven", '"half" is neither'),
        ("tue 19:30", '"19:30" is not a span of hours'),
        ("tue 19:30-21:3", "not a span"),
        ("tue 19:30-25:00", "no clock shows"),
        ("tue 19:30-19:30", "ends when it begins"),
        ("tue-xyz 19:30-21:30", '"xyz" is neither'),
    ],
)
def test_what_cannot_be_understood_is_said_with_a_remedy(text: str, said: str) -> None:
    """Every mistake names the word and what to write."""
    with pytest.raises(ValueError) as raised:
        parse_week(text)
    assert said in str(raised.value)


@pytest.mark.parametrize(
    ("meant", "text"),
    [
        (NO_HOURS, ""),
        (((EVENING,),) * 7, "daily 19:30-21:30"),
        (((EVENING,),) * 5 + ((), ()), "mon-fri 19:30-21:30"),
        (week(mon="09:00-10:00", tue="09:00-10:00"), "mon tue 09:00-10:00"),
        (
            week(tue="19:30-21:30", thu="19:30-21:30", sat="10:00-13:00 14:00-17:00"),
            "tue thu 19:30-21:30, sat 10:00-13:00 14:00-17:00",
        ),
    ],
)
def test_the_shortest_form(meant: WeekHours, text: str) -> None:
    """Days with the same hours stand together, runs of them as a range."""
    assert format_week(meant) == text


spans = st.builds(
    lambda start, length: Span(start=start, end=start + length),
    st.integers(0, 1439),
    st.integers(1, 1440),
).filter(lambda span: span.end <= 1440 or span.end - 1440 < span.start)
weeks = st.lists(
    st.sampled_from([(), (EVENING,)]) | st.lists(spans, max_size=3).map(tuple),
    min_size=7,
    max_size=7,
).map(tuple)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(meant=weeks)
def test_what_is_written_reads_back(meant: WeekHours) -> None:
    """Any week survives being shown in a form and typed again."""
    assert parse_week(format_week(meant)) == meant


@settings(max_examples=300, deadline=None, derandomize=True)
@given(text=st.text("montuewd- ,:0129\n;é—x[]", max_size=20) | st.text(max_size=20))
def test_no_text_is_more_than_a_mistake(text: str) -> None:
    """Whatever is typed is a week or a sentence."""
    try:
        assert len(parse_week(text)) == 7
    except ValueError as error:
        assert ":" in str(error)
