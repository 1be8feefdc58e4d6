"""How long it takes to tell what moved: ``python -m tests.bench.moved``.

The pageant's wardrobes of ``large`` with a plan kept, three lost days later: holding on to that
plan (little moves), and spread out afresh (much does).
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from planner.files.plans_behind import planned_behind, remember_plan
from planner.files.reading import read_project
from planner.ground import lay_ground
from planner.kept import kept_of
from planner.planning import plan_project
from planner.replan import what_moves
from tests.bench.large import SIZES, Size, write
from tests.oracle.drawn import NOW

LATER = NOW + timedelta(days=3)


def measured(folder: Path, size: Size) -> list[str]:
    """Seconds for a workroom of a size, as lines."""
    project = read_project(write(folder, size, 1))
    kept = kept_of(plan_project(project, NOW, thorough=False))
    found = []
    for told, of in (("held", replace(project, kept=kept)), ("afresh", project)):
        plan = plan_project(of, LATER, thorough=False)
        begun = process_time()
        lay_ground(of, LATER)
        ground = process_time() - begun
        begun = process_time()
        moved = what_moves(kept, plan, of)
        seconds = process_time() - begun
        causes = ", ".join(
            f"{cause} {n}" for cause, n in Counter(s.why.cause for s in moved.steps).items()
        )
        found.append(
            f"{size.steps} steps, {told}: {len(moved.steps)} moved in {seconds:.2f} s, of these"
            f" {ground:.2f} s for the ground; {causes}"
        )
    begun = process_time()
    remember_plan(folder, kept, NOW)
    planned_behind(folder, NOW.date(), LATER)
    found.append(f"{size.steps} steps: remembered, read again in {process_time() - begun:.3f} s")
    return found


def main() -> None:
    """Print what was measured."""
    for size in SIZES:
        with TemporaryDirectory() as folder:
            print("\n".join(measured(Path(folder), size)))


if __name__ == "__main__":
    main()
