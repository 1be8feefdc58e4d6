"""What moved since an earlier day, seen from any screen: driven, and its pictures."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.kept import write_kept
from planner.files.plans_behind import plan_of_day, plans_known, remember_plan
from planner.files.reading import read_project
from planner.kept import kept_of
from planner.planning import plan_project
from screens.dialogs.what_moved import MovedKeys, WhatMoved
from screens.session import Session
from screens.themes import DAYLIGHT
from tests.pictures import picture
from tests.screens.driving import Driven, drive
from tests.screens.test_pictures import RICHS_OWN, same
from tests.screens.workrooms import a_copy

MONDAY, TUESDAY = datetime(2027, 5, 3, 9), datetime(2027, 5, 4, 9)
THURSDAY = datetime(2027, 5, 6, 9)
DONE = (
    'format = 1\n[[entry]]\nat = 2027-05-03T20:55:00\nstep = "ferrywoman/stays/cut"\n'
    "minutes = 70\ndone = true\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small workroom with the plans of Monday and Tuesday; nothing was done on Wednesday."""
    found = a_copy(tmp_path)
    kept = kept_of(plan_project(read_project(found), MONDAY))
    remember_plan(found, kept, MONDAY)
    (found / "diary.toml").write_text(DONE)
    later = replace(read_project(found), kept=kept)
    kept = kept_of(plan_project(later, TUESDAY))
    remember_plan(found, kept, TUESDAY)
    write_kept(found / "kept.toml", kept)
    return found


async def _by_name(driven: Driven) -> WhatMoved:
    """Open it as the palette does."""
    driven.app.action_what_moved()
    await driven.settle()
    screen = driven.app.screen
    assert isinstance(screen, WhatMoved)
    return screen


def _text(screen: WhatMoved) -> str:
    """All its lines."""
    return "\n".join("".join(run.text for run in line.runs) for line in screen.moved.lines)


def test_it_compares_with_the_last_day_before_today_and_goes_back(folder: Path) -> None:
    """From the palette: since Tuesday, with the left arrow since Monday; a step's day by enter."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+p", *"moved", "enter")
        screen = driven.app.screen
        assert isinstance(screen, WhatMoved)
        assert "since ‹Tuesday 4 May›" in screen.since.text and "2 of 2" in screen.since.text
        assert "planned and not done" in _text(screen) and "Later" in _text(screen)
        assert "Done since" not in _text(screen)
        keys = screen.query_one(MovedKeys)
        assert [one.told for one in keys.keys] == ["earlier day", "its day", "close"]
        await driven.press("left")
        assert "since ‹Monday 3 May›" in screen.since.text
        assert "1 step done" in _text(screen) and "cut the layers" in _text(screen)
        assert [one.told for one in keys.keys] == ["later day", "its day", "close"]
        step = screen._step()
        await driven.press("enter")
        assert driven.screen == "RunUp" and driven.run_up.step == step

    drive(body, path=folder, now=THURSDAY)


def test_a_step_without_a_day_is_gone_to_by_no_key(folder: Path) -> None:
    """One that is done has no day in the run-up: enter does nothing, and isn't offered."""

    async def body(driven: Driven) -> None:
        screen = await _by_name(driven)
        await driven.press("left", "end")
        assert screen.moved.cursor == "Done since ferrywoman/stays/cut"
        assert "its day" not in [one.told for one in screen.query_one(MovedKeys).keys]
        await driven.press("enter")
        assert driven.app.screen is screen
        await driven.press("escape")
        assert driven.screen == "RunUp"

    drive(body, path=folder, now=THURSDAY)


def test_where_no_plan_is_known_it_says_how_one_is(tmp_path: Path) -> None:
    """An empty list says what to do."""

    async def body(driven: Driven) -> None:
        screen = await _by_name(driven)
        assert "One is kept each day on which the program is opened" in " ".join(
            _text(screen).split()
        )
        assert [one.told for one in screen.query_one(MovedKeys).keys] == ["close"]

    drive(body, path=a_copy(tmp_path), now=THURSDAY)


def test_the_first_plan_of_a_day_is_remembered(tmp_path: Path) -> None:
    """Whether or not it is another than the one kept last; not where one only looks ahead."""
    folder = a_copy(tmp_path)
    session = Session(folder, lambda: MONDAY)
    plan = plan_project(session.read(), MONDAY)
    session.keep(plan)
    session.save_kept()
    assert plans_known(folder) == []
    session.save_kept(remember=True)
    assert plans_known(folder) == [MONDAY.date()]


def test_an_edit_kept_under_a_fixed_clock_keeps_the_day_it_was_made_on(tmp_path: Path) -> None:
    """The plan the day was set out with, not the one after the edit; without an edit none."""
    folder = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        driven.app.keeps_edited = True
        set_out = driven.app.session.project.kept
        assert plans_known(folder) == []
        driven.app.edit("hours changed", lambda it: replace(
            it, workroom=replace(it.workroom, fill_to=0.5)))
        await driven.settle()
        assert plans_known(folder) == [THURSDAY.date()]
        known = plan_of_day(folder, THURSDAY.date())
        assert known is not None and known.kept.hours == set_out.hours

    drive(body, path=folder, now=THURSDAY)


def test_where_only_the_plan_accepted_last_is_known_that_is_compared_with(tmp_path: Path) -> None:
    """As the command does."""
    folder = a_copy(tmp_path)
    write_kept(folder / "kept.toml", kept_of(plan_project(read_project(folder), MONDAY)))

    async def body(driven: Driven) -> None:
        screen = await _by_name(driven)
        assert "since ‹Monday 3 May›" in screen.since.text
        assert "Since Monday 3 May: " in _text(screen)

    drive(body, path=folder, now=THURSDAY)


PICTURES = {"moved_80x24": (80, 24), "moved_120x40": (120, 40)}


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str, folder: Path) -> None:
    """It looks as it did when somebody last looked at it."""

    async def body(driven: Driven) -> None:
        await _by_name(driven)
        await driven.press("left", "down")
        same(f"{name}.svg", picture(driven))

    drive(body, PICTURES[name], path=folder, now=THURSDAY)


def test_picture_by_daylight(folder: Path) -> None:
    """The light colours."""

    async def body(driven: Driven) -> None:
        driven.app.theme = DAYLIGHT.name
        await _by_name(driven)
        same("moved_daylight_80x24.svg", picture(driven))

    drive(body, path=folder, now=THURSDAY)


def test_picture_without_colour(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR set marks and letters say all, and there is no hue."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def body(driven: Driven) -> None:
        await _by_name(driven)
        svg = picture(driven)
        colours = set(re.findall(r"terminal-r\d+ { fill: (#[0-9a-f]{6})", svg)) - {RICHS_OWN}
        assert not {c for c in colours if len({c[1:3], c[3:5], c[5:7]}) > 1}
        same("moved_no_color_80x24.svg", svg)

    drive(body, path=folder, now=THURSDAY)
