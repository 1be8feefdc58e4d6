"""Fixed days in words, and what an edit made of the plan."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.editing import fix_step, leave_off_step
from planner.editing.hours import away
from planner.files.reading import read_project
from planner.model import Project
from planner.plan import Plan
from planner.planning import plan_project
from screens.then import became_sentence, then_sentence
from screens.why import reason_sentences

NOW = datetime(2027, 5, 3)
SMALL = read_project(Path("tests/screens/a_workroom"))
E = SMALL.ensembles[0].id


def planned(project: Project) -> Plan:
    """From the Monday on."""
    return plan_project(project, NOW, thorough=False)


BEFORE = planned(SMALL)


def fixed(*days: tuple[str, int]) -> Plan:
    """Some days of May fixed."""
    project = SMALL
    for ident, day in days:
        project = fix_step(project, f"{E}/{ident}", date(2027, 5, day))
    return planned(project)


@pytest.mark.parametrize(
    ("ident", "day", "because"),
    [
        ("bodice/press", 1, "that day is past"),
        ("bodice/press", 31, "no occasion is as late as that day"),
        ("bodice/press", 14, "that day has no hours for it in the workroom"),
        ("stays/cut", 20, "it must be done by Thursday 6 May"),
        ("bodice/correct", 4, "it can't begin before Saturday 8 May"),
    ],
)
def test_a_day_that_cant_be_kept_says_why(ident: str, day: int, because: str) -> None:
    """The same cause before it is kept and in the step's reason after."""
    plan = fixed((ident, day))
    then = then_sentence(BEFORE, plan)
    assert then.startswith("then: “") and f"for {because}" in then
    step = next(one for one in plan.steps if one.id == f"{E}/{ident}")
    told = " ".join(reason_sentences(plan, step))
    assert "The day you fixed for it, " in told and because in told


def test_a_chain_of_fixed_days_names_the_other_one() -> None:
    """What comes before is fixed too late: both are named."""
    then = then_sentence(BEFORE, fixed(("bodice/correct", 15), ("bodice/press", 13)))
    assert "“press open” can't be done on Thursday 13 May, for" in then
    assert "“corrections onto the pattern” (Jacket bodice), which comes before it" in then
    assert "is fixed on Saturday 15 May" in then


def test_a_refusal_that_stands_already_is_not_told_again() -> None:
    """Of a later edit only what is new is said."""
    refused = fixed(("bodice/press", 14))
    assert "can't be done" not in then_sentence(refused, refused)


def test_what_became_of_the_plan() -> None:
    """Whether it fits now, how full, what there is to do, what moves; or that nothing does."""
    assert became_sentence(BEFORE, BEFORE) == "Nothing else changes."
    gone = planned(away(SMALL, date(2027, 5, 6), date(2027, 5, 6)))
    worse = became_sentence(BEFORE, gone)
    assert BEFORE.fits and gone.fits is False
    assert worse.startswith("Now it doesn't fit")
    assert became_sentence(gone, BEFORE).startswith("Now it fits")
    less = planned(leave_off_step(SMALL, f"{E}/bodice/trim", True))
    assert "2 h less to do" in became_sentence(BEFORE, less)
