"""How soon a key is on the screen: ``python -m tests.bench.keys [SCREEN ...]``.

The whole program in a pseudo terminal, on the largest sample and on a workroom of a thousand
steps. On every screen, and in what it opens beneath its list, the keys that move; and each way
between screens. Told are milliseconds from the key to the last thing that is drawn for it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import sleep

from screens.registry import SCREENS, Registered
from tests.bench.first_paint import DAY, SAMPLE, verdict
from tests.bench.large import SIZES, write
from tests.bench.terminal import Terminal
from tests.oracle.drawn import NOW

SILENCE = 0.25
"""Seconds after which nothing more is drawn for a key."""
MOVES = ("down", "down", "down", "pagedown", "down", "up", "pageup", "end", "up", "home", "down")
TIMES = 2
"""How often the keys are pressed through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A workroom, and what is allowed on it."""

    name: str
    path: Path
    day: str
    allowed: float
    """Milliseconds."""


@dataclass(slots=True)
class Figures:
    """Milliseconds of one sort of key on one screen."""

    what: str
    pressed: list[float] = field(default_factory=list)
    mute: int = 0
    """Keys for which nothing was drawn: the cursor stood at an end."""

    def note(self, seconds: float | None) -> None:
        """One key more."""
        if seconds is None:
            self.mute += 1
        else:
            self.pressed.append(seconds * 1000)

    @property
    def middle(self) -> float:
        """The median."""
        return median(self.pressed) if self.pressed else 0.0

    def told(self, allowed: float) -> str:
        """One line."""
        if not self.pressed:
            return f"  {self.what:<34}nothing is drawn for {self.mute} keys"
        late = "  TOO LATE" if self.middle > allowed else ""
        return (
            f"  {self.what:<34}{self.middle:>5.0f} ms in the middle, {max(self.pressed):>5.0f} at"
            f" most, {len(self.pressed)} keys{late}"
        )


def measured(
    terminal: Terminal, one: Registered, others: Sequence[Registered]
) -> Iterator[Figures]:
    """The keys of one screen: to it the first time and again, in its list, in what it opens."""
    home = next(other for other in others if other is not one)
    yield _to(terminal, one, "the first time")
    moves = Figures(f"{one.name}: up and down")
    for key in MOVES * TIMES:
        moves.note(terminal.press(key, SILENCE))
    yield moves
    opened = Figures(f"{one.name}: up and down, opened")
    terminal.press("home", SILENCE)
    terminal.press("enter", SILENCE)
    for key in MOVES:
        opened.note(terminal.press(key, SILENCE))
    terminal.press("escape", SILENCE * 2)
    yield opened
    again = Figures(f"{one.name}: gone to again")
    for _ in range(3):
        terminal.press(home.key, SILENCE)
        again.note(terminal.press(one.key, SILENCE))
    yield again


def _to(terminal: Terminal, one: Registered, when: str) -> Figures:
    figures = Figures(f"{one.name}: gone to {when}")
    figures.note(terminal.press(one.key, SILENCE))
    return figures


def run(case: Case, wanted: Sequence[str]) -> bool:
    """Measure a workroom's screens; whether all kept to what is allowed."""
    print(f"{case.name}, allowed {case.allowed:.0f} ms:", flush=True)
    terminal = Terminal(["-m", "screens.command", str(case.path), "--today", case.day])
    kept = True
    try:
        terminal.wait_for(verdict(case.path, case.day))
        sleep(4.0)  # the other screens are made ready meanwhile
        terminal.rest(1.0)  # the thorough plan follows the quick one
        for one in SCREENS:
            if wanted and one.name not in wanted:
                continue
            for figures in measured(terminal, one, SCREENS):
                print(figures.told(case.allowed), flush=True)
                kept = kept and figures.middle <= case.allowed
    finally:
        terminal.close()
    return kept


def main(arguments: Sequence[str]) -> int:
    """Measure both workrooms; 1 where a key took too long."""
    with TemporaryDirectory() as folder:
        large = write(Path(folder), SIZES[0], 1)
        cases = (
            Case(name="the largest sample", path=SAMPLE, day=DAY, allowed=50),
            Case(name=f"{SIZES[0].steps} steps", path=large, day=f"{NOW:%Y-%m-%d}", allowed=150),
        )
        kept = [run(case, arguments) for case in cases]  # also the second where the first fails
        return int(not all(kept))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
