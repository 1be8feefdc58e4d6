"""Laws of what occasions need, in random workrooms."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.before import needs
from planner.files.reading import read_project
from planner.model import STAGES
from planner.planning import plan_project
from planner.references import index_of, stage_steps
from tests.independent.random_workrooms import NOW, write_workroom

SEEDS = (*range(20), 31)
"""At 31 a done step that comes after a past occasion once brought along what that owes."""


@pytest.mark.parametrize("seed", SEEDS)
def test_what_random_occasions_need(seed: int, tmp_path: Path) -> None:
    """The open steps are those the plan says the occasion wants, each in one part; no stage is
    told whose steps aren't wanted; hours that serve are among those there are."""
    write_workroom(tmp_path, seed)
    project = read_project(tmp_path)
    plan = plan_project(project, NOW, thorough=False)
    index = index_of(project.ensembles)
    steps = {step.id: step for step in plan.steps}
    for occasion in plan.occasions:
        needed = needs(project, plan, occasion)
        assert sorted(needed.open) == sorted(occasion.wants)
        assert sorted(one for must in needed.musts for one in must.open) == sorted(occasion.wants)
        assert not {*needed.can_wait} & {*needed.open, *occasion.during, *occasion.late}
        assert needed.hours.serving <= needed.hours.there
        if occasion.fits:
            assert needed.hours.over >= 0
        for must in needed.musts:
            if must.stage is not None:
                assert must.stage in STAGES
                carriers = stage_steps(index, must.garment, must.stage)
                assert all(steps[one].done or one in must.open for one in carriers)
        assert sorted(thing.step for thing in needed.things) == sorted(occasion.during)
        for thing in needed.things:
            layers = [index.garments[one].layer for one in thing.under]
            known = [layer for layer in layers if layer is not None]
            assert known == sorted(known)
            assert all(steps[one].id not in occasion.during for one in thing.decides)
