"""Laws of the plan on little random workrooms of a handful of steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model import (
    Ensemble,
    Garment,
    Occasion,
    OccasionKind,
    Place,
    Project,
    Span,
    Step,
    Wait,
    Work,
    Workroom,
)
from planner.plan import Plan, Verdict
from planner.planning import plan_project

NOW = datetime(2027, 5, 3)
BALL = datetime(2027, 5, 8)
ROUNDING = 1e-9

PLACES = (Place.WORKROOM, Place.WORKROOM, Place.SOFA, Place.TAKE_ALONG)
WAITS = (None, None, None, Wait(nights=1), Wait(nights=2))


@st.composite
def steps(draw: st.DrawFn) -> tuple[Step, ...]:
    """Up to six steps, each behind some of those before it."""
    found = []
    for k in range(draw(st.integers(1, 6))):
        after = draw(st.sets(st.integers(0, k - 1), max_size=2)) if k else set()
        minutes = draw(st.integers(5, 150))
        found.append(
            Step(
                id=f"s{k}",
                hours=minutes,
                work=draw(st.sampled_from((Work.MACHINE, Work.HAND, Work.CUTTING))),
                place=draw(st.sampled_from(PLACES)),
                wait=draw(st.sampled_from(WAITS)),
                one_sitting=draw(st.booleans()) and minutes <= 60,
                after=tuple(f"s{p}" for p in sorted(after)),
                where=f"garment[0].step[{k}]",
            )
        )
    return tuple(found)


def week(spans: Sequence[Span]) -> tuple[tuple[Span, ...], ...]:
    """The same hours on every day."""
    return (tuple(spans),) * 7


@st.composite
def workrooms(draw: st.DrawFn) -> Workroom:
    """An evening at the table every day, perhaps an hour on the sofa before it."""
    length = draw(st.integers(60, 180))
    sofa = [Span(start=17 * 60, end=18 * 60)] if draw(st.booleans()) else []
    return Workroom(
        fill_to=draw(st.sampled_from((0.5, 0.7, 1.0))),
        workroom_hours=week([Span(start=19 * 60, end=19 * 60 + length)]),
        sofa_hours=week(sofa),
    )


def project(workroom: Workroom, of: Sequence[Step]) -> Project:
    """One garment of these steps for a ball on the 8th."""
    ball = Occasion(id="ball", kind=OccasionKind.EVENT, at=BALL, where="occasion[0]")
    garment = Garment(id="g", steps=tuple(of), where="garment[0]")
    return Project(
        workroom=workroom, ensembles=(Ensemble(id="e", occasions=(ball,), garments=(garment,)),)
    )


projects = st.builds(project, workrooms(), steps())
few = settings(max_examples=60, deadline=None, derandomize=True, database=None)


def quick(of: Project, now: datetime = NOW) -> Plan:
    """The plan, with the quicker minutes to spare."""
    return plan_project(of, now, thorough=False)


def settled(found: Plan) -> bool:
    """Nothing late or unplaced: it is a matter of hours alone."""
    return not found.unplaced and not any(o.late for o in found.occasions)


@few
@given(projects)
def test_the_same_input_gives_the_same_plan(of: Project) -> None:
    """Planning is deterministic in every part."""
    assert plan_project(of, NOW) == plan_project(of, NOW)


@few
@given(projects)
def test_the_peak_is_never_below_its_bound(of: Project) -> None:
    """The lower bound is one, and the peak is what the windows say."""
    found = quick(of)
    assert found.peak_load is not None and found.lower_bound is not None
    loads = [w.load for w in found.windows if w.place is Place.WORKROOM]
    assert abs(max(loads, default=0.0) - found.peak_load) < ROUNDING
    if found.peak_load > of.workroom.fill_to:
        assert found.peak_load >= found.lower_bound - ROUNDING


@few
@given(projects)
def test_where_it_does_not_fit_by_hours_false_is_said_only_with_a_bound(of: Project) -> None:
    """fits is false by a bound over 100 %, or by what is late or unplaced."""
    found = quick(of)
    if found.fits is False and settled(found):
        assert found.lower_bound is not None and found.lower_bound > 1
        assert found.verdict is Verdict.DOES_NOT_FIT
    if found.fits is True:
        assert found.peak_load is not None and found.peak_load <= 1 + ROUNDING


@few
@given(projects, st.integers(10, 120))
def test_more_hours_never_raise_the_least_peak(of: Project, more: int) -> None:
    """Evenings that last longer: the bound is no higher, and what fitted fits.

    As a proved plan's peak equals its bound (or lies under ``fill_to``), such a peak is no
    higher either.
    """
    longer = replace(
        of.workroom,
        workroom_hours=tuple(
            tuple(replace(s, end=s.end + more) for s in day) for day in of.workroom.workroom_hours
        ),
    )
    before, after = quick(of), quick(replace(of, workroom=longer))
    assert before.peak_load is not None and after.peak_load is not None
    if not settled(before):
        return
    assert settled(after)
    if before.fits:
        assert after.fits
    highest = max(before.peak_load, of.workroom.fill_to)
    # a plan laid under fill_to is filled up to it whatever the hours
    assert after.peak_load <= highest + ROUNDING


@few
@given(projects)
def test_leaving_off_an_optional_last_step_never_makes_it_not_fit(of: Project) -> None:
    """What fits with the step fits without it."""
    (ensemble,) = of.ensembles
    (garment,) = ensemble.garments
    *others, last = garment.steps

    def variant(step: Step) -> Project:
        changed = replace(garment, steps=(*others, step))
        return replace(of, ensembles=(replace(ensemble, garments=(changed,)),))

    optional = replace(last, optional=True)
    if quick(variant(optional)).fits:
        without = quick(variant(replace(optional, left_off=True)))
        assert without.fits
        assert last.id not in {s.step.rsplit("/", 1)[1] for s in without.sittings}


@few
@given(projects, st.integers(1, 4))
def test_a_later_now_never_makes_begin_by_earlier(of: Project, days: int) -> None:
    """Where it still fits; and up to the day to begin by it does."""
    found = quick(of)
    if not found.fits or found.begin_by is None:
        return
    now = NOW + timedelta(days=days)
    later = quick(of, now)
    if later.fits:
        assert later.begin_by is not None and later.begin_by >= found.begin_by
    if now.date() <= found.begin_by:
        assert later.fits


@few
@given(projects)
def test_all_minutes_are_laid_once(of: Project) -> None:
    """The sittings of each planned step sum to what is left of it, in the order it keeps."""
    found = quick(of)
    unplaced = {u.step for u in found.unplaced}
    last: dict[str, int] = {}
    for k, s in enumerate(found.sittings):
        last[s.step] = k
    for step in found.steps:
        mine = [s.minutes for s in found.sittings if s.step == step.id]
        assert sum(mine) == (0 if step.id in unplaced else step.left)
        first = next((k for k, s in enumerate(found.sittings) if s.step == step.id), None)
        if first is not None:
            assert all(last.get(p, -1) < first for p in step.after)
