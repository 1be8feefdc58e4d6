"""The Diary screen: what it shows, edits, opens again, ticks, and writes."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from screens.app import Wearby
from screens.dialogs.do_over import DoOverSheet
from screens.dialogs.done_before import DoneBefore
from screens.diary import Diary
from screens.garments import Garments
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import SMALL, a_copy

OLDMERE = Path("sample_projects/oldmere_regatta")
BEHIND = datetime(2027, 6, 7, 18)
TUESDAY = datetime(2027, 5, 4, 18)


def the_diary(app: Wearby) -> Diary:
    """The screen on top."""
    screen = app.screen
    assert isinstance(screen, Diary)
    return screen


def test_days_newest_first_with_how_it_goes_on_top() -> None:
    """The hem and its sentence, today, then what was logged, notes beneath."""

    async def body(driven: Driven) -> None:
        await driven.press("l")
        lines = driven.text()
        today = next(k for k, line in enumerate(lines) if "Today, Mon 7 Jun" in line)
        before = next(k for k, line in enumerate(lines) if "Yesterday, Sun 6 Jun" in line)
        assert today < before and "1:40 done" in lines[before]
        assert driven.shows("longer than planned") and driven.shows("quicker than I feared")

    drive(body, path=OLDMERE, now=BEHIND)


def test_an_entry_is_changed_removed_and_brought_back(tmp_path: Path) -> None:
    """enter opens its form; delete removes it; ^z brings it back, the cursor where it was."""
    path = a_copy(tmp_path, OLDMERE)
    entries = read_project(path).diary.entries

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "down")
        logged = the_diary(driven.app).diary.logged
        assert logged is not None
        await driven.press("enter", "tab", *"0:33", "ctrl+s")
        assert read_project(path).diary.entries[logged.index].minutes == 33
        assert driven.screen == "Diary" and driven.shows("0:33")
        await driven.press("delete")
        assert len(read_project(path).diary.entries) == len(entries) - 1
        await driven.press("ctrl+z", "ctrl+z")
        assert [one.minutes for one in read_project(path).diary.entries] == [
            one.minutes for one in entries
        ]

    drive(body, path=path, now=BEHIND)


def test_a_step_is_done_over_and_its_old_entries_stay(tmp_path: Path) -> None:
    """f opens the sheet, what it would make of the plan is told, enter opens the step again."""
    path = a_copy(tmp_path, OLDMERE)
    many = len(read_project(path).diary.entries)

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "down", "down")
        step = the_diary(driven.app).step
        await driven.press("f")
        assert isinstance(driven.app.screen, DoOverSheet) and driven.shows("That failed")
        assert driven.shows("then:")
        await driven.press("2", "0", "enter", "n", *"crept", "enter", "enter")
        entries = read_project(path).diary.entries
        assert len(entries) == many + 1
        assert (entries[-1].step, entries[-1].left, entries[-1].note) == (step, 20, "crept")
        state = driven.app.state
        assert state is not None
        found = next(one for one in state.plan.steps if one.id == step)
        assert not found.done and found.left == 20
        assert driven.shows("to be done over")

    drive(body, path=path, now=BEHIND)


def test_what_failed_at_a_fitting_is_done_over_from_before(tmp_path: Path) -> None:
    """Of several steps none is ticked at first; ticked and kept, it is open again."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("b", "left", "f")
        sheet = driven.app.screen
        assert isinstance(sheet, DoOverSheet) and not sheet.ticked
        assert driven.shows("Which of these failed?")
        step = sheet.ticks.cursor
        await driven.press("space", "enter")
        state = driven.app.state
        assert state is not None and driven.screen == "Before"
        assert not next(one for one in state.plan.steps if one.id == step).done

    drive(body, path=path, now=BEHIND)


def test_a_done_step_is_done_over_from_the_garments(tmp_path: Path) -> None:
    """f on a done step of a garment; on one that isn't done there is nothing to do over."""
    path = a_copy(tmp_path, OLDMERE)
    step = read_project(path).diary.entries[0].step

    async def body(driven: Driven) -> None:
        await driven.press("g")
        screen = driven.app.screen
        assert isinstance(screen, Garments)
        screen.go_to(step)
        screen.set_focus(screen.steps)
        await driven.press("f")
        assert isinstance(driven.app.screen, DoOverSheet) and driven.app.screen.about == (step,)
        await driven.press("escape", "end", "f")
        assert driven.screen == "Garments"

    drive(body, path=path, now=BEHIND)


def test_what_was_done_before_is_ticked_with_what_it_follows(tmp_path: Path) -> None:
    """Offered where nothing is logged; a step brings what it follows; one edit, undone by one."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("l")
        assert driven.shows("Nothing is logged yet.")
        await driven.press("j")
        sheet = driven.app.screen
        assert isinstance(sheet, DoneBefore)
        await driven.press("end", "space")
        assert len(sheet.ticked) > 1 and driven.shows("It follows “")
        ticked = set(sheet.ticked)
        await driven.press("space")
        assert sheet.ticked == ticked - {sheet.ticks.cursor}
        ticked = set(sheet.ticked)
        await driven.press("enter")
        done = {
            f"{e.id}/{g.id}/{s.id}"
            for e in read_project(path).ensembles
            for g in e.garments
            for s in g.steps
            if s.done
        }
        assert done == ticked and not read_project(path).diary.entries
        await driven.press("ctrl+z")
        assert not any(
            s.done for e in read_project(path).ensembles for g in e.garments for s in g.steps
        )

    drive(body, path=path, now=TUESDAY)


def test_a_whole_garment_by_its_heading_and_dropping_asks(tmp_path: Path) -> None:
    """Ticked by its line, taken back by it; escape asks before it drops what is ticked."""
    path = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("l", "j", "home", "space")
        sheet = driven.app.screen
        assert isinstance(sheet, DoneBefore) and sheet.ticked
        await driven.press("escape")
        assert driven.screen == "DoneBefore" and driven.shows("Drop what is ticked?")
        await driven.press("down", "home", "space")
        mine = {one for one in sheet.ticked if one.startswith(f"{sheet.ticks.cursor}/")}
        assert not mine
        await driven.press("space", "escape", "escape")
        assert driven.screen == "Diary"

    drive(body, path=path, now=TUESDAY)


def test_space_logs_for_the_day_under_the_cursor(tmp_path: Path) -> None:
    """Today's line: now; a day behind: that day."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("l", "space")
        assert driven.screen == "LogSheet" and driven.shows("now: Monday 7 June")
        await driven.press("escape", "down", "enter")
        assert driven.screen == "LogSheet" and driven.shows("Sunday 6 June")

    drive(body, path=path, now=BEHIND)


def test_the_record_is_written_and_told_where(tmp_path: Path) -> None:
    """x writes it beside the ensemble's file, and says the path; again, over its own words."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("l", "x", "x")
        assert driven.shows("The record of Signal-master of Oldmere Lock is in")
        assert (path / "signal_master.record.md").read_text().startswith("# Signal-master")
        (path / "signal_master.record.md").write_text("mine")
        await driven.press("x")
        assert (
            driven.shows("No record of")
            and (path / "signal_master.record.md").read_text() == "mine"
        )

    drive(body, path=path, now=BEHIND)


@pytest.mark.parametrize("keys", ["r", "t"])
def test_one_goes_to_the_run_up_and_to_today(keys: str) -> None:
    """r goes to the step's day; t to today's line."""

    async def body(driven: Driven) -> None:
        await driven.press("l", "down", "down", keys)
        if keys == "r":
            assert driven.screen == "RunUp"
        else:
            assert the_diary(driven.app).diary.cursor == "2027-06-07"

    drive(body, path=OLDMERE, now=BEHIND)


def test_without_ensembles_it_says_what_begins_one(tmp_path: Path) -> None:
    """An empty workroom has an empty diary, and nothing breaks."""
    path = a_copy(tmp_path, SMALL)
    (path / "ferrywoman.toml").write_text('format = 1\nname = "Nothing yet"\n')

    async def body(driven: Driven) -> None:
        await driven.press("l")
        assert driven.shows("There are no steps yet")
        await driven.press("space", "f", "j", "x", "k", "enter", "delete", "y")
        assert driven.screen == "Diary"

    drive(body, path=path, now=TUESDAY)


def test_the_pace_is_shown_set_by_hand_and_forgotten(tmp_path: Path) -> None:
    """y shows it in the diary's place; enter what it rests on; e sets, delete forgets, v learns
    no longer; each is an edit, and what would become of it is told while it is typed."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("l", "y")
        screen = the_diary(driven.app)
        assert screen.shows_pace and driven.focus == "pace"
        assert driven.shows("all work") and not driven.shows("Today, Mon 7 Jun")
        await driven.press("down", "enter")
        row = screen.pace.row
        assert row is not None and driven.shows(f"    {row.sentence[:40]}")
        await driven.press("e", *"1.3")
        assert screen.line.asking and driven.shows("then:")
        await driven.press("enter")
        assert read_project(path).workroom.pace.by_hand == {row.key: 1.3}
        assert driven.shows("set by hand: 1.3") and not screen.line.asking
        await driven.press("delete", "v")
        pace = read_project(path).workroom.pace
        assert not pace.by_hand and not pace.learn
        assert driven.shows("Learning is off")
        await driven.press("v", "escape")
        assert read_project(path).workroom.pace.learn
        assert not screen.shows_pace and driven.focus == "diary"

    drive(body, path=path, now=BEHIND)


def test_any_technique_of_the_workroom_can_be_set_by_hand(tmp_path: Path) -> None:
    """a shows those of which nothing is learnt, too, and a again hides them; one that was set
    stays."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("l", "y")
        screen = the_diary(driven.app)
        few = {row.key for row in screen.pace.rows}
        await driven.press("a")
        more = {row.key for row in screen.pace.rows} - few
        assert more
        key = min(more)
        screen.pace.go(key)
        await driven.press("e", *"0.8", "enter", "a")
        assert read_project(path).workroom.pace.by_hand == {key: 0.8}
        assert {row.key for row in screen.pace.rows} - few == {key}

    drive(body, path=path, now=BEHIND)


def test_what_is_no_pace_is_said_and_nothing_is_kept(tmp_path: Path) -> None:
    """Words, and paces nobody has; escape drops what was typed."""
    path = a_copy(tmp_path, OLDMERE)

    async def body(driven: Driven) -> None:
        await driven.press("l", "y", "e", *"fast", "enter")
        assert driven.shows("Write 1.2 for a fifth slower")
        await driven.press(*["backspace"] * 4, *"99", "enter")
        assert driven.shows("A pace lies between")
        await driven.press("escape")
        assert not the_diary(driven.app).line.asking
        assert not read_project(path).workroom.pace.by_hand

    drive(body, path=path, now=BEHIND)
