"""Stock: who is served in which order, arrivals as releases, what never comes, what was used."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.ground import lay_ground
from planner.plan import NoteKind, Plan
from planner.stock import StockLine
from tests.planner.little import (
    BALL,
    NOW,
    ensemble,
    garment,
    last_day,
    notes,
    plan,
    project,
    step,
    times,
)


def tape(have: str = '"1 m"', coming: str = "", keys: str = "") -> str:
    """A stock "tape"."""
    more = f", coming = [{coming}]" if coming else ""
    return f'{{ id = "tape", have = {have}{more}{", " if keys else ""}{keys} }}'


def uses(metres: str, extra: str = "") -> str:
    """Keys of a step that takes so many metres."""
    share = f', extra = "{extra}"' if extra else ""
    return f'uses=[{{ stock = "tape", amount = ["{metres} m"]{share} }}]'


ON_THE_6TH = '{ amount = "4 m", arrives = 2027-05-06 }'


def planned(folder: Path, stock: str, *steps: str, diary: str = "") -> Plan:
    """The plan of one garment with a stock."""
    return plan(folder, ensemble(garment(*steps), BALL, stock), diary=diary)


def line(folder: Path, stock: str, *steps: str, diary: str = "") -> StockLine:
    """The stock as served."""
    read = project(folder, ensemble(garment(*steps), BALL, stock), diary=diary)
    (one,) = lay_ground(read, NOW).stock
    return one


def test_a_step_waits_for_an_arrival_that_it_needs(tmp_path: Path) -> None:
    """One metre is there, three are wanted, four come on the 6th: released at its 00:00."""
    found = planned(tmp_path, tape(coming=ON_THE_6TH), f"a 300 {uses('3')}")
    assert step(found, "a").released == datetime(2027, 5, 6)
    # 300 minutes in the two evenings of 120 that are left
    assert {s.date.day for s in found.sittings} == {6, 7}
    assert found.peak_load == 1.25
    (note,) = notes(found, "a", NoteKind.STOCK_NOT_THERE)
    assert (note.subject, note.until) == ("e/tape", datetime(2027, 5, 6))


def test_what_is_there_releases_at_once(tmp_path: Path) -> None:
    """One metre of the one there: no release and no note."""
    found = planned(tmp_path, tape(coming=ON_THE_6TH), f"a 60 {uses('1')}")
    assert step(found, "a").released is None
    assert notes(found, "a", NoteKind.STOCK_NOT_THERE) == []
    assert notes(found, "a", NoteKind.STOCK_RUNS_OUT) == []


def test_an_arrival_before_now_holds_nobody_up(tmp_path: Path) -> None:
    """What arrived on the 2nd is there on the 3rd."""
    came = '{ amount = "4 m", arrives = 2027-05-02 }'
    found = planned(tmp_path, tape(coming=came), f"a 60 {uses('3')}")
    assert step(found, "a").released is None
    assert notes(found, "a", NoteKind.STOCK_NOT_THERE) == []


def test_what_never_comes_is_a_note_and_no_ban(tmp_path: Path) -> None:
    """Six wanted, five at the most: one is lacking, and the step waits for nothing."""
    found = planned(tmp_path, tape(coming=ON_THE_6TH), f"a 60 {uses('6')}")
    (note,) = notes(found, "a", NoteKind.STOCK_RUNS_OUT)
    assert (note.subject, note.text) == ("e/tape", "1 m")
    assert step(found, "a").released is None
    assert last_day(found, "a") == 7
    assert found.fits is True


def test_a_delivery_without_a_date_is_not_counted_on(tmp_path: Path) -> None:
    """What comes nobody knows when never comes, for the plan."""
    found = planned(tmp_path, tape(coming='{ amount = "9 m" }'), f"a 60 {uses('3')}")
    (note,) = notes(found, "a", NoteKind.STOCK_RUNS_OUT)
    assert note.text == "2 m"


def test_users_are_served_in_order_of_their_latest(tmp_path: Path) -> None:
    """b stands behind in the file but must end earlier (c follows it): b has the metre there."""
    steps = (f"a 60 {uses('1')}", f"b 60 {uses('1')}", 'c 60 after=["b"]')
    found = planned(tmp_path, tape(coming=ON_THE_6TH), *steps)
    assert step(found, "b").released is None
    assert step(found, "a").released == datetime(2027, 5, 6)


def test_equal_latest_is_served_in_order_of_the_file(tmp_path: Path) -> None:
    """Two free steps with one latest: the first in the file."""
    found = planned(tmp_path, tape(coming=ON_THE_6TH), f"a 60 {uses('1')}", f"b 60 {uses('1')}")
    assert step(found, "a").released is None
    assert step(found, "b").released == datetime(2027, 5, 6)


def test_a_user_waits_for_all_served_before_it(tmp_path: Path) -> None:
    """Two deliveries: what has come must cover the user and all before it."""
    two = '{ amount = "2 m", arrives = 2027-05-04 }, { amount = "2 m", arrives = 2027-05-06 }'
    steps = (f"a 30 {uses('1')}", f"b 30 {uses('2')}", f"c 30 {uses('1')}")
    found = planned(tmp_path, tape(coming=two), *steps)
    released = [step(found, n).released for n in "abc"]
    assert released == [None, datetime(2027, 5, 4), datetime(2027, 5, 6)]


def test_who_goes_without_leaves_the_rest_to_those_behind(tmp_path: Path) -> None:
    """a wants more than there will ever be; b has the metre that is there."""
    found = planned(tmp_path, tape(), f"a 30 {uses('3')}", f"b 30 {uses('1')}")
    (note,) = notes(found, "a", NoteKind.STOCK_RUNS_OUT)
    assert note.text == "2 m"
    assert notes(found, "b", NoteKind.STOCK_RUNS_OUT) == []


def test_extra_is_taken_on_top(tmp_path: Path) -> None:
    """5 % of two metres more."""
    assert line(tmp_path, tape('"2 m"'), f"a 30 {uses('2', '5%')}").wanted == pytest.approx(2.1)


def test_a_step_uses_its_own_amount_unless_the_entry_names_one(tmp_path: Path) -> None:
    """The step's amount is counted, with a technique's length of 1.6 m."""
    own = 'a - technique="hem-by-hand", amount=["1.6 m"], uses=[{ stock = "tape" }]'
    assert line(tmp_path, tape('"2 m"'), own).wanted == pytest.approx(1.6)


def done(at: str, of: str = "a") -> str:
    """An entry that says done."""
    return f'[[entry]]\nat = {at}\nstep = "e/g/{of}"\nminutes = 30\ndone = true\n'


@pytest.mark.parametrize(
    ("counted", "at", "there"),
    [
        ("", "2027-05-01T10:00:00", 1.0),
        ("counted = 2027-04-30", "2027-05-01T10:00:00", 1.0),
        # on the day of the count it is taken as counted already
        ("counted = 2027-05-01", "2027-05-01T10:00:00", 3.0),
        ("counted = 2027-05-02", "2027-05-01T10:00:00", 3.0),
    ],
)
def test_what_was_done_since_the_count_is_taken_off(
    counted: str, at: str, there: float, tmp_path: Path
) -> None:
    """Of three metres two were used by a, before or after the count."""
    found = line(tmp_path, tape('"3 m"', keys=counted), f"a 30 {uses('2')}", diary=done(at))
    assert found.there == pytest.approx(there)
    assert found.wanted == 0


def test_a_step_done_before_the_diary_is_taken_off_only_without_a_count(tmp_path: Path) -> None:
    """have without counted is what there was before all work."""
    steps = f"a 30 done=true, {uses('2')}"
    assert line(tmp_path, tape('"3 m"'), steps).there == pytest.approx(1)
    counted = tape('"3 m"', keys="counted = 2027-04-30")
    assert line(tmp_path, counted, steps).there == pytest.approx(3)


def test_an_arrival_up_to_the_count_is_in_it(tmp_path: Path) -> None:
    """What came on the day of the count was counted."""
    came = '{ amount = "4 m", arrives = 2027-05-01 }'
    found = line(tmp_path, tape('"3 m"', came, "counted = 2027-05-01"), f"a 30 {uses('2')}")
    assert (found.there, found.coming) == (3, 0)


def test_a_step_that_is_begun_wants_its_whole_amount(tmp_path: Path) -> None:
    """Half done is not half used."""
    diary = '[[entry]]\nat = 2027-05-01T10:00:00\nstep = "e/g/a"\nminutes = 15\n'
    found = line(tmp_path, tape('"3 m"'), f"a 30 {uses('2')}", diary=diary)
    assert (found.there, found.wanted) == (3, 2)


def test_a_step_left_off_takes_no_stock(tmp_path: Path) -> None:
    """What a would have used is there for b."""
    steps = (f"a 30 left_off=true, {uses('1')}", f"b 30 {uses('1')}")
    found = planned(tmp_path, tape(), *steps)
    assert notes(found, "b", NoteKind.STOCK_RUNS_OUT) == []


def test_a_chosen_way_uses_what_it_names(tmp_path: Path) -> None:
    """One row instead of two: the way's own use counts."""
    way = 'instead=[{ chosen=true, uses=[{ stock = "tape", amount = ["1 m"] }] }]'
    assert line(tmp_path, tape(), f"a 30 {uses('2')}, {way}").wanted == 1


def test_a_late_arrival_moves_what_follows(tmp_path: Path) -> None:
    """Tape on the 7th: both a and its follower lie on the 7th, in order."""
    coming = '{ amount = "4 m", arrives = 2027-05-07 }'
    found = planned(tmp_path, tape(coming=coming), f"a 60 {uses('3')}", 'b 60 after=["a"]')
    assert times(found, "a") == ["7 19:00-20:00"]
    assert times(found, "b") == ["7 20:00-21:00"]
    assert step(found, "b").earliest == datetime(2027, 5, 7, 20)


def test_an_arrival_after_the_occasion_makes_late(tmp_path: Path) -> None:
    """Tape on the 9th is too late for the ball on the 8th."""
    coming = '{ amount = "4 m", arrives = 2027-05-09 }'
    found = planned(tmp_path, tape(coming=coming), f"a 60 {uses('3')}")
    assert [u.step for u in found.unplaced] == ["e/g/a"]
    assert [n.subject for n in notes(found, "a", NoteKind.LATE)] == ["e/ball"]
    assert found.fits is False


def test_what_cannot_be_bought_again_is_noted(tmp_path: Path) -> None:
    """again = false: every user has the note, with the stock."""
    found = planned(tmp_path, tape(keys="again = false"), f"a 60 {uses('1')}")
    (note,) = notes(found, "a", NoteKind.CANNOT_BE_BOUGHT_AGAIN)
    assert note.subject == "e/tape"


def test_amounts_are_shown_in_the_workrooms_units(tmp_path: Path) -> None:
    """Imperial: 1 m lacking is 39.4 in."""
    text = ensemble(garment(f"a 60 {uses('2')}"), BALL, tape())
    found = plan(tmp_path, text, keys='units = "imperial"')
    (note,) = notes(found, "a", NoteKind.STOCK_RUNS_OUT)
    assert note.text == "39.4 in"


def test_who_uses_stock_at_an_occasion_is_served_by_its_end(tmp_path: Path) -> None:
    """The fitting of the 5th comes before the ball's steps: it has the metre there."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-05T18:00:00 }'
    steps = garment(f"a 60 {uses('1')}", f'fit 30 during="pins", {uses("1")}')
    found = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}", tape(coming=ON_THE_6TH)))
    assert notes(found, "fit", NoteKind.STOCK_NOT_THERE) == []
    assert step(found, "a").released == datetime(2027, 5, 6)
