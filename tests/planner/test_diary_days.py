"""The diary by day; what doing over opens; what was done before."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.diary_days import diary_days
from planner.doing_over import what_to_do_over
from planner.done_before import by_garment, garments_to_tick, tick, untick
from planner.files.reading import read_project
from planner.model import Project
from planner.plan import Plan
from planner.planned_behind import PlannedDay
from planner.planning import plan_project
from tests.planner.little import ensemble, garment, plan

OLDMERE = Path("sample_projects/oldmere_regatta")
BEHIND = datetime(2027, 6, 7)


@pytest.fixture(scope="module")
def oldmere() -> Project:
    """A workroom three evenings behind."""
    return read_project(OLDMERE)


def test_days_come_newest_first_with_all_that_was_logged(oldmere: Project) -> None:
    """Every entry once, under its own date, the newest on top, and today though it is empty."""
    days = diary_days(oldmere, BEHIND)
    assert [one.date for one in days] == sorted((one.date for one in days), reverse=True)
    assert days[0].date == BEHIND.date() and not days[0].logged
    shown = [one.index for day in days for one in day.logged]
    assert sorted(shown) == list(range(len(oldmere.diary.entries)))
    for day in days:
        assert all(one.entry.at.date() == day.date for one in day.logged)
        assert day.minutes == sum(one.entry.minutes for one in day.logged)
    assert any(day.lost and day.lost.reason for day in days)


def test_a_planned_evening_without_entries_is_told(oldmere: Project) -> None:
    """With what was planned, and as lost; what was worked is set against it."""
    sunday, fever = date(2027, 5, 30), date(2027, 6, 3)
    planned = [PlannedDay(date=day, steps={"a/b/c": 90}) for day in (sunday, fever)]
    dates = {one.date: one for one in diary_days(oldmere, BEHIND, planned)}
    assert dates[fever].planned == 90 and not dates[fever].logged
    assert (lost := dates[fever].lost) is not None
    assert (lost.minutes, lost.planned) == (90, True)
    assert dates[BEHIND.date()].planned is None


CHAIN = ensemble(
    garment(
        "a 20 done=true",
        'fit 30 after=["a"], during="pins"',
        'b 20 after=["pins"], done=true',
        'c 20 after=["b"], done=true',
        'd 20 after=["c"]',
    ),
    '{ id = "pins", kind = "fitting", at = 2027-05-02T14:00:00, takes = "1h" },'
    ' { id = "ball", kind = "event", at = 2027-05-08 }',
)


@pytest.fixture
def chain(tmp_path: Path) -> Plan:
    """A fitting behind, and more done behind it."""
    return plan(tmp_path, CHAIN)


def test_what_follows_and_is_done_can_be_opened_too(chain: Plan) -> None:
    """Also what followed by way of the fitting; what was right before it; nothing that is open."""
    found = what_to_do_over(chain, ["e/g/fit"])
    assert found is not None
    assert found.about == ("e/g/fit",)
    assert found.follows == ("e/g/b", "e/g/c")
    assert found.leads == ("e/g/a",)
    assert found.whole["e/g/fit"] == 30
    assert what_to_do_over(chain, ["e/g/d"]) is None
    assert what_to_do_over(chain, ["e/g/none"]) is None


def test_a_tick_brings_what_it_follows_and_can_be_taken_back_alone(tmp_path: Path) -> None:
    """What is done already isn't ticked again."""
    found = plan(
        tmp_path,
        ensemble(garment("a 20 done=true", 'b 20 after=["a"]', 'c 20 after=["b"]', "d 20")),
    )
    ticked = tick(found, set(), ["e/g/c"])
    assert ticked.ticked == {"e/g/b", "e/g/c"} and ticked.brought == ("e/g/b",)
    assert untick(ticked.ticked, ["e/g/b"]).ticked == {"e/g/c"}
    more = tick(found, ticked.ticked, ["e/g/d", "e/g/c"])
    assert more.ticked == {"e/g/b", "e/g/c", "e/g/d"} and more.brought == ()


def test_garments_come_in_dressing_order(oldmere: Project) -> None:
    """Layer by layer, with their steps as in the file."""
    found = plan_project(oldmere, BEHIND)
    garments = garments_to_tick(oldmere, found)
    layers = {
        f"{e.id}/{g.id}": (g.layer is None, g.layer or 0)
        for e in oldmere.ensembles
        for g in e.garments
    }
    order = [layers[one.garment] for one in garments]
    assert order == sorted(order)
    steps = [step for one in garments for step in one.steps]
    assert sorted(steps) == sorted(one.id for one in found.steps if not one.left_off)
    counted = by_garment(garments, {steps[0]})
    assert counted[garments[0].garment] == 1 and sum(counted.values()) == 1
