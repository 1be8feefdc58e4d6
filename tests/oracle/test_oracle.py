"""The planner's least peak against the exact oracle, and the oracle against trying everything."""

from __future__ import annotations

from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from planner.plan import Plan
from tests.oracle import brute, exact, interval, plain_pass, workrooms
from tests.oracle.bound import may_fit
from tests.oracle.check import faults
from tests.oracle.core import core_of
from tests.oracle.known import CLOSE, Hard, hard_ten, planned, results
from tests.oracle.model import merged

QUICK = range(10, 301, 10)
PLAIN = tuple(seed for seed, known in results().items() if known.kind == "plain")
ANEW = (10, 94, 298)
"""Small workrooms whose bound and passes don't meet, so that the solver has to decide."""


def _judge(plan: Plan, optimum: Fraction) -> None:
    assert plan.peak_load is not None and plan.lower_bound is not None
    assert plan.unplaced == ()
    assert plan.peak_load >= float(optimum) - 1e-9, "better than the proven optimum"
    assert plan.lower_bound <= float(optimum) + 1e-9, "a bound above the optimum"
    assert plan.peak_load <= float(optimum) * (1 + CLOSE)
    assert plan.fits is not (optimum > 1)


@pytest.mark.parametrize("seed", [s for s in QUICK if results()[s].proven])
def test_planner_reaches_the_least_peak(seed: int, tmp_path: Path) -> None:
    """The plan's peak is within half a percent of the proven least peak, its bound not above
    it, and its verdict not wrong."""
    _judge(planned(tmp_path, seed).plan, results()[seed].optimum)


@pytest.mark.parametrize("hard", hard_ten(), ids=lambda hard: str(hard.seed))
def test_planner_reaches_the_least_peak_where_a_plain_sweep_does_not(
    hard: Hard, tmp_path: Path
) -> None:
    """Where one sweep is more than a tenth above the least peak, the plan is not."""
    _judge(planned(tmp_path, hard.seed).plan, hard.optimum)


@pytest.mark.parametrize("seed", PLAIN)
def test_one_kind_of_hours_is_exact_to_the_minute(seed: int, tmp_path: Path) -> None:
    """With workroom hours only and no waits, the peak is the interval bound itself, and no
    window holds more than a minute above its exact flattest load. Only where an interval shows
    that both can't be had, it may be what whole minutes at its level's least load make of it."""
    found = workrooms.instance(seed)
    plan = planned(tmp_path, seed).plan
    peak = interval.least_peak(found)
    assert plan.peak_load == pytest.approx(float(peak), abs=1e-12)
    assert plan.lower_bound == pytest.approx(float(peak), abs=1e-12)
    number = {(w.start, w.end): k for k, w in enumerate(found.windows)}
    levels = {w: level for level in interval.levelled(found) for w in level.windows}
    strict = interval.can_be_within_a_minute(found)
    for window in plan.windows:
        if window.planned:
            level = levels[number[window.start, window.end]]
            most = level.load * window.minutes + 1
            if not strict:
                most = max(most, Fraction(int(level.whole * window.minutes)))
            assert window.planned <= most, window


def test_few_workrooms_leave_no_room_for_both_demands() -> None:
    """The exception is rare: four of the hundred."""
    assert sum(not interval.can_be_within_a_minute(workrooms.instance(s)) for s in PLAIN) == 4


@pytest.mark.parametrize("seed", QUICK)
def test_windows_are_cut_alike(seed: int, tmp_path: Path) -> None:
    """The planner's cut windows are the oracle's, window for window."""
    plan = planned(tmp_path, seed).plan
    ours = [(w.start, w.end, w.day, w.place, w.helper) for w in workrooms.instance(seed).windows]
    theirs = [(w.start, w.end, w.day, w.place.value, w.helper) for w in plan.windows]
    assert theirs == ours


@pytest.mark.parametrize("seed", ANEW)
def test_solver_proves_the_committed_optimum_anew(seed: int) -> None:
    """Solved afresh, a small workroom has the least peak that is committed."""
    found = workrooms.instance(seed)
    result = exact.least_peak(found, 20)
    core = core_of(found)
    assert result.proven
    assert result.peak == results()[seed].optimum
    assert faults(core, result.amounts, core.caps(result.peak)) == []
    assert exact.solve(merged(core).core, core.caps_below(result.peak), 20) == []


@pytest.mark.parametrize("start", range(0, 400, 100))
def test_oracle_agrees_with_trying_everything(start: int) -> None:
    """On tiny instances with places, helpers, nights, one sittings and cuts, bound, passes and
    model say what trying every schedule says."""
    for seed in range(start, start + 100):
        core = brute.tiny(Random(seed))
        peak = brute.least_peak(core) if all(core.use) else None
        if peak is None:
            continue
        result = exact.Solver(core, 20).run()
        assert result.peak == result.bound == peak, seed
        assert may_fit(core, core.caps(peak))
        assert faults(core, result.amounts, core.caps(peak)) == []
        joined = merged(core)
        again = exact.solve(joined.core, core.caps(peak), 20)
        assert again and not faults(core, joined.taken_apart(again, core.need), core.caps(peak))
        if peak:
            assert exact.solve(joined.core, core.caps_below(peak), 20) == []


@pytest.mark.parametrize("seed", PLAIN)
def test_plain_sweep_is_exact_with_one_kind_of_hours(seed: int) -> None:
    """The interval bound, the plain sweep and the committed optimum are one number."""
    found = workrooms.instance(seed)
    peak = interval.least_peak(found)
    assert peak == plain_pass.plain_peak(found) == results()[seed].optimum
    assert max(level.load for level in interval.levelled(found)) <= peak
    assert max(level.whole for level in interval.levelled(found)) == peak


def test_results_are_what_they_are_said_to_be() -> None:
    """All seeds are solved, at least 200 proven, 60 of these above 60 steps."""
    proven = [known for known in results().values() if known.proven]
    assert set(results()) == set(workrooms.seeds())
    assert len(proven) >= 200
    assert sum(known.steps > 60 for known in proven) >= 60


def test_hard_ten_are_hard() -> None:
    """On each of the ten one plain sweep is more than a tenth above the proven optimum."""
    assert len(hard_ten()) == 10
    for hard in hard_ten():
        assert results()[hard.seed].proven
        assert results()[hard.seed].optimum == hard.optimum
        assert plain_pass.plain_peak(workrooms.instance(hard.seed)) == hard.plain
        assert hard.plain > hard.optimum * Fraction(11, 10)


def test_drawn_workrooms_stay_what_they_were(tmp_path: Path) -> None:
    """The same seeds draw the same files everywhere; the results would mean nothing else."""
    digest = sha256()
    for seed in QUICK:
        folder = workrooms.write(tmp_path / str(seed), seed)
        for name in ("workroom.toml", "parade.toml"):
            digest.update((folder / name).read_bytes())
    assert digest.hexdigest()[:16] == "62d60c863c152a14"
