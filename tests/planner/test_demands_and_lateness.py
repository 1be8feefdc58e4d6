"""Waits, by when steps are wanted, what is late, and what can't be placed."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.plan import Because, NoteKind, Verdict
from tests.planner.little import (
    BALL,
    EVENINGS,
    day_notes,
    ensemble,
    every,
    garment,
    last_day,
    notes,
    occasion,
    plan,
    short,
    step,
    times,
)


@pytest.mark.parametrize(
    ("wait", "last"),
    [("1 night", 6), ("2 nights", 5), ("3 nights", 4)],
)
def test_nights_between_steps(wait: str, last: int, tmp_path: Path) -> None:
    """b fills the 7th; a must end so many dates before b begins."""
    steps = garment(f'a 60 wait="{wait}"', 'b 120 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert last_day(found, "b") == 7
    assert last_day(found, "a") == last
    assert found.fits is True


@pytest.mark.parametrize(
    ("wait", "last"),
    [("1 night", 7), ("2 nights", 6), ("4 nights", 4)],
)
def test_nights_before_an_occasion(wait: str, last: int, tmp_path: Path) -> None:
    """Ready-by is 00:00 of the 8th, which counts as that date."""
    found = plan(tmp_path, ensemble(garment(f'a 60 wait="{wait}"')))
    assert last_day(found, "a") == last


@pytest.mark.parametrize(
    ("wait", "when"),
    [
        ("3h", "7 19:00-20:00"),
        # dry at midnight to the minute
        ("4h", "7 19:00-20:00"),
        # the 7th at 19:00 would be too late
        ("5h", "6 19:00-20:00"),
        ("28h", "6 19:00-20:00"),
        ("29h", "5 19:00-20:00"),
    ],
)
def test_hours_before_an_occasion(wait: str, when: str, tmp_path: Path) -> None:
    """Glue is dry by ready-by, midnight: 60 minutes must end so many hours before."""
    found = plan(tmp_path, ensemble(garment(f'a 60 wait="{wait}"')))
    assert times(found, "a") == [when]
    assert found.fits is True


def test_a_wait_in_hours_within_one_evening(tmp_path: Path) -> None:
    """On a single evening a is done first, and b an hour after its end."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    steps = garment('a 30 wait="1h"', 'b 30 after=["a"]')
    found = plan(tmp_path, ensemble(steps, ball))
    assert times(found, "a") == ["3 19:00-19:30"]
    assert times(found, "b") == ["3 20:30-21:00"]
    assert found.fits is True


def test_a_wait_in_hours_longer_than_the_evening(tmp_path: Path) -> None:
    """Six hours after any moment of one evening is the next one."""
    steps = garment('a 30 wait="6h"', 'b 120 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert (last_day(found, "a"), last_day(found, "b")) == (6, 7)


def test_nights_are_counted_between_the_days_windows_belong_to(tmp_path: Path) -> None:
    """Hours from 22:00 to 02:00: work after midnight is still the evening before.

    c and a fill the night of the 6th up to 02:00; one night later is the evening of the 7th.
    """
    steps = garment("c 180", 'a 60 wait="1 night", after=["c"]', 'b 120 after=["a"]')
    found = plan(tmp_path, ensemble(steps), every("workroom", "22:00-02:00"))
    assert times(found, "b") == ["7 22:00-00:00"]
    assert times(found, "a") == ["6 01:00-02:00"]
    assert times(found, "c") == ["6 22:00-01:00"]
    assert step(found, "a").last_day == date(2027, 5, 6)
    assert found.fits is True


def test_a_step_is_due_for_the_first_occasion_that_wants_it(tmp_path: Path) -> None:
    """The fitting on the 6th is before the ball."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 60", "b 60"), f"{pins}, {BALL}"))
    assert (step(found, "a").due_for, step(found, "b").due_for) == ("e/pins", "e/ball")
    assert step(found, "a").due == datetime(2027, 5, 6, 18)
    assert (last_day(found, "a"), last_day(found, "b")) == (5, 7)


def test_the_step_furthest_along_is_late(tmp_path: Path) -> None:
    """a waits two nights: b can't be there for the fitting on the 5th, a can.

    a keeps its date (its own wait counts before the fitting), b moves on to the ball.
    """
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-05T18:00:00, wants = ["g/b"] }'
    steps = garment('a 60 wait="2 nights"', 'b 60 after=["a"]')
    found = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}"))
    assert occasion(found, "pins").late == ("e/g/b",)
    assert notes(found, "a", NoteKind.LATE) == []
    assert last_day(found, "a") == 3
    assert last_day(found, "b") == 7
    assert step(found, "b").due_for == "e/ball"
    assert (occasion(found, "pins").fits, occasion(found, "ball").fits) == (False, True)
    assert found.verdict is Verdict.DOES_NOT_FIT


def test_lateness_cascades(tmp_path: Path) -> None:
    """Released on the 6th, a is late for the fitting of the 5th; so is all that follows it."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-05T18:00:00, wants = ["g/c"] }'
    steps = garment("a 10 not_before=2027-05-06", 'b 10 after=["a"]', 'c 10 after=["b"]')
    found = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}"))
    assert set(short(occasion(found, "pins").late)) == {"a", "b", "c"}
    assert {last_day(found, n) for n in "abc"} == {7}


def test_what_is_late_for_a_fitting_is_wanted_by_the_next_that_wants_it(tmp_path: Path) -> None:
    """Late for the fitting of the 4th, wanted by that of the 6th before the ball."""
    first = '{ id = "one", kind = "fitting", at = 2027-05-04T18:00:00, wants = ["g/a"] }'
    second = '{ id = "two", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/a"] }'
    text = ensemble(garment("a 60 not_before=2027-05-05"), f"{first}, {second}, {BALL}")
    found = plan(tmp_path, text)
    assert occasion(found, "one").late == ("e/g/a",)
    assert step(found, "a").due_for == "e/two"
    assert last_day(found, "a") == 5


def test_minutes_alone_make_nobody_late(tmp_path: Path) -> None:
    """Ten hours of work before a fitting with one evening of two: over, and nobody late."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T18:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 600"), f"{pins}, {BALL}"))
    assert occasion(found, "pins").late == ()
    assert last_day(found, "a") == 3
    assert found.peak_load == 5.0
    assert occasion(found, "pins").short == 480


def test_after_the_last_occasion_a_step_is_unplaced(tmp_path: Path) -> None:
    """Released after the ball: no hours, a note, and it doesn't fit."""
    found = plan(tmp_path, ensemble(garment("a 60 not_before=2027-05-09", "b 60")))
    assert [(u.step, u.minutes) for u in found.unplaced] == [("e/g/a", 60)]
    assert len(notes(found, "a", NoteKind.UNPLACED)) == 1
    assert step(found, "a").reason.because is Because.UNPLACED
    assert step(found, "a").reason.names == ("not_before",)
    assert found.fits is False
    assert [s.step for s in found.sittings] == ["e/g/b"]
    assert occasion(found, "ball").late == ("e/g/a",)


def test_an_unplaced_step_hands_on_its_release_and_wait(tmp_path: Path) -> None:
    """a (two hands, no helper) is released on the 5th and waits a night: b begins on the 6th.

    a's ten hours hold nobody up.
    """
    steps = garment(
        'a 600 hands=2, not_before=2027-05-05, wait="1 night"', 'b 240 after=["a"]'
    )
    found = plan(tmp_path, ensemble(steps))
    assert short([u.step for u in found.unplaced]) == ["a"]
    assert times(found, "b") == ["6 19:00-21:00", "7 19:00-21:00"]


def test_two_hands_without_helper(tmp_path: Path) -> None:
    """Without any helper hours a two-hand step is unplaced, and the note says why."""
    found = plan(tmp_path, ensemble(garment("a 60 hands=2")))
    assert len(notes(found, "a", NoteKind.TWO_HANDS_WITHOUT_HELPER)) == 1
    assert short([u.step for u in found.unplaced]) == ["a"]


def test_two_hands_are_done_only_in_helper_hours(tmp_path: Path) -> None:
    """The helper comes on Wednesday the 5th from 20:00."""
    helper = '[helper_hours]\nwednesday = ["20:00-21:00"]\n'
    found = plan(tmp_path, ensemble(garment("a 60 hands=2")), EVENINGS + helper)
    assert times(found, "a") == ["5 20:00-21:00"]
    assert notes(found, "a", NoteKind.TWO_HANDS_WITHOUT_HELPER) == []


def test_helper_hours_do_not_stretch(tmp_path: Path) -> None:
    """90 minutes for two hands in 60 of the helper: the step furthest along gives way."""
    helper = '[helper_hours]\nwednesday = ["20:00-21:00"]\n'
    steps = garment("a 50 hands=2", 'b 40 hands=2, after=["a"]')
    found = plan(tmp_path, ensemble(steps), EVENINGS + helper)
    assert short([u.step for u in found.unplaced]) == ["b"]
    assert times(found, "a") == ["5 20:00-20:50"]


def test_sofa_hours_serve_sofa_steps_and_do_not_stretch(tmp_path: Path) -> None:
    """120 minutes for the sofa, 90 of sofa hours and no others: a step gives way."""
    sofa = '[sofa_hours]\nwednesday = ["20:00-21:30"]\n'
    steps = garment('a 60 place="sofa", work="hand"', 'b 60 place="sofa", work="hand", after=["a"]')
    found = plan(tmp_path, ensemble(steps), sofa)
    assert short([u.step for u in found.unplaced]) == ["b"]
    assert found.peak_load is None and found.lower_bound is None


@pytest.mark.parametrize(
    ("place", "wheres"),
    [("workroom", 0), ("sofa", 60), ("take-along", 120)],
)
def test_places_serve_what_needs_no_more(place: str, wheres: int, tmp_path: Path) -> None:
    """Of two hours' work as much lies outside the workroom as its place allows."""
    hours = (
        '[workroom_hours]\nfriday = ["19:00-21:00"]\n'
        '[sofa_hours]\nfriday = ["21:00-22:00"]\n'
        '[take_along_hours]\nfriday = ["22:00-23:00"]\n'
    )
    found = plan(tmp_path, ensemble(garment(f'a 240 place="{place}"')), hours)
    placed = sum(s.minutes for s in found.sittings if s.where.value != "workroom")
    assert placed == wheres
    assert found.peak_load == pytest.approx((240 - wheres) / 120)


def test_a_day_without_hours_is_never_given_any(tmp_path: Path) -> None:
    """Only Tuesday the 4th has hours: all work lies there, over or not."""
    tuesdays = '[workroom_hours]\ntuesday = ["19:00-21:00"]\n'
    found = plan(tmp_path, ensemble(garment("a 300")), tuesdays)
    assert {s.date.day for s in found.sittings} == {4}
    assert [n.minutes for n in day_notes(found, 4, NoteKind.OVER)] == [180]


def test_without_any_hours_all_is_unplaced(tmp_path: Path) -> None:
    """No hours at all: unplaced, no peak, no begin-by."""
    found = plan(tmp_path, ensemble(garment("a 60")), "")
    assert short([u.step for u in found.unplaced]) == ["a"]
    assert (found.peak_load, found.begin_by, found.fits) == (None, None, False)


def test_with_an_event_all_that_led_to_it_is_over(tmp_path: Path) -> None:
    """What a fitting and a ball that are over lacked isn't late for them once the next wearing
    wants it: only what that can't have is."""
    now = datetime(2027, 5, 9, 12)
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T14:00:00 }'
    again = '{ id = "again", kind = "event", at = 2027-05-16 }'
    steps = garment("mock 60", 'fit 20 during="pins", after=["mock"]', 'sew 60 after=["fit"]')
    for occasions, late in ((f"{pins}, {BALL}, {again}", set()), (f"{pins}, {again}", {"e/pins"})):
        found = plan(tmp_path / str(len(late)), ensemble(steps, occasions), now=now)
        assert {one.id for one in found.occasions if one.late} == late
        assert found.fits is (not late)
        assert (found.verdict is Verdict.DOES_NOT_FIT) is bool(late)
        assert bool(times(found, "sew"))
    soon = again.replace("16", "10")
    steps = steps.replace('hours = "60m"', 'hours = "600m"')
    found = plan(tmp_path / "soon", ensemble(steps, f"{pins}, {BALL}, {soon}"), now=now)
    assert found.fits is False
