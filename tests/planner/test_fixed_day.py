"""Why a fixed day can't be kept: the nearest cause, as a value."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from planner.editing import fix_step
from planner.files.reading import read_project
from planner.fixed_day import Hindrance, not_kept, why_not_kept
from planner.model import Project
from planner.plan import Plan
from planner.planning import plan_project

NOW = datetime(2027, 5, 3)
SMALL = read_project(Path("tests/screens/a_workroom"))
E = SMALL.ensembles[0].id


def planned_from(project: Project, now: datetime) -> Plan:
    """A plan with minutes to spare."""
    return plan_project(project, now, thorough=False)


def planned(project: Project) -> Plan:
    """From the Monday on."""
    return planned_from(project, NOW)


PLAN = planned(SMALL)


def fixed(*days: tuple[str, date]) -> Plan:
    """The small workroom with some days fixed."""
    project = SMALL
    for step, day in days:
        project = fix_step(project, f"{E}/{step}", day)
    return planned(project)


def step(ident: str) -> str:
    return f"{E}/{ident}"


def test_a_kept_day_has_no_cause() -> None:
    """Fixed where it can be: it is on that day, and nothing is said."""
    first = next(one for one in PLAN.steps if one.first_day and one.first_day == one.last_day
                 and not one.during)  # fmt: skip
    assert first.first_day is not None
    plan = planned(fix_step(SMALL, first.id, first.first_day))
    assert not_kept(plan) == ()
    there = next(one for one in plan.steps if one.id == first.id)
    assert there.on == there.first_day == there.last_day == first.first_day


def test_freed_it_is_as_before() -> None:
    """A day fixed and freed again leaves the project as it was."""
    ident = next(one.id for one in PLAN.steps if one.first_day)
    assert fix_step(fix_step(SMALL, ident, date(2027, 5, 9)), ident, None) == SMALL


@pytest.mark.parametrize(
    ("ident", "day", "why"),
    [
        ("bodice/press", date(2027, 5, 1), Hindrance.OUTSIDE),
        ("bodice/press", date(2027, 8, 1), Hindrance.OUTSIDE),
        ("bodice/correct", date(2027, 5, 4), Hindrance.TOO_EARLY),
        ("stays/cut", date(2027, 5, 20), Hindrance.TOO_LATE),
        ("bodice/press", date(2027, 5, 14), Hindrance.NO_HOURS),
    ],
)
def test_the_nearest_cause_is_named(ident: str, day: date, why: Hindrance) -> None:
    """The calendar, the step's own chain, the day's hours."""
    found = why_not_kept(fixed((ident, day)), step(ident))
    assert found is not None
    assert (found.why, found.day) == (why, day)


def test_two_fixed_days_against_their_order() -> None:
    """Of a chain of fixed days, the one that comes too late for its follower is named."""
    correct, press = "bodice/correct", "bodice/press"
    plan = fixed((correct, date(2027, 5, 15)), (press, date(2027, 5, 13)))
    (found,) = not_kept(plan)
    assert (found.step, found.why, found.other) == (
        step(press),
        Hindrance.AFTER_FIXED,
        step(correct),
    )


@pytest.mark.parametrize("path", ["tests/screens/a_workroom", "sample_projects/copper_wood_masque"])
def test_fixing_a_step_where_it_is_planned_moves_nothing(path: str) -> None:
    """A day that is kept anyway changes no sitting; nothing to spare lies behind it."""
    project = read_project(Path(path))
    now = NOW if "screens" in path else datetime(2027, 3, 6)
    before = planned_from(project, now)
    planned_days = [
        one
        for one in before.steps
        if one.first_day and one.first_day == one.last_day and not one.during
    ]
    for one in planned_days[::9]:
        assert one.first_day is not None
        after = planned_from(fix_step(project, one.id, one.first_day), now)
        assert after.sittings == before.sittings
        there = next(step for step in after.steps if step.id == one.id)
        last = max(w.end for w in after.windows if w.day == one.first_day)
        assert there.to_spare is not None
        assert there.to_spare <= sum(
            w.minutes for w in after.windows if w.day == one.first_day and w.end <= last
        )
