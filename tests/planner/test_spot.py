"""The tight spot on little workrooms, counted by hand."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from planner.model import Place
from tests.planner.little import BALL, EVENINGS, ensemble, every, garment, occasion, plan, short


def test_the_whole_time_where_work_is_even(tmp_path: Path) -> None:
    """540 minutes in five evenings of 120: 60 to spare, nothing proven."""
    spot = plan(tmp_path, ensemble(garment("a 540"))).tight_spot
    assert spot is not None
    assert (spot.start, spot.end) == (datetime(2027, 5, 3, 19), datetime(2027, 5, 7, 21))
    assert (spot.wanted, spot.available, spot.short) == (540, 600, -60)
    assert not spot.proven
    assert [h.minutes for h in spot.hours] == [120] * 5


def test_a_proof_that_it_does_not_fit(tmp_path: Path) -> None:
    """660 in 600: short of 60, and proven."""
    found = plan(tmp_path, ensemble(garment("a 660")))
    spot = found.tight_spot
    assert spot is not None
    assert (spot.wanted, spot.available, spot.short, spot.proven) == (660, 600, 60, True)
    assert occasion(found, "ball").short == 60


def test_the_narrow_span_behind_a_release(tmp_path: Path) -> None:
    """b (200) can't begin before the 6th: 200 in the last 240, fuller than all 260 in 600."""
    found = plan(tmp_path, ensemble(garment("a 60", "b 200 not_before=2027-05-06")))
    spot = found.tight_spot
    assert spot is not None
    assert (spot.start, spot.end) == (datetime(2027, 5, 6, 19), datetime(2027, 5, 7, 21))
    assert (spot.wanted, spot.available) == (200, 240)
    (row,) = spot.steps
    assert (row.id, row.minutes) == ("e/g/b", 200)
    assert row.begins == ("not_before", "e/g/b")
    assert row.ends == ("e/g/b", "e/ball")


def test_the_narrow_span_before_a_fitting(tmp_path: Path) -> None:
    """a and b (170 in a chain) before the fitting of the 5th: 170 of 240."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-05T18:00:00, wants = ["g/b"] }'
    steps = garment("a 100", 'b 70 after=["a"]', "c 60")
    spot = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}")).tight_spot
    assert spot is not None
    assert (spot.wanted, spot.available) == (170, 240)
    assert [(s.id, s.ends) for s in spot.steps] == [
        ("e/g/a", ("e/g/a", "e/g/b", "e/pins")),
        ("e/g/b", ("e/g/b", "e/pins")),
    ]


def test_a_chain_keeps_a_step_inside(tmp_path: Path) -> None:
    """b follows a, which tape on the 6th holds up: b's chain begins with the tape."""
    stock = '{ id = "tape", have = "0 m", coming = [{ amount = "1 m", arrives = 2027-05-06 }] }'
    steps = garment(
        'a 110 uses=[{ stock = "tape", amount = ["1 m"] }]', 'b 110 after=["a"]', "c 60"
    )
    spot = plan(tmp_path, ensemble(steps, BALL, stock)).tight_spot
    assert spot is not None
    assert (spot.wanted, spot.available) == (220, 240)
    assert [s.begins for s in spot.steps] == [
        ("e/tape", "e/g/a"),
        ("e/tape", "e/g/a", "e/g/b"),
    ]


def test_the_spot_is_of_all_ensembles(tmp_path: Path) -> None:
    """Work of two ensembles crowds the same evenings."""
    spot = plan(
        tmp_path, ensemble(garment("a 330")), f=ensemble(garment("b 330"))
    ).tight_spot
    assert spot is not None
    assert sorted(short([s.id for s in spot.steps])) == ["a", "b"]
    assert (spot.wanted, spot.short) == (660, 60)


def test_sofa_hours_serve_only_what_can_be_done_there(tmp_path: Path) -> None:
    """Workroom work alone is the tightest: sofa hours aren't counted for it."""
    hours = EVENINGS + every("sofa", "21:00-22:00")
    steps = garment("a 540", 'b 30 place="sofa", work="hand"')
    spot = plan(tmp_path, ensemble(steps), hours).tight_spot
    assert spot is not None
    assert {h.place for h in spot.hours} == {Place.WORKROOM}
    assert (spot.wanted, spot.available) == (540, 600)


def test_a_late_step_is_the_spot(tmp_path: Path) -> None:
    """No hours at all in its span: zero available, proven."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T18:00:00, wants = ["g/a"] }'
    text = ensemble(garment("a 60 not_before=2027-05-04"), f"{pins}, {BALL}")
    spot = plan(tmp_path, text).tight_spot
    assert spot is not None
    assert datetime(2027, 5, 4) <= spot.start <= spot.end == datetime(2027, 5, 4, 18)
    assert (spot.wanted, spot.available, spot.proven, spot.hours) == (60, 0, True, ())
    (row,) = spot.steps
    assert (row.begins, row.ends) == (("not_before", "e/g/a"), ("e/g/a", "e/pins"))


def test_sums_are_those_of_the_rows(tmp_path: Path) -> None:
    """Hours one by one sum to what is available, steps to what is wanted."""
    steps = garment("a 100", 'b 130 after=["a"], wait="1 night"', 'c 90 after=["b"]')
    spot = plan(tmp_path, ensemble(steps)).tight_spot
    assert spot is not None
    assert sum(h.minutes for h in spot.hours) == spot.available
    assert sum(s.minutes for s in spot.steps) == spot.wanted


def test_work_that_fits_on_the_sofa_has_a_spot_too(tmp_path: Path) -> None:
    """Null only when nothing is left to do."""
    sofa = every("sofa", "21:00-22:00")
    found = plan(tmp_path, ensemble(garment('a 60 place="sofa", work="hand"')), sofa)
    assert found.tight_spot is not None
    assert (found.tight_spot.wanted, found.tight_spot.available) == (60, 300)


def test_short_is_zero_where_there_are_hours_enough(tmp_path: Path) -> None:
    """Short of an occasion is never negative."""
    assert occasion(plan(tmp_path, ensemble(garment("a 60"))), "ball").short == 0


def test_short_before_each_occasion(tmp_path: Path) -> None:
    """300 before the fitting's two evenings: 60 short; by the ball there are hours enough."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-05T18:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 300", "b 60"), f"{pins}, {BALL}"))
    assert occasion(found, "pins").short == 60
    assert occasion(found, "pins").fits is False
    assert occasion(found, "ball").short == 0
