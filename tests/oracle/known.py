"""What is known of the drawn workrooms, and what the planner makes of one."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import cache
from pathlib import Path
from time import process_time

from planner.plan import Plan
from tests.oracle import workrooms
from tests.oracle.drawn import NOW

HERE = Path(__file__).parent
CLOSE = 0.005
"""How far above the least peak still counts as equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A line of the results."""

    seed: int
    steps: int
    kind: str
    optimum: Fraction
    """The least peak where proven, else the best known."""
    bound: Fraction
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Hard:
    """A workroom on which one plain sweep is far from the least peak."""

    seed: int
    optimum: Fraction
    plain: Fraction


@cache
def results() -> Mapping[int, Known]:
    """The committed results, by seed."""
    found = {}
    for line in (HERE / "results.jsonl").read_text(encoding="utf-8").splitlines():
        raw = json.loads(line)
        found[raw["seed"]] = Known(
            seed=raw["seed"],
            steps=raw["steps"],
            kind=raw["kind"],
            optimum=Fraction(raw["optimum"]),
            bound=Fraction(raw["bound"]),
            proven=raw["proven"],
        )
    return found


@cache
def hard_ten() -> tuple[Hard, ...]:
    """The ten, as committed."""
    lines = (HERE / "hard_ten.txt").read_text(encoding="utf-8").splitlines()
    rows = [line.split() for line in lines if not line.startswith("#")]
    return tuple(Hard(seed=int(s), optimum=Fraction(o), plain=Fraction(p)) for s, o, p in rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The planner's answer and the processor seconds it took, reading not counted."""

    plan: Plan
    seconds: float


def planned(folder: Path, seed: int, now: datetime = NOW) -> Planned:
    """Write the workroom of a seed into the folder, read it and plan it."""
    from planner.files.reading import read_project
    from planner.planning import plan_project

    project = read_project(workrooms.write(folder, seed))
    began = process_time()
    plan = plan_project(project, now=now)
    return Planned(plan=plan, seconds=process_time() - began)
