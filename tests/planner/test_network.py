"""References, order, circles, what is left off, and chosen ways, seen through the plan."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.plan import Because
from tests.planner.little import (
    BALL,
    ensemble,
    garment,
    last_day,
    occasion,
    plan,
    refused,
    short,
    step,
)

FITTING = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00 }'


def after(folder: Path, *texts: str) -> tuple[str, ...]:
    """What step x follows by the plan, with the given garments beside its own."""
    return step(plan(folder, ensemble("".join(texts), f"{FITTING}, {BALL}")), "x").after


OTHER = garment('p 10 stage="fittable"', "q 10 optional=true", 'r 10 stage="wearable"', id="hat")


def test_a_reference_to_a_step_of_the_same_garment(tmp_path: Path) -> None:
    """A bare name is a step of the same garment."""
    assert after(tmp_path, garment("a 10", 'x 10 after=["a"]')) == ("e/g/a",)


def test_a_reference_to_a_garment_means_its_required_steps(tmp_path: Path) -> None:
    """A garment named whole is finished: its required steps, not the optional one."""
    assert after(tmp_path, OTHER, garment('x 10 after=["hat"]')) == ("e/hat/p", "e/hat/r")


def test_a_reference_to_a_stage_means_the_steps_that_carry_it(tmp_path: Path) -> None:
    """garment:stage is the steps with that stage."""
    assert after(tmp_path, OTHER, garment('x 10 after=["hat:fittable"]')) == ("e/hat/p",)


def test_an_optional_step_with_a_stage_is_required(tmp_path: Path) -> None:
    """A step that carries a stage counts as required although it is optional."""
    hat = garment('p 10 optional=true, stage="wearable"', "q 10 optional=true", id="hat")
    assert after(tmp_path, hat, garment('x 10 after=["hat"]')) == ("e/hat/p",)


def test_a_garment_without_the_stage_reaches_it_when_finished(tmp_path: Path) -> None:
    """garment:stage of a garment without such steps is its required steps."""
    assert after(tmp_path, OTHER, garment('x 10 after=["hat:finished"]')) == ("e/hat/p", "e/hat/r")


def test_a_reference_to_a_step_of_another_garment(tmp_path: Path) -> None:
    """garment/step is that step."""
    assert after(tmp_path, OTHER, garment('x 10 after=["hat/q"]')) == ("e/hat/q",)


def test_a_reference_to_an_occasion(tmp_path: Path) -> None:
    """A step after an occasion is released at its end: 18:00 and ten minutes."""
    found = plan(tmp_path, ensemble(garment('x 10 after=["pins"]'), f"{FITTING}, {BALL}"))
    assert step(found, "x").after == ("e/pins",)
    assert str(step(found, "x").released) == "2027-05-06 18:10:00"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("f/cap", ("f/cap/m", "f/cap/n")),
        ("f/cap:wearable", ("f/cap/n",)),
        ("f/cap/m", ("f/cap/m",)),
    ],
)
def test_references_into_another_ensemble(
    text: str, wanted: tuple[str, ...], tmp_path: Path
) -> None:
    """With a leading ensemble a garment, a stage and a step elsewhere are named."""
    other = ensemble(garment("m 10", 'n 10 stage="wearable"', id="cap"))
    found = plan(tmp_path, ensemble(garment(f'x 10 after=["{text}"]')), f=other)
    assert step(found, "x").after == wanted


def test_a_reference_to_an_occasion_of_another_ensemble(tmp_path: Path) -> None:
    """ensemble/occasion works in an ``after``."""
    other = ensemble(garment("m 10", id="cap"), f"{FITTING}, {BALL}")
    found = plan(tmp_path, ensemble(garment('x 10 after=["f/pins"]')), f=other)
    assert step(found, "x").after == ("f/pins",)


@pytest.mark.parametrize(
    ("name", "others"),
    [
        ("hat", "step e/g/hat or the garment e/hat"),
        ("pins", "step e/g/pins or the occasion e/pins"),
    ],
)
def test_an_id_that_could_mean_two_things_is_an_error(
    name: str, others: str, tmp_path: Path
) -> None:
    """The message names both things, and the place is the reference."""
    garments = OTHER + garment(f"{name} 10", f'x 10 after=["{name}"]')
    (problem,) = refused(tmp_path, ensemble(garments, f"{FITTING}, {BALL}"))
    assert others in problem.text
    assert problem.place == "garment[1].step[1].after[0]"
    assert problem.file.endswith("e.toml")


def test_an_ambiguity_is_gone_when_written_out(tmp_path: Path) -> None:
    """The full id of an ambiguous name says which is meant."""
    assert after(tmp_path, OTHER, garment("hat 10", 'x 10 after=["g/hat"]')) == ("e/g/hat",)


def test_a_reference_to_nothing_is_an_error_with_the_nearest_name(tmp_path: Path) -> None:
    """A misspelt name is refused with a question for the nearest one."""
    (problem,) = refused(tmp_path, ensemble(garment("lining 10", 'x 10 after=["linnig"]')))
    assert '"linnig"' in problem.text
    assert '"lining"' in problem.text


def test_what_is_no_stage_is_an_error(tmp_path: Path) -> None:
    """After the colon only a stage may stand."""
    (problem,) = refused(tmp_path, ensemble(OTHER + garment('x 10 after=["hat:pretty"]')))
    assert "pretty" in problem.text


def test_during_names_only_occasions(tmp_path: Path) -> None:
    """A ``during`` that names a garment is refused at its place."""
    (problem,) = refused(tmp_path, ensemble(OTHER + garment('x 10 during="hat"')))
    assert problem.place == "garment[1].step[0].during"


def test_all_bad_references_are_told_at_once(tmp_path: Path) -> None:
    """Two bad references are two problems."""
    bad = ensemble(garment('x 10 after=["nobody"]', 'y 10 after=["no-one"]'))
    assert [p.place for p in refused(tmp_path, bad)] == [
        "garment[0].step[0].after[0]",
        "garment[0].step[1].after[0]",
    ]


def test_a_circle_of_steps_is_shown(tmp_path: Path) -> None:
    """Three steps that wait for each other: the message goes once round."""
    steps = garment('a 10 after=["c"]', 'b 10 after=["a"]', 'c 10 after=["b"]')
    (problem,) = refused(tmp_path, ensemble(steps))
    for name in ("e/g/a", "e/g/b", "e/g/c"):
        assert name in problem.text


def test_a_step_after_itself_is_a_circle(tmp_path: Path) -> None:
    """A step can't follow itself."""
    (problem,) = refused(tmp_path, ensemble(garment('a 10 after=["a"]')))
    assert "e/g/a, then e/g/a" in problem.text


def test_in_order_can_close_a_circle(tmp_path: Path) -> None:
    """in_order counts as an order like any other."""
    steps = garment('a 10 after=["b"]', "b 10", keys="in_order = true")
    (problem,) = refused(tmp_path, ensemble(steps))
    assert "e/g/a" in problem.text and "e/g/b" in problem.text


def test_a_circle_through_an_occasion(tmp_path: Path) -> None:
    """What is done at a fitting can't follow what comes after the fitting."""
    steps = garment('a 10 after=["pins"]', 'b 10 during="pins", after=["a"]')
    (problem,) = refused(tmp_path, ensemble(steps, f"{FITTING}, {BALL}"))
    assert "e/pins" in problem.text and "e/g/a" in problem.text


def test_a_circle_through_what_an_occasion_wants(tmp_path: Path) -> None:
    """An occasion that wants what follows it is refused, and the circle shown."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/b"] }'
    steps = garment('a 10 after=["pins"]', 'b 10 after=["a"]')
    (problem,) = refused(tmp_path, ensemble(steps, f"{pins}, {BALL}"))
    assert problem.place == "occasion[0].wants"
    assert "e/pins, then e/g/a, then e/g/b, then e/pins" in problem.text


def test_in_order_lets_each_step_follow_the_one_above(tmp_path: Path) -> None:
    """Without a single ``after`` the steps of the garment follow each other."""
    found = plan(tmp_path, ensemble(garment("a 10", "b 10", "c 10", keys="in_order = true")))
    assert step(found, "a").after == ()
    assert step(found, "b").after == ("e/g/a",)
    assert step(found, "c").after == ("e/g/b",)


def test_in_order_and_after_add_up(tmp_path: Path) -> None:
    """A step in order that also names another follows both."""
    found = plan(
        tmp_path,
        ensemble(OTHER + garment("a 10", 'x 10 after=["hat/p"]', keys="in_order = true")),
    )
    assert set(step(found, "x").after) == {"e/hat/p", "e/g/a"}


def test_without_in_order_the_file_orders_nothing(tmp_path: Path) -> None:
    """Steps below each other are free of each other."""
    assert after(tmp_path, garment("a 10", "x 10")) == ()


def test_what_is_left_off_is_looked_through(tmp_path: Path) -> None:
    """Followers of two steps left off in a row take what stands before both."""
    steps = ("a 10", 'b 10 after=["a"], left_off=true', 'c 10 after=["b"], left_off=true')
    assert after(tmp_path, garment(*steps, 'x 10 after=["c"]')) == ("e/g/a",)


def test_an_occasion_is_seen_through_what_is_left_off(tmp_path: Path) -> None:
    """Behind a step left off that comes after a fitting, its follower still does."""
    steps = ('b 10 after=["pins"], left_off=true', 'x 10 after=["b"]')
    assert after(tmp_path, garment(*steps)) == ("e/pins",)


def test_the_wait_of_a_step_left_off_goes_and_its_predecessors_stays(tmp_path: Path) -> None:
    """a waits two nights, b (left off) four: x follows a on 5 May at the earliest."""
    steps = garment(
        'a 120 wait="2 nights"',
        'b 10 after=["a"], wait="4 nights", left_off=true',
        'x 10 after=["b"]',
    )
    found = plan(tmp_path, ensemble(steps))
    early = step(found, "x").earliest
    assert early is not None and early.date() == date(2027, 5, 5)
    assert found.fits is True


def test_a_step_left_off_takes_no_hours_and_is_shown(tmp_path: Path) -> None:
    """It is in the plan with its reason, unwanted and without sittings."""
    found = plan(tmp_path, ensemble(garment("a 10 left_off=true", "b 10")))
    a = step(found, "a")
    assert a.left_off and not a.wanted and a.reason.because is Because.LEFT_OFF
    assert [s.step for s in found.sittings] == ["e/g/b"]


def test_a_step_left_off_does_not_count_for_a_stage(tmp_path: Path) -> None:
    """Of two carriers one is left off: the other alone reaches the stage."""
    hat = garment('p 10 stage="fittable", left_off=true', 'q 10 stage="fittable"', id="hat")
    assert after(tmp_path, hat, garment('x 10 after=["hat:fittable"]')) == ("e/hat/q",)


def test_a_garment_all_left_off_is_reached(tmp_path: Path) -> None:
    """A follower of a garment without a step left follows nothing."""
    hat = garment("p 10 left_off=true", id="hat")
    assert after(tmp_path, hat, garment('x 10 after=["hat"]')) == ()


def test_optional_steps_are_planned(tmp_path: Path) -> None:
    """An event wants an optional step too."""
    found = plan(tmp_path, ensemble(garment("a 10 optional=true")))
    assert short(occasion(found, "ball").wants) == ["a"]
    assert step(found, "a").optional
    assert last_day(found, "a") == 7


def test_a_chosen_way_takes_the_place_of_the_step(tmp_path: Path) -> None:
    """The chosen way's minutes, place and name count, the other way's don't."""
    ways = (
        'instead=[{ hours="20m", place="sofa", name="glue it", chosen=true }, { hours="5m" }]'
    )
    found = plan(tmp_path, ensemble(garment(f"a 90 {ways}")))
    a = step(found, "a")
    assert (a.minutes, a.place.value, a.name) == (20, "sofa", "glue it")


def test_a_way_not_chosen_changes_nothing(tmp_path: Path) -> None:
    """Without ``chosen`` the step stays as it is."""
    found = plan(tmp_path, ensemble(garment('a 90 instead=[{ hours="20m" }]')))
    assert step(found, "a").minutes == 90


def test_a_stage_whose_steps_are_all_left_off_is_reached_when_finished(tmp_path: Path) -> None:
    """Its only carrier is left off: the garment counts as one without that stage."""
    hat = garment('p 10 stage="fittable", left_off=true', "q 10", id="hat")
    assert after(tmp_path, hat, garment('x 10 after=["hat:fittable"]')) == ("e/hat/q",)


def test_in_order_looks_through_what_is_left_off(tmp_path: Path) -> None:
    """The step below one left off follows the one above it."""
    steps = garment("a 10", "b 10 left_off=true", "c 10", keys="in_order = true")
    assert step(plan(tmp_path, ensemble(steps)), "c").after == ("e/g/a",)
