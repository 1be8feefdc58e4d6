"""The hand sewing driven by keys and mouse."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import cast

import pytest

from planner.files.reading import read_project
from screens.command import main
from screens.handwork import REST, HandSewing
from screens.run_up import RunUp
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import MONDAY, SMALL, a_copy, step_in

WAY = 'name = "hem by machine", hours = "30m", work = "machine", place = "workroom"'
HEM = f"\ninstead = [{{ {WAY} }}]"


def with_a_way(folder: Path) -> Path:
    """The small workroom, whose hem can be sewn by machine."""
    path = a_copy(folder)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    made = text.replace('name = "hem by hand"', f'name = "hem by hand"{HEM}')
    assert made != text
    file.write_text(made, encoding="utf-8")
    return path


def hand(driven: Driven) -> HandSewing:
    """The screen."""
    screen = driven.app.screen
    assert isinstance(screen, HandSewing)
    return screen


def test_h_shows_days_with_their_steps(tmp_path: Path) -> None:
    """The sum, the caution once, days against the limit, the step under the cursor opened."""

    async def body(driven: Driven) -> None:
        await driven.press("h")
        text = driven.text()
        assert text[3].strip().startswith("5 h of hand sewing on 5 days.")
        assert sum("Rest your hands" in line for line in text) == 1
        assert driven.shows("Sat  8 May   0:30 of 2:30  hhh············╵")
        assert driven.shows("0:30  workroom    bones in front")
        assert driven.shows("“bones in front” (Stays): 30 min; Sat 8 May; workroom;")

    drive(body, path=SMALL, now=MONDAY)


def test_the_cursor_goes_from_step_to_step_and_opens_each() -> None:
    """Down goes over the days; what is opened follows; enter goes there, escape back."""

    async def body(driven: Driven) -> None:
        await driven.press("h", "down")
        assert hand(driven).hand.step == "ferrywoman/bodice/hem"
        assert driven.shows("“hem by hand” (Jacket bodice): 2 h 30;")
        await driven.press("enter")
        assert driven.focus == "opened"
        await driven.press("escape")
        assert driven.focus == "hand"

    drive(body, path=SMALL, now=MONDAY)


def test_y_shows_it_by_garment_and_back() -> None:
    """The cursor stays on its step; each step stands once."""

    async def body(driven: Driven) -> None:
        await driven.press("h", "end")
        step = hand(driven).hand.step
        assert step == "ferrywoman/bodice/trim"
        await driven.press("y")
        assert hand(driven).hand.step == step
        assert driven.shows("4:30  Jacket bodice")
        keys = [line.key for line in hand(driven).hand.lines if line.key]
        assert len(keys) == 3
        await driven.press("y")
        assert hand(driven).hand.step == step
        assert not driven.shows("4:30  Jacket bodice")

    drive(body, path=SMALL, now=MONDAY)


def test_m_gives_a_step_to_the_machine_and_back(tmp_path: Path) -> None:
    """What it saves and what would become of the plan is told before; ^z takes it back."""
    path = with_a_way(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("h", "down")
        assert driven.shows("m saves 2:00")
        assert driven.shows("It takes 30 min and saves 2 h.")
        assert not driven.shows("then: fits")  # not before the cursor rests
        await asyncio.sleep(REST)
        await driven.settle()
        assert driven.shows("then: fits")
        assert driven.shows("2 h less to do")
        await driven.press("m")
        assert driven.shows("“hem by hand” (Jacket bodice) given to the machine: hem by machine.")
        assert step_in(read_project(path), "bodice", "hem").instead[0].chosen
        assert hand(driven).hand.step == "ferrywoman/bodice/hem"
        assert driven.shows("Given to the machine")
        assert driven.shows("It takes 2 h 30, 2 h more.")
        await driven.press("m")
        assert not step_in(read_project(path), "bodice", "hem").instead[0].chosen
        await driven.press("ctrl+z")
        assert step_in(read_project(path), "bodice", "hem").instead[0].chosen

    drive(body, path=path, now=MONDAY)


def test_a_way_is_taken_where_it_is_told(tmp_path: Path) -> None:
    """Enter on its paragraph."""
    path = with_a_way(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("h", "down", "enter", "down", "enter")
        assert step_in(read_project(path), "bodice", "hem").instead[0].chosen
        assert driven.focus == "hand"

    drive(body, path=path, now=MONDAY)


def test_without_a_machine_way_m_says_so() -> None:
    """It is told all the same, and changes nothing."""

    async def body(driven: Driven) -> None:
        await driven.press("h", "m")
        assert not driven.shows("given to the machine")
        assert "m by machine" in driven.text()[-1]
        assert driven.shows("No machine does this step, by your files or as is usual; ")

    drive(body, path=SMALL, now=MONDAY)


def test_r_goes_to_the_step_in_the_run_up() -> None:
    """Its day is under the cursor there."""

    async def body(driven: Driven) -> None:
        await driven.press("h", "r")
        screen = driven.app.screen
        assert isinstance(screen, RunUp)
        assert screen.days.cursor == "2027-05-08"

    drive(body, path=SMALL, now=MONDAY)


def test_e_edits_the_step() -> None:
    """In its form."""

    async def body(driven: Driven) -> None:
        await driven.press("h", "e")
        assert driven.screen == "Form"
        assert driven.shows("bones in front")

    drive(body, path=SMALL, now=MONDAY)


def test_a_click_goes_to_a_step_and_the_palette_knows_what_can_be_done(tmp_path: Path) -> None:
    """What the keys do is offered by name."""
    path = with_a_way(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("h")
        row = next(k for k, line in enumerate(driven.text()) if "1:17  sofa" in line)
        await driven.pilot.click(offset=(20, row))
        await driven.settle()
        assert hand(driven).hand.step == "ferrywoman/bodice/hem"
        names = [command.title for command in hand(driven).get_commands()]
        assert "Sew hem by hand by machine" in names
        assert "Show the hand sewing by garment" in names
        assert "Go to hem by hand in the run-up" in names

    drive(body, path=path, now=MONDAY)


def test_go_to_finds_steps_and_garments() -> None:
    """By full id; what isn't sewn by hand leaves the cursor where it is."""

    async def body(driven: Driven) -> None:
        await driven.press("h")
        screen = hand(driven)
        screen.go_to("ferrywoman/bodice/trim")
        assert screen.hand.step == "ferrywoman/bodice/trim"
        screen.go_to("ferrywoman/stays")
        assert screen.hand.step == "ferrywoman/stays/bones"
        screen.go_to("ferrywoman/stays/cut")
        assert screen.hand.step == "ferrywoman/stays/bones"

    drive(body, path=SMALL, now=MONDAY)


def test_nothing_by_hand_says_so(tmp_path: Path) -> None:
    """And where steps are shown."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8").replace('work = "hand"', 'work = "machine"')
    file.write_text(text, encoding="utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("h")
        assert driven.shows("No hand sewing is to do.")
        assert hand(driven).has_class("-empty")

    drive(body, path=path, now=MONDAY)


def test_markup_in_names_is_text(tmp_path: Path) -> None:
    """Brackets are drawn as they are."""
    path = a_copy(tmp_path)
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8").replace("bones in front", "bones [/] [b]in[/b] front")
    file.write_text(text, encoding="utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("h", "?")
        await driven.press("escape")
        assert driven.shows("bones [/] [b]in[/b]")

    drive(body, path=path, now=MONDAY)


def test_the_command_answers_in_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Days, places, and what the machine would save."""
    path = with_a_way(tmp_path)
    main(["handwork", str(path), "--today", "2027-05-03", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert (found["limit"], found["minutes"], found["could_save"]) == (150, 300, 120)
    assert sum(day["minutes"] for day in found["days"]) == 300
    assert found["sofa"]["hand"] + found["take_along"]["hand"] + found["workroom"] == 300
    (hem,) = (one for one in found["steps"] if one["step"].endswith("/hem"))
    (way,) = cast("list[dict[str, object]]", hem["by_machine"])
    assert (way["saved"], way["instead"], way["offered"], way["missed"]) == (120, 0, True, 3)
    assert found["to_machine"] == []


def test_the_command_tells_what_a_machine_would_save(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Three evenings behind: the buttonholes take longest by hand."""
    main(["handwork", "sample_projects/oldmere_regatta", "--today", "2027-06-07"])
    said = " ".join(capsys.readouterr().out.split())
    assert "To sew 4 steps by machine, as your files offer, would save" in said
    assert "“cut and work buttonholes by hand” (Signal-master's coat). By machine:" in said
    assert said.count("Rest your hands a few minutes") == 1
