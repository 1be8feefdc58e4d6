"""The rows of the log sheet: what is marked and typed, what it comes to, and how it is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from planner.editing.diary import log
from planner.model import Entry
from planner.plan import PlannedStep
from screens import log_told as told
from screens.log_rows import (
    Column,
    LogRow,
    Mark,
    entries_of,
    logging,
    minutes_from,
    on_day,
    put_onto,
    renewed,
    row_of,
    rows_of,
    steps_for,
)
from screens.state import State, plan_of
from tests.screens.workrooms import MONDAY, SMALL, state_of

AT = datetime(2027, 5, 3, 20)
CUT, CHANNELS, HEM = (
    "ferrywoman/stays/cut",
    "ferrywoman/stays/channels",
    "ferrywoman/bodice/hem",
)


@pytest.fixture(scope="module")
def state() -> State:
    """The small workroom."""
    return state_of(SMALL)


def planned(state: State, step: str) -> PlannedStep:
    """A step of its plan."""
    return next(one for one in state.plan.steps if one.id == step)


def row(state: State, step: str = CUT, *, done: bool = False) -> LogRow:
    """The row of a step; of one with an hour left."""
    return row_of(planned(state, step), state.project, done=done)


def typed(row: LogRow, text: str, column: Column = Column.WORKED) -> LogRow:
    """With a text typed."""
    for letter in text:
        row = row.typed(column, letter)
    return row


def logged(state: State, *entries: Entry) -> State:
    """The state with entries in its diary."""
    return plan_of(log(state.project, entries), state.now, thorough=False)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("45", 45), ("45m", 45), ("1h30", 90), ("2h", 120), ("1:30", 90), ("0:05", 5), (" 7 ", 7)],
)
def test_minutes_in_every_form(text: str, minutes: int) -> None:
    """As in the files, with a colon, or bare."""
    assert minutes_from(text) == minutes


@pytest.mark.parametrize("text", ["", "h", "1:3", "1:75", "9h99", "m5", "-5", "1:2:3", "600001"])
def test_what_is_no_time(text: str) -> None:
    """ValueError, and never another minute than meant."""
    with pytest.raises(ValueError, match=" is "):
        minutes_from(text)


def test_space_goes_round(state: State) -> None:
    """Done, half done, nothing again; each with its mark, its word and its entry."""
    found = []
    one = row(state)
    for _ in range(4):
        entry = one.entry(AT)
        found.append((one.sign, one.word, entry and (entry.done, entry.left)))
        one = one.marked()
    assert found == [
        ("·", "", None),
        ("×", "done", (True, None)),
        ("/", "half done", (False, 30)),
        ("·", "", None),
    ]


def test_what_is_logged_on_that_day_already(state: State) -> None:
    """Its minutes of that day, and of no other; what is typed comes on top."""
    later = logged(
        state,
        Entry(at=AT, step=CUT, minutes=20),
        Entry(at=AT, step=CUT, minutes=15),
        Entry(at=AT.replace(day=2), step=CUT, minutes=7),
    )
    rows = (row(later), row(later, CHANNELS))
    one, other = on_day(rows, later.project, AT.date())
    assert (one.already, other.already) == (35, 0)
    assert (told.already_told(one), told.already_told(other)) == ("0:35 already", "")
    assert "35 min are in that day's diary already" in told.row_told(one)
    assert on_day(rows, later.project, AT.date().replace(day=2))[0].already == 7
    assert "already" not in told.row_told(other)


def test_a_done_step_is_opened_again(state: State) -> None:
    """Space gives back what was left before it was ticked, then half of that, then nothing."""
    later = logged(
        state,
        Entry(at=AT, step=CUT, minutes=20),
        Entry(at=AT, step=CUT, minutes=15, done=True),
    )
    one = row(later, done=True)
    assert (one.sign, one.word, one.changed) == ("×", "done already", False)
    one = one.marked()
    assert (one.sign, one.word, one.left_then) == ("·", "open again", 25)
    assert told.row_told(one) == "Open again, with 25 min left; type another guess with →."
    half = one.marked()
    assert (half.sign, half.word, half.left_then) == ("/", "half done", 13)
    assert not half.marked().changed
    again = logging([one], AT)(later.project)
    assert next(s for s in plan_of(again, MONDAY).plan.steps if s.id == CUT).left == 25


def test_a_step_done_without_an_entry_has_its_estimate_back(state: State) -> None:
    """Ticked by mistake: all of it is to be done."""
    later = logged(state, Entry(at=AT, step=CUT, done=True))
    assert row(later).marked().left_then == 60


def test_what_is_typed_goes_with_the_mark(state: State) -> None:
    """Minutes stay when it is marked; what is left by guess wins over the mark, and goes by it."""
    one = typed(row(state), "45")
    assert (one.sign, one.word, one.minutes) == ("/", "begun", 45)
    assert one.entry(AT) == Entry(at=AT, step=CUT, minutes=45)
    done = one.marked()
    assert done.entry(AT) == Entry(at=AT, step=CUT, minutes=45, done=True)
    guessed = typed(done, "20", Column.LEFT)
    assert guessed.entry(AT) == Entry(at=AT, step=CUT, minutes=45, left=20)
    assert (guessed.sign, guessed.word) == ("/", "begun")
    assert guessed.rubbed_out(Column.LEFT).left == "2"
    assert guessed.marked().left == ""
    nothing_left = typed(row(state), "0", Column.LEFT)
    assert nothing_left.entry(AT) == Entry(at=AT, step=CUT, done=True)
    assert typed(row(state), "123456789").worked == "1234567"


def test_what_cant_be_understood_is_said(state: State) -> None:
    """With how to write it."""
    one = typed(row(state), "9h99")
    assert one.wrong == "“9h99” is no time: type minutes as 45, or 1h30, or 1:30."
    assert told.row_told(one) == one.wrong


def test_every_row_is_told(state: State) -> None:
    """What stands beneath, for each sort of row."""
    one = row(state)
    assert told.row_told(one) == "1 h left."
    assert told.row_told(one.marked()) == "Done."
    assert told.row_told(typed(one, "45").marked()) == "Done in 45 min more."
    assert told.row_told(one.marked().marked()) == "Half done: 30 min left."
    assert told.row_told(typed(one, "20", Column.LEFT)) == "Not done yet: 20 min left."
    assert told.row_told(typed(one, "20")) == "Goes on: of 1 h left, 20 min were worked."


def test_rows_are_of_steps_there_are_once_each(state: State) -> None:
    """Those marked stand there as done, but for one that is done already."""
    rows = rows_of(state.plan, state.project, [CUT, "x/y/z", CHANNELS, CUT], [CUT])
    assert [(one.step, one.mark) for one in rows] == [(CUT, Mark.DONE), (CHANNELS, Mark.NOTHING)]


def test_rows_keep_what_is_typed_when_the_plan_changes(state: State) -> None:
    """What is left is the new plan's; a mark of a step that was done meanwhile goes."""
    rows = (typed(row(state), "45").marked(), typed(row(state, HEM), "9"))
    later = logged(state, Entry(at=AT, step=CUT, done=True), Entry(at=AT, step=HEM, left=70))
    cut, hem = renewed(rows, later.plan, later.project)
    assert (cut.worked, cut.mark, cut.done_already) == ("45", Mark.NOTHING, True)
    assert (hem.worked, hem.left_now) == ("9", 70)


def test_what_may_have_been_done_on_a_day(state: State) -> None:
    """Planned that day, or the next day with work; then what was logged; what was asked first."""
    tuesday = date(2027, 5, 4)
    later = logged(state, Entry(at=AT - timedelta(days=1), step=HEM, minutes=10))
    plan, project = later.plan, later.project
    assert steps_for(plan, project, tuesday) == [CUT, CHANNELS]
    assert steps_for(plan, project, MONDAY.date()) == [CUT, CHANNELS]
    assert steps_for(plan, project, date(2027, 5, 2)) == [HEM, CUT, CHANNELS]
    assert steps_for(plan, project, tuesday, first=HEM) == [HEM, CUT, CHANNELS]
    assert steps_for(plan, project, tuesday, alone="other") == []


def test_all_is_logged_as_of_one_moment(state: State) -> None:
    """Its own, where the diary's last entry is of the same minute."""
    rows = [typed(row(state), "45").marked(), row(state, HEM), typed(row(state, CHANNELS), "20")]
    project = logging(rows, AT)(log(state.project, [Entry(at=AT, step=HEM, minutes=5)]))
    _, cut, channels = project.diary.entries
    assert (cut.at, channels.at) == (AT.replace(second=1), AT.replace(second=1))
    assert [one.step for one in entries_of(rows, AT)] == [CUT, CHANNELS]


@pytest.mark.parametrize(
    ("entries", "label"),
    [
        ([Entry(at=AT, step=CUT, done=True)], "“cut the layers” (Stays) done"),
        ([Entry(at=AT, step=CUT, minutes=45, done=True)], "“cut the layers” (Stays) done, 45 min"),
        ([Entry(at=AT, step=CUT, minutes=45)], "45 min of “cut the layers” (Stays) logged"),
        (
            [Entry(at=AT, step=CUT, minutes=45, left=20)],
            "“cut the layers” (Stays) 45 min worked, 20 min left",
        ),
        ([Entry(at=AT, step=CUT, note="x")], "note on “cut the layers” (Stays) logged"),
        ([Entry(at=AT, step=CUT), Entry(at=AT, step=HEM)], "2 steps logged"),
    ],
)
def test_what_was_done_is_a_past_fact(state: State, entries: list[Entry], label: str) -> None:
    """In a few words for one step; of several, how many."""
    assert told.label(state.plan, entries) == label


def test_open_again_is_said(state: State) -> None:
    """Where the step was done."""
    later = logged(state, Entry(at=AT, step=CUT, done=True))
    entry = Entry(at=AT, step=CUT, left=30)
    assert told.label(later.plan, [entry]) == "“cut the layers” (Stays) open again, 30 min left"


def test_the_heading_names_the_moment() -> None:
    """Now, or the day behind with when its work ended."""
    now = told.heading(AT, AT, exactly_now=True)
    assert now == "What was done, now: Monday 3 May, 20:00"
    yesterday = told.heading(AT - timedelta(days=1), AT, exactly_now=False)
    assert yesterday == "What was done yesterday, Sunday 2 May, till 20:00"
    earlier = told.heading(AT - timedelta(days=4), AT, exactly_now=False)
    assert earlier == "What was done on Thursday 29 April, till 20:00"


def test_what_was_typed_of_two_steps_goes_together(state: State) -> None:
    """Minutes are added up, notes stand one behind the other; its own mark stays."""
    gone = replace(typed(row(state), "15"), gone=True, note="knot", mark=Mark.DONE)
    other = replace(typed(row(state, HEM), "20"), note="pins")
    (found,) = put_onto([gone, other], gone, row(state, HEM))
    assert (found.step, found.minutes, found.note) == (HEM, 35, "pins; knot")
    assert found.mark is Mark.DONE and not found.gone
    half = replace(other, mark=Mark.HALF)
    assert put_onto([half, gone], gone, row(state, HEM))[0].mark is Mark.HALF
    (new,) = put_onto([gone], gone, row(state, CHANNELS))
    assert (new.step, new.worked, new.note, new.mark) == (CHANNELS, "15", "knot", Mark.DONE)


def test_what_is_done_already_is_told_with_its_minutes(state: State) -> None:
    """They are logged as more of it."""
    done = replace(row(state), done_already=True)
    assert told.row_told(typed(done, "5")) == "Done already: 5 min are logged as more of it."
    assert told.row_told(done).startswith("Done already. Space opens it again")
