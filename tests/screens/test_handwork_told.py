"""The hand sewing in words: its sum, its days, where it could be, what a machine saves."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from planner.handwork import HandDay, HandWork, hand_work
from planner.model import Place
from planner.plan import Plan, Where
from planner.planning import plan_project
from screens.handwork_told import (
    back_label,
    back_sentences,
    chosen_label,
    could_be,
    day_head,
    day_over,
    day_parts,
    day_strip,
    glance,
    no_machine,
    nothing,
    otherwise,
    places,
    saves,
    slice_of,
    step_days,
    summary,
    way_sentences,
)
from screens.strips import as_text
from tests.planner.little import BALL, EVENINGS, NOW, ensemble, every, garment, project
from tests.screens.a_plan import an_empty_plan

HOURS = EVENINGS + every("sofa", "21:00-22:00") + every("take_along", "12:30-13:00")
BY_HAND = 'work="hand", place="sofa"'
OFFER = 'instead=[{ name="by machine", hours="40m", work="machine", missed=2 }]'


def told(folder: Path, *steps: str, hours: str = HOURS, keys: str = "") -> tuple[Plan, HandWork]:
    """A plan and its hand sewing."""
    it = project(folder, ensemble(garment(*steps), BALL), hours, keys=keys)
    plan = plan_project(it, NOW)
    return plan, hand_work(it, plan)


def test_the_sum_tells_days_places_and_what_could_be_elsewhere(tmp_path: Path) -> None:
    """How much on how many days, where, what could leave the workroom, which hours are free."""
    on = "on=2027-05-04, "
    plan, work = told(
        tmp_path,
        f'a 30 {on}work="hand", place="workroom"',
        f"b 20 {on}{BY_HAND}",
        f'c 20 {on}work="hand", place="take-along"',
        keys='hand_sewing_limit = "1h"',
    )
    said = " ".join(summary(plan, work))
    assert said.startswith("1 h 10 of hand sewing on one day: ")
    assert "It goes beyond the 1 h you want in a day." in said
    assert "40 min needs no more than the sofa, 20 min of that could be taken along; " in said
    assert " are free." in said
    assert glance(work) == [
        "1 h 10 of hand sewing on one day, which goes beyond the 1 h you want."
    ]


def test_sofa_hours_that_there_are_none_of_are_told(tmp_path: Path) -> None:
    """Work for the sofa, and no hours on it."""
    plan, work = told(tmp_path, f"a 30 {BY_HAND}", hours=EVENINGS)
    said = " ".join(summary(plan, work))
    assert "all of it in the workroom" in said
    assert "no hours for either are written down" in said
    assert places(work) == "On the sofa 0:00 of 0:00, in the workroom 0:30."
    assert otherwise(work)[0] == "Nothing of that needs it."


def test_what_a_machine_would_save_is_summed_over_what_the_files_offer(tmp_path: Path) -> None:
    """One of two steps can be done by machine: an hour less."""
    plan, work = told(tmp_path, f"a 100 {BY_HAND}, {OFFER}", f"b 50 {BY_HAND}")
    assert summary(plan, work)[-1] == (
        "To sew 1 step by machine, as your files offer, would save 1 h."
    )
    assert otherwise(work)[-1] == "m sews a step by machine: 1:00 less in all."


def test_m_is_told_also_where_no_file_offers_a_machine(tmp_path: Path) -> None:
    """A technique that is usual in its place is enough; without one nothing is said."""
    _, work = told(tmp_path, 'a - technique="hem-by-hand", amount=["6 m"]')
    assert otherwise(work)[-1] == "m sews a step by machine, where that is usual."
    _, work = told(tmp_path, f"a 30 {BY_HAND}")
    assert not any("by machine" in one for one in otherwise(work))


def test_what_has_no_day_is_told_also_alone(tmp_path: Path) -> None:
    """Nothing is planned, and something has no day."""
    _, work = told(tmp_path, f"a 30 {BY_HAND}, not_before=2027-05-08")
    assert glance(work) == ["No hand sewing is planned.", "There is no day for 30 min more."]


def test_empty_states_say_what_to_do(tmp_path: Path) -> None:
    """No ensemble, no steps, no hand work."""
    empty = an_empty_plan()
    assert "the garments (g) begin one" in nothing(empty)
    assert "the garments (g) add one" in nothing(replace(empty, names={"e": "E"}))
    plan, _ = told(tmp_path, "a 30")
    assert nothing(plan).startswith("No hand sewing is to do.")


def a_day(minutes: int, over: int = 0) -> HandDay:
    """A day of so many minutes."""
    return HandDay(date=date(2027, 5, 8), minutes=minutes, over=over, sittings=())


def test_a_day_stands_against_its_limit() -> None:
    """Its minutes, of how many, and what is too much in words."""
    assert day_head(a_day(190), 150) == "Sat  8 May   3:10 of 2:30"
    assert day_head(a_day(50), None) == "Sat  8 May   0:50"
    assert day_over(a_day(190, 40)) == "0:40 more than you want in a day"
    assert day_over(a_day(50)) == ""


@pytest.mark.parametrize(
    ("minutes", "limit", "strip"),
    [
        (150, 150, "hhhhh╵"),
        (60, 150, "hh···╵"),
        (210, 150, "hhhhh╵hh"),
        (155, 150, "hhhhh╵h"),
        (60, None, "hh"),
        (5, None, "h"),
    ],
)
def test_the_strip_ends_at_the_limit(minutes: int, limit: int | None, strip: str) -> None:
    """Free up to the mark; past it is too much, and reversed."""
    cells = day_strip(a_day(minutes, max(0, minutes - (limit or minutes))), limit, 30)
    assert as_text(cells) == strip
    assert [cell.over for cell in cells] == ["╵" in strip[:k] for k in range(len(strip))]


def test_the_slice_lets_the_fullest_day_fit(tmp_path: Path) -> None:
    """Sixteen cells for two and a half hours: ten minutes each; for eight, thirty."""
    _, work = told(tmp_path, f"a 30 {BY_HAND}", keys='hand_sewing_limit = "2h30"')
    assert slice_of(work, 16) == 10
    assert slice_of(replace(work, limit=480), 16) == 30


def test_a_step_stands_once_a_day_in_each_place(tmp_path: Path) -> None:
    """Its sittings are added, and stand by garment."""
    _, work = told(tmp_path, f"a 150 {BY_HAND}")
    for day in work.days:
        parts = day_parts(day)
        assert sum(part.minutes for part in parts) == day.minutes
        assert len({(part.step, part.where) for part in parts}) == len(parts)


def test_where_else_it_could_be(tmp_path: Path) -> None:
    """Only where it is less than where it is planned, and nobody must help."""
    plan, _ = told(tmp_path, f"a 30 {BY_HAND}", 'b 30 work="hand", place="take-along"')
    sofa, along = plan.steps
    assert could_be(sofa, Where.WORKROOM) == "the sofa would do"
    assert could_be(sofa, Where.SOFA) == ""
    assert could_be(along, Where.SOFA) == "could be taken along"
    assert could_be(along, Where.TAKE_ALONG) == ""
    assert could_be(replace(sofa, hands=2), Where.WORKROOM) == ""
    assert could_be(replace(sofa, place=Place.WORKROOM), Where.WORKROOM) == ""


def test_a_way_tells_what_it_takes_saves_and_would_be_missed(tmp_path: Path) -> None:
    """By machine, and by hand again."""
    plan, work = told(tmp_path, f"a 100 {BY_HAND}, {OFFER}")
    (one,) = work.steps
    (way,) = one.ways
    assert way_sentences(plan, way) == [
        "By machine: “by machine”.",
        "It takes 40 min and saves 1 h.",
        "How it is now would be missed 2 of 5.",
    ]
    assert saves(one.ways) == "m saves 1:00"
    assert chosen_label(plan, one, way) == "“a” (g) given to the machine: by machine"
    chosen = OFFER.replace("missed=2", "missed=2, chosen=true")
    plan, work = told(tmp_path / "b", f"a 100 {BY_HAND}, {chosen}")
    (back,) = work.to_machine
    assert back_sentences(plan, back)[-1] == "It takes 1 h 40, 1 h more."
    assert back_label(plan, back) == "“by machine” sewn by hand again"


def test_what_is_only_usual_is_marked(tmp_path: Path) -> None:
    """In words, in the list as where it is opened."""
    plan, work = told(tmp_path, 'a - technique="hem-by-hand", amount=["6 m"]')
    (one,) = work.steps
    assert saves(one.ways) == "usually saves 1:09"
    assert ", which is usual where it will do." in way_sentences(plan, one.ways[0])[0]
    assert saves(()) == ""


def test_the_days_of_a_step() -> None:
    """One day, a span, or none."""
    first, last = date(2027, 5, 6), date(2027, 5, 8)
    assert step_days(()) == "no day"
    assert step_days((first,)) == "Thu 6 May"
    assert step_days((first, last)) == "Thu 6 May to Sat 8 May"


def test_where_no_machine_does_it_the_nearest_is_named(tmp_path: Path) -> None:
    """So that one needn't try step by step."""
    plan, work = told(tmp_path, 'a - technique="hem-by-hand", amount=["6 m"]')
    (one,) = work.steps
    alone = "No machine does this step, by your files or as is usual; nor any other here."
    assert no_machine(plan, None) == alone
    assert no_machine(plan, one.step.id).endswith(
        "; the nearest it does is “sew a turned hem by hand, slip or blind stitch” (g)."
    )
