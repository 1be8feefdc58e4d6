"""How things are said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from planner.plan import Verdict
from screens import wording as w
from screens.verdict import heading, verdict_lines, verdict_sentences
from screens.why import spot_sentences
from tests.screens.a_plan import a_fitting_plan, a_plan, an_empty_plan

TODAY = date(2027, 5, 5)


@pytest.mark.parametrize(
    ("minutes", "column", "spoken"),
    [(0, "0:00", "0 min"), (40, "0:40", "40 min"), (105, "1:45", "1 h 45"), (120, "2:00", "2 h")],
)
def test_durations(minutes: int, column: str, spoken: str) -> None:
    """Durations are 1:45 in columns and "1 h 45" in sentences."""
    assert w.column(minutes) == column
    assert w.spoken(minutes) == spoken


def test_dates_carry_their_weekday_and_near_ones_are_named() -> None:
    """Today and tomorrow are named; other dates have a weekday; other years their year."""
    assert w.named_date(TODAY, TODAY) == "today"
    assert w.on_date(date(2027, 5, 6), TODAY) == "tomorrow"
    assert w.on_date(date(2027, 5, 8), TODAY) == "on Saturday 8 May"
    assert w.named_date(date(2028, 5, 8), TODAY) == "Monday 8 May 2028"
    assert w.named_moment(datetime(2027, 5, 8), TODAY) == "the beginning of Saturday 8 May"


def test_full_and_over_are_never_blurred_by_rounding() -> None:
    """Just over and just under full are told apart from full."""
    assert w.share(1.0) == "100 %"
    assert w.share(1.002) == "just over 100 %"
    assert w.share(0.998) == "just under 100 %"


def test_control_characters_are_taken_out() -> None:
    """What files hold can't move the cursor, change colours or turn the text around."""
    assert w.clean("bod\x1b[31mice\x07\u202e [lining]\n") == "bod[31mice [lining]"


def test_wide_letters_take_two_columns() -> None:
    """Columns stay straight whatever the script."""
    assert w.cells("袖 x") == 4
    assert w.cells(w.padded("袖袖袖", 4)) == 4


def test_the_verdict_is_two_lines_that_fit() -> None:
    """The verdict names the occasion, how far it is, and by how much it does not fit."""
    first, second = verdict_lines(a_plan(), 80)
    assert first == "Ferrywoman's Sunday clothes: Regatta, Saturday 22 May, in 17 days"
    assert second.startswith("Does not fit: 1 h 45 short before the Body fitting.")
    for width in (20, 40, 80, 120):
        assert all(w.cells(line) <= width for line in verdict_lines(a_plan(), width))


def test_the_verdict_follows_the_plan() -> None:
    """Each sentence is computed: other minutes, other days, other words."""
    plan = a_plan()
    fitting, regatta = plan.occasions
    shorter = replace(plan, occasions=(replace(fitting, short=20), regatta))
    assert "20 min short" in verdict_lines(shorter)[1]
    late = replace(plan, occasions=(replace(fitting, short=0), regatta))
    assert verdict_lines(late)[1].startswith(
        "Does not fit: “braid, two rows” (Jacket bodice) is late for the Regatta."
    )
    fits = verdict_lines(a_fitting_plan(), 200)[1]
    assert fits.startswith(
        "Fits: today is fullest, at 78 %. Not enough of “narrow wool braid”. Begin"
    )


def test_dates_are_short_where_the_verdict_has_little_room() -> None:
    """At 80 columns the verdict of a plan that fits also says from when it can be worn."""
    plan = a_fitting_plan()
    plan = replace(plan, steps=tuple(replace(step, notes=()) for step in plan.steps))
    fits = verdict_lines(plan, 78)[1]
    assert fits == "Fits: today fullest, 78 %. Begin by Fri 7 May. Wearable from Sun 16 May."


def test_where_two_warnings_find_no_room_the_graver_one_does() -> None:
    """What has no time at all is said before what is late, at the cost of the occasion's name."""
    plan = a_plan()
    steps = tuple(replace(step, notes=()) for step in plan.steps)
    first, *others = plan.occasions
    first = replace(first, name="Everything on, up and down the stairs")
    line = verdict_lines(replace(plan, steps=steps, occasions=(first, *others)), 78)[1]
    assert line.startswith("Does not fit: 1 h 45 short before “Ever")
    assert line.endswith(" No time for 1 step, 4 h.")


def test_far_too_full_is_told_by_how_many_times() -> None:
    """A percentage of thousands tells nothing."""
    assert [w.share(load) for load in (1.5, 2.0, 2.34, 36.8)] == [
        "150 %", "200 %", "2.3 times", "37 times",
    ]  # fmt: skip


def test_after_the_last_occasion_it_says_how_another_is_added() -> None:
    """No lack, no verdict; where none ever was, that one can be added."""
    plan = a_fitting_plan()
    past = tuple(replace(one, past=True) for one in plan.occasions)
    over = replace(plan, occasions=past, sittings=(), days=(), now=datetime(2027, 5, 30))
    assert verdict_sentences(over) == [
        "For another occasion: g, then ^p “Add an occasion”.",
    ]
    none = replace(over, occasions=())
    assert verdict_sentences(none) == [
        "Nothing is ahead yet: g, then ^p “Add an occasion”."
    ]


def test_garments_are_shortened_to_what_they_are() -> None:
    """What describes a garment goes first, unless two would come to the same name."""
    names = ["Shirt with standing collar", "White waistcoat", "Skirt of wool", "Skirt of silk"]
    assert list(w.short_names(names).values()) == ["Shirt", *names[1:]]


def test_the_tight_spot_names_its_longest_steps() -> None:
    """Most minutes first, three names in quotes, and how many more."""
    plan = a_plan()
    spot = plan.tight_spot
    assert spot is not None
    told = spot_sentences(plan)
    assert told[0].startswith("It is tightest from ")
    by_length = sorted(spot.steps, key=lambda step: -step.minutes)
    places = [told[2].index(f"“{w.name_of(plan, step.id)}”") for step in by_length[:3]]
    assert places == sorted(places)
    assert len(by_length) < 4 or told[2].endswith(
        f"then {w.count(len(by_length) - 3, 'step')} more."
    )


def test_tight_and_undecided_say_how_near() -> None:
    """Tight names work against hours; undecided names the best found and the bound."""
    plan = a_fitting_plan()
    assert plan.tight_spot is not None
    tight = replace(plan, verdict=Verdict.TIGHT, tight_spot=replace(plan.tight_spot, wanted=360))
    assert verdict_lines(tight, 84)[1].startswith(
        "Fits, but tightly: 6 h of work in 6 h 15 before the Body fitting."
    )
    # what runs out is worth more than the sum
    assert verdict_lines(tight, 80)[1].startswith("Fits, but tightly. Not enough of “narrow")
    undecided = replace(plan, fits=None, peak_load=1.04, lower_bound=0.97)
    assert verdict_sentences(undecided) == [
        "Undecided: the best plan found is 104 % full today.",
        "No plan can be under 97 %.",
    ]


def test_nothing_yet_says_what_to_do_next() -> None:
    """Without steps the verdict says what is missing, not that it fits."""
    assert heading(an_empty_plan()) == "No ensemble yet"
    assert "give a garment its steps" in verdict_lines(an_empty_plan())[1]
    plan = a_plan()
    done = replace(plan, steps=tuple(replace(s, done=True, left=0) for s in plan.steps))
    assert verdict_lines(done)[1] == "Every step is done: all is ready for the Regatta."


def test_a_warning_outlives_advice() -> None:
    """However narrow, what is late or runs out is said before when to begin; shorter, if it must
    be, and the occasion's name gives way to it."""
    plan = a_plan()
    whole = verdict_sentences(plan)
    advice = [one for one in whole if one.startswith(("After it", "By staying up", "Begin"))]
    assert len(advice) < len(whole) - 1 and advice
    for width in range(60, 300, 4):
        line = verdict_lines(plan, width)[1]
        assert line.startswith("Does not fit: 1 h 45 short")
        told = [
            "Stock runs out." in line or "Not enough of “narrow wool braid”." in line,
            "No time for 1 step, 4 h." in line or "No time at all for 1 step, 4 h." in line,
            "1 step late." in line or "1 step is late for the Regatta." in line,
        ]
        assert all(told) or (width < 100 and not any(one in line for one in advice))
        assert width < 70 or "before the Bo" in line
