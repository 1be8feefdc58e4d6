"""The Run-up driven by keys and mouse."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planner.plan import Plan
from planner.problems import InputError, Problem
from screens import state
from screens.app import Wearby
from screens.registry import SCREENS
from screens.run_up import RunUp
from screens.wording import cells
from tests.screens.a_plan import E, a_fitting_plan, a_plan, an_empty_plan
from tests.screens.conftest import Given
from tests.screens.driving import Driven, drive

SIZES = [(80, 24), (120, 40)]


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_opens_on_the_verdict_and_today(given: Given, size: tuple[int, int]) -> None:
    """The verdict stands on top, the cursor on today, today is opened."""

    async def body(driven: Driven) -> None:
        first, second = driven.text()[:2]
        assert first.strip().startswith("Ferrywoman's Sunday clothes: Regatta")
        assert second.strip().startswith("Does not fit: 1 h 45 short before the Body fitting.")
        assert driven.day == "2027-05-05"
        opened = [run.text for line in driven.run_up.opened.lines for run in line.runs]
        assert "Today, Wed 5 May: workroom 2:15 of 1:45" in " ".join(" ".join(opened).split())
        assert driven.shows("14:00-15:10  Body fitting, 2 things to do")

    drive(body, size)


def test_arrows_pages_and_ends_move_over_days(given: Given) -> None:
    """Arrows go day by day, and to the occasions between; page, home, end and t go further."""

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "down")
        assert driven.day == "2027-05-08"
        assert driven.run_up.days.occasion is None
        await driven.press("down")
        assert driven.day == "2027-05-08"
        assert driven.run_up.days.occasion == "ferrywoman/body-fitting"
        await driven.press("down")
        assert driven.day == "2027-05-09"
        await driven.press("up", "pagedown")
        assert driven.day is not None and driven.day > "2027-05-12"
        await driven.press("end")
        assert driven.day == "2027-05-22"
        await driven.press("pageup", "home")
        assert driven.day == "2027-05-05"
        await driven.press("down", "down", "t")
        assert driven.day == "2027-05-05"

    drive(body)


def test_enter_goes_to_the_steps_and_opens_a_reason(given: Given) -> None:
    """Enter on a day goes to its steps, enter on a step opens why; escape goes back."""

    async def body(driven: Driven) -> None:
        await driven.press("enter")
        assert driven.focus == "opened"
        await driven.press("enter")
        assert driven.shows("for “join panels” (Stays) follows it")
        assert driven.shows("1 h of work in 6 h 15 of hours")
        await driven.press("escape")
        assert not driven.shows("for “join panels” (Stays) follows it")
        await driven.press("escape")
        assert driven.focus == "days"

    drive(body)


def test_a_caution_is_said_once(given: Given) -> None:
    """What can cut or burn stands at the step, once, also with its reason open."""

    async def body(driven: Driven) -> None:
        said = "Cut away from your other hand"
        assert sum(said in line for line in driven.text()) == 1
        await driven.press("enter", "enter")
        assert sum(said in line for line in driven.text()) == 1

    drive(body, (120, 40))


def test_the_mouse_reaches_days_and_reasons(given: Given) -> None:
    """A click goes to a day, a click on an occasion to it, a click on a step opens why."""

    async def body(driven: Driven) -> None:
        await driven.pilot.click("#days", offset=(30, 2))
        assert driven.day == "2027-05-07"
        await driven.pilot.click("#days", offset=(30, 4))
        assert driven.day == "2027-05-08"
        await driven.settle()
        lines = driven.run_up.opened.lines
        first = next(row for row, line in enumerate(lines) if line.key is not None)
        await driven.pilot.click("#opened", offset=(20, first))
        await driven.settle()
        assert driven.shows("Its last part is done on Saturday 8 May")

    drive(body)


def test_resizing_keeps_the_day(given: Given) -> None:
    """The cursor stays on its day, in view, when the terminal grows or shrinks."""

    async def body(driven: Driven) -> None:
        await driven.press("end", "up", "up", "up")
        assert driven.day == "2027-05-20"
        for width, height in ((120, 40), (60, 16), (80, 24)):
            await driven.pilot.resize_terminal(width, height)
            await driven.settle()
            assert driven.day == "2027-05-20"
            assert driven.shows("Thu 20 May")

    drive(body)


def test_find_goes_to_the_step(given: Given) -> None:
    """A slash and a few letters find a step; enter goes to its day with its reason open."""

    async def body(driven: Driven) -> None:
        await driven.press("slash", "l", "i", "n", "i", "n")
        assert driven.screen == "FindStep"
        await driven.press("enter")
        assert driven.day == "2027-05-15"
        assert driven.shows("the hours after it are given to")
        await driven.press("slash", "b", "r", "a", "i", "d", "enter")
        assert driven.shows("There is no time for it")
        await driven.press("slash", "escape")
        assert driven.screen == "RunUp"

    drive(body)


def test_help_tells_keys_and_letters(given: Given) -> None:
    """A question mark shows letters and keys; escape closes it."""

    async def body(driven: Driven) -> None:
        await driven.press("question_mark")
        assert driven.screen == "Help"
        assert driven.shows("d drafting")
        await driven.press("pagedown", "pagedown")
        assert driven.shows("Find a step by a few of its letters")
        await driven.press("escape")
        assert driven.screen == "RunUp"

    drive(body)


def test_every_binding_is_told(given: Given) -> None:
    """Every key has an id, a description and a tooltip; help and more are always shown."""

    async def body(driven: Driven) -> None:
        await driven.press("enter")
        for active in driven.app.screen.active_bindings.values():
            binding = active.binding
            if binding.system or binding.action.startswith(("app.", "screen.")):
                continue
            if active.node not in (driven.app, driven.run_up, driven.run_up.opened):
                continue
            if binding.action in ("copy_text", "help_quit") or "focus" in binding.action:
                continue
            assert binding.description, binding
        assert driven.text()[-1].endswith("/ find  ? help  ^p more")

    drive(body)


def test_the_palette_changes_colours(given: Given) -> None:
    """The palette's commands are plain verb phrases and do what they say."""

    async def body(driven: Driven) -> None:
        told = [one.title for one in driven.app.get_system_commands(driven.run_up)]
        assert "Change to daylight colours" in told
        await driven.press("ctrl+p")
        await driven.press(*"daylight")
        await driven.pilot.pause(0.3)
        await driven.press("enter", "enter")
        await driven.pilot.pause(0.3)
        assert driven.app.theme == "daylight"

    drive(body)


def test_markup_in_names_stays_text(given: Given) -> None:
    """Brackets in names are letters, and control characters are gone."""
    plan = a_plan()
    names = {**plan.names, f"{E}/stays/cut": "cut [lining] [/] \x1b[31m", E: "[b]Clothes"}
    given(replace(plan, names=names))

    async def body(driven: Driven) -> None:
        assert driven.shows("cut [lining] [/] [31m")
        assert driven.text()[0].strip().startswith("[b]Clothes")

    drive(body)


def test_a_changed_file_brings_a_new_plan(given: Given, tmp_path: Path) -> None:
    """The plan follows the files; the cursor keeps its day, and a moved step says where to."""
    file = tmp_path / "ferrywoman.toml"
    file.write_text("format = 1\n")

    async def body(driven: Driven) -> None:
        await driven.press("down", "down", "enter")
        given(_without_friday(a_fitting_plan()))
        os.utime(file, ns=(1, 1))
        driven.app.look()
        await driven.settle()
        assert driven.day == "2027-05-07"
        assert driven.text()[1].strip().startswith("Fits:")
        assert driven.shows("“rolled hem” (Shift) is now on Mon 10 May.")
        driven.app.look()
        assert driven.app.requested == 2

    drive(body, path=tmp_path)


def _without_friday(plan: Plan) -> Plan:
    """The plan without its Friday sitting."""
    return replace(
        plan, sittings=tuple(one for one in plan.sittings if f"{one.date}" != "2027-05-07")
    )


def test_a_slow_plan_is_shown_before_it_is_exact(
    given: Given, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where planning takes longer than a blink, the quick plan comes first."""
    asked: list[bool] = []
    told: list[bool] = []
    read = state.read_and_plan
    show = RunUp.show

    def reading(
        path: Path, now: datetime, *, thorough: bool = True, **more: Any
    ) -> state.State:
        asked.append(thorough)
        return read(path, now, thorough=thorough, **more)

    def showing(self: RunUp, found: state.State, *, refined: bool = False) -> None:
        told.append(refined)
        show(self, found, refined=refined)

    monkeypatch.setattr("screens.app.BLINK", -1.0)
    monkeypatch.setattr(state, "read_and_plan", reading)
    monkeypatch.setattr(RunUp, "show", showing)

    async def body(driven: Driven) -> None:
        assert asked == [False]
        assert told == [False, True]
        assert driven.day == "2027-05-05"

    drive(body)


def test_names_are_whole_in_the_opened_day(given: Given) -> None:
    """However long a step's name and narrow the region, all of it can be read."""
    plan = a_plan()
    name = "mark, sew and cut buttonholes by machine along the whole of the front"
    given(replace(plan, names={**plan.names, f"{E}/stays/cut": name}))

    async def body(driven: Driven) -> None:
        opened = driven.run_up.opened
        drawn = ["".join(run.text for run in line.runs) for line in opened.lines]
        assert name in " ".join(" ".join(drawn).split())
        assert any("Stays" in line for line in drawn)
        assert max(cells(line) for line in drawn) <= opened.size.width

    for size in SIZES:
        drive(body, size)


def test_screens_are_registered_by_name(given: Given) -> None:
    """The app opens the first registered screen; its names are its modes."""

    async def body(driven: Driven) -> None:
        assert [one.name for one in SCREENS] == list(Wearby.MODES)
        assert driven.app.current_mode == SCREENS[0].name == "run-up"
        assert driven.run_up.showing is driven.app.state

    drive(body)


def test_problems_on_reload_keep_the_last_plan(given: Given) -> None:
    """A mistake saved while the program is open is shown in place, above the last plan."""

    async def body(driven: Driven) -> None:
        given(InputError([Problem(file="ball.toml", place="garment[0]", text="Say an id.")]))
        driven.app.replan()
        await driven.settle()
        assert driven.shows("1 thing to mend in the files; the plan below is from before:")
        assert driven.shows("ball.toml, garment[0]: Say an id.")
        assert driven.text()[1].strip().startswith("Does not fit")
        assert driven.shows("Stays: cut")
        given(a_fitting_plan())
        driven.app.replan()
        await driven.settle()
        assert not driven.shows("to mend")

    drive(body)


def test_opening_on_broken_input_lists_every_problem(given: Given) -> None:
    """Without a plan the problems are the screen; once mended, the plan appears."""
    given(
        InputError(
            [Problem(file="a.toml", place=f"garment[{i}]", text="Say an id.") for i in range(30)]
        )
    )

    async def body(driven: Driven) -> None:
        assert driven.text()[0].strip() == "There is no plan yet."
        assert driven.shows("30 things to mend in the files:")
        await driven.press("tab", "end")
        assert driven.shows("a.toml, garment[29]: Say an id.")
        given(a_plan())
        driven.app.replan()
        await driven.settle()
        assert driven.day == "2027-05-05"
        assert driven.shows("Stays: cut")

    drive(body)


def test_a_late_stale_plan_is_dropped(given: Given) -> None:
    """A plan that was asked for earlier and comes later changes nothing."""

    async def body(driven: Driven) -> None:
        driven.app.replan()
        await driven.settle()
        shown = driven.app.state
        assert shown is not None
        old = replace(shown, plan=an_empty_plan())
        driven.app.post_message(Wearby.Planned(1, old))
        await driven.settle()
        assert driven.app.state is shown

    drive(body)


def test_a_failure_of_our_own_is_said(given: Given, monkeypatch: pytest.MonkeyPatch) -> None:
    """A mistake in wearby itself is said in place and does not end the program."""

    def fail(
        path: Path, now: datetime, *, thorough: bool = True, **more: Any
    ) -> state.State:
        raise RuntimeError("boom")

    async def body(driven: Driven) -> None:
        monkeypatch.setattr(state, "read_and_plan", fail)
        driven.app.replan()
        await driven.settle()
        assert driven.shows("wearby itself failed (RuntimeError: boom)")
        assert driven.shows("Stays: cut")

    drive(body)


def test_an_empty_workroom_says_what_to_do(given: Given) -> None:
    """Nothing there yet: the screen says what to write, and where."""
    given(an_empty_plan())

    async def body(driven: Driven) -> None:
        assert driven.shows("There is no ensemble here yet.")
        await driven.press("down", "enter", "t", "end")
        assert driven.shows("There is no ensemble here yet.")

    drive(body)


@pytest.mark.parametrize("size", [(1, 1), (10, 5), (200, 60)], ids=str)
def test_any_size_of_terminal(given: Given, size: tuple[int, int]) -> None:
    """No terminal is too small or too large to go on."""

    async def body(driven: Driven) -> None:
        await driven.press("down", "enter", "enter", "escape", "question_mark", "escape")
        assert driven.app.is_running

    drive(body, size)
