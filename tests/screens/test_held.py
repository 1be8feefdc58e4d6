"""Past occasions on the screen: told once, a row in the diary, asked what was done at them."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

from planner.editing.diary import log
from planner.files.reading import read_project
from planner.held import past_occasions
from planner.model import Entry
from planner.planning import plan_project
from screens.app import Wearby
from screens.command import main
from screens.dialogs.do_over import DoOverSheet
from screens.dialogs.held import HeldSheet
from screens.held_told import newly_held, newly_held_told, standing
from tests.planner.test_held import AFTER, FITTED, MOCK, fitted
from tests.screens.driving import Driven, drive
from tests.screens.test_clock import Wall

MORNING = datetime(2027, 5, 4, 9)
TOLD = "The pins counts as held: 2 steps are taken as done."


def moved_on(path: Path, body: Callable[[Driven, Wall], Awaitable[None]]) -> None:
    """The program, opened on the morning of the fitting."""

    async def run() -> None:
        wall = Wall(MORNING)
        app = Wearby(path, wall)
        async with app.run_test(size=(80, 24)) as pilot:
            driven = Driven(app, pilot)
            await driven.settle()
            await body(driven, wall)

    asyncio.run(run())


def told(driven: Driven) -> str:
    """All that is drawn, in one line."""
    return " ".join(" ".join(line.split()) for line in driven.text())


def test_it_is_said_once_that_an_occasion_counts_as_held(tmp_path: Path) -> None:
    """As soon as it is over, without a key; it stays on its line of the run-up today."""
    fitted(tmp_path)

    async def body(driven: Driven, wall: Wall) -> None:
        assert TOLD not in told(driven)
        wall.now = AFTER
        driven.app.look()
        await driven.settle()
        assert TOLD in told(driven) and "l says otherwise." in told(driven)
        assert "counts as held" in told(driven).split("l says otherwise.")[1]
        await driven.press("down")
        assert TOLD not in told(driven)
        wall.now += timedelta(minutes=1)
        driven.app.replan()
        await driven.settle()
        assert TOLD not in told(driven)

    moved_on(tmp_path, body)


def test_an_edit_isnt_credited_with_what_the_clock_did(tmp_path: Path) -> None:
    """An evening went by and the fitting counts as held: neither is what a log has done."""
    fitted(tmp_path)

    async def body(driven: Driven, wall: Wall) -> None:
        state = driven.app.state
        assert state is not None
        left = sum(one.left for one in state.plan.steps if one.wanted)
        wall.now = AFTER
        entry = Entry(at=AFTER, step="e/g/sew", minutes=10)
        driven.app.edit("ten minutes logged", partial(log, entries=[entry]))
        await driven.settle()
        state = driven.app.state
        assert state is not None and state.before is not None
        less = left - sum(one.left for one in state.plan.steps if one.wanted)
        assert less == 40  # 30 of the fitting, 10 logged
        assert "10 min less to do" in told(driven) and "40 min less" not in told(driven)
        assert TOLD in told(driven)

    moved_on(tmp_path, body)


def test_enter_on_its_row_asks_what_was_done(tmp_path: Path) -> None:
    """Minutes typed, a step taken back, kept as one edit; previewed before."""
    fitted(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("l", "down")
        assert driven.shows("pins, 14:00: counts as held, 2 steps with it")
        await driven.press("enter")
        assert isinstance(driven.app.screen, HeldSheet) and driven.shows("then:")
        await driven.press("2", "5", "enter", "down", "space")
        assert driven.shows("done, 0:25") and driven.shows("not done, 0:10 left")
        await driven.press("enter")
        entries = read_project(tmp_path).diary.entries[1:]
        assert [(e.step, e.minutes, e.done, e.left) for e in entries] == [
            ("e/g/fit", 25, True, None), ("e/g/hem", 0, False, 10),
        ]  # fmt: skip
        assert driven.shows("held, 1 step logged, 1 step open again")
        await driven.press("ctrl+z")
        assert len(read_project(tmp_path).diary.entries) == 1

    drive(body, path=tmp_path, now=AFTER)


def test_it_wasnt_held(tmp_path: Path) -> None:
    """Its last line says so, and takes the steps back; ticked again it was held after all."""
    fitted(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "enter", "end", "space", "enter")
        (ensemble,) = read_project(tmp_path).ensembles
        assert ensemble.occasions[0].held is False
        assert driven.shows("pins, 14:00: wasn't held, 2 steps at it open")
        await driven.press("enter", "end", "space", "enter")
        (ensemble,) = read_project(tmp_path).ensembles
        assert ensemble.occasions[0].held is True
        assert driven.shows("pins, 14:00: held, 2 steps logged")

    drive(body, path=tmp_path, now=AFTER)


def test_what_was_ready_only_after_it_is_told(tmp_path: Path) -> None:
    """Logged after the fitting, what it lacked ticks none of its steps: the diary says why they
    are open, what it lacked is told in two, and space says what was done at it after all."""
    late = MOCK.replace("05-03", "05-04")
    it = fitted(tmp_path, diary=late)
    (one,) = past_occasions(it, plan_project(it, AFTER))
    assert (one.after, one.open) == (("e/g/fit",), ("e/g/fit",))
    why = "1 step at it open: what it follows was done only after it"
    assert standing(one) == f"counts as held, 1 of 2 steps with it, {why}"

    async def body(driven: Driven) -> None:
        await driven.press("b", "1")
        shown = told(driven)
        assert "It lacked 1 step, 20 min of work; to be done at it: “fit”" in shown
        assert "Not done then, but done since: “mock”" in shown
        assert "space what was done" in shown
        await driven.press("space")
        assert isinstance(driven.app.screen, HeldSheet)
        await driven.press("home", "space", "enter")
        said = {entry.step for entry in read_project(tmp_path).diary.entries if entry.done}
        assert said == {"e/g/mock", "e/g/fit", "e/g/hem"}
        assert "It lacked" not in told(driven)

    drive(body, path=tmp_path, now=AFTER)


def test_what_isnt_ticked_stays_open_though_it_was_held(tmp_path: Path) -> None:
    """Saying that it was held ticks nothing that the sheet tells as not done."""
    fitted(tmp_path, diary=MOCK.replace("05-03", "05-04"))

    async def body(driven: Driven) -> None:
        await driven.press("b", "1", "space")
        assert driven.shows("not done, 0:20 left")
        await driven.press("enter")
        state = driven.app.state
        assert state is not None
        assert {one.id: one.done for one in state.plan.steps}["e/g/fit"] is False
        assert "to be done at it: “fit”" in told(driven)

    drive(body, path=tmp_path, now=AFTER)


def test_an_event_at_which_nothing_was_to_be_done_asks_nothing(tmp_path: Path) -> None:
    """Space says where what was done before it is logged, in place of an empty sheet."""
    fitted(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("b", "2", "space")
        assert not isinstance(driven.app.screen, HeldSheet)
        assert "What was done before it space logs" in told(driven)

    drive(body, path=tmp_path, now=datetime(2027, 5, 20))


def test_a_trial_wear_of_what_could_not_be_worn(tmp_path: Path) -> None:
    """What follows nothing isn't taken as done at it, and why is told."""
    text = FITTED.replace("fitting", "trial wear")
    it = fitted(tmp_path, diary="", text=text)
    (one,) = past_occasions(it, plan_project(it, AFTER))
    assert standing(one) == (
        "counts as held, 1 step at it open: not all it follows is done,"
        " 1 step at it open: not all that is worn was ready by then"
    )


def test_what_failed_is_done_over_from_its_row(tmp_path: Path) -> None:
    """f on the row asks which of its steps failed."""
    fitted(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "f")
        sheet = driven.app.screen
        assert isinstance(sheet, DoOverSheet) and sheet.about == ("e/g/fit", "e/g/hem")
        await driven.press("space", "enter")
        assert [(e.done, e.left) for e in read_project(tmp_path).diary.entries[1:]] == [
            (True, None), (False, 20),
        ]  # fmt: skip

    drive(body, path=tmp_path, now=AFTER)


def test_the_day_says_what_is_taken_as_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`wearby day`, of the day itself and of one behind on which nothing was logged."""
    fitted(tmp_path)
    for now in ("2027-05-04T21:00", "2027-05-05T09:00"):
        main(["day", str(tmp_path), "2027-05-04", "--now", now])
        out = capsys.readouterr().out
        assert "pins, 14:00: counts as held, 2 steps with it." in out
        assert out.count("taken as done (held)") == 2


def test_what_stands_open_at_a_held_occasion_is_said(tmp_path: Path) -> None:
    """What follows an open step isn't taken as done, and why is told."""
    it = fitted(tmp_path, diary="")
    (one,) = past_occasions(it, plan_project(it, AFTER))
    said = "counts as held, 1 of 2 steps with it, 1 step at it open: not all it follows is done"
    assert standing(one) == said
    plan = plan_project(it, AFTER)
    assert newly_held_told(plan, newly_held(it, plan, AFTER)) == ""
    assert "Enter on it" in newly_held_told(plan, newly_held(it, plan, MORNING), here=True)


def test_joined_in_mid_build_nothing_is_said_of_nothing(tmp_path: Path) -> None:
    """The diary says how many steps were done before, and no longer offers to say so."""
    fitted(tmp_path, diary="")

    async def body(driven: Driven) -> None:
        await driven.press("l")
        assert driven.shows("Nothing is logged yet. space logs")
        await driven.press("j", "home", "down", "space", "enter")
        assert "Nothing is logged yet" not in told(driven)
        assert driven.shows("1 step was done before the diary began.")

    drive(body, path=tmp_path, now=MORNING)


def test_entries_of_today_are_logged(tmp_path: Path) -> None:
    """The hem doesn't say that nothing is, above them."""
    fitted(tmp_path, diary=MOCK.replace("05-03", "05-04").replace("20:00", "08:00"))

    async def body(driven: Driven) -> None:
        await driven.press("l")
        assert "Nothing is logged yet" not in told(driven)

    drive(body, path=tmp_path, now=MORNING)
