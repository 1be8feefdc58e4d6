"""A stage that several steps carry is shown at the one with which it is reached."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from screens.stages_shown import reaching
from tests.screens.workrooms import a_copy, state_of


def test_a_stage_is_shown_at_the_last_step_that_carries_it(tmp_path: Path) -> None:
    """The last by its day; one that is done comes before what is still to do."""
    plan = state_of(a_copy(tmp_path)).plan
    first, second, third, *rest = plan.steps
    garment = first.id.rpartition("/")[0]
    assert second.id.rpartition("/")[0] == third.id.rpartition("/")[0] == garment
    early, late = date(2027, 5, 4), date(2027, 5, 6)
    steps = (
        replace(first, stage="wearable", last_day=late),
        replace(second, stage="fittable", last_day=early),
        replace(third, stage="wearable", last_day=early),
    )
    others = tuple(replace(one, stage=None) for one in rest)
    shown = reaching(replace(plan, steps=(*steps, *others)))
    assert shown == {first.id, second.id}
    done = replace(steps[0], done=True)
    assert reaching(replace(plan, steps=(done, *steps[1:]))) == {second.id, third.id}
    same = replace(steps[2], last_day=late)
    assert reaching(replace(plan, steps=(*steps[:2], same))) == {second.id, third.id}
