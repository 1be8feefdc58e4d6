"""Killed while it saves: a program that logs and edits without pause, ended at random moments.

    python -m tests.bench.killed [TIMES]

Each time a process of its own says over a pipe what was accepted, after ``Session.apply`` came
back; SIGKILL ends it at a random moment. Then every file must be readable, and every accepted
entry and edit be there. The workroom isn't made anew each time: what one program leaves behind,
the next one finds. A thousand take about three minutes.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from planner.editing.diary import log
from planner.files.reading import read_project
from planner.model import Entry, Project
from planner.problems import InputError
from screens.session import Session

FOLDER = Path("tests/screens/a_workroom")
STEP = "ferrywoman/stays/cut"
NOW = datetime(2027, 5, 3, 19, 40)
LONGEST = 0.25
"""Seconds till the kill, at most; a save takes a few milliseconds."""
AFRESH = 50
"""Kills after which a new workroom is taken: in a diary of thousands a save takes longer."""
EVERY_EDIT = 3
"""Every third save changes two files at once: the ensemble's and the diary."""


@dataclass(slots=True, kw_only=True)
class Counted:
    """What came of many kills."""

    kills: int = 0
    accepted: int = 0
    """Saves that came back."""
    lost: int = 0
    """Accepted ones of which a word wasn't there afterwards."""
    unreadable: int = 0
    """Kills after which a file couldn't be read."""
    unsaid: int = 0
    """Saves that were made, and whose program was killed before it could say so."""
    half: int = 0
    """Of these, with one file of two."""


def main(words: Sequence[str]) -> int:
    """Kill as often as asked, and print what came of it."""
    kills = int(words[0]) if words else 1000
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        found = kill_often(Path(folder) / "workroom", kills, seed=5)
    print(
        f"killed {found.kills} times in {time.monotonic() - begun:.0f} s, {found.accepted} saves "
        f"accepted: {found.lost} lost, {found.unreadable} times a file unreadable; "
        f"{found.unsaid} made but not told any more, {found.half} of them with one file of two"
    )
    return 1 if found.lost or found.unreadable else 0


def kill_often(folder: Path, kills: int, *, seed: int) -> Counted:
    """Run and kill a program on a workroom at ``folder``, again and again."""
    rng = random.Random(seed)
    found = Counted()
    known: set[int] = set()
    named = 0
    for number in range(kills):
        if number % AFRESH == 0:
            shutil.rmtree(folder, ignore_errors=True)
            shutil.copytree(FOLDER, folder)
            known, named = set(), 0
        accepted = _killed(folder, rng.uniform(0.0, LONGEST), first=(number + 1) * 10_000)
        found.kills += 1
        found.accepted += len(accepted)
        known |= set(accepted)
        named = max([named, *(one for one in accepted if one % EVERY_EDIT == 0)])
        try:
            # the next program finishes what the last one was killed amid
            session = Session(folder, lambda: NOW)
            session.open_for_writing()
            session.close()
            project = read_project(folder)
            for file in folder.glob("*.toml"):
                tomllib.loads(file.read_text(encoding="utf-8"))
        except (InputError, OSError, ValueError) as error:
            print(f"kill {number}: {error}", file=sys.stderr)
            found.unreadable += 1
            continue
        there = {int(one.note) for one in project.diary.entries}
        name = _name(project)
        found.lost += len(known - there) + (name < named)
        found.unsaid += len((there | {name}) - known - {0})
        found.half += (name != 0 and name not in there) + any(
            one > name for one in there if one % EVERY_EDIT == 0
        )
        known |= there
        named = max(named, name)
    return found


def _killed(folder: Path, after: float, *, first: int) -> list[int]:
    """What a program accepted that was killed after so many seconds."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.close(read)
        _save_on(folder, first, lambda number: os.write(write, b"%d\n" % number))
    os.close(write)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with open(read, "rb") as pipe:
        return [int(line) for line in pipe.read().split(b"\n")[:-1]]


def _save_on(folder: Path, first: int, say: Callable[[int], object]) -> None:
    """Save and say so, for ever."""
    try:
        session = Session(folder, lambda: NOW)
        session.open_for_writing()
        number = first
        while True:
            session.apply(f"number {number}", _change(number))
            say(number)
            number += 1
    finally:
        os._exit(1)  # not a word of the parent's is to be written


def _change(number: int) -> Callable[[Project], Project]:
    def change(project: Project) -> Project:
        logged = log(project, [Entry(at=NOW, step=STEP, minutes=1, note=str(number))])
        if number % EVERY_EDIT:
            return logged
        first, *rest = logged.ensembles
        return replace(logged, ensembles=(replace(first, name=f"Clothes {number}"), *rest))

    return change


def _name(project: Project) -> int:
    """The number of the last edit of the ensemble; 0: none yet."""
    last = project.ensembles[0].name.rpartition(" ")[2]
    return int(last) if last.isdigit() else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
