"""The diary in words, without a screen: sums of days, entries, what is typed of one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.diary_days import DiaryDay, Logged, diary_days
from planner.editing.diary import log
from planner.files.reading import read_project
from planner.looking_back import DayLost, Differs
from planner.model import Entry, Used
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import parse_quantity
from screens import diary_told
from screens.diary_doing import changed, opened_again, removed, were_done_before
from screens.forms.entry import EntryQuestions, at_from
from screens.state import State
from screens.widgets.diary_list import keyed
from tests.screens.workrooms import typed_into

OLDMERE = Path("sample_projects/oldmere_regatta")
BEHIND = datetime(2027, 6, 7, 18)
HEM = "signal_master/coat/cut"


@pytest.fixture(scope="module")
def oldmere() -> State:
    """A workroom three evenings behind."""
    project = read_project(OLDMERE)
    return State(project=project, plan=plan_project(project, BEHIND), now=BEHIND)


def a_day(
    minutes: int, planned: int | None, lost: DayLost | None = None, away: bool = False
) -> DiaryDay:
    """A day behind with one entry, or none."""
    day = date(2027, 6, 2)
    entry = Entry(at=datetime(2027, 6, 2, 20), step=HEM, minutes=minutes)
    differs = Differs(reason="guests", away=away) if away else None
    logged = (Logged(index=0, entry=entry),) if minutes else ()
    return DiaryDay(date=day, logged=logged, planned=planned, lost=lost, differs=differs)


@pytest.mark.parametrize(
    ("day", "told"),
    [
        (a_day(50, 120), "0:50 of 2:00 planned"),
        (a_day(0, 120), "nothing of 2:00 planned"),
        (a_day(50, None), "0:50 done"),
        (a_day(0, None), "nothing done"),
        (a_day(0, None, away=True), "away"),
    ],
)
def test_a_day_is_set_against_what_was_planned(oldmere: State, day: DiaryDay, told: str) -> None:
    """Where a plan of then is known; else what was done alone."""
    assert diary_told.day_heading(oldmere.plan, day) == ("Wednesday 2 June", told)


def test_today_says_what_is_still_planned(oldmere: State) -> None:
    """What was done, and what of today's hours is still to be."""
    today = diary_days(oldmere.project, BEHIND)[0]
    still = diary_told.planned_today(oldmere.plan)
    assert diary_told.day_heading(oldmere.plan, today)[0] == "Today, Mon 7 Jun"
    assert ("planned" in diary_told.day_sum(oldmere.plan, today)) is bool(still)


def test_what_was_lost_is_told_once(oldmere: State) -> None:
    """Hours with their reason; planned minutes stand in the sum already."""
    hours = DayLost(date=date(2027, 6, 2), minutes=120, reason="fever")
    assert diary_told.day_notes(a_day(0, None, hours)) == ["2 h of hours lost: fever."]
    planned = replace(hours, planned=True)
    assert diary_told.day_notes(a_day(0, 120, planned)) == []
    assert diary_told.day_notes(a_day(0, 120, planned, away=True)) == ["Guests."]


def test_an_entry_whose_step_is_gone_is_told_and_kept(oldmere: State) -> None:
    """With a question mark for its kind of work, by the words of its id."""
    entry = Entry(at=BEHIND, step="signal_master/coat/none-such", minutes=20)
    row = diary_told.entry_row(oldmere.plan, {}, entry)
    assert (row.letter, row.name, row.known) == ("?", "none-such", "no longer in the files")


def test_what_was_used_is_told_by_its_name(oldmere: State) -> None:
    """Amount in the workroom's units, the stock by its name."""
    ensemble = oldmere.project.ensembles[0]
    stock = next(one for one in ensemble.stock if one.have.dimension == 1)
    used = Used(stock=stock.id, amount=parse_quantity("2.5 m"))
    entry = Entry(at=BEHIND, step=oldmere.plan.steps[0].id, used=(used,), note="new [thread]")
    row = diary_told.entry_row(oldmere.plan, {}, entry)
    assert row.beneath[0] == "new [thread]"
    assert row.beneath[1].startswith("Used 2.73 yd of ") and row.minutes == ""


def test_keys_of_entries_stay_when_others_go(oldmere: State) -> None:
    """Two entries of one moment and step are told apart; the others keep their keys."""
    project = oldmere.project
    twice = log(project, [project.diary.entries[-1], project.diary.entries[-1]])
    keys = keyed(diary_days(twice, BEHIND))
    assert len(keys) == len(twice.diary.entries)
    less = removed(oldmere.plan, Logged(index=0, entry=twice.diary.entries[0])).change(twice)
    assert set(keyed(diary_days(less, BEHIND))) < set(keys)


def test_edits_find_their_entry_where_it_has_moved(oldmere: State) -> None:
    """Taken out above it meanwhile: the same entry is meant; changed meanwhile: none is."""
    project, plan = oldmere.project, oldmere.plan
    third = Logged(index=2, entry=project.diary.entries[2])
    moved = removed(plan, Logged(index=0, entry=project.diary.entries[0])).change(project)
    after = removed(plan, third).change(moved)
    assert third.entry.step not in [one.step for one in after.diary.entries[:2]]
    other = changed(plan, third, replace(third.entry, minutes=7)).change(moved)
    assert other.diary.entries[1].minutes == 7
    with pytest.raises(InputError, match="meanwhile"):
        removed(plan, third).change(other)


def test_labels_say_what_was_done(oldmere: State) -> None:
    """One step by its name, several by their number."""
    plan = oldmere.plan
    done = [one.id for one in plan.steps if one.done][:2]
    still = [one.id for one in plan.steps if not one.done][:2]
    assert were_done_before(plan, still).label == "2 steps done before the diary began"
    assert were_done_before(plan, still[:1]).label.endswith(" done before the diary began")
    again = opened_again(plan, done, BEHIND, {done[0]: 25}, "too short")
    after = again.change(oldmere.project)
    first, second = after.diary.entries[-2:]
    assert (first.left, first.note) == (25, "too short") and second.left
    found = plan_project(after, BEHIND)
    assert not any(one.done for one in found.steps if one.id in done)
    assert again.label.startswith("2 steps to be done over")


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2027-05-04 21:30", datetime(2027, 5, 4, 21, 30)),
        ("4 May 21:30", datetime(2027, 5, 4, 21, 30)),
        ("30 December 20:00", datetime(2026, 12, 30, 20)),
        ("yesterday 21:30", datetime(2027, 6, 6, 21, 30)),
        ("Yesterday", datetime(2027, 6, 6, 17, 30)),
        ("21:45", datetime(2027, 6, 6, 21, 45)),
        ("4 May", datetime(2027, 5, 4, 17, 30)),
        ("25:00", None),
        ("soon", None),
        ("", None),
    ],
)
def test_moments_as_they_are_typed(text: str, moment: datetime | None) -> None:
    """A day without a year lies behind; a time alone keeps the day."""
    assert at_from(text, datetime(2027, 6, 6, 17, 30), BEHIND.date()) == moment


def the_form(state: State, index: int = 0) -> EntryQuestions:
    """The form of an entry."""
    return EntryQuestions(state, Logged(index=index, entry=state.project.diary.entries[index]))


def test_the_form_changes_what_was_typed_and_nothing_else(oldmere: State) -> None:
    """Minutes, done, what is left, a note, what was used."""
    was = oldmere.project.diary.entries[0]
    stock = next(one for one in oldmere.project.ensembles[0].stock if one.have.dimension == 1)
    reading = typed_into(
        the_form(oldmere), minutes="1:05", done="no", left="20", used=f"{stock.id} = 2,5 m"
    )
    assert reading.change is not None and reading.told == "1 h 05, 20 min left"
    entry = reading.change(oldmere.project).diary.entries[0]
    assert (entry.minutes, entry.left, entry.done) == (65, 20, False)
    assert (entry.at, entry.note) == (was.at, was.note)
    assert entry.used == (Used(stock=stock.id, amount=parse_quantity("2.5 m")),)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("at", "whenever"),
        ("minutes", "long"),
        ("left", "-3"),
        ("left", "20"),
        ("used", "moonlight = 3 m"),
        ("used", "moonlight"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(oldmere: State, key: str, text: str) -> None:
    """In a sentence, and nothing would be kept. (The entry says done: nothing is left.)"""
    reading = typed_into(the_form(oldmere), **{key: text})
    assert reading.change is None
    assert [one.key for one in reading.wrong] == [key] and reading.wrong[0].text.endswith(".")


def test_a_form_whose_entry_has_gone_says_so(oldmere: State) -> None:
    """The diary was changed meanwhile."""
    form = the_form(oldmere)
    empty = replace(oldmere.project, diary=replace(oldmere.project.diary, entries=()))
    form.renew(replace(oldmere, project=empty))
    assert typed_into(form, minutes="5").wrong[0].text.startswith("This entry was changed")


def test_what_a_tick_brings_is_told(oldmere: State) -> None:
    """By name; nothing where nothing came."""
    ids = [one.id for one in oldmere.plan.steps]
    assert diary_told.brought_told(oldmere.plan, []) == ""
    assert "that is ticked too" in diary_told.brought_told(oldmere.plan, ids[:1])
    assert "and 3 more" in diary_told.brought_told(oldmere.plan, ids[:5])
