"""Check the plans of many random workrooms: ``python -m tests.independent.run_validity``.

Prints how many fit, don't or are undecided, faults by kind with examples, and how many of those
that don't fit by hours alone have a proven tight spot. Exit status 1 where there is any fault.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.independent.checker import faults
from tests.independent.random_workrooms import NOW, write_workroom


def plan_of(folder: Path) -> dict[str, Any]:
    """The plan of a folder at ``NOW`` as JSON values, by the program under test."""
    from planner.exports.as_json import plan_as_json
    from planner.files.reading import read_project
    from planner.planning import plan_project

    return dict(plan_as_json(plan_project(read_project(folder), now=NOW)))


@dataclass
class Tally:
    """What was found over many seeds."""

    fits: Counter[str] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    examples: dict[str, list[str]] = field(default_factory=dict)
    crashed: list[int] = field(default_factory=list)
    faulty: int = 0
    by_hours: int = 0
    proven: int = 0
    slowest: tuple[float, int] = (0.0, 0)

    def add(self, seed: int, plan: dict[str, Any], found: list[str]) -> None:
        """Count one plan."""
        self.fits[str(plan["fits"])] += 1
        late = any(n["kind"] == "late" for s in plan["steps"] for n in s["notes"])
        if plan["fits"] is not True and not late and not plan["unplaced"]:
            self.by_hours += 1
            self.proven += bool(plan["tight_spot"] and plan["tight_spot"]["proven"])
        self.faulty += bool(found)
        for fault in found:
            kind = fault.partition(":")[0]
            self.kinds[kind] += 1
            self.examples.setdefault(kind, []).append(f"seed {seed}: {fault}")

    def lines(self, examples: int) -> list[str]:
        """The tally in words."""
        total = sum(self.fits.values())
        some = [
            f"{total} plans: " + ", ".join(f"fits {k} {n}" for k, n in self.fits.items()),
            f"with faults: {self.faulty}; crashed: {len(self.crashed)} {self.crashed[:10]}",
            f"not fitting by hours alone: {self.by_hours}, of these proven: {self.proven}",
            f"slowest plan: {self.slowest[0]:.1f} s (seed {self.slowest[1]})",
        ]
        for kind, count in self.kinds.most_common():
            some.append(f"{kind}: {count}")
            some += [f"    {line}" for line in self.examples[kind][:examples]]
        return some


def run(seeds: Sequence[int]) -> Tally:
    """Plan and check each seed."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as root:
        for seed in seeds:
            folder = Path(root) / str(seed)
            write_workroom(folder, seed)
            begun = time.perf_counter()
            try:
                plan = plan_of(folder)
            except Exception as error:
                tally.crashed.append(seed)
                last = traceback.format_exception_only(error)[-1].strip()
                tally.kinds["crash"] += 1
                tally.examples.setdefault("crash", []).append(f"seed {seed}: {last}")
                continue
            tally.slowest = max(tally.slowest, (time.perf_counter() - begun, seed))
            tally.add(seed, plan, faults(folder, plan))
    return tally


def main(words: Sequence[str] | None = None) -> int:
    """Read the options, run, print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seeds", type=int, default=100, help="how many seeds")
    options.add_argument("--first", type=int, default=0, help="the first seed")
    options.add_argument("--examples", type=int, default=3, help="examples of each kind of fault")
    given = options.parse_args(words)
    tally = run(range(given.first, given.first + given.seeds))
    print("\n".join(tally.lines(given.examples)))
    return 1 if tally.faulty or tally.crashed else 0


if __name__ == "__main__":
    sys.exit(main())
