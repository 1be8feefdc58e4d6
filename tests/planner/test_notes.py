"""Every kind of note at least once, on the day or step it belongs to, and not elsewhere."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.plan import NoteKind
from tests.planner.little import (
    BALL,
    day_notes,
    ensemble,
    garment,
    notes,
    plan,
    step,
)

LAST = "not_before=2027-05-07"
"""Keys that keep a step on the last evening."""
TAPE = '{ id = "tape", have = "1 m", coming = [{ amount = "2 m", arrives = 2027-05-05 }] }'


def test_over(tmp_path: Path) -> None:
    """130 minutes on an evening of 120."""
    found = plan(tmp_path, ensemble(garment(f"a 130 {LAST}")))
    assert [n.minutes for n in day_notes(found, 7, NoteKind.OVER)] == [10]
    assert day_notes(found, 6, NoteKind.OVER) == []
    assert day_notes(found, 7, NoteKind.TIGHT) == []


@pytest.mark.parametrize(("minutes", "times"), [(102, 0), (103, 1), (120, 1)])
def test_tight(minutes: int, times: int, tmp_path: Path) -> None:
    """More than 85 % of 120 minutes is more than 102."""
    found = plan(tmp_path, ensemble(garment(f"a {minutes} {LAST}")))
    assert len(day_notes(found, 7, NoteKind.TIGHT)) == times


def test_late(tmp_path: Path) -> None:
    """Released after the fitting that wants it."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T18:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment(f"a 60 {LAST}", "b 60"), f"{pins}, {BALL}"))
    assert [n.subject for n in notes(found, "a", NoteKind.LATE)] == ["e/pins"]
    assert notes(found, "b", NoteKind.LATE) == []


def test_nothing_to_spare(tmp_path: Path) -> None:
    """A filled last evening; said of a step with 0, never of one with more."""
    found = plan(tmp_path, ensemble(garment(f"a 120 {LAST}", "b 60")))
    assert len(notes(found, "a", NoteKind.NOTHING_TO_SPARE)) == 1
    assert (step(found, "a").to_spare, step(found, "a").to_spare_exact) == (0, True)
    assert notes(found, "b", NoteKind.NOTHING_TO_SPARE) == []


def test_too_much_hand_sewing(tmp_path: Path) -> None:
    """90 minutes by hand on a day with a limit of an hour."""
    limit = 'hand_sewing_limit = "1h"'
    text = ensemble(garment(f'a 90 work="hand", {LAST}', f"b 20 {LAST}"))
    found = plan(tmp_path, text, keys=limit)
    assert [n.minutes for n in day_notes(found, 7, NoteKind.TOO_MUCH_HAND_SEWING)] == [30]


def test_hand_sewing_up_to_the_limit_is_not_too_much(tmp_path: Path) -> None:
    """Exactly the limit; and without a limit never."""
    text = ensemble(garment(f'a 90 work="hand", {LAST}'))
    for keys in ('hand_sewing_limit = "1h30"', ""):
        found = plan(tmp_path, text, keys=keys)
        assert day_notes(found, 7, NoteKind.TOO_MUCH_HAND_SEWING) == []


def test_too_long_for_one_sitting(tmp_path: Path) -> None:
    """121 minutes in one go in evenings of 120."""
    found = plan(tmp_path, ensemble(garment("a 121 one_sitting=true", "b 120 one_sitting=true")))
    assert len(notes(found, "a", NoteKind.TOO_LONG_FOR_ONE_SITTING)) == 1
    assert notes(found, "b", NoteKind.TOO_LONG_FOR_ONE_SITTING) == []


def test_fixed_day_not_kept(tmp_path: Path) -> None:
    """Fixed for a day after the ball, and for one that can be kept."""
    found = plan(tmp_path, ensemble(garment("a 60 on=2027-05-20", "b 60 on=2027-05-05")))
    assert len(notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT)) == 1
    assert notes(found, "b", NoteKind.FIXED_DAY_NOT_KEPT) == []


def test_stock_not_there(tmp_path: Path) -> None:
    """Two metres come on the 5th."""
    text = ensemble(garment('a 60 uses=[{ stock = "tape", amount = ["3 m"] }]'), BALL, TAPE)
    (note,) = notes(plan(tmp_path, text), "a", NoteKind.STOCK_NOT_THERE)
    assert (note.subject, note.until) == ("e/tape", datetime(2027, 5, 5))


def test_stock_runs_out(tmp_path: Path) -> None:
    """Of four metres wanted three will be there."""
    text = ensemble(garment('a 60 uses=[{ stock = "tape", amount = ["4 m"] }]'), BALL, TAPE)
    (note,) = notes(plan(tmp_path, text), "a", NoteKind.STOCK_RUNS_OUT)
    assert (note.subject, note.text) == ("e/tape", "1 m")


@pytest.mark.parametrize(("again", "times"), [("true", 0), ("false", 1)])
def test_cannot_be_bought_again(again: str, times: int, tmp_path: Path) -> None:
    """Only stock with ``again = false``."""
    stock = f'{{ id = "lace", have = 3, again = {again} }}'
    text = ensemble(garment('a 60 uses=[{ stock = "lace", amount = [2] }]'), BALL, stock)
    found = notes(plan(tmp_path, text), "a", NoteKind.CANNOT_BE_BOUGHT_AGAIN)
    assert [n.subject for n in found] == ["e/lace"] * times


def test_no_way_back_after_a_fitting(tmp_path: Path) -> None:
    """The cut follows a fitting: that is what should come first."""
    steps = garment('fit 30 work="fitting"', "press 10", keys="in_order = true") + garment(
        'cut 60 no_way_back=true, after=["g"]', 'sew 30 after=["cut"]', id="skirt"
    )
    found = plan(tmp_path, ensemble(steps))
    (note,) = notes(found, "skirt/cut", NoteKind.NO_WAY_BACK)
    assert note.subject == "e/g/fit"
    assert notes(found, "skirt/sew", NoteKind.NO_WAY_BACK) == []


def test_no_way_back_after_a_correction(tmp_path: Path) -> None:
    """Between fitting and cut the correction is nearer."""
    steps = garment(
        'fit 30 work="fitting"',
        'correct - technique="transfer-corrections", amount=[2]',
        "cut 60 no_way_back=true",
        keys="in_order = true",
    )
    (note,) = notes(plan(tmp_path, ensemble(steps)), "cut", NoteKind.NO_WAY_BACK)
    assert note.subject == "e/g/correct"


def test_no_way_back_without_any_fitting(tmp_path: Path) -> None:
    """Nothing to come first: no subject."""
    (note,) = notes(
        plan(tmp_path, ensemble(garment("cut 60 no_way_back=true"))), "cut", NoteKind.NO_WAY_BACK
    )
    assert note.subject is None


def test_waits_till(tmp_path: Path) -> None:
    """A night after the evening of the 6th: till the 7th, 00:00; b has no wait."""
    steps = garment('a 60 wait="1 night"', 'b 120 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert [n.until for n in notes(found, "a", NoteKind.WAITS_TILL)] == [datetime(2027, 5, 7)]
    assert notes(found, "b", NoteKind.WAITS_TILL) == []


def test_waits_till_by_the_clock(tmp_path: Path) -> None:
    """a ends at 19:30 of a single evening and waits an hour."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    steps = garment('a 30 wait="1h"', 'b 30 after=["a"]')
    (note,) = notes(plan(tmp_path, ensemble(steps, ball)), "a", NoteKind.WAITS_TILL)
    assert note.until == datetime(2027, 5, 3, 20, 30)


def test_two_hands_without_helper(tmp_path: Path) -> None:
    """There is no helper at all."""
    found = plan(tmp_path, ensemble(garment("a 60 hands=2", "b 60")))
    assert len(notes(found, "a", NoteKind.TWO_HANDS_WITHOUT_HELPER)) == 1
    assert notes(found, "b", NoteKind.TWO_HANDS_WITHOUT_HELPER) == []


def test_not_wanted(tmp_path: Path) -> None:
    """An event that names what it wants leaves b out: not planned, noted, warned about."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-08, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 60", "b 60"), ball))
    assert [n.kind for n in step(found, "b").notes] == [NoteKind.NOT_WANTED]
    assert not step(found, "b").wanted
    assert [s.step for s in found.sittings] == ["e/g/a"]
    assert [w.place for w in found.warnings if "e/g/b" in w.text] == ["garment[0].step[1]"]


def test_unplaced(tmp_path: Path) -> None:
    """Released after the last occasion: the note says what holds it."""
    found = plan(tmp_path, ensemble(garment("a 60 not_before=2027-05-12")))
    (note,) = notes(found, "a", NoteKind.UNPLACED)
    assert "2027-05-12" in note.text


def test_caution(tmp_path: Path) -> None:
    """The maker's own sentence stands at the step."""
    words = "open the window, mind the label"
    found = plan(tmp_path, ensemble(garment(f'a 60 caution="{words}"', "b 60")))
    assert [n.text for n in notes(found, "a", NoteKind.CAUTION)] == [words]
    assert notes(found, "b", NoteKind.CAUTION) == []


def test_done_steps_have_no_notes(tmp_path: Path) -> None:
    """Neither caution nor no way back once it is done."""
    text = ensemble(garment('a 60 done=true, caution="hot", no_way_back=true', "b 60"))
    assert step(plan(tmp_path, text), "a").notes == ()


def test_every_kind_has_its_test() -> None:
    """This file tests each kind there is."""
    text = Path(__file__).read_text(encoding="utf-8")
    assert [k.name for k in NoteKind if f"NoteKind.{k.name}" not in text] == []
