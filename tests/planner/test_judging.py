"""A quick judgement says what the whole plan says, or less, and never otherwise."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.judging import Stopped, judge, whole
from planner.plan import NoteKind, Plan
from planner.planning import plan_project
from tests.oracle import workrooms
from tests.oracle.drawn import NOW

#: a few of each sort: plain, with take-along hours, tight and not fitting
SEEDS = workrooms.seeds()[::15]


def without_spare(plan: Plan) -> Plan:
    """A plan without minutes to spare."""
    return replace(
        plan,
        steps=tuple(
            replace(
                step,
                to_spare=None,
                to_spare_exact=True,
                notes=tuple(n for n in step.notes if n.kind is not NoteKind.NOTHING_TO_SPARE),
            )
            for step in plan.steps
        ),
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_the_quick_judgement_is_that_of_the_plan(seed: int, tmp_path: Path) -> None:
    """Final, it is the plan; else lateness and shortness are the same, and a verdict holds."""
    project = read_project(workrooms.write(tmp_path, seed))
    plan = without_spare(plan_project(project, NOW, thorough=False))
    judged = judge(project, NOW)
    if judged.final:
        assert judged.plan == plan
        return
    assert judged.plan.fits in (None, plan.fits)
    assert judged.plan.unplaced == plan.unplaced
    for mine, theirs in zip(judged.plan.occasions, plan.occasions, strict=True):
        assert (mine.late, mine.short, mine.wants) == (theirs.late, theirs.short, theirs.wants)
    left = [step.left for step in judged.plan.steps]
    assert left == [step.left for step in plan.steps]


@pytest.mark.parametrize(
    ("folder", "now"),
    [
        ("hallow_skerry", datetime(2027, 9, 1, 8)),
        ("oldmere_regatta", datetime(2027, 5, 1, 8)),
        ("copper_wood_masque", datetime(2027, 2, 1, 8)),
    ],
)
def test_the_whole_answer_is_the_plan(folder: str, now: datetime) -> None:
    """But for the minutes to spare, which nobody asks for while typing."""
    project = read_project(Path("sample_projects") / folder)
    plan = plan_project(project, now, thorough=False)
    assert whole(project, now) == without_spare(plan)


def test_it_stops_when_it_is_no_longer_wanted() -> None:
    """Both answers are given up as soon as they are told so."""
    project = read_project(Path("sample_projects/hallow_skerry"))
    for answer in (judge, whole):
        with pytest.raises(Stopped):
            answer(project, datetime(2027, 9, 1, 8), stop=lambda: True)
