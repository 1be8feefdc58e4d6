"""How soon the first picture is there: ``python -m tests.bench.first_paint [RUNS]``.

A whole process in a pseudo terminal, from its beginning till the verdict of the largest sample is
drawn, against an empty Textual program from its beginning till its one word is drawn.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from planner.files.reading import read_project
from planner.planning import plan_project
from screens.verdict import verdict_lines
from tests.bench.terminal import Terminal

SAMPLE = Path("sample_projects/hallow_skerry")
DAY = "2027-08-30"
RUNS = 10
ALLOWED = 0.35
"""Seconds later than the empty program's."""
EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("nothing")
Empty().run()
"""


def first(arguments: Sequence[str], text: str) -> tuple[float, float]:
    """Seconds till a program has drawn a text, by the clock and of the processor."""
    terminal = Terminal(arguments)
    try:
        return terminal.wait_for(text), terminal.spent
    finally:
        terminal.close()


def verdict(path: Path, day: str) -> str:
    """The beginning of the verdict that is to be drawn."""
    plan = plan_project(read_project(path), datetime.fromisoformat(day))
    return verdict_lines(plan, 118)[1][:30]


def main(arguments: Sequence[str]) -> int:
    """Measure both in turn; 1 where ours is too much later."""
    runs = next((int(word) for word in arguments if word.isdigit()), RUNS)
    with TemporaryDirectory() as folder:
        # the program keeps things beside the files it opens
        sample = Path(shutil.copytree(SAMPLE, Path(folder) / SAMPLE.name))
        told = verdict(sample, DAY)
        ours = ["-m", "screens.command", str(sample), "--today", DAY]
        first(ours, told)  # the files are in the disk's memory then
        pairs = [(first(["-c", EMPTY], "nothing"), first(ours, told)) for _ in range(runs)]
    empty, wearby = (median(one[k][0] for one in pairs) for k in (0, 1))
    spent, by_us = (median(one[k][1] for one in pairs) for k in (0, 1))
    later = wearby - empty
    print(
        f"first paint, median of {runs}: empty program {empty:.2f} s, with the verdict"
        f" {wearby:.2f} s: {later:.2f} s later (allowed {ALLOWED:.2f}); of the processor"
        f" {spent:.2f} s and {by_us:.2f} s"
    )
    return int(later > ALLOWED)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
