"""Replanning holds on to the plan that was kept: what must move moves, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import pytest

from planner.deciding import LEAST_SITTING, decide
from planner.exports.as_json import plan_as_json
from planner.files.kept import write_kept
from planner.files.reading import read_project
from planner.ground import lay_ground
from planner.kept import kept_of
from planner.model import Kept, Project
from planner.plan import Plan
from planner.planning import plan_project
from planner.schedule.holding import cap_of
from planner.schedule.passes import peak_planned
from tests.bench.exactly import moves, planned, project_of
from tests.bench.stability import Row, at, measured
from tests.independent import random_workrooms
from tests.independent.checker import faults

SAMPLES = Path(__file__).parents[2] / "sample_projects"
OF_SAMPLES = {
    "copper_wood_masque": datetime(2027, 3, 6, 9),
    "oldmere_regatta": datetime(2027, 6, 7),
    "hallow_skerry": datetime(2027, 8, 30),
}
SEEDS = (*range(1, 13), *range(-9, 0))
LOST = (*range(1, 101, 4), *range(-100, 0, 4))


@cache
def _sample(name: str) -> Project:
    return read_project(SAMPLES / name)


def _random(seed: int) -> tuple[Project, datetime]:
    with TemporaryDirectory() as folder:
        return project_of(seed, Path(folder))


def _held(project: Project, plan: Plan) -> Project:
    return replace(project, kept=kept_of(plan, project))


def _day_after_work(plan: Plan) -> datetime:
    worked = [s.date for s in plan.sittings if s.window is not None]
    return datetime.combine(min(worked) + timedelta(days=1), time())


@pytest.mark.parametrize("sample", OF_SAMPLES)
def test_a_sample_planned_again_stays_as_it_is(sample: str) -> None:
    """Planned again without a change, every sitting stays to the minute."""
    project, now = _sample(sample), OF_SAMPLES[sample]
    plan = plan_project(project, now)
    again = plan_project(_held(project, plan), now)
    assert again.sittings == plan.sittings
    assert again.steps == plan.steps and again.days == plan.days


@pytest.mark.parametrize("seed", SEEDS)
def test_a_workroom_planned_again_stays_as_it_is(seed: int) -> None:
    """Planned again without a change nothing moves; nor without knowing that nothing changed."""
    project, now = _random(seed)
    plan = plan_project(project, now, thorough=False)
    for kept in (kept_of(plan, project), kept_of(plan)):
        again = plan_project(replace(project, kept=kept), now, thorough=False)
        assert planned(again, now.date()) == planned(plan, now.date())


@pytest.mark.parametrize("seed", SEEDS)
def test_who_does_what_the_plan_says_sees_no_move(seed: int) -> None:
    """Three evenings done exactly as planned: nothing moves on any later day."""
    project, now = _random(seed)
    assert list(moves(project, now, 3)) == []


@pytest.mark.parametrize("sample", OF_SAMPLES)
def test_who_does_a_sample_as_planned_sees_no_move(sample: str) -> None:
    """Four evenings of a sample done exactly as planned: nothing moves on any later day."""
    assert list(moves(_sample(sample), OF_SAMPLES[sample], 4)) == []


@cache
def _lost() -> tuple[Row, ...]:
    return tuple(row for row in map(measured, LOST) if row is not None)


def test_a_lost_evening_moves_little() -> None:
    """Beyond what a linear program says must move, a lost evening moves at most 5 % of what
    remains in the median, and 15 % at the 95th percentile; something has to move at all."""
    beyond = [row.beyond for row in _lost()]
    assert len(beyond) >= 36 and any(row.bound > 10 for row in _lost())
    assert median(beyond) <= 0.05
    assert at(beyond, 0.95) <= 0.15


def test_the_bound_is_one() -> None:
    """No plan moves less than the linear program's bound; where it is 0, often nothing moves."""
    rows = _lost()
    assert all(row.moved >= row.bound - 1e-6 for row in rows)
    assert any(row.moved == 0 for row in rows) and any(row.moved > 0 for row in rows)


@pytest.mark.parametrize("seed", [1, 3, 8, 11, 23, 30, 36, 56, 95, 118])
def test_a_plan_held_on_to_keeps_the_rules(tmp_path: Path, seed: int) -> None:
    """After lost days the plan that holds on is valid by an independent reading of the rules."""
    random_workrooms.write_workroom(tmp_path, seed)
    workroom = tmp_path / "workroom.toml"
    text = workroom.read_text()
    if "[pace]" not in text:
        # what the diary teaches is tested elsewhere
        workroom.write_text(text + "\n[pace]\nlearn = false\n")
    plan = plan_project(read_project(tmp_path), random_workrooms.NOW, thorough=False)
    write_kept(tmp_path / "kept.toml", kept_of(plan))
    first = _day_after_work(plan)
    for then in (first, first + timedelta(days=2)):
        project = read_project(tmp_path)
        found = _faults(tmp_path, project, then)
        free = _faults(tmp_path, replace(project, kept=Kept()), then)
        # the checker goes by the generator's own moment; what it says of any plan is no fault
        assert found.keys() <= free.keys(), found


def _faults(folder: Path, project: Project, now: datetime) -> Mapping[str, list[str]]:
    said: dict[str, list[str]] = {}
    for fault in faults(folder, dict(plan_as_json(plan_project(project, now)))):
        said.setdefault(fault.partition(":")[0], []).append(fault)
    return said


@pytest.mark.parametrize("seed", SEEDS)
def test_no_window_is_fuller_than_holding_on_allows(seed: int) -> None:
    """After a lost evening no window exceeds 100 %, or the least peak and two points."""
    project, now = _random(seed)
    plan = plan_project(project, now, thorough=False)
    then = _day_after_work(plan)
    found = decide(lay_ground(replace(project, kept=kept_of(plan)), then)).scheduled
    problem = found.problem
    assert problem.peak(peak_planned(problem, list(found.parts))) <= cap_of(found.peak.theta)


def test_a_fixed_day_stays_where_it_was_fixed() -> None:
    """A step fixed to another day goes there, and stays there when an evening is lost."""
    project, now = _sample("hallow_skerry"), OF_SAMPLES["hallow_skerry"]
    plan = plan_project(project, now, thorough=False)
    free = [
        (s, d.date)
        for s in plan.steps
        for d in plan.days
        if s.first_day is not None and s.first_day == s.last_day and s.on is None
        and s.earliest is not None and s.latest is not None
        and s.first_day < d.date < s.latest.date() and d.workroom_available > s.left
    ]  # fmt: skip
    step, day = free[0]
    fixed = _fixed(_held(project, plan), step.id, day)
    after = plan_project(fixed, now, thorough=False)
    assert {s.date for s in after.sittings if s.step == step.id} == {day}
    later = plan_project(_held(fixed, after), _day_after_work(after), thorough=False)
    assert {s.date for s in later.sittings if s.step == step.id} == {day}


def _fixed(project: Project, full: str, day: date) -> Project:
    """The project with a step fixed to a day."""
    of, garment, ident = full.split("/")
    ensembles = tuple(
        ensemble
        if ensemble.id != of
        else replace(
            ensemble,
            garments=tuple(
                one
                if one.id != garment
                else replace(
                    one,
                    steps=tuple(
                        replace(s, on=day) if s.id == ident else s for s in one.steps
                    ),
                )
                for one in ensemble.garments
            ),
        )
        for ensemble in project.ensembles
    )
    return replace(project, ensembles=ensembles)


def test_spread_out_afresh_is_the_plan_made_without() -> None:
    """Without the kept plan, the plan is the one that knows of none."""
    project, now = _sample("hallow_skerry"), OF_SAMPLES["hallow_skerry"]
    plan = plan_project(project, now, thorough=False)
    then = _day_after_work(plan)
    held = plan_project(_held(project, plan), then, thorough=False)
    afresh = plan_project(replace(_held(project, plan), kept=Kept()), then, thorough=False)
    assert afresh == plan_project(project, then, thorough=False)
    assert planned(held, then.date()) != planned(afresh, then.date())


@pytest.mark.parametrize("seed", SEEDS)
def test_spread_out_afresh_is_never_fuller(seed: int) -> None:
    """Letting go of a plan never makes the fullest hours fuller than holding on to it."""
    project, now = _random(seed)
    kept = kept_of(plan_project(project, now, thorough=False))
    then = _day_after_work(plan_project(project, now, thorough=False))
    held = plan_project(replace(project, kept=kept), then, thorough=False)
    let_go = replace(project, kept=replace(kept, let_go=True))
    afresh = plan_project(let_go, then, thorough=False)
    if held.peak_load is not None and held.peak_load > 1 and not (held.unplaced or afresh.unplaced):
        assert (afresh.peak_load or 0) <= held.peak_load


def test_what_is_laid_anew_isnt_chopped() -> None:
    """After a lost evening of the largest sample no new sitting is shorter than half its kind's
    least, unless the rest of the step is."""
    project, now = _sample("hallow_skerry"), OF_SAMPLES["hallow_skerry"]
    plan = plan_project(project, now, thorough=False)
    then = _day_after_work(plan)
    held = plan_project(_held(project, plan), then, thorough=False)
    before = planned(plan, then.date())
    left = {s.id: s.left for s in held.steps}
    work = {s.id: s.work for s in held.steps}
    short = [
        (step, day, minutes)
        for (step, day), minutes in planned(held, then.date()).items()
        if (step, day) not in before
        and 2 * minutes < min(LEAST_SITTING.get(work[step], 1), left[step])
    ]
    assert short == []
