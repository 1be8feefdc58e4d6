"""How long large workrooms take to plan: ``python -m tests.bench.large``.

A pageant's wardrobe: many ensembles of four garments each, events spread over the time there
is, everything made by one pair of hands. The parameters are those of the drawn workrooms.
"""

from __future__ import annotations

import cProfile
import pstats
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import process_time

from tests.oracle.drawn import DAYS, NOW, duration
from tests.oracle.workrooms import Dice

GARMENTS = ("petticoat", "skirt", "jacket", "mantle")
STEPS_OF_A_GARMENT = 25
WORKS = ("machine", "pressing", "cutting", "bench")
WEEKLY = 34 * 60
"""Workroom minutes a week."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a workroom is, and the seconds allowed for planning it."""

    steps: int
    days: int
    seconds: float


SIZES = (Size(steps=1_000, days=120, seconds=2.0), Size(steps=5_000, days=300, seconds=15.0))


def write(folder: Path, size: Size, seed: int) -> Path:
    """Write a workroom of this size into a folder; the folder."""
    dice = Dice(Random(seed))
    (folder / "workroom.toml").write_text("\n".join(_hours(dice)) + "\n", encoding="utf-8")
    ensembles = size.steps // (STEPS_OF_A_GARMENT * len(GARMENTS))
    mean = dice.real(0.6, 0.9) * WEEKLY * size.days / 7 / size.steps
    for k in range(ensembles):
        day = round(size.days * (0.15 + 0.85 * (k + 1) / ensembles))
        text = "\n".join(_ensemble(dice, k + 1, day, mean)) + "\n"
        (folder / f"procession-{k + 1}.toml").write_text(text, encoding="utf-8")
    return folder


def _hours(dice: Dice) -> Iterator[str]:
    yield from ("format = 1", 'fill_to = "1%"', "", "[workroom_hours]")
    for day in DAYS[:5]:
        yield f'{day} = ["{dice.between(8, 10):02d}:00-{dice.between(15, 17):02d}:00"]'
    yield from ("", "[take_along_hours]")
    for day in DAYS[:4]:
        yield f'{day} = ["18:00-19:{dice.between(20, 55, 5):02d}"]'
    yield from ("", "[helper_hours]", 'friday = ["11:00-14:00"]')


def _ensemble(dice: Dice, number: int, day: int, mean: float) -> Iterator[str]:
    yield from ("format = 1", f'name = "Procession {number}"')
    fitting = _moment(round(day * 0.6), 18)
    yield from ("", "[[occasion]]", 'id = "fitting"', 'kind = "fitting"', f"at = {fitting}")
    yield from ("", "[[occasion]]", 'id = "parade"', 'kind = "event"', f"at = {_moment(day, 18)}")
    for layer, garment in enumerate(GARMENTS):
        yield from ("", "[[garment]]", f'id = "{garment}"', f"layer = {layer + 1}")
        yield from _garment(dice, layer, day, mean)


def _moment(day: int, hour: int) -> str:
    return (NOW + timedelta(days=day, hours=hour)).isoformat()


def _garment(dice: Dice, layer: int, day: int, mean: float) -> Iterator[str]:
    """Two chains that merge, a fitting along the second half."""
    side = dice.between(4, STEPS_OF_A_GARMENT // 2)
    at = dice.between(STEPS_OF_A_GARMENT // 2 + 2, STEPS_OF_A_GARMENT - 4)
    portable = dice.real(0.0, 0.66)
    for k in range(STEPS_OF_A_GARMENT):
        yield from ("", "[[garment.step]]", f'id = "s{k + 1}"')
        after = [] if k in (0, side) else [k]
        if k == STEPS_OF_A_GARMENT // 2 + 1:
            after.append(side)
        if after:
            yield "after = [" + ", ".join(f'"s{a}"' for a in after) + "]"
        if k == at:
            yield from ('hours = "15m"', 'work = "fitting"', 'during = "fitting"')
            continue
        minutes = max(5, round(mean * dice.real(0.3, 1.0) ** 2 * 2.3))
        yield f'hours = "{duration(minutes)}"'
        if dice.chance(portable):
            yield from ('work = "hand"', 'place = "take-along"')
        else:
            yield from (f'work = "{WORKS[(k + layer) % len(WORKS)]}"', 'place = "workroom"')
        if dice.chance(0.12):
            yield 'wait = "1 night"'
        elif dice.chance(0.05) and minutes <= 60:
            yield "one_sitting = true"
        if not after and dice.chance(0.25):
            yield f"not_before = {_moment(round(day * dice.real(0.1, 0.4)), 0)}"


def measured(size: Size, seed: int) -> tuple[str, float]:
    """What planning a workroom of this size comes to, and its processor seconds."""
    from planner.files.reading import read_project
    from planner.planning import plan_project

    with TemporaryDirectory() as folder:
        began = process_time()
        project = read_project(write(Path(folder), size, seed))
        read = process_time() - began
    began = process_time()
    plan = plan_project(project, now=NOW)
    seconds = process_time() - began
    late = sum(len(o.late) for o in plan.occasions)
    return (
        f"{size.steps} steps over {size.days} days, seed {seed}: peak {plan.peak_load}, "
        f"bound {plan.lower_bound}, fits {plan.fits}, late {late}; written and read in "
        f"{read:.1f} s, planned in {seconds:.1f} s (allowed {size.seconds:.0f})",
        seconds,
    )


def main(arguments: Sequence[str]) -> int:
    """Plan, print; 1 where one takes too long. ``--profile`` shows where the time goes."""
    wanted = [int(word) for word in arguments if word.isdigit()]
    slow = False
    for size in SIZES:
        if wanted and size.steps not in wanted:
            continue
        profile = cProfile.Profile()
        for seed in (1, 2, 3) if size.steps <= 1_000 and "--profile" not in arguments else (1,):
            if "--profile" in arguments:
                profile.enable()
            line, seconds = measured(size, seed)
            profile.disable()
            print(line, flush=True)
            slow = slow or seconds > size.seconds
        if "--profile" in arguments:
            pstats.Stats(profile).sort_stats("cumulative").print_stats(45)
    return int(slow)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
