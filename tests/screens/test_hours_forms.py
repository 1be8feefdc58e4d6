"""The forms of hours without a screen: what is typed, what it comes to, what is wrong where."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from planner import editing as e
from planner.model import Change, Project, Span
from screens.forms.day_hours import AwayQuestions, DayHoursQuestions
from screens.forms.fields import Reading, started
from screens.forms.hours_change import ChangeQuestions
from screens.forms.questions import Questions
from screens.forms.week import SettingQuestions, WeekQuestions
from screens.state import State
from tests.screens.workrooms import MONDAY, SMALL, state_of, typed_into

TUE, THU, SAT = date(2027, 5, 4), date(2027, 5, 6), date(2027, 5, 8)
LATE = (Span(start=1260, end=1380),)


@pytest.fixture(scope="module")
def state() -> State:
    """The small workroom on its Monday."""
    return state_of(SMALL, MONDAY)


def made(state: State, reading: Reading) -> Project:
    """The project after what a form reads."""
    assert reading.change is not None, reading.wrong
    return reading.change(state.project)


def wrong(reading: Reading) -> dict[str, str]:
    """What is wrong, by field."""
    assert reading.change is None
    return {one.key: one.text for one in reading.wrong}


def values(questions: Questions) -> dict[str, str]:
    """What stands in the fields at first."""
    return started(tuple(questions.fields({})))


# one day


def test_a_day_says_what_it_has_and_takes_what_is_typed(state: State) -> None:
    """Places not typed in stay; the reason is the day's own."""
    form = DayHoursQuestions(state, SAT)
    assert values(form) == {
        "workroom": "10:00-13:00 14:00-17:00", "sofa": "", "take_along": "",
        "helper": "14:00-17:00", "reason": "",
    }  # fmt: skip
    reading = typed_into(form, workroom="10-12, 21-23", helper="none", reason="fair")
    after = made(state, reading)
    assert after.workroom.changes == (
        Change(
            first=SAT, last=SAT, workroom=(Span(start=600, end=720), *LATE), helper=(),
            reason="fair", where="change[0]",
        ),
    )  # fmt: skip
    assert reading.told == "4 h in the workroom less setting up"
    assert reading.cursor == "2027-05-08"
    again = DayHoursQuestions(replace(state, project=after), SAT)
    assert values(again)["reason"] == "fair"
    back = typed_into(again, workroom="10-13 14-17", helper="14-17")
    assert made(replace(state, project=after), back).workroom == state.project.workroom


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("late", "is not a span of hours"),
        ("19:30-21:30 20-22", "19:30-21:30 and 20:00-22:00 overlap"),
        ("19-19", "ends when it begins"),
        ("25-26", "names a time no clock shows"),
    ],
)
def test_wrong_hours_are_said_at_their_field(state: State, typed: str, said: str) -> None:
    """In a sentence that ends, and begins with a capital or the text itself."""
    found = wrong(typed_into(DayHoursQuestions(state, THU), sofa=typed, workroom="19-21"))
    assert set(found) == {"sofa"}
    assert said in found["sofa"] and found["sofa"].endswith(".")


def test_a_reason_without_a_difference_is_refused(state: State) -> None:
    """There is no change it could be written to."""
    found = wrong(typed_into(DayHoursQuestions(state, THU), reason="guests"))
    assert "nothing to give a reason for" in found["reason"]


def test_a_day_is_shown_beside_as_it_would_be(state: State) -> None:
    """Windows and steps, live; nothing a cursor can stand on."""
    form = DayHoursQuestions(state, THU)
    lines = form.beside({**values(form)}, None, 60)
    told = ["".join(run.text for run in line.runs) for line in lines]
    assert told[0] == " Thursday 6 May: 1:45 of hours, 1:34 planned, 90 % of them"
    assert all(line.key is None and line.click is None for line in lines)


# away


def test_away_is_that_day_alone_unless_a_last_one_is_typed(state: State) -> None:
    """A date, a weekday, today: the last day counts."""
    form = AwayQuestions(state, THU)
    assert form.whole
    alone = made(state, typed_into(form))
    assert [(c.first, c.last) for c in alone.workroom.changes] == [(THU, THU)]
    reading = typed_into(form, until="sunday", reason="ferry")
    assert reading.told == "4 days, 4 h 01 planned there now"
    (change,) = made(state, reading).workroom.changes
    assert (change.first, change.last, change.reason) == (THU, date(2027, 5, 9), "ferry")
    assert reading.label == "away from Thu 6 May to Sun 9 May"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("soon", "“soon” is no date"),
        ("2027-05-01", "2027-05-01 is before 2027-05-06"),
        ("tomorrow", "2027-05-04 is before 2027-05-06"),
        ("22 May 2099", "2099 is more than 10 years ahead"),
    ],
)
def test_a_last_day_that_can_not_be_is_said(state: State, typed: str, said: str) -> None:
    """At its field."""
    assert said in wrong(typed_into(AwayQuestions(state, THU), until=typed))["until"]


def test_days_away_are_shown_beside_as_they_are_now(state: State) -> None:
    """What is planned there must go elsewhere; of many days the first are named."""
    form = AwayQuestions(state, THU)
    told = [
        "".join(run.text for run in line.runs)
        for line in form.beside({"until": "30 May"}, None, 60)
    ]
    assert told[1] == " Thursday 6 May: 1:45 of hours, 1:34 planned, 90 % of them"
    assert told[-1] == " and 17 days more"
    assert form.beside({"until": "soon"}, None, 60) == ()


# changes


def test_a_recurrence_is_typed_in_words(state: State) -> None:
    """It is kept as an RFC 5545 rule, and says at once what it comes to."""
    form = ChangeQuestions(state, days="every Tuesday")
    reading = typed_into(form, days="every first Tuesday", workroom="none", reason="choir")
    (change,) = made(state, reading).workroom.changes
    assert (change.rule, change.workroom, change.sofa) == ("FREQ=MONTHLY;BYDAY=1TU", (), None)
    assert reading.told == "every first Tuesday: workroom none"
    assert reading.cursor == "change 0"


def test_a_change_needs_days_and_hours(state: State) -> None:
    """Each is asked for at its field."""
    assert "names no hours" in wrong(typed_into(ChangeQuestions(state, days="today")))["workroom"]
    assert "Say which days" in wrong(typed_into(ChangeQuestions(state), sofa="none"))["days"]
    both = wrong(typed_into(ChangeQuestions(state), days="soon", sofa="soon"))
    assert set(both) == {"days", "sofa"}


def test_a_change_that_is_there_keeps_what_is_not_typed_in(state: State) -> None:
    """Also a rule that has no words here."""
    rule = Change(rule="FREQ=YEARLY;BYMONTH=5", workroom=(), sofa=LATE, reason="May")
    there = replace(state, project=e.add_change(state.project, rule))
    form = ChangeQuestions(there, 0)
    assert values(form) == {
        "days": "FREQ=YEARLY;BYMONTH=5", "workroom": "none", "sofa": "21:00-23:00",
        "take_along": "", "helper": "", "reason": "May",
    }  # fmt: skip
    (change,) = made(there, typed_into(form, sofa="", take_along="7-8")).workroom.changes
    assert change == Change(
        rule="FREQ=YEARLY;BYMONTH=5", workroom=(), take_along=(Span(start=420, end=480),),
        reason="May", where="change[0]",
    )  # fmt: skip


def test_a_change_is_found_again_after_the_file_was_changed(state: State) -> None:
    """By what it says, wherever it stands; gone, nothing is kept in another's place."""
    choir = Change(rule="FREQ=WEEKLY;BYDAY=TU", workroom=(), reason="choir")
    there = replace(state, project=e.add_change(state.project, choir))
    form = ChangeQuestions(there, 0)
    fair = Change(first=SAT, workroom=())
    moved = e.replace_change(e.add_change(there.project, choir), 0, fair)
    form.renew(replace(there, project=moved))
    after = made(replace(there, project=moved), typed_into(form, reason="band"))
    assert [change.reason for change in after.workroom.changes] == ["", "band"]
    form.renew(state)
    assert "no longer in the files" in wrong(typed_into(form, reason="band"))[""]


def test_a_change_shows_beside_on_which_days_it_falls(state: State) -> None:
    """Of the days ahead; nothing while the days can't be read."""
    form = ChangeQuestions(state)
    typed = {**values(form), "days": "every Tuesday", "workroom": "none"}
    told = " ".join("".join(r.text for r in line.runs) for line in form.beside(typed, None, 60))
    assert "Workroom none." in told and "Tue 4 May" in told
    assert form.beside({**typed, "days": "soon"}, None, 60) == ()


# the week, settings


def test_the_usual_week_is_one_line(state: State) -> None:
    """As it is typed when a workroom is begun."""
    form = WeekQuestions(state, "sofa")
    assert values(form) == {"value": "mon wed 20:30-22:00"}
    reading = typed_into(form, value="fri 21-23")
    after = made(state, reading)
    assert after.workroom.sofa_hours == ((), (), (), (), LATE, (), ())
    assert reading.told == "2 h a week"
    assert "has no hours" in wrong(typed_into(form, value="fri"))["value"]
    assert "overlap" in wrong(typed_into(form, value="fri 20-22 21-23"))["value"]


@pytest.mark.parametrize(
    ("key", "was", "typed", "becomes"),
    [
        ("setting_up", "15m", "20m", 20),
        ("setting_up", "15m", "none", 0),
        ("fill_to", "70%", "85%", 0.85),
        ("fill_to", "70%", "85", 0.85),
        ("hand_sewing_limit", "2h30", "1h", 60),
        ("hand_sewing_limit", "2h30", "none", None),
    ],
)
def test_each_setting_is_one_field(
    state: State, key: str, was: str, typed: str, becomes: object
) -> None:
    """Written as the files write it."""
    form = SettingQuestions(state, key)
    assert values(form) == {"value": was}
    assert getattr(made(state, typed_into(form, value=typed)).workroom, key) == becomes


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("setting_up", "soon", "is not a duration"),
        ("setting_up", "25h", "24 hours"),
        ("fill_to", "120%", "at most 100%"),
        ("fill_to", "", "is not a share"),
        ("hand_sewing_limit", "long", "is not a duration"),
    ],
)
def test_a_wrong_setting_is_said_at_its_field(
    state: State, key: str, typed: str, said: str
) -> None:
    """With what to write instead."""
    assert said in wrong(typed_into(SettingQuestions(state, key), value=typed))["value"]
