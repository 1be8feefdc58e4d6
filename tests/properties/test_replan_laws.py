"""Laws of what moved, on little random workrooms to which something happens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.files.reading import read_project
from planner.kept import kept_of
from planner.model import Change, Diary, Entry, Kept, Project, Span, Step
from planner.plan import Plan
from planner.replan import what_moves
from planner.replanning.minutes import balance
from planner.replanning.values import Cause, Moved
from tests.independent.random_workrooms import write_workroom
from tests.properties.test_planner_laws import NOW, few, projects, quick

Happening = Callable[[Project], Project]


def _with_steps(of: Project, steps: tuple[Step, ...]) -> Project:
    """Other steps of the one garment."""
    (ensemble,) = of.ensembles
    garment = replace(ensemble.garments[0], steps=steps)
    return replace(of, ensembles=(replace(ensemble, garments=(garment,)),))


def _steps(of: Project) -> tuple[Step, ...]:
    return of.ensembles[0].garments[0].steps


def _hours_of(day: int, spans: tuple[Span, ...]) -> Happening:
    """Other hours in the workroom on a day of May."""
    on = date(2027, 5, day)
    change = Change(first=on, last=on, workroom=spans, where="change[0]")
    return lambda of: replace(of, workroom=replace(of.workroom, changes=(change,)))


def _takes(index: int, minutes: int) -> Happening:
    """Another estimate of a step."""

    def change(of: Project) -> Project:
        steps = list(_steps(of))
        k = index % len(steps)
        steps[k] = replace(steps[k], hours=minutes, one_sitting=False)
        return _with_steps(of, tuple(steps))

    return change


def _fixed(index: int, day: int) -> Happening:
    """A fixed day of a step."""

    def change(of: Project) -> Project:
        steps = list(_steps(of))
        k = index % len(steps)
        steps[k] = replace(steps[k], on=date(2027, 5, day))
        return _with_steps(of, tuple(steps))

    return change


def _added(minutes: int) -> Happening:
    """A step that is new."""

    def change(of: Project) -> Project:
        new = replace(_steps(of)[0], id="new", hours=minutes, after=(), one_sitting=False)
        return _with_steps(of, (*_steps(of), new))

    return change


def _logged(index: int, minutes: int, done: bool) -> Happening:
    """An entry of the first evening."""

    def change(of: Project) -> Project:
        step = _steps(of)[index % len(_steps(of))]
        at = NOW + timedelta(hours=20)
        entry = Entry(at=at, step=f"e/g/{step.id}", minutes=minutes, done=done)
        return replace(of, diary=Diary(entries=(*of.diary.entries, entry)))

    return change


days = st.integers(3, 7)
minutes = st.integers(5, 200)
happenings = st.lists(
    st.one_of(
        st.builds(_hours_of, days, st.sampled_from(((), (Span(start=1140, end=1170),)))),
        st.builds(_takes, st.integers(0, 5), minutes),
        st.builds(_fixed, st.integers(0, 5), days),
        st.builds(_added, minutes),
        st.builds(_logged, st.integers(0, 5), minutes, st.booleans()),
    ),
    max_size=3,
)
moments = (NOW, datetime(2027, 5, 3, 19, 45), datetime(2027, 5, 4), datetime(2027, 5, 5, 12))
later = st.sampled_from(moments)


def _happen(
    of: Project, what: list[Happening], now: datetime, held: bool
) -> tuple[Plan, Kept, Plan, Project]:
    """The plan before, what is kept of it, the plan after, and its project."""
    was = quick(of)
    kept = kept_of(was)
    after = of
    for happening in what:
        after = happening(after)
    after = replace(after, kept=kept if held else Kept())
    return was, kept, quick(after, now), after


@few
@given(projects)
def test_a_plan_compared_with_itself_has_not_moved(of: Project) -> None:
    """Neither against all of it nor against what is kept of it."""
    found = quick(of)
    assert what_moves(kept_of(found), found, of).empty
    assert what_moves(kept_of(found), found, of, before_plan=found, before_project=of).empty


@few
@given(projects, happenings, later, st.booleans(), st.booleans())
def test_as_many_minutes_arrive_as_left(
    of: Project, what: list[Happening], now: datetime, held: bool, known: bool
) -> None:
    """Of every step as many minutes went to days as left days, and never to the same day; each
    has a reason that names only what there is."""
    was, kept, becomes, after = _happen(of, what, now, held)
    moved = _moved(was, kept, becomes, after, of, known)
    there = {step.id for step in becomes.steps} | {"e/ball"} | {s.id for s in was.steps}
    for one in moved.steps:
        assert sum(n for _, n in one.from_days) == sum(n for _, n in one.to_days) == one.minutes > 0
        assert all(shift.from_day != shift.to_day and shift.minutes > 0 for shift in one.shifts)
        assert set(one.why.names) <= there - {one.step}
        assert all(shift.to_day is None or shift.to_day >= now.date() for shift in one.shifts)
        assert all(
            shift.from_day is not None and shift.from_day <= now.date()
            for shift in one.shifts
            if shift.lost
        )
    assert moved.lost <= moved.minutes


def _moved(
    was: Plan, kept: Kept, becomes: Plan, after: Project, before: Project, known: bool
) -> Moved:
    """Compared with the whole plan before, or only with what was kept of it."""
    if not known:
        return what_moves(kept, becomes, after)
    return what_moves(kept, becomes, after, before_plan=was, before_project=before)


@few
@given(projects, happenings, later, st.booleans())
def test_steps_not_told_of_are_where_they_were(
    of: Project, what: list[Happening], now: datetime, held: bool
) -> None:
    """What didn't move, grow, come or go has on every coming day what it had, done work aside."""
    was, kept, becomes, after = _happen(of, what, now, held)
    moved = what_moves(kept, becomes, after, before_plan=was, before_project=of)
    told = {one.step for one in moved.steps} | {one.step for one in moved.gone}
    told |= {one.step for one in (*moved.resized, *moved.new)}
    logged = {entry.step for entry in after.diary.entries}
    for step in {one.id for one in becomes.steps} - told - logged:
        assert _days(was, step) == _days(becomes, step)


def _days(plan: Plan, step: str) -> dict[date, int]:
    """Minutes of a step by day."""
    found: dict[date, int] = {}
    for one in plan.sittings:
        if one.step == step:
            found[one.date] = found.get(one.date, 0) + one.minutes
    return found


@few
@given(projects, happenings, later)
def test_the_same_is_told_again(of: Project, what: list[Happening], now: datetime) -> None:
    """Nothing of it hangs on an order that isn't said."""
    _, kept, becomes, after = _happen(of, what, now, True)
    assert what_moves(kept, becomes, after) == what_moves(kept, becomes, after)


@pytest.mark.parametrize("seed", [5, 19, 37])
def test_large_workrooms_compared_with_themselves(seed: int, tmp_path: Path) -> None:
    """Several ensembles with all there can be: nothing has moved; a lost day has reasons."""
    write_workroom(tmp_path, seed)
    read = read_project(tmp_path)
    found = quick(read, NOW)
    kept = kept_of(found)
    assert what_moves(kept, found, read).empty
    assert what_moves(kept, found, read, before_plan=found, before_project=read).empty
    held = replace(read, kept=kept)
    moved = what_moves(kept, quick(held, NOW + timedelta(days=1)), held)
    assert all(one.shifts and one.why.cause is not Cause.AFRESH for one in moved.steps)


placed = st.dictionaries(
    st.one_of(st.none(), st.dates(date(2027, 5, 1), date(2027, 5, 9))),
    st.integers(1, 300),
    max_size=6,
)


@given(placed, placed, st.integers(0, 400))
def test_minutes_are_neither_made_nor_lost(
    before: dict[date | None, int], after: dict[date | None, int], done: int
) -> None:
    """What was planned, less what is done and what needs no day any more, with what came, is
    what is planned; and what both have on a day stays there."""
    found = balance(before, after, done=done, over=frozenset())
    left = max(0, sum(before.values()) - done)
    assert sum(n for _, n in found.open) == left
    more, less = sum(n for _, n in found.more), sum(n for _, n in found.less)
    assert left + more - less == sum(after.values())
    assert not (more and less)
    arrived = {day for shift in found.shifts for day in (shift.to_day,)}
    gone = {day for shift in found.shifts for day in (shift.from_day,)}
    assert not arrived & gone
