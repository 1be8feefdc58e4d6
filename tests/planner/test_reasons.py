"""Why a step is when it is: tiny cases by hand, and steps of the samples with the cause removed.

``WEARBY_REASONS=400`` in the environment tries so many steps of each sample (there are fewer).
"""

from __future__ import annotations

import os
import random
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.ground import Ground, lay_ground
from planner.model import Ensemble, Garment, Occasion, Project, Step
from planner.plan import Because, Plan, PlannedStep, Reason
from planner.planning import plan_project
from tests.planner.little import BALL, EVENINGS, ensemble, garment, plan, step

SAMPLES = Path(__file__).parents[2] / "sample_projects"
STEPS = int(os.environ.get("WEARBY_REASONS", "18"))
"""Steps tried of each sample."""


# ---------------------------------------------------------------- by hand


def test_a_step_on_the_last_evening_is_there_for_its_occasion(tmp_path: Path) -> None:
    """Nothing follows it: the ball is the cause, and the whole chain."""
    reason = step(plan(tmp_path, ensemble(garment("a 60"))), "a").reason
    assert reason == Reason(
        because=Because.OCCASION, names=("e/ball",), chain=("e/ball",), minutes=600
    )


def test_a_step_right_before_its_follower(tmp_path: Path) -> None:
    """a and b share the 7th: b is the cause, then the ball."""
    reason = step(plan(tmp_path, ensemble(garment("a 60", 'b 60 after=["a"]'))), "a").reason
    assert (reason.because, reason.names) == (Because.FOLLOWER, ("e/g/b",))
    assert reason.chain == ("e/g/b", "e/ball")


def test_a_step_a_night_before_its_follower(tmp_path: Path) -> None:
    """The wait counts: two evenings before b is still because of b."""
    steps = garment('a 60 wait="2 nights"', 'b 120 after=["a"]')
    found = plan(tmp_path, ensemble(steps))
    assert step(found, "a").last_day == datetime(2027, 5, 5).date()
    assert step(found, "a").reason.because is Because.FOLLOWER


def test_the_follower_that_comes_first_is_named(tmp_path: Path) -> None:
    """Of two followers the one wanted for the fitting holds a."""
    pins = '{ id = "pins", kind = "fitting", at = 2027-05-06T18:00:00, wants = ["g/b"] }'
    steps = garment("a 30", 'b 60 after=["a"]', 'c 60 after=["a"]')
    reason = step(plan(tmp_path, ensemble(steps, f"{pins}, {BALL}")), "a").reason
    assert (reason.because, reason.names) == (Because.FOLLOWER, ("e/g/b",))
    assert reason.chain == ("e/g/b", "e/pins")


def test_later_evenings_are_full(tmp_path: Path) -> None:
    """Two free steps of an evening each: the earlier one is there because of the other."""
    found = plan(tmp_path, ensemble(garment("a 120", "b 120")))
    early, late = sorted((step(found, n) for n in "ab"), key=lambda s: str(s.last_day))
    assert (early.reason.because, early.reason.names) == (Because.FULL, (late.id,))
    assert late.reason.because is Because.OCCASION


def test_a_fixed_day_that_is_kept_is_the_reason(tmp_path: Path) -> None:
    """The maker's word comes before anything else."""
    reason = step(plan(tmp_path, ensemble(garment("a 60 on=2027-05-04"))), "a").reason
    assert reason.because is Because.FIXED_DAY


def test_a_fixed_day_that_is_not_kept_is_not_the_reason(tmp_path: Path) -> None:
    """Planned as if it weren't there, the step has the ball as its reason."""
    reason = step(plan(tmp_path, ensemble(garment("a 60 on=2027-05-20"))), "a").reason
    assert reason.because is Because.OCCASION


def test_what_holds_an_unplaced_step_is_named(tmp_path: Path) -> None:
    """A stock that comes after the ball."""
    stock = '{ id = "tape", have = "0 m", coming = [{ amount = "1 m", arrives = 2027-05-09 }] }'
    text = ensemble(garment('a 60 uses=[{ stock = "tape", amount = ["1 m"] }]'), BALL, stock)
    reason = step(plan(tmp_path, text), "a").reason
    assert (reason.because, reason.names) == (Because.UNPLACED, ("e/tape",))


def test_a_two_hand_step_before_its_occasion_is_there_for_it(tmp_path: Path) -> None:
    """The helper's last hour is on the 5th: no later hours serve it."""
    helper = '[helper_hours]\nwednesday = ["20:00-21:00"]\n'
    reason = step(plan(tmp_path, ensemble(garment("a 60 hands=2")), EVENINGS + helper), "a").reason
    assert (reason.because, reason.names) == (Because.OCCASION, ("e/ball",))


# ---------------------------------------------------------------- samples, the cause removed


def now_of(folder: Path) -> datetime:
    """The day that stands in the sample's first line."""
    text = (folder / "workroom.toml").read_text(encoding="utf-8")
    found = re.search(r"# today: (\d{4}-\d\d-\d\d)", text)
    assert found is not None
    return datetime.fromisoformat(found[1])


def _ensembles(project: Project, change: Callable[[Ensemble], Ensemble]) -> Project:
    return replace(project, ensembles=tuple(change(e) for e in project.ensembles))


def _garments(project: Project, change: Callable[[str, Garment], Garment]) -> Project:
    """Every garment changed; ``change`` has its full id too."""
    return _ensembles(
        project,
        lambda e: replace(e, garments=tuple(change(f"{e.id}/{g.id}", g) for g in e.garments)),
    )


def _steps(project: Project, change: Callable[[str, Step], Step]) -> Project:
    """Every step changed; ``change`` has its full id too."""
    return _garments(
        project,
        lambda g, one: replace(one, steps=tuple(change(f"{g}/{s.id}", s) for s in one.steps)),
    )


def finished(project: Project, names: tuple[str, ...]) -> Project:
    """The named steps done: they take no hours and hold nobody up."""
    return _steps(project, lambda n, s: replace(s, done=True) if n in names else s)


def without_order(project: Project, ground: Ground, before: str, follower: str) -> Project:
    """``follower`` no longer follows ``before``, and everything else is as it was."""
    node = ground.network.nodes[follower]
    if before not in node.after:
        return finished(project, (follower,))  # the order goes through something else
    kept = (*(p for p in node.after if p != before), *node.after_occasions)

    def change(full: str, one: Garment) -> Garment:
        if full != follower.rsplit("/", 1)[0]:
            return one
        steps, above = [], None
        for s in one.steps:
            after = s.after
            if one.in_order and above is not None:
                after = (*after, f"{full}/{above}")
            above = s.id
            steps.append(replace(s, after=kept if f"{full}/{s.id}" == follower else after))
        return replace(one, in_order=False, steps=tuple(steps))

    return _garments(project, change)


def without_occasion(project: Project, ground: Ground, name: str) -> Project:
    """The occasion is gone, with all that names it."""
    nodes = ground.network.nodes

    def occasion(ensemble_id: str, o: Occasion) -> Occasion | None:
        return None if f"{ensemble_id}/{o.id}" == name else o

    def change(full: str, s: Step) -> Step:
        if full not in nodes:
            return s
        node = nodes[full]
        if node.during == name:
            s = replace(s, during=None)
        if name in node.after_occasions:
            short = name.rsplit("/", 1)[1]
            s = replace(s, after=tuple(a for a in s.after if a not in (name, short)))
        return s

    project = _ensembles(
        project,
        lambda e: replace(
            e, occasions=tuple(o for o in e.occasions if occasion(e.id, o) is not None)
        ),
    )
    return _steps(project, change)


def without_cause(project: Project, ground: Ground, s: PlannedStep) -> Project:
    """The project without what the step's reason names."""
    because, names = s.reason.because, s.reason.names
    if because is Because.FIXED_DAY:
        return _steps(project, lambda n, one: replace(one, on=None) if n == s.id else one)
    assert names, f"{s.id}: {because} names nothing"
    if because is Because.FOLLOWER:
        return without_order(project, ground, s.id, names[0])
    if because is Because.FULL:
        return finished(project, names)
    assert because in (Because.OCCASION, Because.AT_OCCASION), because
    return without_occasion(project, ground, names[0])


def as_said(found: Plan, name: str) -> tuple[object, ...]:
    """A step's sittings and reason (without its minutes)."""
    (one,) = (s for s in found.steps if s.id == name)
    sittings = tuple((s.date, s.start, s.end, s.minutes) for s in found.sittings if s.step == name)
    return sittings, one.reason.because, one.reason.names, one.reason.chain


@pytest.mark.parametrize("sample", ["copper_wood_masque", "hallow_skerry", "oldmere_regatta"])
def test_removing_the_named_cause_changes_plan_or_reason(sample: str) -> None:
    """Planned steps of each sample: without its cause a step moves or has another one."""
    folder = SAMPLES / sample
    now, project = now_of(folder), read_project(folder)
    found = plan_project(project, now, thorough=False)
    ground = lay_ground(project, now)
    planned = [s for s in found.steps if s.first_day is not None and not s.done]
    chosen = random.Random(sample).sample(planned, min(STEPS, len(planned)))
    unmoved = []
    for s in chosen:
        again = plan_project(without_cause(project, ground, s), now, thorough=False)
        if as_said(again, s.id) == as_said(found, s.id):
            unmoved.append((s.id, s.reason))
    assert unmoved == []


@pytest.mark.parametrize("sample", ["copper_wood_masque", "hallow_skerry", "oldmere_regatta"])
def test_chains_follow_the_order_to_an_occasion(sample: str) -> None:
    """Each link of a chain follows the one before it; the last is the occasion it is due for."""
    folder = SAMPLES / sample
    now, project = now_of(folder), read_project(folder)
    found = plan_project(project, now, thorough=False)
    ground = lay_ground(project, now)
    occasions = {o.id for o in found.occasions}
    for s in found.steps:
        chain = s.reason.chain
        if not chain:
            continue
        assert chain[-1] in occasions
        links = [s.id, *chain[:-1]]
        for before, after in pairwise(links):
            assert before in ground.waits_for[after]
        (last,) = (x for x in found.steps if x.id == links[-1])
        assert last.due_for == chain[-1]
