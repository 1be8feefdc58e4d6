"""A maker who does exactly what the plan says: ``python -m tests.bench.exactly [DAYS] [SEEDS]``.

Day by day the sittings of the plan are logged as they stand in it, the plan is kept, and made
again from the next midnight. Nothing may move on any later day. Prints the workrooms in which
something does, with what.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from planner.files.reading import read_project
from planner.kept import kept_of
from planner.model import Diary, Entry, Project
from planner.plan import Plan
from planner.planning import plan_project
from tests.independent import random_workrooms
from tests.oracle import workrooms
from tests.oracle.drawn import NOW as DRAWN_NOW

Planned = dict[tuple[str, date], int]


def planned(plan: Plan, since: date) -> Planned:
    """Minutes by step and day from a day on; what is done at occasions has its own time."""
    found: Planned = {}
    for sitting in plan.sittings:
        if sitting.window is not None and sitting.date >= since:
            key = (sitting.step, sitting.date)
            found[key] = found.get(key, 0) + sitting.minutes
    return found


def done_on(project: Project, plan: Plan, day: date) -> Project:
    """The project with a day's sittings logged as they stand in the plan."""
    left = {step.id: step.left for step in plan.steps}
    entries = []
    for sitting in plan.sittings:
        if sitting.window is None or sitting.date != day:
            continue
        left[sitting.step] -= sitting.minutes
        end = sitting.end or datetime.combine(day, time(23, 59))
        entries.append(
            Entry(
                at=min(end, datetime.combine(day, time(23, 59))),
                step=sitting.step,
                minutes=sitting.minutes,
                done=left[sitting.step] <= 0,
            )
        )
    diary = Diary(entries=(*project.diary.entries, *entries), file=project.diary.file)
    return replace(project, diary=diary)


def moves(project: Project, now: datetime, days: int) -> Iterator[tuple[date, str, int]]:
    """(evening, step, minutes) of all that moves, over some days."""
    plan = plan_project(project, now, thorough=False)
    for _ in range(days):
        worked = [s.date for s in plan.sittings if s.window is not None]
        if not worked:
            return
        evening = min(worked)
        project = replace(done_on(project, plan, evening), kept=kept_of(plan, project))
        then = datetime.combine(evening + timedelta(days=1), time())
        before = planned(plan, then.date())
        plan = plan_project(project, then, thorough=False)
        for step, minutes in _moved(before, planned(plan, then.date())):
            yield evening, step, minutes


def _moved(before: Planned, after: Planned) -> Iterator[tuple[str, int]]:
    """Steps that leave a day, and with how many minutes.

    The diary may teach another pace on the way, and a step that is begun has at least five
    minutes left: minutes that come with a longer estimate, or go with a shorter one, didn't move.
    """
    gone: dict[str, int] = {}
    shorter: dict[str, int] = {}
    for step, day in before.keys() | after.keys():
        less = before.get((step, day), 0) - after.get((step, day), 0)
        gone[step] = gone.get(step, 0) + max(0, less)
        shorter[step] = shorter.get(step, 0) + less
    for step in sorted(gone):
        minutes = gone[step] - max(0, shorter[step])
        if minutes:
            yield step, minutes


def project_of(seed: int, folder: Path) -> tuple[Project, datetime]:
    """The workroom of a seed: positive with every feature, negative one of the oracle's."""
    if seed < 0:
        return read_project(workrooms.write(folder, -seed)), DRAWN_NOW
    random_workrooms.write_workroom(folder, seed)
    return read_project(folder), random_workrooms.NOW


def main(words: Sequence[str]) -> int:
    """Simulate, and print."""
    days = int(words[0]) if words else 6
    seeds = [int(w) for w in words[1:]] or [*range(1, 101), *(-s for s in range(1, 101))]
    wrong = 0
    for seed in seeds:
        with TemporaryDirectory() as folder:
            found = list(moves(*project_of(seed, Path(folder)), days))
        wrong += bool(found)
        if found:
            evening, step, minutes = found[0]
            told = f"{seed:5}: after {evening}: {step} by {minutes} min; {len(found)} in all"
            print(told, flush=True)
    print(f"{len(seeds)} workrooms, {days} days each: in {wrong} something moved")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
