"""A plan at a glance: today's work, days over, hand sewing to come, when it can be worn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.glance import glance, is_of
from planner.model import Entry, Project, Work
from planner.plan import NoteKind, Plan, Where
from planner.planning import plan_project

BEHIND = (Path("sample_projects/oldmere_regatta"), datetime(2027, 6, 7))
TWO = (Path("sample_projects/hallow_skerry"), datetime(2027, 8, 30))


def planned(case: tuple[Path, datetime]) -> Plan:
    """A sample's plan."""
    path, now = case
    return plan_project(read_project(path), now, thorough=False)


@pytest.fixture(scope="module")
def behind() -> Plan:
    """Three evenings behind."""
    return planned(BEHIND)


@pytest.fixture(scope="module")
def two() -> Plan:
    """Two ensembles."""
    return planned(TWO)


def test_today_is_what_is_left_of_today() -> None:
    """Today's sittings with their places; no day ahead is named while today has work."""
    behind = planned((BEHIND[0], datetime(2027, 6, 8)))
    seen = glance(behind)
    assert seen.today is not None and seen.ahead is None
    mine = [one for one in behind.sittings if one.date == date(2027, 6, 8)]
    assert seen.today.minutes == sum(one.minutes for one in mine) > 0
    assert set(seen.today.steps) == {one.step for one in mine}
    assert dict(seen.today.places) == {Where.WORKROOM: seen.today.minutes}


def test_without_work_today_the_next_day_is_named(two: Plan) -> None:
    """Nothing today: the first day ahead that has work."""
    seen = glance(two)
    assert seen.today is None and seen.ahead is not None
    first = next(one.date for one in two.sittings if one.where is not Where.OCCASION)
    assert seen.ahead.day == first > two.now.date()


def test_days_over_are_those_with_the_note(behind: Plan) -> None:
    """Each day over, with the minutes beyond its hours, in order."""
    noted = {
        day.date: note.minutes
        for day in behind.days
        for note in day.notes
        if note.kind is NoteKind.OVER
    }
    over = glance(behind).over
    assert dict(over) == noted and len(over) == len(noted) >= 3
    assert list(over) == sorted(over)


def test_hand_sewing_by_place_adds_up(behind: Plan) -> None:
    """All hand sewing at home and on the way, and nothing else."""
    hands = {step.id for step in behind.steps if step.work is Work.HAND}
    total = sum(
        one.minutes
        for one in behind.sittings
        if one.step in hands and one.where is not Where.OCCASION
    )
    assert sum(minutes for _, minutes in glance(behind).hand) == total > 0


def test_short_and_late_by_occasion(behind: Plan) -> None:
    """Before which occasions hours are short, and which steps are late for which."""
    seen = glance(behind)
    assert {one for one, _ in seen.short} == {o.id for o in behind.occasions if o.short}
    assert seen.short and seen.late
    assert all(step in next(o for o in behind.occasions if o.id == at).late
               for step, at in seen.late)  # fmt: skip


def test_one_alone_shows_its_own_and_the_shares_add_up(two: Plan) -> None:
    """Looked at alone, each ensemble has its own steps; together they make the whole."""
    whole = glance(two)
    parts = [glance(two, ensemble) for ensemble in two.wearable_on]
    assert sum(sum(m for _, m in one.hand) for one in parts) == sum(m for _, m in whole.hand)
    for ensemble, part in zip(two.wearable_on, parts, strict=True):
        assert [one.ensemble for one in part.outlooks] == [ensemble]
        assert part.ahead is not None
        assert all(is_of(step, ensemble) for step in part.ahead.steps)


def _with_all_done_but(project: Project, left: set[str]) -> Project:
    """The project with every step logged as done but those that are left."""
    entries = tuple(
        Entry(at=datetime(2027, 3, 5, 20), step=f"{e.id}/{g.id}/{s.id}", minutes=5, done=True)
        for e in project.ensembles
        for g in e.garments
        for s in g.steps
        if f"{e.id}/{g.id}/{s.id}" not in left
    )
    return replace(project, diary=replace(project.diary, entries=entries))


def test_wearable_now_when_only_extras_are_left() -> None:
    """With all done but an extra nothing needs, it could be worn as it is."""
    project = read_project(Path("tests/screens/a_workroom"))
    now = datetime(2027, 5, 12)
    plan = plan_project(project, now, thorough=False)
    (ensemble,) = plan.wearable_on
    assert not glance(plan).outlooks[0].wearable_now
    extras = {step.id for step in plan.steps if step.optional and step.wanted}
    assert extras
    done = plan_project(_with_all_done_but(project, extras), now, thorough=False)
    outlook = glance(done).outlooks[0]
    assert outlook.wearable_now and done.wearable_left[ensemble] == 0
    assert outlook.left == outlook.extras > 0
