"""How well the maker's pace is learnt.

``python -m tests.bench.pace [MAKERS] [--priors | --enough]``.

Makers with parameters the estimator doesn't know (``pace_makers``) log three ensembles; a fourth
is estimated by the catalogue and at the pace learnt, and then made. Told are, of its steps and of
the whole ensemble, by how much the mean absolute error of the hours falls against the
catalogue's; what it would fall by if every technique's true pace were known (nobody can do
better: the rest is the luck of the day); and how often a step ends within its low and high.
``--priors`` tries other spreads of the model; ``--enough`` from how many steps on it is better to
go by the diary than by the catalogue.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter
from unittest.mock import patch

from planner import pace_heard
from planner.estimate import Operation, at_pace
from planner.model import Diary, PaceChoices
from planner.pace import UNKNOWN, learn
from planner.pace_model import USUAL, Spread
from tests.bench.pace_makers import Maker, Truth, estimated, wardrobe

CASES = {
    "the bar's: median 1.3, 0.35, 0.3": Truth(),
    "median 1.0": Truth(median=1.0),
    "median 0.8": Truth(median=0.8),
    "median 1.6": Truth(median=1.6),
    "two fifths by kind of work": Truth(by_kind=0.4),
    "techniques alike (0.15)": Truth(between=0.15),
    "techniques far apart (0.5)": Truth(between=0.5),
    "steady (0.2 within)": Truth(within=0.2),
    "unsteady (0.45 within)": Truth(within=0.45),
}
FEW = {"one garment logged": Truth(), "one garment, median 0.8": Truth(median=0.8)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A new ensemble that was made: its steps, as estimated and as they were."""

    ops: tuple[Operation, ...]
    """At the pace learnt."""
    took: tuple[int, ...]
    known: tuple[float, ...]
    """What each would take by the technique's true pace."""


def made(
    truth: Truth,
    seed: int,
    earlier: int = 3,
    garments: int | None = None,
    spread: Spread = USUAL,
) -> Made:
    """One maker's next ensemble after so many."""
    *before, new = wardrobe(seed, earlier + 1, garments)
    maker = Maker(truth, seed)
    past = estimated(before)
    diary = maker.works(past)
    pace = learn(diary, past, PaceChoices(), spread)
    ops = [op for op in estimated([new]).values() if op.technique is not None]
    took, known = [], []
    for op in ops:
        known.append(op.by_catalogue.typical * maker.pace(op))
        took.append(maker.takes(op))
    return Made(
        ops=tuple(at_pace(op, pace) for op in ops), took=tuple(took), known=tuple(known)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """How well it went over many makers."""

    of_steps: float
    """Share by which the mean absolute error of the steps' hours falls."""
    of_steps_known: float
    """The same if every technique's true pace were known."""
    of_paces: float
    """Share by which estimates come nearer to what steps take by the true pace."""
    of_ensembles: float
    """Share by which the mean absolute error of whole ensembles' hours falls."""
    of_ensembles_known: float
    covered: float
    """Share of the steps between low and high."""
    covered_before: float
    """The same by the catalogue."""


def figures(these: Sequence[Made]) -> Figures:
    """All makers together."""
    errors = dict.fromkeys(("catalogue", "paced", "known", "off", "paced off"), 0.0)
    wholes = dict.fromkeys(("catalogue", "paced", "known"), 0.0)
    within = within_before = count = 0
    for one in these:
        for op, took, known in zip(one.ops, one.took, one.known, strict=True):
            by, minutes = op.by_catalogue, op.minutes
            errors["catalogue"] += abs(took - by.typical)
            errors["paced"] += abs(took - minutes.typical)
            errors["known"] += abs(took - known)
            errors["off"] += abs(known - by.typical)
            errors["paced off"] += abs(known - minutes.typical)
            within += minutes.low <= took <= minutes.high
            within_before += by.low <= took <= by.high
            count += 1
        total = sum(one.took)
        wholes["catalogue"] += abs(total - sum(op.by_catalogue.typical for op in one.ops))
        wholes["paced"] += abs(total - sum(op.minutes.typical for op in one.ops))
        wholes["known"] += abs(total - sum(one.known))
    return Figures(
        of_steps=1 - errors["paced"] / errors["catalogue"],
        of_steps_known=1 - errors["known"] / errors["catalogue"],
        of_paces=1 - errors["paced off"] / errors["off"],
        of_ensembles=1 - wholes["paced"] / wholes["catalogue"],
        of_ensembles_known=1 - wholes["known"] / wholes["catalogue"],
        covered=within / count,
        covered_before=within_before / count,
    )


def milliseconds(entries: int) -> float:
    """The quickest of many learnings from so many entries of the diary."""
    ops = estimated(wardrobe(3, 6))
    diary = Maker(Truth(), 3).works(ops)
    diary = Diary(entries=diary.entries[:entries])
    found = []
    for _ in range(100):
        began = perf_counter()
        learn(diary, ops, PaceChoices())
        found.append(perf_counter() - began)
    return min(found) * 1000


def _told(name: str, found: Figures) -> str:
    return (
        f"{name:<34} ensembles -{found.of_ensembles:.0%} (known -{found.of_ensembles_known:.0%})"
        f"  steps -{found.of_steps:.0%} (known -{found.of_steps_known:.0%})"
        f"  paces -{found.of_paces:.0%}"
        f"  within low and high {found.covered:.1%} (catalogue {found.covered_before:.1%})"
    )


def _try_priors(makers: int) -> None:
    """Other spreads of the model, on every case: error of steps and cover."""
    for kind in (0.05, 0.15, 0.25):
        for technique in (0.2, 0.3, 0.4):
            spread = Spread(kind=kind**2, technique=technique**2)
            told = []
            for truth in CASES.values():
                found = figures([made(truth, seed, spread=spread) for seed in range(makers)])
                told.append(f"{found.of_steps:.3f} {found.covered:.3f}")
            print(f"kind {kind:.2f}, technique {technique:.2f}:  {'   '.join(told)}")


def first_pace(truth: Truth, seed: int, enough: int) -> float:
    """By what share the steps of a new ensemble come nearer to what they take by the true pace,
    when the pace is first applied after so many steps of one before, timed in a random order."""
    past, new = (estimated([one]) for one in wardrobe(seed, 2))
    maker = Maker(truth, seed)
    names = list(past)
    maker.rng.shuffle(names)
    entries = maker.works({name: past[name] for name in names}).entries
    pace = UNKNOWN
    with patch.object(pace_heard, "ENOUGH_STEPS", enough):
        for number, entry in enumerate(entries, 1):
            if entry.done:
                pace = learn(Diary(entries=entries[:number]), past, PaceChoices())
                if pace_heard.enough(pace.steps) is not None:
                    break
    before = after = 0.0
    for op in new.values():
        if op.technique is not None:
            known = op.by_catalogue.typical * maker.pace(op)
            before += abs(known - op.by_catalogue.typical)
            after += abs(known - at_pace(op, pace).minutes.typical)
    return 1 - after / before


def _try_enough(makers: int) -> None:
    """Of how many makers the first pace that is applied makes estimates worse, and the median."""
    for median_pace in (0.8, 1.0, 1.3):
        for steps in (1, 2, 3, 5, 8, 12):
            with patch.object(pace_heard, "ENOUGH_MINUTES", 0 if steps < 5 else 180):
                truth = Truth(median=median_pace)
                found = sorted(first_pace(truth, seed, steps) for seed in range(makers))
            worse = sum(one < 0 for one in found) / makers
            print(
                f"median {median_pace}, {steps:2} steps: worse for {worse:.0%} of makers, nearer by"
                f" {found[makers // 2]:.1%} in the median"
            )


def main(words: Sequence[str]) -> None:
    """Print the figures."""
    makers = next((int(word) for word in words if word.isdigit()), 100)
    if "--priors" in words:
        _try_priors(makers)
        return
    if "--enough" in words:
        _try_enough(makers)
        return
    for name, truth in CASES.items():
        print(_told(name, figures([made(truth, seed) for seed in range(makers)])))
    for name, truth in FEW.items():
        these = [made(truth, seed, earlier=1, garments=1) for seed in range(makers)]
        print(_told(name, figures(these)))
    for entries in (100, 500, 1000):
        print(f"learning from {entries} entries: {milliseconds(entries):.2f} ms")


if __name__ == "__main__":
    main(sys.argv[1:])
