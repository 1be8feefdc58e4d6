"""The whole plan: loads, verdicts, begin-by, sittings, fixed days, over, shared hours."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.plan import Because, NoteKind, Verdict
from planner.planning import plan_project
from tests.planner.little import (
    BALL,
    EVENINGS,
    NOW,
    day_notes,
    ensemble,
    every,
    garment,
    last_day,
    notes,
    plan,
    project,
    short,
    step,
    times,
)

# five evenings of two hours before the ball: 600 minutes


@pytest.mark.parametrize(
    ("minutes", "fits", "verdict", "peak"),
    [
        (510, True, Verdict.FITS, 0.85),
        (511, True, Verdict.TIGHT, None),
        (600, True, Verdict.TIGHT, 1.0),
        (601, False, Verdict.DOES_NOT_FIT, None),
        (660, False, Verdict.DOES_NOT_FIT, 1.1),
    ],
)
def test_verdicts(
    minutes: int, fits: bool, verdict: Verdict, peak: float | None, tmp_path: Path
) -> None:
    """Fits up to 85 % of every evening, tight up to 100 %, beyond it doesn't fit."""
    found = plan(tmp_path, ensemble(garment(f"a {minutes}")), fill="70%")
    assert (found.fits, found.verdict) == (fits, verdict)
    if peak is not None:
        assert found.peak_load == pytest.approx(peak)
        assert found.lower_bound == pytest.approx(peak)


def test_full_days_that_need_not_be_full_are_not_tight(tmp_path: Path) -> None:
    """Filled to 100 % because the maker says so: 300 minutes could lie at half."""
    found = plan(tmp_path, ensemble(garment("a 300")))
    assert found.peak_load == 1.0
    assert found.verdict is Verdict.FITS


@pytest.mark.parametrize(
    ("fill", "planned"),
    [
        ("100%", [0, 0, 0, 60, 120]),
        ("75%", [0, 0, 0, 90, 90]),
        ("50%", [0, 0, 60, 60, 60]),
        # 36 minutes an evening hold all of it
        ("30%", [36, 36, 36, 36, 36]),
    ],
)
def test_as_late_as_days_may_be_filled(fill: str, planned: list[int], tmp_path: Path) -> None:
    """180 minutes from the end on, each evening up to ``fill_to``."""
    found = plan(tmp_path, ensemble(garment("a 180")), fill=fill)
    assert [w.planned for w in found.windows] == planned


def test_days_are_filled_beyond_only_as_far_as_they_must(tmp_path: Path) -> None:
    """450 minutes at 50 %: the least peak is 75 %, everywhere."""
    found = plan(tmp_path, ensemble(garment("a 450")), fill="50%")
    assert [w.planned for w in found.windows] == [90] * 5
    assert found.peak_load == found.lower_bound == 0.75


def test_what_is_crowded_alone_is_full_alone(tmp_path: Path) -> None:
    """110 minutes before a fitting with one evening: that one is full, the others aren't."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-04T18:00:00, wants = ["g/a"] }'
    found = plan(
        tmp_path, ensemble(garment("a 110", "b 240"), f"{pins}, {BALL}"), fill="50%"
    )
    assert [w.planned for w in found.windows] == [110, 60, 60, 60, 60]
    assert found.verdict is Verdict.TIGHT


def test_setting_up_is_taken_off_every_window(tmp_path: Path) -> None:
    """15 minutes off each evening: 105 are left, from 19:15."""
    found = plan(tmp_path, ensemble(garment("a 105")), keys='setting_up = "15m"')
    assert {w.minutes for w in found.windows} == {105}
    assert times(found, "a") == ["7 19:15-21:00"]


@pytest.mark.parametrize(
    ("minutes", "day"),
    [(1, 7), (120, 7), (121, 6), (240, 6), (241, 5), (600, 3), (700, 3)],
)
def test_begin_by(minutes: int, day: int, tmp_path: Path) -> None:
    """The last day from which on full evenings hold it; the first one where none does."""
    found = plan(tmp_path, ensemble(garment(f"a {minutes}")), fill="50%")
    assert found.begin_by == date(2027, 5, day)


def test_begin_by_knows_of_waits(tmp_path: Path) -> None:
    """Two short steps with three nights between them: the 4th."""
    steps = garment('a 10 wait="3 nights"', 'b 10 after=["a"]')
    assert plan(tmp_path, ensemble(steps)).begin_by == date(2027, 5, 4)


def test_with_nothing_to_do_there_is_no_day_to_begin_by(tmp_path: Path) -> None:
    """All done: it fits, and neither a day nor a spot."""
    found = plan(tmp_path, ensemble(garment("a 60 done=true")))
    assert (found.fits, found.verdict) == (True, Verdict.FITS)
    assert found.begin_by is None
    assert found.tight_spot is None
    assert found.finished_on["e"] == date(2027, 5, 3)


# ---------------------------------------------------------------- over


def test_minutes_beyond_the_window_are_over(tmp_path: Path) -> None:
    """150 minutes in the last evening's 120: the end is the window's, 30 are over."""
    found = plan(tmp_path, ensemble(garment("a 150 not_before=2027-05-07")))
    (sitting,) = found.sittings
    assert (sitting.minutes, sitting.over) == (150, 30)
    assert (sitting.start, sitting.end) == (datetime(2027, 5, 7, 19), datetime(2027, 5, 7, 21))
    assert [n.minutes for n in day_notes(found, 7, NoteKind.OVER)] == [30]
    assert found.peak_load == 1.25
    assert found.fits is False


def test_a_sitting_wholly_over_has_no_clock_time(tmp_path: Path) -> None:
    """a takes the whole evening, b behind it has neither beginning nor end."""
    steps = garment("a 120 not_before=2027-05-07", 'b 30 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    first, second = found.sittings
    assert (first.step, first.over) == ("e/g/a", 0)
    assert (second.step, second.over, second.minutes) == ("e/g/b", 30, 30)
    assert second.start is None and second.end is None
    assert step(found, "b").last_day == date(2027, 5, 7)


def test_a_sitting_partly_over(tmp_path: Path) -> None:
    """100 and 100 in 120 minutes: the second has 20 by the clock and 80 over."""
    steps = garment("a 100 not_before=2027-05-07", 'b 100 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert times(found, "b") == ["7 20:40-21:00"]
    assert [s.over for s in found.sittings] == [0, 80]


def test_a_day_is_over_if_any_of_its_windows_is(tmp_path: Path) -> None:
    """A fitting at 20:00 (ten minutes) wants a: the first hour is over, the rest is free."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-03T20:00:00, wants = ["g/a"] }'
    found = plan(tmp_path, ensemble(garment("a 75"), f"{pins}, {BALL}"))
    assert [(w.minutes, w.planned) for w in found.windows[:2]] == [(60, 75), (50, 0)]
    assert [n.minutes for n in day_notes(found, 3, NoteKind.OVER)] == [15]
    assert found.days[0].peak == 1.25
    assert (found.days[0].workroom_available, found.days[0].workroom_planned) == (110, 75)


# ---------------------------------------------------------------- one sitting


def test_a_one_sitting_step_is_not_divided(tmp_path: Path) -> None:
    """Behind b's hour 60 minutes are left on the 7th: 90 in one go lie on the 6th."""
    steps = garment("a 90 one_sitting=true", 'b 60 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert times(found, "a") == ["6 19:00-20:30"]


def test_a_step_that_may_be_divided_is(tmp_path: Path) -> None:
    """The same without ``one_sitting``: an hour on the 7th, half an hour the evening before."""
    found = plan(tmp_path, ensemble(garment("a 90", 'b 60 after=["a"]')))
    assert times(found, "a") == ["6 19:00-19:30", "7 19:00-20:00"]


def test_a_one_sitting_step_longer_than_every_window_is_divided_and_noted(
    tmp_path: Path,
) -> None:
    """150 minutes in evenings of 120."""
    found = plan(tmp_path, ensemble(garment("a 150 one_sitting=true")))
    assert len(notes(found, "a", NoteKind.TOO_LONG_FOR_ONE_SITTING)) == 1
    assert times(found, "a") == ["6 19:00-19:30", "7 19:00-21:00"]
    assert found.fits is True


def test_a_one_sitting_step_may_cross_a_cut_between_touching_windows(tmp_path: Path) -> None:
    """The helper comes at 20:00 and cuts every evening; 90 minutes go across the cut."""
    hours = EVENINGS + every("helper", "20:00-21:00")
    found = plan(tmp_path, ensemble(garment("a 90 one_sitting=true")), hours)
    assert notes(found, "a", NoteKind.TOO_LONG_FOR_ONE_SITTING) == []
    assert times(found, "a") == ["7 19:30-20:00", "7 20:00-21:00"]


def test_windows_with_a_gap_are_not_one_sitting(tmp_path: Path) -> None:
    """An hour before supper and one after it don't make two in one go."""
    hours = every("workroom", "18:00-19:00", "20:00-21:00")
    found = plan(tmp_path, ensemble(garment("a 90 one_sitting=true")), hours)
    assert len(notes(found, "a", NoteKind.TOO_LONG_FOR_ONE_SITTING)) == 1


def test_at_most_one_sitting_crosses_a_cut(tmp_path: Path) -> None:
    """On one evening of 60 + 60 two sittings of 40 would both need the cut with a third of 40.

    Each of three fits into a window by itself, but two don't: so 100 % doesn't hold all
    three unless one crosses. By the clock the parts of the crossing one touch at 20:00.
    """
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    hours = EVENINGS + every("helper", "20:00-21:00")
    steps = garment(*(f"{n} 40 one_sitting=true" for n in "abc"))
    found = plan(tmp_path, ensemble(steps, ball), hours)
    assert found.peak_load == 1.0
    assert found.fits is True
    divided = [n for n in "abc" if len(times(found, n)) == 2]
    assert len(divided) == 1
    assert times(found, divided[0]) == ["3 19:40-20:00", "3 20:00-20:20"]


# ---------------------------------------------------------------- fixed days


def test_a_fixed_day_is_kept(tmp_path: Path) -> None:
    """Though it could be later."""
    found = plan(tmp_path, ensemble(garment("a 60 on=2027-05-04")))
    assert times(found, "a") == ["4 19:00-20:00"]
    assert notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT) == []
    assert step(found, "a").reason.because is Because.FIXED_DAY


def test_a_fixed_day_is_kept_though_it_gets_over(tmp_path: Path) -> None:
    """150 minutes on an evening of 120: over, and kept."""
    found = plan(tmp_path, ensemble(garment("a 150 on=2027-05-04")))
    assert {s.date.day for s in found.sittings} == {4}
    assert found.peak_load == 1.25


@pytest.mark.parametrize(
    "keys",
    [
        # after the ball
        "on=2027-05-09",
        # before now
        "on=2027-05-02",
        # before its release
        "on=2027-05-04, not_before=2027-05-05",
        # no night left before the ball
        'on=2027-05-07, wait="2 nights"',
    ],
)
def test_a_fixed_day_that_dates_forbid_is_not_kept(keys: str, tmp_path: Path) -> None:
    """It is noted, and the step planned without it."""
    found = plan(tmp_path, ensemble(garment(f"a 60 {keys}")))
    assert len(notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT)) == 1
    assert last_day(found, "a") == (6 if "wait" in keys else 7)
    assert found.fits is True


def test_a_fixed_day_without_hours_is_not_kept(tmp_path: Path) -> None:
    """Work on other days, never on one without hours."""
    hours = '[workroom_hours]\ntuesday = ["19:00-21:00"]\n'
    found = plan(tmp_path, ensemble(garment("a 60 on=2027-05-05")), hours)
    assert len(notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT)) == 1
    assert last_day(found, "a") == 4


def test_fixed_days_are_kept_in_order_of_the_file(tmp_path: Path) -> None:
    """a on the 6th, b behind it on the 5th: the first in the file is kept."""
    steps = garment("a 60 on=2027-05-06", 'b 60 on=2027-05-05, after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert last_day(found, "a") == 6
    assert notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT) == []
    assert len(notes(found, "b", NoteKind.FIXED_DAY_NOT_KEPT)) == 1


def test_fixed_days_are_kept_in_order_of_the_file_against_the_order_of_work(
    tmp_path: Path,
) -> None:
    """b stands above a, which it follows: b's day is kept, a's isn't."""
    steps = garment('b 60 on=2027-05-05, after=["a"]', "a 60 on=2027-05-06")
    found = plan(tmp_path, ensemble(steps))
    assert last_day(found, "b") == 5
    assert len(notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT)) == 1


def test_a_fixed_day_is_not_kept_where_a_minute_would_be_unplaced(tmp_path: Path) -> None:
    """Both want the helper's one hour of the 4th: the second has it on the 6th."""
    helper = '[helper_hours]\ntuesday = ["20:00-21:00"]\nthursday = ["20:00-21:00"]\n'
    steps = garment("a 60 hands=2, on=2027-05-04", "b 60 hands=2, on=2027-05-04")
    found = plan(tmp_path, ensemble(steps), EVENINGS + helper)
    assert (last_day(found, "a"), last_day(found, "b")) == (4, 6)
    assert notes(found, "a", NoteKind.FIXED_DAY_NOT_KEPT) == []
    assert len(notes(found, "b", NoteKind.FIXED_DAY_NOT_KEPT)) == 1
    assert found.unplaced == ()


# ---------------------------------------------------------------- several ensembles


def test_ensembles_share_the_hours(tmp_path: Path) -> None:
    """Two of 300 minutes each fill the 600 there are."""
    both = ensemble(garment("a 300"))
    found = plan(tmp_path, both, f=ensemble(garment("b 300")))
    assert found.peak_load == found.lower_bound == 1.0
    assert [w.planned for w in found.windows] == [120] * 5
    assert short([s.id for s in found.steps]) == ["a", "b"]
    assert plan(tmp_path / "alone", both, fill="50%").peak_load == 0.5


def test_the_time_of_one_ensembles_occasion_is_gone_for_all(tmp_path: Path) -> None:
    """Away with e from the 5th to the 8th, nothing is sewn for f either."""
    leave = '{ id = "leave", kind = "departure", at = 2027-05-05T12:00:00 }'
    feast = '{ id = "feast", kind = "event", at = 2027-05-10 }'
    found = plan(
        tmp_path,
        ensemble(garment("a 60"), f"{leave}, {BALL}"),
        f=ensemble(garment("b 60"), feast),
    )
    assert [w.day.day for w in found.windows] == [3, 4, 9]
    assert last_day(found, "f/g/b") == 9


def test_when_an_ensemble_is_wearable_and_finished(tmp_path: Path) -> None:
    """Wearable on the 6th, when its hem is done, and finished on the 7th with the braid."""
    steps = garment('hem 120 stage="wearable"', 'braid 120 after=["hem"]')
    found = plan(tmp_path, ensemble(steps))
    assert found.wearable_on["e"] == date(2027, 5, 6)
    assert found.finished_on["e"] == date(2027, 5, 7)


def test_what_is_unplaced_is_never_finished(tmp_path: Path) -> None:
    """The braid needs two hands that aren't there: wearable, not finished."""
    steps = garment('hem 60 stage="wearable"', 'braid 60 after=["hem"], hands=2')
    found = plan(tmp_path, ensemble(steps))
    assert found.wearable_on["e"] == date(2027, 5, 7)
    assert found.finished_on["e"] is None


# ---------------------------------------------------------------- the plan as a value


BUSY = ensemble(
    garment("a 100", 'b 90 after=["a"], wait="1 night"', 'c 70 after=["b"], one_sitting=true')
    + garment('d 60 work="hand", place="sofa"', "e 80", 'f 45 after=["d"], hands=2', id="hat")
)


def test_the_same_input_gives_the_same_plan(tmp_path: Path) -> None:
    """Twice the same files and the same now: equal in every part."""
    hours = EVENINGS + every("sofa", "21:00-22:00") + every("helper", "20:30-21:00")
    read = project(tmp_path, BUSY, hours, fill="60%")
    assert plan_project(read, NOW) == plan_project(read, NOW)


def test_without_thorough_only_spare_minutes_differ(tmp_path: Path) -> None:
    """The quicker plan has the same sittings, notes, verdict and tight spot."""
    hours = EVENINGS + every("sofa", "21:00-22:00") + every("helper", "20:30-21:00")
    read = project(tmp_path, BUSY, hours, fill="60%")
    full, quick = plan_project(read, NOW), plan_project(read, NOW, thorough=False)
    assert quick.sittings == full.sittings
    assert quick.tight_spot == full.tight_spot
    assert (quick.verdict, quick.begin_by) == (full.verdict, full.begin_by)
    assert [s.notes for s in quick.steps] == [s.notes for s in full.steps]


def test_every_day_to_the_last_occasion_is_there(tmp_path: Path) -> None:
    """From now's day to the ball's, also where nothing is done."""
    found = plan(tmp_path, ensemble(garment("a 60")))
    assert [d.date.day for d in found.days] == [3, 4, 5, 6, 7, 8]
    assert [d.workroom_planned for d in found.days] == [0, 0, 0, 0, 60, 0]
    assert [d.peak for d in found.days] == [0, 0, 0, 0, 0.5, None]


def test_hand_minutes_of_a_day_count_those_at_an_occasion(tmp_path: Path) -> None:
    """Hand sewing at a fitting is hand sewing."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-07T18:00:00 }'
    steps = garment('a 60 work="hand"', 'b 20 work="hand", during="pins"')
    found = plan(tmp_path, ensemble(steps, f"{pins}, {BALL}"))
    assert [d.hand_minutes for d in found.days if d.date.day == 7] == [80]


def test_seconds_of_now_are_a_begun_minute(tmp_path: Path) -> None:
    """19:59:01 is 20:00."""
    found = plan(tmp_path, ensemble(garment("a 60")), now=datetime(2027, 5, 7, 19, 59, 1))
    assert [w.minutes for w in found.windows] == [60]


def test_like_is_done_with_like(tmp_path: Path) -> None:
    """One evening: the two garments' steps aren't mixed more than they must."""
    ball = '{ id = "ball", kind = "event", at = 2027-05-04 }'
    text = ensemble(
        garment("a 30", "b 30", id="one") + garment("c 30", "d 30", id="two"), ball
    )
    garments = [s.step.split("/")[1] for s in plan(tmp_path, text).sittings]
    assert garments in (["one", "one", "two", "two"], ["two", "two", "one", "one"])


# ---------------------------------------------------------------- among equals


@pytest.mark.parametrize(
    ("early", "late"),
    [
        # what makes the ensemble wearable before extras
        ("", "optional=true"),
        ('stage="wearable"', ""),
        # what starts a wait
        ('wait="1h"', ""),
        # what can't be bought again
        ('uses=[{ stock = "lace", amount = [1] }]', ""),
        # what is uncertain
        ('low="10m", high="8h"', 'low="100m", high="140m"'),
        # hand finishing late
        ("", 'work="hand"'),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_what_comes_early_and_what_late_among_equals(
    early: str, late: str, turned: bool, tmp_path: Path
) -> None:
    """Two free steps of an evening each, whichever stands first in the file."""
    steps = [f"early 120 {early}".strip(), f"late 120 {late}".strip()]
    lace = '{ id = "lace", have = 3, again = false }'
    found = plan(tmp_path, ensemble(garment(*(steps[::-1] if turned else steps)), BALL, lace))
    assert (last_day(found, "early"), last_day(found, "late")) == (6, 7)


def test_a_hand_step_lies_on_a_day_under_its_limit_among_equals(tmp_path: Path) -> None:
    """Two hours by hand and one at the machine, an hour's limit: no evening is over it."""
    steps = garment('a 60 work="hand"', 'b 60 work="hand"', "c 60")
    found = plan(tmp_path, ensemble(steps), keys='hand_sewing_limit = "1h"')
    assert [d.workroom_planned for d in found.days if d.date.day in (6, 7)] == [60, 120]
    assert max(d.hand_minutes for d in found.days) == 60
