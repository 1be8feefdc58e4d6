"""The log sheet, key by key: marked, typed, kept as one edit, undone; from every screen."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from planner.editing.diary import log
from planner.files.kept_before import kept_before
from planner.files.reading import read_project
from planner.files.writing import write_diary
from planner.model import Entry
from screens.dialogs.log_sheet import LogSheet
from tests.screens.driving import Driven, drive
from tests.screens.test_bursts import burst
from tests.screens.workrooms import a_copy

EVENING = datetime(2027, 5, 3, 20)
CUT = "ferrywoman/stays/cut"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A workroom that may be changed."""
    return a_copy(tmp_path)


def diary(path: Path) -> list[tuple[str, int, bool, int | None]]:
    """What was logged: step, minutes, done, left."""
    entries = read_project(path).diary.entries
    return [(one.step.partition("/")[2], one.minutes, one.done, one.left) for one in entries]


def with_entries(path: Path, *entries: Entry) -> None:
    """Put entries into the diary."""
    project = read_project(path)
    write_diary(path / "diary.toml", None, log(project, entries).diary)


def run(path: Path, *keys: str, now: datetime = EVENING, size: tuple[int, int] = (80, 24)) -> str:
    """What is drawn after keys."""
    shown: list[str] = []

    async def body(driven: Driven) -> None:
        await driven.press(*keys)
        shown.extend(driven.text())

    drive(body, size, path=path, now=now)
    return "\n".join(shown)


def test_two_keys_log_a_step_as_done(path: Path) -> None:
    """On a step of a day: space, enter, without a time; it says what became of the plan."""
    told = run(path, "down", "enter", "space", "enter")
    assert diary(path) == [("stays/cut", 0, True, None)]
    assert "“cut the layers” (Stays) done. 1 h less to do." in told
    assert "no longer planned" not in told
    assert "What was done" not in told


def test_several_are_logged_as_one_edit(path: Path) -> None:
    """Minutes, half done, what is left by guess, a note; one ^z takes all of it back."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "space", "4", "5", "down", "1", "h", "3", "0", "tab", "3", "0")
        await driven.press("n", "k", "n", "o", "t", "enter")
        # of the channels only the first part is done: what is left stays on its day
        assert driven.shows("then: fits, 89 % full, 2 h 50 less to do")
        assert not driven.shows("moves to")
        assert driven.shows("2 steps, 2 h 15")
        assert driven.shows("“knot”")
        await driven.press("enter")
        assert driven.shows("2 steps logged.")
        assert diary(path) == [("stays/cut", 45, True, None), ("stays/channels", 90, False, 30)]
        assert read_project(path).diary.entries[1].note == "knot"
        await driven.press("ctrl+z")
        assert diary(path) == []
        assert driven.shows("Undone: 2 steps logged.")

    drive(body, path=path, now=EVENING)


def test_space_goes_on_to_half_done(path: Path) -> None:
    """And what is left is half of what was."""
    run(path, "space", "space", "space", "enter")
    assert diary(path) == [("stays/cut", 0, False, 30)]


def test_minus_and_arrows_go_between_the_columns(path: Path) -> None:
    """And a letter is rubbed out."""
    run(path, "space", "minus", "4", "5", "backspace", "left", "1", "5", "minus", "0", "enter")
    assert diary(path) == [("stays/cut", 15, False, 40)]


def test_a_step_that_isnt_in_the_list_is_found(path: Path) -> None:
    """By its letters; the cursor is on it."""
    run(path, "space", "slash", "b", "r", "a", "i", "d", "enter", "space", "enter")
    assert diary(path) == [("bodice/trim", 0, True, None)]


def test_it_was_done_on_a_day_behind(path: Path) -> None:
    """w goes back day by day, to the end of that day's hours; after a week it is now again."""
    run(path, "space", "space", "w", "w", "enter")
    assert [one.at for one in read_project(path).diary.entries] == [datetime(2027, 5, 1, 17)]
    told = run(path, "space", *("w",) * 8)
    assert "What was done, now: Monday 3 May, 20:00" in told


def test_on_a_day_behind_it_is_of_that_day(path: Path) -> None:
    """Opened there, what was logged on it stands first, and done steps are opened again."""
    with_entries(path, Entry(at=datetime(2027, 5, 2, 11), step=CUT, minutes=20, done=True))
    told = run(path, "up", "space", "space", "enter")
    assert diary(path)[1:] == [("stays/cut", 0, False, 40)]
    assert read_project(path).diary.entries[1].at == datetime(2027, 5, 2, 12)
    assert "“cut the layers” (Stays) open again, 40 min left." in told


def test_nothing_typed_is_lost_by_escape(path: Path) -> None:
    """It asks once; any other key goes on, and then it is all there."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "4", "5", "escape")
        assert driven.shows("Drop what you typed? Escape again drops it")
        await driven.press("x")
        assert isinstance(driven.app.screen, LogSheet)
        assert not driven.shows("Drop what you typed?")
        assert driven.shows("45")
        await driven.press("escape", "escape")
        assert driven.screen == "RunUp"
        await driven.press("down", "enter", "space", "escape")
        assert driven.screen == "RunUp", "nothing was typed: nothing is asked"

    drive(body, path=path, now=EVENING)
    assert diary(path) == []


def test_a_note_is_kept_by_escape_too(path: Path) -> None:
    """From the note one comes back to the rows."""
    run(path, "space", "n", "h", "m", "9", "escape", "enter")
    assert read_project(path).diary.entries[0].note == "hm9"


def test_what_cant_be_understood_is_not_logged(path: Path) -> None:
    """The cursor goes there, and it says how to write it."""
    told = run(path, "space", "9", "h", "9", "9", "down", "space", "enter")
    assert diary(path) == []
    assert "“9h99” is no time: type minutes as 45, or 1h30, or 1:30." in told
    assert "▸ /  c  Stays  cut the layers" in told


def test_with_nothing_said_enter_just_closes(path: Path) -> None:
    """And leaves no trace."""
    told = run(path, "space", "enter")
    assert "What was done" not in told
    assert not (path / "diary.toml").exists()


def test_files_that_change_meanwhile_leave_what_is_typed(path: Path) -> None:
    """The plan beneath is read again; the row says what is left now."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "down", "2", "0")
        file = path / "ferrywoman.toml"
        file.write_text(file.read_text("utf-8").replace('hours = "1h"', 'hours = "2h"', 1), "utf-8")
        driven.app.look()
        await driven.settle()
        assert driven.shows("20")
        await driven.press("enter")

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/channels", 20, False, None)]


def test_what_cant_be_saved_stays_on_the_sheet(path: Path) -> None:
    """It says why; once the file is mended, enter logs it."""
    file = path / "ferrywoman.toml"
    text = file.read_text("utf-8")

    async def body(driven: Driven) -> None:
        await driven.press("space", "space", "4", "5")
        file.write_text(text + "\nbroken = = 1\n", "utf-8")
        await driven.press("enter")
        assert isinstance(driven.app.screen, LogSheet)
        assert any("▸ ×  c  Stays" in line and line.endswith(" 45") for line in driven.text())
        assert driven.shows("Not logged yet: ferrywoman.toml, line ")
        file.write_text(text, "utf-8")
        await driven.press("enter")

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/cut", 45, True, None)]


@pytest.mark.parametrize(
    ("keys", "step"),
    [
        (("n",), "stays/bones"),
        (("g", "down", "enter"), "bodice/mock-up"),
        (("h",), "stays/bones"),
    ],
    ids=("now", "garments", "hand sewing"),
)
def test_from_every_screen_with_steps(path: Path, keys: tuple[str, ...], step: str) -> None:
    """The step under the cursor stands first, done; two keys log it, and what became is said."""
    told = run(path, *keys, "space", "enter")
    assert diary(path) == [(step, 0, True, None)]
    assert " done. " in told
    assert told.count("less to do") == 1


def test_in_garments_a_done_step_is_opened_again(path: Path) -> None:
    """Also one that was done before the diary."""
    file = path / "ferrywoman.toml"
    text = file.read_text("utf-8").replace('id = "mock-up"\n', 'id = "mock-up"\ndone = true\n', 1)
    file.write_text(text, "utf-8")
    run(path, "g", "down", "enter", "space", "space", "enter")
    assert diary(path) == [("bodice/mock-up", 0, False, 105)]
    assert not any(step.done for g in read_project(path).ensembles[0].garments for step in g.steps)


def test_a_click_goes_to_a_row_and_marks_it(path: Path) -> None:
    """The first goes there, the second marks; on minutes it goes to their column."""

    async def body(driven: Driven) -> None:
        await driven.press("space")
        sheet = driven.app.screen
        assert isinstance(sheet, LogSheet)
        await driven.pilot.click("#log", offset=(20, 2))
        assert sheet.log_list.cursor == "ferrywoman/stays/channels"
        assert not sheet.said
        await driven.pilot.click("#log", offset=(20, 2))
        assert [row.word for row in sheet.said] == ["done"]
        await driven.pilot.click("#log", offset=(75, 1))
        await driven.press("2", "0")
        assert [row.left for row in sheet.said] == ["20", ""]

    drive(body, path=path, now=EVENING)


@pytest.mark.parametrize(
    "keys",
    [
        ("space", "space", "4", "5", "down", "space", "space", "enter"),
        ("down", "enter", "space", "1", "h", "3", "0", "enter", "down"),
        ("space", "n", "h", "i", "enter", "w", "down", "space", "enter"),
        ("n", "space", "enter", "space", "escape"),
        ("space", "slash", "h", "e", "m", "enter", "space", "enter", "down"),
    ],
    ids=" ".join,
)
def test_a_burst_does_the_same(tmp_path: Path, keys: tuple[str, ...]) -> None:
    """Keys that come at once are each about what the one before has left."""
    found = []
    for at_once in (True, False):
        path = a_copy(tmp_path / str(at_once))
        shown: list[str] = []

        async def body(driven: Driven, at_once: bool = at_once, to: list[str] = shown) -> None:
            await (burst(driven, *keys) if at_once else driven.press(*keys))
            to.extend(driven.text())

        drive(body, path=path, now=EVENING)
        found.append((shown, diary(path)))
    assert found[0] == found[1]


# the files change beneath it


def _without(path: Path, step: str, instead: str | None = None) -> None:
    """An editor takes a step out of the ensemble's file, or gives it another id."""
    file = path / "ferrywoman.toml"
    text = file.read_text(encoding="utf-8")
    if instead is not None:
        changed = text.replace(f'"{step}"', f'"{instead}"')
    else:
        blocks = re.split(r"(?m)^(?=\[)", text)
        changed = "".join(one for one in blocks if f'id = "{step}"' not in one)
        changed = changed.replace(f'"{step}", ', "").replace(f'after = ["{step}"]\n', "")
    assert changed != text
    file.write_text(changed, encoding="utf-8")


def _told(driven: Driven) -> str:
    """What is drawn, without its breaks."""
    return " ".join(" ".join(driven.text()).split())


async def _look(driven: Driven) -> None:
    """The program looks at the files, as it does every two seconds."""
    driven.app.look()
    await driven.settle()


def test_what_was_typed_of_a_step_that_goes_stays(path: Path) -> None:
    """Its row stays and says so; enter keeps the words in the diary by the step's old id."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "n", "k", "n", "o", "t", "enter", "1", "5")
        _without(path, "cut", "cut-layers")
        await _look(driven)
        assert driven.shows("no longer in the files") and driven.shows("“knot”")
        assert driven.shows("enter keeps it in the diary under ferrywoman/stays/cut")
        await driven.press("enter")
        assert driven.screen == "RunUp"
        kept = "kept in the diary under ferrywoman/stays/cut, no longer in the files"
        assert kept in _told(driven)

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/cut", 15, False, None)]
    assert read_project(path).diary.entries[0].note == "knot"


def test_words_on_a_step_that_has_gone_go_onto_another(path: Path) -> None:
    """/ finds the step; minutes, mark and note go with it."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "space", "1", "5", "n", "k", "n", "o", "t", "enter")
        _without(path, "cut", "cut-layers")
        await _look(driven)
        await driven.press("slash", *"cut the layers", "enter", "enter")
        assert driven.screen == "RunUp"

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/cut-layers", 15, True, None)]
    assert read_project(path).diary.entries[0].note == "knot"


def test_a_note_in_hand_never_slides_to_another_step(path: Path) -> None:
    """Also where nothing was said of its step yet, and it goes while the note is typed."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "n", "h", "a", "l", "f")
        _without(path, "cut", "cut-layers")
        await _look(driven)
        await driven.press("w", "a", "y", "enter")
        assert driven.shows("“halfway”")
        await driven.press("4", "enter")

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/cut", 4, False, None)]
    assert read_project(path).diary.entries[0].note == "halfway"


def test_a_step_that_has_just_gone_is_seen_before_it_is_kept(path: Path) -> None:
    """Enter before the program has looked: nothing is logged till the second enter."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "1", "5")
        _without(path, "cut", "cut-layers")
        await driven.press("enter")
        assert driven.screen == "LogSheet" and driven.shows("no longer in the files")
        assert diary(path) == []
        await driven.press("enter")
        assert driven.screen == "RunUp"

    drive(body, path=path, now=EVENING)
    assert diary(path) == [("stays/cut", 15, False, None)]


def test_others_changes_arent_taken_for_its_own(path: Path) -> None:
    """What became of the plan is told against the files as they were just before."""

    async def body(driven: Driven) -> None:
        await driven.press("space", "n", "k", "enter")
        other = Entry(at=EVENING, step="ferrywoman/stays/channels", done=True)
        with_entries(path, other)
        await driven.press("enter")
        assert "Note on “cut the layers” (Stays) logged. Nothing else changes." in _told(driven)
        with (path / "diary.toml").open("a", encoding="utf-8") as file:
            file.write(f'\n[[entry]]\nat = 2027-05-03T20:00:09\nstep = "{CUT}"\nnote = "more"\n')
        await _look(driven)
        assert _told(driven).count("Nothing else changes") == 1

    drive(body, path=path, now=EVENING)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_it_fills_the_screen_with_what_was_logged_last(path: Path, size: tuple[int, int]) -> None:
    """Nothing of the screen beneath sticks out; a single key line, at the bottom."""
    with_entries(path, Entry(at=datetime(2027, 5, 2, 11), step=CUT, minutes=20, note="a hum"))

    async def body(driven: Driven) -> None:
        await driven.press("space")
        lines = driven.text()
        assert lines[-1].lstrip().startswith("enter keep")
        assert "in 19 days" in lines[0] and not driven.shows("^p more")
        assert driven.shows("Logged last:")
        assert driven.shows("yesterday, 11:00: “cut the layers” (Stays), 20 min, “a hum”")

    drive(body, size, path=path, now=EVENING)


def test_wearby_log_takes_back_what_the_sheet_logged(path: Path) -> None:
    """With the plan that stood before: it is kept beside the diary as the new one is."""

    async def body(driven: Driven) -> None:
        driven.app.keeps_edited = True
        before = driven.run_up.days.plan
        assert before is not None
        await driven.press("space", "space", "4", "5", "enter")
        kept = kept_before(path, read_project(path))
        assert kept is not None and kept.fullest == pytest.approx(before.peak_load, abs=1e-4)

    drive(body, path=path, now=EVENING)


def test_a_past_day_shows_what_is_logged_on_it_already(path: Path) -> None:
    """On the rows, and by another day what that one has; nothing is said to be logged twice."""
    with_entries(
        path, Entry(at=datetime(2027, 5, 2, 20), step=CUT, minutes=35),
        Entry(at=datetime(2027, 5, 3, 19), step=CUT, minutes=5),
    )  # fmt: skip

    async def body(driven: Driven) -> None:
        await driven.press("space")
        assert isinstance(driven.app.screen, LogSheet)
        driven.app.screen.log_list.add(driven.app.screen.log_list.rows[0])
        assert driven.shows("0:05 already")
        assert not driven.shows("nothing is logged yet")
        await driven.press("w")
        assert driven.shows("0:35 already") and not driven.shows("0:05 already")
        await driven.press("w")
        assert not driven.shows(" already")

    drive(body, path=path, now=EVENING)
