"""The maker's own pace: how long work takes them, against the catalogue's minutes.

Learnt from the diary of the whole workroom (``pace_observed`` says what teaches, ``pace_model``
how it is weighed), or set by hand; what is set by hand wins, the technique's before its kind's
before that for all work. What is applied is rounded to steps of 5 %, so that plans stay calm.
Bounds of an estimate are an 80 % interval for one more step: how uncertain the pace is, and how
much one step differs from the next. Where nothing is known, or every step took its estimate to
the minute, estimates stay the catalogue's.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from math import exp, log, sqrt
from typing import TYPE_CHECKING

from planner.amounts import HIGH_SHARE, LOW_SHARE
from planner.model import Diary, Minutes, PaceChoices, Work
from planner.pace_heard import LEAP, STEP, enough, heard
from planner.pace_model import ROUNDING, USUAL, Fitted, Guess, Spread, fit

if TYPE_CHECKING:
    from planner.estimate import Operation
    from planner.pace_observed import Observed

ALL = "all"
"""The key of the pace of all work."""
Z = 1.2815515655446004
"""An 80 % interval reaches so many standard deviations to each side."""
FAR = 2.0
"""A step that took so many times as long as its technique's pace says, or as short, is far off."""


_NO_CHOICES = PaceChoices()


class Level(StrEnum):
    """What a pace is of."""

    ALL = "all"
    KIND = "kind"
    TECHNIQUE = "technique"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceRow:
    """One pace: of all work, of a kind of work, or of a technique."""

    level: Level
    key: str
    """ "all", the kind of work, or the technique's id."""
    work: Work | None
    """The kind of work; None for all, and for a technique set by hand that was never timed."""
    ratio: float
    """What is applied, as a ratio of the catalogue's minutes."""
    low: float
    high: float
    """The pace lies between with a chance of 80 %; both the ratio where it is set by hand."""
    rests: tuple[Observed, ...]
    """The steps it rests on."""
    set_by: str | None
    """The key that sets it by hand: its own, or one that stands above it; None: learnt."""
    learnt: float | None
    """What was learnt, rounded; None where no step says anything of it."""

    @property
    def by_hand(self) -> bool:
        """Whether this very pace is set by hand."""
        return self.set_by == self.key

    @property
    def entries(self) -> int:
        """So many steps it rests on."""
        return len(self.rests)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """What is known of a maker's pace, and what they set."""

    choices: PaceChoices = _NO_CHOICES
    steps: tuple[Observed, ...] = ()
    """The steps that taught."""
    weights: tuple[float, ...] = ()
    """How much each of them counted, 0 to 1."""
    maker: Guess | None = None
    """None where nothing was learnt."""
    kinds: Mapping[Work, Guess] = field(default_factory=dict)
    techniques: Mapping[tuple[Work, str], Guess] = field(default_factory=dict)
    noise: float = 0.0
    """Variance of one step around its technique, of logarithms."""
    spread: Spread = USUAL
    """How far levels are usually from each other: for what has no step yet."""

    @property
    def changes_nothing(self) -> bool:
        """Whether every estimate stays the catalogue's."""
        return self.maker is None and not self.choices.by_hand

    def set_by(self, work: Work | None, technique: str | None) -> str | None:
        """The key by which the maker set a pace that holds here; the most specific one."""
        keys = (technique, None if work is None else work.value, ALL)
        return next((key for key in keys if key in self.choices.by_hand), None)

    def guess(self, work: Work, technique: str | None) -> Guess | None:
        """What was learnt of a technique; of one without steps what its kind or the maker says."""
        if self.maker is None:
            return None
        found = self.techniques.get((work, technique or ""))
        if found is not None:
            return found
        kind = self.kinds.get(work)
        if kind is None:
            kind = _wider(self.maker, self.spread.kind)
        return _wider(kind, self.spread.technique)

    def ratio(self, work: Work, technique: str | None) -> float:
        """What is applied to a technique: set by hand, else learnt, else 1."""
        by_hand = self.set_by(work, technique)
        if by_hand is not None:
            return self.choices.by_hand[by_hand]
        guess = self.guess(work, technique)
        return rounded(guess.mean) if guess is not None else 1.0

    def factor(self, work: Work, technique: str | None) -> tuple[float, float, float]:
        """What a new step's minutes are of the catalogue's typical ones: typical, low, high.

        Where nothing was learnt the bounds are those of an estimate with only a typical value.
        """
        by_hand = self.set_by(work, technique)
        guess = None if by_hand else self.guess(work, technique)
        if guess is None:
            ratio = self.choices.by_hand[by_hand] if by_hand else 1.0
            return ratio, ratio * LOW_SHARE, ratio * HIGH_SHARE
        low, high = _bounds(guess, self.noise)
        ratio = rounded(guess.mean)
        return ratio, min(low, ratio), max(high, ratio)

    def minutes(self, by_catalogue: Minutes, work: Work, technique: str | None) -> Minutes:
        """A step's minutes at this pace, not rounded.

        What is set by hand scales the catalogue's own bounds; where nothing is known nothing
        changes.
        """
        by_hand = self.set_by(work, technique)
        guess = None if by_hand else self.guess(work, technique)
        typical = by_catalogue.typical
        if guess is None:
            ratio = self.choices.by_hand[by_hand] if by_hand else 1.0
            return Minutes(
                low=by_catalogue.low * ratio,
                typical=typical * ratio,
                high=by_catalogue.high * ratio,
            )
        ratio = rounded(guess.mean)
        # of a step of few minutes what the clock is off by counts
        low, high = _bounds(guess, self.noise + (ROUNDING / typical) ** 2)
        return Minutes(
            low=typical * min(low, ratio), typical=typical * ratio, high=typical * max(high, ratio)
        )


UNKNOWN = Pace()
"""Nothing is known and nothing set: the catalogue's."""


def _bounds(guess: Guess, noise: float) -> tuple[float, float]:
    """Between which ratios lies one more step with a chance of 80 %."""
    reach = Z * sqrt(guess.variance + noise)
    return exp(guess.mean - reach), exp(guess.mean + reach)


def _wider(above: Guess, spread: float) -> Guess:
    """What is believed of something below of which there is no step."""
    return Guess(mean=above.mean, variance=above.variance + spread)


def _within(guess: Guess, far: float) -> Guess:
    """The guess, no farther from the catalogue."""
    return guess if abs(guess.mean) <= far else replace(guess, mean=min(max(guess.mean, -far), far))


def rounded(mean: float) -> float:
    """The ratio of a logarithm, in steps of 5 %, at least one step."""
    return round(max(1, round(exp(mean) / STEP)) * STEP, 2)


def learn(
    diary: Diary,
    unpaced: Mapping[str, Operation],
    choices: PaceChoices,
    spread: Spread = USUAL,
) -> Pace:
    """The pace that the diary teaches.

    ``unpaced``: the operations of all ensembles by full id, with the catalogue's minutes.
    """
    from planner.pace_observed import observed  # it knows operations, which know paces

    steps = tuple(observed(diary.entries, unpaced)) if choices.learn and diary.entries else ()
    begins = enough(steps)
    by = {0: Pace(choices=choices)}

    def taught(number: int) -> Pace:
        if number not in by:
            by[number] = _of_fit(choices, steps[:number], spread, number - (begins or 0) + 1)
        return by[number]

    def ratios(number: int) -> Callable[[Observed], float]:
        pace = taught(number)
        return lambda step: pace.ratio(step.work, step.technique)

    number = heard(steps, ratios)
    # those after them are explained by it, and count in full as they are
    told = taught(number)
    return replace(told, steps=steps, weights=(*told.weights, *[1.0] * (len(steps) - number)))


def _of_fit(
    choices: PaceChoices, steps: Sequence[Observed], spread: Spread, leaps: int
) -> Pace:
    """The pace by the model, so many leaps from the catalogue's at the most."""
    kinds: dict[Work, int] = {}
    techniques: dict[tuple[Work, str], int] = {}
    technique_of, kind_of = [], []
    for step in steps:
        kinds.setdefault(step.work, len(kinds))
        key = (step.work, step.technique)
        if key not in techniques:
            techniques[key] = len(techniques)
            kind_of.append(kinds[step.work])
        technique_of.append(techniques[key])
    fitted: Fitted = fit(
        [log(step.took / step.estimate) for step in steps],
        [step.estimate for step in steps],
        technique_of,
        kind_of,
        spread,
    )
    far = leaps * LEAP
    return Pace(
        choices=choices,
        steps=tuple(steps),
        weights=fitted.weights,
        maker=_within(fitted.maker, far),
        kinds={key: _within(one, far) for key, one in zip(kinds, fitted.kinds, strict=True)},
        techniques={
            key: _within(one, far) for key, one in zip(techniques, fitted.techniques, strict=True)
        },
        noise=fitted.noise,
        spread=spread,
    )


def pace_table(
    pace: Pace, *, kinds: bool = False, also: Collection[tuple[Work, str]] = ()
) -> tuple[PaceRow, ...]:
    """Every pace there is anything to say of: all work, each kind, and its techniques beneath.

    By number of steps, most first; those only set by hand last. All work is always there; so are
    with ``kinds`` all kinds of work, and with ``also`` these techniques under their kind.
    """
    rows = [_row(pace, Level.ALL, ALL, None, pace.maker, pace.steps)]
    by_work: dict[Work, list[Observed]] = {}
    by_technique: dict[tuple[Work, str], list[Observed]] = {}
    for step in pace.steps:
        by_work.setdefault(step.work, []).append(step)
        by_technique.setdefault((step.work, step.technique), []).append(step)
    by_hand = pace.choices.by_hand
    for work in sorted(Work, key=lambda one: -len(by_work.get(one, ()))):
        more = sorted(key for key in also if key[0] is work and key not in by_technique)
        if kinds or more or work in by_work or work.value in by_hand:
            guess = pace.kinds.get(work)
            rows.append(_row(pace, Level.KIND, work.value, work, guess, by_work.get(work, ())))
        mine = [key for key in by_technique if key[0] is work]
        for key in sorted(mine, key=lambda one: (-len(by_technique[one]), one[1])):
            guess = pace.techniques.get(key)
            rows.append(_row(pace, Level.TECHNIQUE, key[1], work, guess, by_technique[key]))
        rows += [_row(pace, Level.TECHNIQUE, key[1], work, None, ()) for key in more]
    there = {row.key for row in rows} | set(Work)
    for name in by_hand:
        if name not in there:
            rows.append(_row(pace, Level.TECHNIQUE, name, None, None, ()))
    return tuple(rows)


def _row(
    pace: Pace,
    level: Level,
    key: str,
    work: Work | None,
    guess: Guess | None,
    rests: Iterable[Observed],
) -> PaceRow:
    technique = key if level is Level.TECHNIQUE else None
    set_by = pace.set_by(work, technique)
    steps = tuple(rests)
    learnt = rounded(guess.mean) if guess is not None else (1.0 if steps else None)
    if set_by is not None:
        ratio = low = high = pace.choices.by_hand[set_by]
    else:
        # of what no step says anything what stands above it counts
        ratio = learnt if learnt is not None else _from_above(pace, work, technique)
        low, high = _bounds(guess, 0.0) if guess is not None else (ratio, ratio)
        low, high = min(low, ratio), max(high, ratio)
    return PaceRow(
        level=level,
        key=key,
        work=work,
        ratio=ratio,
        low=low,
        high=high,
        rests=steps,
        set_by=set_by,
        learnt=learnt,
    )


def _from_above(pace: Pace, work: Work | None, technique: str | None) -> float:
    """What is applied to what no step says anything of."""
    guess = pace.guess(work, technique) if work is not None else None
    return rounded(guess.mean) if guess is not None else 1.0


def far_off(pace: Pace) -> tuple[Observed, ...]:
    """The steps that are far from what their technique's pace says, and count less for that."""
    return tuple(step for step in pace.steps if _is_far(pace, step))


def _is_far(pace: Pace, step: Observed) -> bool:
    guess = pace.guess(step.work, step.technique)
    if guess is None:
        return False
    # a minute more or less is nothing
    away = abs(log(step.took / step.estimate) - guess.mean)
    return away > log(FAR) + ROUNDING / step.estimate
