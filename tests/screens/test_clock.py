"""The clock on the screens: sat down to, told beneath the verdict, put down, found again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from planner.editing import rename_step
from planner.files.clock_running import clock_file, read_clock, write_clock
from planner.files.reading import read_project
from planner.sitting_down import SatDown
from screens.clock_told import Choice, choices, proposed, sitting_line
from screens.dialogs.put_down import PutDown
from screens.wording import cells
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy, state_of

TUESDAY = datetime(2027, 5, 4, 19, 42)


class Wall:
    """A clock on the wall that a test moves on."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def driven_by(wall: Wall, path: Path, body: Callable[[Driven], object]) -> None:
    """Drive with a clock that moves; every look at the files is as it would be then."""

    async def run(driven: Driven) -> None:
        driven.app.clock = wall
        driven.app.session.clock = wall
        await body(driven)  # type: ignore[misc]  # a coroutine

    drive(run, path=path, now=wall.now)


def tonight(path: Path) -> str:
    """The first step of that evening."""
    return state_of(path, TUESDAY).plan.sittings[0].step


def test_a_sitting_is_written_at_once_and_logged_when_put_down(tmp_path: Path) -> None:
    """k sits down, k and enter put down; what is left stays empty; one edit, undone by one."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)
    step = tonight(path)

    async def body(driven: Driven) -> None:
        await driven.press("k")
        assert read_clock(path) == SatDown(step=step, since=TUESDAY)
        assert driven.shows("Sitting at “") and driven.shows("since 19:42, 0:00.")
        wall.now += timedelta(minutes=23)
        driven.app.sitting.look()
        await driven.settle()
        assert driven.shows("since 19:42, 0:23.")
        # on every screen
        await driven.press("s")
        assert driven.shows("since 19:42, 0:23.")
        await driven.press("u", "k")
        assert driven.screen == "PutDown" and driven.shows("logs 23 min")
        await driven.press("enter", "enter")
        assert driven.screen == "RunUp" and not clock_file(path).exists()
        assert not driven.shows("Sitting at")
        (entry,) = read_project(path).diary.entries
        assert (entry.step, entry.minutes, entry.at) == (step, 23, wall.now)
        assert not entry.done and entry.left is None
        await driven.press("ctrl+z")
        assert not read_project(path).diary.entries

    driven_by(wall, path, body)


def said(driven: Driven) -> str:
    """The screen as one line, for what goes on in the next one."""
    return " ".join(" ".join(driven.text()).split())


def test_taking_back_that_it_was_put_down_lets_the_clock_run_again(tmp_path: Path) -> None:
    """From when it began, and that is said; done again it stops; not beside another clock."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)
    sat = SatDown(step=tonight(path), since=TUESDAY)

    async def body(driven: Driven) -> None:
        await driven.press("k")
        wall.now += timedelta(minutes=35)
        await driven.press("k", "enter", "enter")
        assert read_clock(path) is None
        await driven.press("ctrl+z")
        assert not read_project(path).diary.entries and read_clock(path) == sat
        assert "Its clock runs on, since 19:42." in said(driven)
        assert driven.shows("since 19:42, 0:35.")
        await driven.press("ctrl+y")
        assert read_project(path).diary.entries[-1].minutes == 35 and read_clock(path) is None
        assert "Its clock has stopped again." in said(driven)
        await driven.press("down", "down", "k")
        other = read_clock(path)
        assert other is not None
        await driven.press("ctrl+z")
        assert not read_project(path).diary.entries and read_clock(path) == other
        assert "The clock runs on for “" in said(driven)

    driven_by(wall, path, body)


def test_done_other_minutes_and_what_is_left(tmp_path: Path) -> None:
    """Each choice logs what it says."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)

    async def body(driven: Driven) -> None:
        await driven.press("k")
        wall.now += timedelta(minutes=30)
        await driven.press("k", "down", "enter")
        assert read_project(path).diary.entries[-1].done
        await driven.press("k")
        wall.now += timedelta(minutes=30)
        await driven.press("k", "down", "down", "down", "enter", *"2", "0", "enter")
        assert driven.shows("logs 20 min")
        await driven.press("enter", *"15", "enter")
        entry = read_project(path).diary.entries[-1]
        assert (entry.minutes, entry.left, entry.done) == (20, 15, False)
        # it ended when it must have
        assert entry.at == datetime(2027, 5, 4, 20, 32)

    driven_by(wall, path, body)


def test_go_on_and_throw_away(tmp_path: Path) -> None:
    """The clock runs on, or stops with nothing logged."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)

    async def body(driven: Driven) -> None:
        await driven.press("k")
        wall.now += timedelta(minutes=5)
        await driven.press("k", "escape")
        assert read_clock(path) is not None
        await driven.press("k", "end", "enter")
        assert read_clock(path) is None and not read_project(path).diary.entries

    driven_by(wall, path, body)


def test_another_start_finds_it_and_asks_for_how_long(tmp_path: Path) -> None:
    """Killed, and started the next morning: it can't have been so long; the evening is proposed."""
    path = a_copy(tmp_path)
    step = tonight(path)
    write_clock(path, SatDown(step=step, since=TUESDAY))

    async def body(driven: Driven) -> None:
        assert driven.shows("k asks how long.")
        await driven.press("k")
        dialog = driven.app.screen
        assert isinstance(dialog, PutDown) and dialog.line.asking
        assert driven.shows("Proposed: till the end of your hours.")
        proposal = dialog.line.text.value
        await driven.press("enter", "enter", "enter")
        (entry,) = read_project(path).diary.entries
        assert f"{entry.minutes // 60}:{entry.minutes % 60:02}" == proposal
        assert entry.at.date() == TUESDAY.date()

    drive(body, path=path, now=datetime(2027, 5, 5, 8))


def test_what_was_logged_before_the_kill_is_not_logged_twice(tmp_path: Path) -> None:
    """The diary has it: the clock stands still; the diary hasn't: it runs on."""
    path = a_copy(tmp_path)
    step = tonight(path)
    at = TUESDAY + timedelta(minutes=20)
    write_clock(path, SatDown(step=step, since=TUESDAY, logging=at))
    driven: list[bool] = []

    async def body(held: Driven) -> None:
        driven.append(held.shows("Sitting at"))

    drive(body, path=path, now=at + timedelta(minutes=1))
    text = f'format = 1\n[[entry]]\nat = {at.isoformat()}\nstep = "{step}"\nminutes = 20\n'
    (path / "diary.toml").write_text(text)
    drive(body, path=path, now=at + timedelta(minutes=1))
    assert driven == [True, False] and not clock_file(path).exists()


def test_sitting_down_to_another_step_puts_the_first_down(tmp_path: Path) -> None:
    """At Now, with the cursor on another step: offered, logged, and the clock runs for that."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)

    async def body(driven: Driven) -> None:
        await driven.press("n", "k")
        first = read_clock(path)
        wall.now += timedelta(minutes=12)
        await driven.press("down", "k")
        dialog = driven.app.screen
        assert isinstance(dialog, PutDown) and dialog.instead is not None
        await driven.press("down", "down", "down", "enter")
        second = read_clock(path)
        assert first is not None and second is not None
        assert second == SatDown(step=dialog.instead, since=wall.now)
        assert [one.step for one in read_project(path).diary.entries] == [first.step]

    driven_by(wall, path, body)


def test_where_it_cannot_be_written_nothing_runs(tmp_path: Path) -> None:
    """A file where the folder should be: said, and nothing pretends to run."""
    path = a_copy(tmp_path)
    (path / ".wearby").write_text("")

    async def body(driven: Driven) -> None:
        await driven.press("k")
        assert driven.shows("The clock doesn't run:") and not driven.shows("Sitting at")

    drive(body, path=path, now=TUESDAY)


def test_a_broken_clock_is_told_and_stops_nothing(tmp_path: Path) -> None:
    """The plan is there; so is why the clock is not."""
    path = a_copy(tmp_path)
    clock_file(path).parent.mkdir()
    clock_file(path).write_text("step = ")

    async def body(driven: Driven) -> None:
        assert driven.app.state is not None
        assert driven.shows("The clock can't be read:")

    drive(body, path=path, now=TUESDAY)


def test_the_line_and_what_is_proposed() -> None:
    """Of another day the day is named; where it can't be so long, that is said."""
    plan = state_of(Path("tests/screens/a_workroom")).plan
    sat = SatDown(step=plan.steps[0].id, since=TUESDAY)
    assert sitting_line(plan, sat, TUESDAY + timedelta(hours=1), False).endswith("19:42, 1:00.")
    told = sitting_line(plan, sat, TUESDAY + timedelta(days=1), True)
    assert "since yesterday, 19:42" in told and "asks how long" in told
    long_ago = sitting_line(plan, sat, TUESDAY + timedelta(days=9), True)
    assert "since Tue 4 May, 19:42: k asks how long." in long_ago and cells(long_ago) <= 78
    assert proposed(sat, TUESDAY + timedelta(minutes=9), None) == 9


@pytest.mark.parametrize("minutes", [0, 25])
def test_choices_say_what_they_log(minutes: int) -> None:
    """Without minutes nothing can be put down; thrown away and gone on it always can."""
    plan = state_of(Path("tests/screens/a_workroom")).plan
    found = {one.choice for one in choices(plan, minutes, plan.steps[1].id)}
    assert {Choice.DONE, Choice.GO_ON, Choice.THROW_AWAY, Choice.OTHER_MINUTES} <= found
    assert (Choice.PUT_DOWN in found) is bool(minutes)
    assert (Choice.INSTEAD in found) is bool(minutes)


def test_a_step_renamed_beneath_the_clock_is_followed(tmp_path: Path) -> None:
    """Also when that is taken back: what is put down is logged of the step there is."""
    path, wall = a_copy(tmp_path), Wall(TUESDAY)
    step = tonight(path)
    above, _, own = step.rpartition("/")

    async def body(driven: Driven) -> None:
        await driven.press("k")
        driven.app.edit("renamed", lambda now: rename_step(now, step, "other-name"))
        await driven.settle()
        assert read_clock(path) == SatDown(step=f"{above}/other-name", since=TUESDAY)
        await driven.press("ctrl+z")
        assert read_clock(path) == SatDown(step=f"{above}/{own}", since=TUESDAY)
        wall.now += timedelta(minutes=9)
        await driven.press("k", "down", "enter")
        assert read_project(path).diary.entries[-1].step == step

    driven_by(wall, path, body)


def test_a_clock_on_the_wall_that_stands_still_asks_for_how_long(tmp_path: Path) -> None:
    """As when the plan is looked at from another day: no minute has passed, so it is asked."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("k", "k")
        assert driven.shows("Less than a minute by the clock")
        await driven.press(*"1h05", "enter")
        assert driven.shows("logs 1 h 05")
        await driven.press("escape")
        assert read_clock(path) is not None

    drive(body, path=path, now=TUESDAY)


def test_on_a_done_step_it_says_why_nobody_sits_down(tmp_path: Path) -> None:
    """k on what is done: that it is, and what opens it again."""
    path = a_copy(tmp_path)
    step = tonight(path)
    text = f'format = 1\n[[entry]]\nat = 2027-05-04T18:00:00\nstep = "{step}"\ndone = true\n'
    (path / "diary.toml").write_text(text)

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "k")
        assert driven.shows("is done already: f does it over.")
        assert read_clock(path) is None

    drive(body, path=path, now=TUESDAY)
