"""The nested normal model of a maker's pace, fitted so that a wild entry moves little.

Log ratios of minutes taken to the catalogue's minutes are seen as

    maker + kind of work + technique + noise,

each part normal around nothing (partial pooling): a technique with few steps leans on its kind,
a kind with few on the maker, a maker with few on the catalogue. The numbers:

* ``MAKER`` 0.25, ``KIND`` 0.15, ``TECHNIQUE`` 0.30: how far a maker is usually from the
  catalogue, a kind of work from its maker, a technique from its kind (standard deviations of
  the log). The first is the design's. The others were tried on simulated makers whose median was
  0.8 to 1.6 and whose techniques were spread by 0.15 to 0.5, with none or two fifths of it by kind
  of work (``python -m tests.bench.pace --priors``): the kind's hardly matters; with 0.4 for the
  technique errors are a fiftieth smaller, but a single step moves its technique by half as much
  again.
* ``NOISE`` 0.35, the design's: how far one step is from its technique, worth ten
  steps; what the maker's own steps say of it (median absolute deviation) soon counts more.
* ``ROUNDING`` 1 minute: what a clock glanced at is off by, so that a step of three minutes
  teaches half of what one of an hour does.
* ``FORCE`` 1.1 and ``FAR`` 1.2: iteratively reweighted least squares (Holland and Welsch 1977)
  with weights that bound what a single step can do. Near its technique a step draws it in
  proportion to how far off it is (smoothed Huber weights), at most with ``FORCE``; from ``FAR``
  on (3.3 times too long or too short) less and less, so that a step that took ten times as long
  hardly counts, and yet a few that agree are believed. With a force of 1.5 errors are a fiftieth
  smaller, but a nought too many in place of a right entry moves its technique by up to 39 %.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

MAKER, KIND, TECHNIQUE = 0.25, 0.15, 0.30
NOISE, LEAST_NOISE = 0.35, 0.15
ROUNDING = 1.0
FORCE, FAR = 1.1, 1.2
LEAST_APART = 0.2
"""A step is at most taken to lie 1 / sqrt(0.2) times as far from its technique as it looks."""
ROUNDS, NEAR = 6, 1e-3
"""So many times at most the weights are worked out anew, or until no pace moves by more."""
NOISE_ROUNDS = 3
"""In so many of them the noise is, too."""
ENOUGH = 3
"""From so many steps on a technique's own median is where it is first looked for."""

_FORCE2, _FAR2 = FORCE**2, FAR**2
# written out, for importing ``statistics`` would delay every start
_MAD = 0.6744897501960817
"""The median of the absolute value of a standard normal."""
_PRIOR_NOISE = tuple(NOISE * z for z in (0.1256613, 0.3853205, 0.6744898, 1.0364334, 1.6448536))
"""How far off some steps of the usual spread are; each stands for two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """What is believed of a pace: mean and variance of its logarithm."""

    mean: float
    variance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far the levels are usually from each other: variances of logarithms."""

    maker: float = MAKER**2
    kind: float = KIND**2
    technique: float = TECHNIQUE**2


USUAL = Spread()


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
    spread: Spread = USUAL,
) -> Fitted:
    """Fit the model to steps; there is at least one.

    ``logs`` are their log ratios and ``minutes`` their estimates; ``technique_of`` says whose
    each step is, ``kind_of`` whose each technique is, both by index from 0.

    1. Look for each technique at its median.
    2. Work out the noise, and from it how much each step counts.
    3. Pool: the posterior of maker, kinds and techniques with these weights.
    4. Again from 2 until nothing moves.
    """
    rounding = [(ROUNDING / minute) ** 2 for minute in minutes]
    centres = _first_centres(logs, technique_of, len(kind_of))
    noise, leverage = NOISE**2, [0.0] * len(logs)
    own: list[float] = []
    for k in range(ROUNDS):
        off = [y - centres[j] for y, j in zip(logs, technique_of, strict=True)]
        if k < NOISE_ROUNDS:
            noise = _noise(off, rounding, noise, leverage)
            own = [noise + r for r in rounding]
        worth = [
            1 / (sqrt(v * v + d * d / _FORCE2) * (1 + d * d / _FAR2))
            for d, v in zip(off, own, strict=True)
        ]
        sums, totals = [0.0] * len(kind_of), [0.0] * len(kind_of)
        for y, p, j in zip(logs, worth, technique_of, strict=True):
            sums[j] += y * p
            totals[j] += p
        maker, kinds, means, variances = _pooled(sums, totals, kind_of, spread)
        if k < NOISE_ROUNDS:
            leverage = [p * variances[j] for p, j in zip(worth, technique_of, strict=True)]
        before, centres = centres, means
        if max(abs(a - b) for a, b in zip(before, centres, strict=True)) < NEAR:
            break
    return Fitted(
        maker=maker,
        kinds=kinds,
        techniques=tuple(
            Guess(mean=m, variance=v) for m, v in zip(means, variances, strict=True)
        ),
        noise=noise,
        weights=tuple([p * v for p, v in zip(worth, own, strict=True)]),
    )


def _first_centres(logs: Sequence[float], technique_of: Sequence[int], count: int) -> list[float]:
    """Where each technique is first looked for: at a median that one wild step can't move."""
    mine: list[list[float]] = [[] for _ in range(count)]
    for y, j in zip(logs, technique_of, strict=True):
        mine[j].append(y)
    middle = _median(logs) if len(logs) >= ENOUGH else 0.0
    return [_median(those) if len(those) >= ENOUGH else middle for those in mine]


def _median(values: Sequence[float]) -> float:
    """The middle one, or the mean of the two."""
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _noise(
    off: Sequence[float], rounding: Sequence[float], before: float, leverage: Sequence[float]
) -> float:
    """Variance of a step around its technique, by the median absolute deviation.

    Some steps of the usual spread are counted in. ``leverage``: how far each step drew its own
    technique's pace to itself, by which it looks nearer than it was.
    """
    least = LEAST_APART
    away = [
        abs(d) / sqrt((1 + r / before) * (1 - h if h < 1 - least else least))
        for d, r, h in zip(off, rounding, leverage, strict=True)
    ]
    found: float = _median([*away, *_PRIOR_NOISE, *_PRIOR_NOISE]) / _MAD
    return max(found, LEAST_NOISE) ** 2


def _pooled(
    sums: Sequence[float], totals: Sequence[float], kind_of: Sequence[int], spread: Spread
) -> tuple[Guess, tuple[Guess, ...], list[float], list[float]]:
    """The posterior of the three levels, exactly: upwards by marginals, then downwards.

    ``sums`` and ``totals`` are each technique's weighted logs and weights. Of the techniques the
    means and the variances.
    """
    count = max(kind_of) + 1
    kind_sums, kind_totals = [0.0] * count, [0.0] * count
    for total, weighed, k in zip(totals, sums, kind_of, strict=True):
        shrunk = 1 + spread.technique * total
        kind_totals[k] += total / shrunk
        kind_sums[k] += weighed / shrunk
    precision, lean = 1 / spread.maker, 0.0
    for total, weighed in zip(kind_totals, kind_sums, strict=True):
        shrunk = 1 + spread.kind * total
        precision += total / shrunk
        lean += weighed / shrunk
    maker = Guess(mean=lean / precision, variance=1 / precision)
    kinds = tuple(
        _below(maker, total, weighed, spread.kind)
        for total, weighed in zip(kind_totals, kind_sums, strict=True)
    )
    # as ``_below``, without a value for every technique in every round
    above = [kinds[k] for k in kind_of]
    narrow = 1 / spread.technique
    found = [1 / (narrow + total) for total in totals]
    means = [
        v * (narrow * one.mean + weighed)
        for v, weighed, one in zip(found, sums, above, strict=True)
    ]
    variances = [
        v + v * v * narrow * narrow * one.variance for v, one in zip(found, above, strict=True)
    ]
    return maker, kinds, means, variances


def _below(above: Guess, total: float, weighed: float, spread: float) -> Guess:
    """A level's posterior from its own steps and the one above it."""
    precision = 1 / spread + total
    leans = 1 / (spread * precision)
    return Guess(
        mean=leans * above.mean + weighed / precision,
        variance=1 / precision + leans * leans * above.variance,
    )
