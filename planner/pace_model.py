"""The nested normal model of a maker's pace, fitted so that a wild entry moves little.

Log ratios of minutes taken to the catalogue's minutes are seen as

    maker + kind of work + technique + noise,

each part normal around nothing (Gelman and Hill's partial pooling): a technique with few steps
leans on its kind, a kind with few on the maker, a maker with few on the catalogue. The numbers:

* ``MAKER`` 0.25, ``KIND`` 0.15, ``TECHNIQUE`` 0.30: how far a maker is usually from the
  catalogue, a kind of work from its maker, a technique from its kind (standard deviations of
  the log). The first is the design's; the others are what did best over simulated makers whose
  median pace was 0.8 to 1.6 and whose techniques were spread by 0.15 to 0.5
  (``python -m tests.bench.pace --priors``); none of them is sharp.
* ``NOISE`` 0.35: how far one step is from its technique, worth ``NOISE_WORTH`` steps; what the
  maker's own steps say of it (median absolute deviation) soon counts more.
* ``ROUNDING`` 2 minutes: what a clock glanced at is off by, so that a step of three minutes
  teaches a sixth of what one of an hour does.
* ``TAIL`` 1.8: Cauchy's weights 1 / (1 + (r / TAIL s)^2), by iteratively reweighted least
  squares (Holland and Welsch 1977). A step taken ten times as long as it should counts a
  fiftieth, and yet five that agree are believed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist, median

MAKER, KIND, TECHNIQUE = 0.25, 0.15, 0.30
NOISE, NOISE_WORTH, LEAST_NOISE = 0.35, 10, 0.15
ROUNDING = 2.0
TAIL = 1.8
ROUNDS = 8
"""So many times the weights are worked out anew; they hardly change any more by then."""
ENOUGH = 3
"""From so many steps on a technique's own median is where it is first looked for."""

_MAD = NormalDist().inv_cdf(0.75)
_PRIOR_NOISE = tuple(
    NOISE * abs(NormalDist().inv_cdf((k + 0.5) / NOISE_WORTH)) for k in range(NOISE_WORTH)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """What is believed of a pace: mean and variance of its logarithm."""

    mean: float
    variance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Variances:
    """The model's spreads, squared."""

    maker: float = MAKER**2
    kind: float = KIND**2
    technique: float = TECHNIQUE**2


USUAL = Variances()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """What the steps taught."""

    maker: Guess
    kinds: tuple[Guess, ...]
    techniques: tuple[Guess, ...]
    noise: float
    """Variance of one step around its technique."""
    weights: tuple[float, ...]
    """How much each step counted, 0 to 1: what is far from the others counts little."""


def fit(
    logs: Sequence[float],
    minutes: Sequence[float],
    technique_of: Sequence[int],
    kind_of: Sequence[int],
    spread: Variances = USUAL,
) -> Fitted:
    """Fit the model to steps.

    ``logs`` are their log ratios and ``minutes`` their estimates; ``technique_of`` says whose
    each step is, ``kind_of`` whose each technique is, both by index from 0.
    """
    rounding = [(ROUNDING / minute) ** 2 for minute in minutes]
    centres = _first_centres(logs, technique_of, len(kind_of))
    noise = NOISE**2
    spent = 0.0
    for _ in range(ROUNDS):
        off = [y - centres[j] for y, j in zip(logs, technique_of, strict=True)]
        noise = _noise(off, rounding, noise, spent)
        cut = 1 / (TAIL * TAIL)
        own = [noise + r for r in rounding]
        weights = [1 / (1 + cut * d * d / v) for d, v in zip(off, own, strict=True)]
        sums, totals = [0.0] * len(kind_of), [0.0] * len(kind_of)
        for y, w, v, j in zip(logs, weights, own, technique_of, strict=True):
            sums[j] += y * w / v
            totals[j] += w / v
        maker, kinds, techniques = _pooled(sums, totals, kind_of, spread)
        spent = sum(p * t.variance for p, t in zip(totals, techniques, strict=True))
        before, centres = centres, [t.mean for t in techniques]
        if all(abs(a - b) < 1e-4 for a, b in zip(before, centres, strict=True)):
            break
    return Fitted(
        maker=maker,
        kinds=tuple(kinds),
        techniques=tuple(techniques),
        noise=noise,
        weights=tuple(weights),
    )


def _first_centres(logs: Sequence[float], technique_of: Sequence[int], count: int) -> list[float]:
    """Where each technique is first looked for: at a median that one wild entry can't move."""
    mine: list[list[float]] = [[] for _ in range(count)]
    for y, j in zip(logs, technique_of, strict=True):
        mine[j].append(y)
    middle = median(logs) if len(logs) >= ENOUGH else 0.0
    return [median(those) if len(those) >= ENOUGH else middle for those in mine]


def _noise(
    off: Sequence[float], rounding: Sequence[float], before: float, spent: float
) -> float:
    """Variance of a step around its technique, by the median absolute deviation.

    Some steps of the usual spread are counted in. ``spent``: so many of the steps went into
    finding the paces, which brought these nearer than they are.
    """
    away = [abs(d) / sqrt(1 + r / before) for d, r in zip(off, rounding, strict=True)]
    count = len(away)
    larger = sqrt(count / max(count - spent, count / 3))
    found = median([*(larger * a for a in away), *_PRIOR_NOISE]) / _MAD
    return max(found, LEAST_NOISE) ** 2


def _pooled(
    sums: Sequence[float], totals: Sequence[float], kind_of: Sequence[int], spread: Variances
) -> tuple[Guess, list[Guess], list[Guess]]:
    """The posterior of the three levels, exactly: upwards by marginals, then downwards.

    ``sums`` and ``totals`` are each technique's weighted logs and weights.
    """
    count = max(kind_of, default=-1) + 1
    kind_sums, kind_totals = [0.0] * count, [0.0] * count
    for total, weighed, k in zip(totals, sums, kind_of, strict=True):
        worth = total / (1 + spread.technique * total)
        kind_totals[k] += worth
        kind_sums[k] += worth * (weighed / total)
    precision, lean = 1 / spread.maker, 0.0
    for total, weighed in zip(kind_totals, kind_sums, strict=True):
        worth = total / (1 + spread.kind * total)
        precision += worth
        lean += worth * (weighed / total)
    maker = Guess(mean=lean / precision, variance=1 / precision)
    kinds = [
        _below(maker, total, weighed, spread.kind)
        for total, weighed in zip(kind_totals, kind_sums, strict=True)
    ]
    techniques = [
        _below(kinds[k], total, weighed, spread.technique)
        for total, weighed, k in zip(totals, sums, kind_of, strict=True)
    ]
    return maker, kinds, techniques


def _below(above: Guess, total: float, weighed: float, spread: float) -> Guess:
    """A level's posterior from its own steps and the one above it."""
    precision = 1 / spread + total
    leans = 1 / (spread * precision)
    return Guess(
        mean=leans * above.mean + weighed / precision,
        variance=1 / precision + leans * leans * above.variance,
    )
