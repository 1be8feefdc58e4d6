"""The pace of simulated makers, whose parameters the estimator doesn't know, in small numbers.

The full measurement, with other makers besides: ``python -m tests.bench.pace``.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.bench.pace import Figures, figures, made
from tests.bench.pace_makers import Truth

MAKERS = 30


@cache
def found(truth: Truth, earlier: int = 3, garments: int | None = None) -> Figures:
    """Figures of some makers."""
    return figures([made(truth, seed, earlier, garments) for seed in range(MAKERS)])


BAR = Truth()


def test_the_error_of_an_ensembles_hours_falls_by_two_fifths() -> None:
    """Median 1.3, 0.35 between techniques, 0.3 within, three ensembles logged: the mean absolute
    error of a new ensemble's hours falls by at least 40 %, and so does the distance of its steps'
    estimates from what they take this maker by their true pace."""
    assert found(BAR).of_ensembles >= 0.4
    assert found(BAR).of_paces >= 0.4


def test_steps_come_as_near_as_luck_allows() -> None:
    """Step by step the luck of the day is most of the error: to know each technique's true pace
    would lower it by less than 40 %. Three fifths of that are reached."""
    assert found(BAR).of_steps_known < 0.4
    assert found(BAR).of_steps >= 0.6 * found(BAR).of_steps_known


@pytest.mark.parametrize(
    "truth",
    [
        BAR,
        Truth(median=0.8),
        Truth(median=1.0),
        Truth(by_kind=0.4),
        Truth(between=0.15),
        Truth(between=0.5),
        Truth(within=0.2),
        Truth(within=0.45),
    ],
    ids=["bar", "0.8", "1.0", "by kind", "alike", "apart", "steady", "unsteady"],
)
def test_four_of_five_steps_end_between_low_and_high(truth: Truth) -> None:
    """Whatever the maker is like; and estimates are nearer than the catalogue's in every way."""
    assert 0.75 <= found(truth).covered <= 0.85
    assert found(truth).of_steps > 0
    assert found(truth).of_paces > 0.2
    assert found(truth).of_ensembles > 0.1


@pytest.mark.parametrize("median", [0.8, 1.3])
def test_one_garment_is_a_beginning(median: float) -> None:
    """With some twenty steps logged estimates are nearer already, and as honest."""
    few = found(Truth(median=median), 1, 1)
    assert few.of_ensembles > 0.1
    assert 0.75 <= few.covered <= 0.88
