"""What a change would make of the plan, in a line computed from both plans."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from planner.plan import Plan, Verdict
from screens.then import became_sentence, then_sentence
from tests.screens.a_plan import a_fitting_plan, a_plan, an_empty_plan


def moved(plan: Plan, days: dict[str, int]) -> Plan:
    """A plan with some steps so many days later."""
    steps = tuple(
        replace(
            step,
            first_day=step.first_day + timedelta(days=days[step.id]),
            last_day=(step.last_day or step.first_day) + timedelta(days=days[step.id]),
        )
        if step.id in days and step.first_day is not None
        else step
        for step in plan.steps
    )
    sittings = tuple(
        replace(one, date=one.date + timedelta(days=days.get(one.step, 0))) for one in plan.sittings
    )
    return replace(plan, steps=steps, sittings=sittings)


def on_a_day(plan: Plan) -> list[str]:
    """Steps that have a day and are still to do."""
    return [step.id for step in plan.steps if step.first_day is not None and not step.done]


def test_without_a_difference_it_says_so() -> None:
    """The verdict, how full, and that nothing moves."""
    plan = a_fitting_plan()
    assert plan.peak_load is not None
    full = f"{round(plan.peak_load * 100)} % full"
    head = "fits" if plan.verdict is Verdict.FITS else "fits, but tightly"
    assert then_sentence(plan, plan) == f"then: {head}, {full}, no step moves"


def test_one_step_is_named() -> None:
    """A single step by its name, with its new day."""
    plan = a_fitting_plan()
    first = on_a_day(plan)[0]
    told = then_sentence(plan, moved(plan, {first: 3}))
    assert f"“{plan.names[first]}” moves to " in told


def test_several_steps_are_counted() -> None:
    """In words, with the day most of them go to, or the first."""
    plan = a_fitting_plan()
    steps = {step.id: step for step in plan.steps}
    goal = date(2027, 5, 16)
    three = on_a_day(plan)[:3]

    def days(to: date) -> dict[str, int]:
        found = {}
        for ident in three:
            first = steps[ident].first_day
            assert first is not None
            found[ident] = (to - first).days
        return found

    assert "three steps move to Sunday 16 May" in then_sentence(plan, moved(plan, days(goal)))
    spread = days(goal)
    spread[three[0]] -= 1
    told = then_sentence(plan, moved(plan, spread))
    assert "three steps move, two of them to Sunday 16 May" in told
    spread[three[1]] -= 2
    told = then_sentence(plan, moved(plan, spread))
    assert "three steps move, the first on Friday 14 May" in told


def test_work_and_wearing_are_told() -> None:
    """More or less to do, and another day from which all is wearable."""
    plan = a_fitting_plan()
    wanted = next(step for step in plan.steps if step.wanted and not step.done)
    longer = tuple(
        replace(step, left=step.left + 40) if step.id == wanted.id else step for step in plan.steps
    )
    after = replace(
        plan, steps=longer, wearable_on=dict.fromkeys(plan.wearable_on, date(2027, 5, 20))
    )
    told = then_sentence(plan, after)
    assert "40 min more to do" in told
    assert "wearable from Thursday 20 May" in told
    assert "40 min less to do" in then_sentence(after, plan)


def test_what_does_not_fit_says_by_how_much() -> None:
    """The first sentence of the verdict, in small letters."""
    told = then_sentence(a_fitting_plan(), a_plan())
    assert told.startswith("then: does not fit: 1 h 45 short before the Body fitting, ")


def test_what_has_no_time_at_all_is_no_gain() -> None:
    """Its minutes are no part of what is short or full: they are told first, and hours that are
    less full for it aren't."""
    before = replace(a_plan(), unplaced=())
    after = replace(a_plan(), peak_load=(before.peak_load or 0) - 0.3)
    assert became_sentence(before, after) == "No time at all for 1 step, 4 h."
    assert became_sentence(after, before).startswith("Nothing is without time any more; ")
    emptier = replace(before, peak_load=(before.peak_load or 0) - 0.3)
    assert became_sentence(before, emptier).startswith("The fullest hours are ")


def test_without_a_plan_before_only_what_would_be() -> None:
    """The first plan of an ensemble moves nothing."""
    assert then_sentence(None, a_plan()) == (
        "then: does not fit: 1 h 45 short before the Body fitting,"
        " and no time at all for 1 step, 4 h"
    )
    assert then_sentence(None, an_empty_plan()).startswith("then: nothing to ")


@pytest.mark.parametrize(
    ("fits", "told"),
    [(True, "then: fits"), (None, "then: whether it fits is being worked out")],
)
def test_what_is_not_settled_is_not_said(fits: bool | None, told: str) -> None:
    """Neither how full nor what moves, while the plan may yet change."""
    plan = a_fitting_plan()
    after = replace(moved(plan, {on_a_day(plan)[0]: 3}), fits=fits)
    assert then_sentence(plan, after, final=False) == told


def test_what_is_certain_is_said_at_once() -> None:
    """How much is short, and how much more there is to do."""
    told = then_sentence(a_fitting_plan(), a_plan(), final=False)
    assert told.startswith("then: does not fit: 1 h 45 short before the Body fitting")
    assert "move" not in told


def test_an_undo_counts_as_many_steps_as_what_it_takes_back() -> None:
    """Also of steps of which only a part in the middle, or what had no time, goes elsewhere: both
    ways, and as the list of what moves counts them."""
    plan = a_fitting_plan()
    parted = plan.sittings[0].step
    first = next(one for one in plan.sittings if one.step == parted)
    rest = replace(first, minutes=5, date=first.date + timedelta(days=2))
    middle = replace(first, minutes=5, date=first.date + timedelta(days=1))
    last = replace(first, minutes=5, date=first.date + timedelta(days=9))
    before = replace(plan, sittings=(*plan.sittings, middle, last))
    after = replace(plan, sittings=(*plan.sittings, rest, last))
    said = became_sentence(before, after)
    assert f"“{plan.names[parted]}” moves to" in said
    back = became_sentence(after, before)
    assert f"“{plan.names[parted]}” moves to" in back
    later = moved(plan, dict.fromkeys(on_a_day(plan)[:5], 4))
    assert "Five steps move" in became_sentence(plan, later)
    assert "Five steps move" in became_sentence(later, plan)
