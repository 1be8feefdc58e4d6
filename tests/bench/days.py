"""How soon a key of the Run-up is on the screen: ``python -m tests.bench.days``.

Opens the program on the largest sample and on a workroom of a thousand steps, and goes through
days and steps, opens reasons, and looks at one ensemble alone. Told are the milliseconds from a
key until all that comes of it is drawn.
"""

from __future__ import annotations

import asyncio
import sys
from datetime import datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.bench.large import SIZES, write
from tests.bench.repaint import most
from tests.oracle.drawn import NOW as LARGE_NOW
from tests.screens.driving import Driven, drive

SAMPLE = Path("sample_projects/hallow_skerry")
SAMPLE_NOW = datetime(2027, 8, 30)
KEYS = (
    *["down"] * 20, *["pagedown", "pageup"] * 3, *["up"] * 10, "home", "end", "t",
    *["down"] * 3, "enter", *["down", "enter"] * 5, "escape", "escape", *["v"] * 3, "t",
)  # fmt: skip
ALLOWED = {"largest sample": 50.0, "1,000 steps": 150.0}
"""Milliseconds within which 95 % of the keys are drawn."""


def times(path: Path, now: datetime) -> list[float]:
    """Milliseconds from each key until nothing is left to be drawn."""
    found: list[float] = []

    async def body(driven: Driven) -> None:
        for key in KEYS:
            began = perf_counter()
            driven.send(key)
            await driven.take_in()
            found.append((perf_counter() - began) * 1000)
            await asyncio.sleep(0)

    drive(body, (120, 40), path, now)
    return found


def main() -> int:
    """Measure both; 1 where 95 % of the keys took longer than is allowed."""
    slow = False
    with TemporaryDirectory() as folder:
        large = write(Path(folder), SIZES[0], 1)
        cases = zip(ALLOWED, ((SAMPLE, SAMPLE_NOW), (large, LARGE_NOW)), strict=True)
        for name, (path, now) in cases:
            found = times(path, now)
            slow = slow or most(found) > ALLOWED[name]
            print(
                f"{name}: {len(found)} keys, median {median(found):.0f} ms, 95 % within"
                f" {most(found):.0f} ms, the slowest {max(found):.0f} ms"
                f" (allowed {ALLOWED[name]:.0f})",
                flush=True,
            )
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
