"""The hand sewing of a plan: its sums, its places, and what a machine would save."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.catalogue import techniques
from planner.editing.ways import add_way, choose_way
from planner.files.reading import read_project
from planner.handwork import HandWork, hand_work
from planner.model import Place, Project, Work
from planner.other_ways import BY_MACHINE, OtherWay, other_ways
from planner.pace import UNKNOWN
from planner.plan import Plan, Where
from planner.planning import plan_project
from tests.planner.little import BALL, EVENINGS, NOW, ensemble, every, garment, project

HOURS = EVENINGS + every("sofa", "21:00-22:00") + every("take_along", "12:30-13:00")
HEM = '- technique="hem-by-hand", amount=["6 m"]'
BY_HAND = 'work="hand", place="sofa"'


def made(folder: Path, *steps: str, keys: str = "", diary: str = "") -> tuple[Project, Plan]:
    """A garment of steps with its plan; two hours at the table a day, one on the sofa."""
    it = project(folder, ensemble(garment(*steps), BALL), HOURS, keys=keys, diary=diary)
    return it, plan_project(it, NOW)


def work(folder: Path, *steps: str, keys: str = "", diary: str = "") -> HandWork:
    """Its hand sewing."""
    return hand_work(*made(folder, *steps, keys=keys, diary=diary))


def ways_of(found: HandWork, step: str) -> tuple[OtherWay, ...]:
    """The machine ways of a step of garment ``g``."""
    return next(one.ways for one in found.steps if one.step.id == f"e/g/{step}")


def test_days_and_sums_are_those_of_the_plan(tmp_path: Path) -> None:
    """Every hand minute is on its day, and no other work is among them."""
    it, plan = made(tmp_path, f"a 100 {BY_HAND}", "b 60", f"c 50 {BY_HAND}")
    found = hand_work(it, plan)
    assert found.minutes == 150
    assert {d.date: d.minutes for d in found.days} == {
        d.date: d.hand_minutes for d in plan.days if d.hand_minutes
    }
    assert {s.step for d in found.days for s in d.sittings} == {"e/g/a", "e/g/c"}


def test_what_is_beyond_the_limit_is_told_by_day(tmp_path: Path) -> None:
    """A fixed day of 110 minutes by hand is 50 over a limit of one hour."""
    on = 'on=2027-05-04, work="hand", place="workroom"'
    found = work(tmp_path, f"a 110 {on}", keys='hand_sewing_limit = "1h"')
    (day,) = found.over
    assert (day.date, day.minutes, day.over) == (date(2027, 5, 4), 110, 50)


def test_without_a_limit_nothing_is_over(tmp_path: Path) -> None:
    """No limit, nothing beyond it."""
    assert work(tmp_path, f"a 110 {BY_HAND}").over == ()


def test_places_hold_what_lies_and_what_could_lie_in_them(tmp_path: Path) -> None:
    """The sofa serves sofa and take-along steps, the way take-along steps only."""
    steps = (
        f"a 30 {BY_HAND}",
        'b 20 work="hand", place="take-along"',
        'c 40 work="hand", place="workroom"',
    )
    found = work(tmp_path, *steps)
    assert found.sofa.available == 6 * 60 - 60  # the ball is on the 8th, from its beginning on
    assert (found.sofa.could, found.on_the_way.could) == (50, 20)
    assert found.sofa.hand + found.on_the_way.hand + found.workroom == found.minutes == 90
    assert found.workroom - found.could_leave == 40


def test_what_has_no_day_is_told_apart(tmp_path: Path) -> None:
    """A step that can't begin before the ball is over has no day, and no minutes on one."""
    found = work(tmp_path, f"a 30 {BY_HAND}, not_before=2027-05-08", f"b 20 {BY_HAND}")
    assert (found.minutes, found.without_day) == (20, 30)
    (lacking,) = (one for one in found.steps if not one.days)
    assert (lacking.step.id, lacking.minutes) == ("e/g/a", 0)


def test_the_caution_of_long_hand_sewing_is_the_catalogues(tmp_path: Path) -> None:
    """It is there once, whatever the steps are called."""
    assert work(tmp_path, f"a 30 {BY_HAND}").caution == techniques()["hem-by-hand"].caution != ""


# what a machine would save


def test_a_way_by_machine_saves_the_difference_of_the_estimates(tmp_path: Path) -> None:
    """The step as the files offer it by machine, with how much the hand would be missed."""
    offer = 'instead=[{ technique="machine-hem", missed=2 }]'
    it, plan = made(tmp_path, f"a {HEM}, {offer}")
    (way,) = ways_of(hand_work(it, plan), "a")
    (now,) = plan.steps
    after = plan_project(choose_way(it, "e/g/a", way.index), NOW)
    assert way.saved == now.left - after.steps[0].left > 0
    assert (way.work, way.missed, way.offered, way.minutes) == (
        Work.MACHINE,
        2,
        True,
        after.steps[0].minutes,
    )


def test_a_set_up_that_passes_to_the_next_step_is_not_saved(tmp_path: Path) -> None:
    """Two steps of one technique: the second takes over the set-up of the first."""
    own = (
        '[[technique]]\nid = "{0}"\nname = "{0}"\nwork = "{1}"\nplace = "workroom"\n'
        'per = "count"\nunit = "piece"\nset_up = {2}\ntypical = 10\nsource = "ours"\n'
    )
    tmp_path.mkdir(exist_ok=True)
    tables = own.format("slow", "hand", 30) + own.format("fast", "machine", 5)
    (tmp_path / "techniques.toml").write_text(f"format = 1\n{tables}", encoding="utf-8")
    offer = 'instead=[{ technique="fast" }]'
    it, plan = made(
        tmp_path,
        f'a - technique="slow", amount=[3], {offer}',
        'b - technique="slow", amount=[1]',
    )
    (way,) = ways_of(hand_work(it, plan), "a")
    after = plan_project(choose_way(it, "e/g/a", 0), NOW)
    assert way.saved == sum(s.left for s in plan.steps) - sum(s.left for s in after.steps) == -5
    assert {s.id: s.minutes for s in after.steps} == {"e/g/a": 35, "e/g/b": 40}


def test_what_is_done_of_a_step_is_not_saved(tmp_path: Path) -> None:
    """Half an hour is logged: only what is left can be saved."""
    diary = '[[entry]]\nat = 2027-05-02T20:00:00\nstep = "e/g/a"\nminutes = 30\n'
    offer = 'instead=[{ hours="40m", work="machine" }]'
    it, plan = made(tmp_path, f"a 100 {BY_HAND}, {offer}", diary=diary)
    (way,) = ways_of(hand_work(it, plan), "a")
    assert (plan.steps[0].left, way.left, way.saved) == (70, 10, 60)


def test_what_saves_most_comes_first(tmp_path: Path) -> None:
    """Several machine ways; ways by hand are none of them."""
    offer = (
        'instead=[{ hours="40m", work="machine" }, { hours="20m", work="machine" },'
        ' { hours="10m", name="tacked" }]'
    )
    found = work(tmp_path, f"a 100 {BY_HAND}, {offer}")
    assert [way.saved for way in ways_of(found, "a")] == [80, 60]
    assert found.could_save == 80


def test_what_is_usual_is_told_as_not_offered(tmp_path: Path) -> None:
    """Without a way in the files the catalogue's counterpart is only usual, and isn't summed."""
    found = work(tmp_path, f"a {HEM}")
    (way,) = ways_of(found, "a")
    assert (way.technique, way.offered, way.work) == ("machine-hem", False, Work.MACHINE)
    assert way.saved > 0 == found.could_save


def test_what_the_files_offer_keeps_what_is_usual_away(tmp_path: Path) -> None:
    """With a machine way of the maker's own nothing else is suggested."""
    found = work(tmp_path, f'a {HEM}, instead=[{{ technique="narrow-machine-hem" }}]')
    assert [way.technique for way in ways_of(found, "a")] == ["narrow-machine-hem"]


def test_the_usual_way_can_be_written_and_taken(tmp_path: Path) -> None:
    """It becomes a way of the step, in the workroom, with the minutes that were told."""
    it, plan = made(tmp_path, f'a {HEM}, place="sofa"')
    (way,) = ways_of(hand_work(it, plan), "a")
    assert way.way is not None
    after = plan_project(add_way(it, "e/g/a", way.way), NOW)
    (step,) = after.steps
    assert (step.work, step.place, step.minutes) == (Work.MACHINE, Place.WORKROOM, way.minutes)


def test_what_was_given_to_the_machine_can_be_taken_back(tmp_path: Path) -> None:
    """Its way by hand is told, with what it takes more."""
    offer = 'instead=[{ hours="40m", work="machine", place="workroom", chosen=true }]'
    it, plan = made(tmp_path, f"a 100 {BY_HAND}, {offer}", "b 30")
    found = hand_work(it, plan)
    assert found.steps == ()
    (back,) = found.to_machine
    assert (back.step, back.index, back.saved) == ("e/g/a", None, -60)
    again = hand_work(it := choose_way(it, "e/g/a", None), plan_project(it, NOW))
    assert again.to_machine == () and again.minutes == 100


def test_steps_done_left_off_and_unwanted_are_not_told(tmp_path: Path) -> None:
    """There is nothing to sew of them."""
    found = work(
        tmp_path, f"a 30 {BY_HAND}, done=true", f"b 30 {BY_HAND}, left_off=true", f"c 9 {BY_HAND}"
    )
    assert [one.step.id for one in found.steps] == ["e/g/c"]


def test_usual_pairs_are_in_the_catalogue_and_count_alike() -> None:
    """Each technique by hand has one by machine, counted by the same."""
    known = techniques()
    for hand, machine in BY_MACHINE.items():
        assert known[hand].work is Work.HAND, hand
        assert known[machine].work is Work.MACHINE, machine
        assert known[hand].per is known[machine].per, (hand, machine)


def test_ways_are_asked_for_by_step(tmp_path: Path) -> None:
    """Only of what was asked for; a step left off has none."""
    offer = 'instead=[{ hours="40m", work="machine" }]'
    it, _ = made(tmp_path, f"a 100 {BY_HAND}, {offer}", f"b 90 {BY_HAND}, {offer}, left_off=true")
    assert set(other_ways(it, {"e/g/a", "e/g/b"}, UNKNOWN)) == {"e/g/a"}
    assert other_ways(it, set(), UNKNOWN) == {}


def test_choosing_a_way_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """It is the program that asked for it."""
    it, _ = made(tmp_path, f"a 100 {BY_HAND}")
    with pytest.raises(KeyError):
        choose_way(it, "e/g/a", 0)


SAMPLES = (
    ("oldmere_regatta", datetime(2027, 6, 7)),
    ("hallow_skerry", datetime(2027, 8, 30)),
    ("copper_wood_masque", datetime(2027, 3, 6)),
)


@pytest.mark.parametrize(("name", "now"), SAMPLES)
def test_laws_of_the_samples(name: str, now: datetime) -> None:
    """Sums agree with the plan, and every way saves what choosing it saves."""
    it = read_project(Path("sample_projects") / name)
    plan = plan_project(it, now, thorough=False)
    found = hand_work(it, plan)
    assert sum(day.minutes for day in found.days) == found.minutes
    assert found.minutes == sum(day.hand_minutes for day in plan.days)
    assert found.minutes == sum(one.minutes for one in found.steps)
    shares = (found.sofa.hand, found.on_the_way.hand, found.workroom, found.at_occasions)
    assert sum(shares) == found.minutes
    for place in (found.sofa, found.on_the_way):
        assert place.hand <= min(place.could, place.planned)
        assert place.planned <= place.available
    ways = [way for one in found.steps for way in one.ways]
    assert ways, "the samples offer machine ways"
    for way in ways:
        if way.offered:
            after = choose_way(it, way.step, way.index)
        else:
            assert way.way is not None
            after = add_way(it, way.step, way.way)
        assert way.saved == _left(it, now) - _left(after, now), way
    assert all(s.where is not Where.OCCASION or s.window is None for s in plan.sittings)


def _left(it: Project, now: datetime) -> int:
    """Minutes left of all steps, before anything is planned."""
    from planner.ground import lay_ground

    ground = lay_ground(it, now)
    return sum(ground.stand[name].left for name in ground.network.nodes)
