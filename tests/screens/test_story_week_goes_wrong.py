"""A week goes wrong: two evenings logged, three lost, the cloth late, the fitting moved.

Only keys are pressed, and time goes by. At each station the screen says what moved and what is to
be done tonight. What was planned is held on to from one opening of the program to the next.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from planner.files.reading import read_project
from screens.app import Wearby
from tests.screens.driving import Driven
from tests.screens.workrooms import a_copy

WEEK = Path("tests/screens/a_week")


@dataclass
class Clock:
    """The clock on the wall."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now


class Evening:
    """The program while it is open, and the clock beside it."""

    def __init__(self, driven: Driven, clock: Clock) -> None:
        self.driven = driven
        self.clock = clock

    async def press(self, *keys: str) -> None:
        """Press keys, and wait until they have had their effect."""
        await self.driven.press(*keys)

    async def until(self, now: datetime) -> None:
        """Time goes by; the program looks at the clock, as it does every other second."""
        self.clock.now = now
        self.driven.app.look()
        await self.driven.settle()

    def shows(self, pattern: str) -> bool:
        """Whether the screen says this, wherever its lines end."""
        return re.search(pattern, " ".join(" ".join(self.driven.text()).split())) is not None


def _open(path: Path, now: datetime, body: Callable[[Evening], Awaitable[None]]) -> None:
    """Open the program as the command line does, and live an evening in it."""

    async def run() -> None:
        clock = Clock(now)
        app = Wearby(path, clock)
        app.keeps = app.keeps_edited = True
        async with app.run_test(size=(80, 24)) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            await body(Evening(driven, clock))
            await driven.settle()

    asyncio.run(run())


async def _monday_to_wednesday(it: Evening) -> None:
    """The plan, two evenings by it, and one on which nothing is done."""
    # Monday: it fits, and tonight is known
    assert it.shows("Fits: .*This evening: 54 min in the workroom: “mock-up” [(]Bodice[)]")
    it.clock.now = datetime(2027, 5, 10, 21, 10)
    await it.press("space", "5", "4", "enter")
    assert it.shows("54 min of “mock-up” [(]Bodice[)] logged")
    assert it.shows("Nothing today; tomorrow, 1 h 03 in the workroom: “mock-up”")

    # Tuesday: what was planned was done, so nothing has moved
    await it.until(datetime(2027, 5, 11, 18))
    await it.press("t")
    assert it.shows("Fits: .*This evening: 1 h 03 in the workroom: “mock-up” [(]Bodice[)]")
    assert not it.shows("→ Bodice")
    it.clock.now = datetime(2027, 5, 11, 21, 10)
    await it.press("space", "6", "3", "enter")
    assert it.shows("1 h 03 of “mock-up” [(]Bodice[)] logged")

    # Wednesday: nothing done tonight, three keys; first what that would move
    await it.until(datetime(2027, 5, 12, 20))
    await it.press("d", "1")
    assert it.shows("2 h of hours today are lost")
    assert it.shows("Then .*Fits: .* at 100 %")
    assert it.shows("Today nothing; tomorrow, 1 h 30 in the workroom and 1 h on the sofa")
    assert it.shows("Moves 2 steps go to other days")
    assert it.shows("m mock-up [(]Bodice[)] Wed 12 May → Thu 13 May")
    assert it.shows("h fell the lining [(]Bodice[)] Thu 13 May → Fri 14 May")
    await it.press("enter")
    assert it.shows("Nothing done tonight. Worse than before")
    assert it.shows("Nothing today; tomorrow, 1 h 30 in the workroom and 1 h on the sofa")
    await it.press("t", "down")
    assert it.shows("m →mock-up Bodice; was today")


async def _saturday(it: Evening) -> None:
    """Opened again after two more evenings went by: what was lost; the cloth is late, too, and
    the fitting moves."""
    assert it.shows("Does not fit: 3 h 03 short before the Bodice fitting with Ambrin")
    assert it.shows("Since Wednesday 12 May: .*moved later, 4 h 33 planned and not done")
    assert it.shows("Newly short before the Bodice fitting with Ambrin: 3 h 03")
    assert it.shows("Today: 6 h 03, over 3 h 03; at 14:00 Bodice fitting with Ambrin")

    # the cloth was due on Wednesday, and comes next Wednesday instead
    await it.press("d", "3", *"19", "space", *"May")
    assert it.shows("comes on: 19 May It comes on Wednesday 19 May; it was due on Wednesday 12 May")
    assert it.shows("Then .*Does not fit: 3 h 03 short before the Bodice fitting with Ambrin")
    assert it.shows("Moves 2 steps go to other days")
    assert it.shows("c cut the panels [(]Skirt[)] Mon 17 May → Wed 19 May “plum wool” comes on Wed")
    await it.press("enter")
    assert it.shows("3 m of plum wool now due on Wednesday 19 May. Two steps move")
    assert it.shows("Today: 6 h 03, over 3 h 03; at 14:00 Bodice fitting with Ambrin")

    # Ambrin can come on Sunday instead: it fits again, and today is for the work before it
    await it.press("d", "4", "enter")
    assert it.shows("Bodice fitting with Ambrin, moves to: Sunday 16 May")
    assert it.shows("Then .*Fits: today is fullest, at 100 %")
    assert it.shows("Today 5 h 43 in the workroom from 10:00: Bodice and Linen shift")
    assert it.shows("Short no longer before the Bodice fitting with Ambrin")
    assert it.shows("f fit over the shift [(]Bodice[)] Sat 15 May → Sun 16 May it is done at the")
    await it.press("enter")
    assert it.shows("Bodice fitting with Ambrin moved to tomorrow, 14:00. Now it fits;")
    assert it.shows("Today: 5 h 43 in the workroom from 10:00")
    await it.press("ctrl+z")
    assert it.shows("Undone: Bodice fitting with Ambrin moved to tomorrow")
    await it.press("ctrl+y")
    assert it.shows("Fits: today is fullest, at 100 %")


def test_a_week_that_goes_wrong(tmp_path: Path) -> None:
    """Each station is said, each is one edit, and all of it is in the files."""
    path = a_copy(tmp_path, WEEK)
    _open(path, datetime(2027, 5, 10, 18), _monday_to_wednesday)
    held = read_project(path).kept
    assert held.as_of == datetime(2027, 5, 12, 20)
    assert ("lantern/bodice/mock-up", 63) in held.hours[0].planned
    _open(path, datetime(2027, 5, 15, 9), _saturday)
    project = read_project(path)
    assert [entry.minutes for entry in project.diary.entries] == [54, 63]
    (lost,) = project.workroom.changes
    assert (lost.first, lost.reason) == (date(2027, 5, 12), "nothing done")
    assert project.ensembles[0].stock[0].coming[0].arrives == date(2027, 5, 19)
    assert project.ensembles[0].occasions[0].at == datetime(2027, 5, 16, 14)
    assert project.kept.as_of == datetime(2027, 5, 15, 9)
