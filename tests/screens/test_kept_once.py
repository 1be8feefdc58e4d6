"""What a form couldn't save and then could is kept once; what is left is offered by its words."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from planner.editing.diary import log
from planner.files.identity import identity_of
from planner.files.lock import Held, open_for_writing
from planner.model import Entry, Project
from screens.command import main
from screens.earlier import states_of
from screens.recovering import aside
from screens.session import Session
from screens.settling import bring_back
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy

NOW = datetime(2027, 5, 3, 19, 40)
STEP = "ferrywoman/stays/cut"


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept for later lies in the test's own folder."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def logged(minutes: int, note: str = "by lamp", at: datetime = NOW) -> Callable[[Project], Project]:
    """A change that logs some minutes of one step."""
    entry = Entry(at=at, step=STEP, minutes=minutes, note=note)
    return lambda project: log(project, [entry])


def minutes(folder: Path) -> list[int]:
    """What the diary says was logged."""
    return [one.minutes for one in Session(folder, lambda: NOW).project.diary.entries]


def full(patch: pytest.MonkeyPatch, *folders: Path) -> None:
    """Nothing more can be written in these folders."""
    real = os.open

    def opened(path: str | Path, flags: int, *rest: int, **named: int) -> int:
        if flags & os.O_CREAT and any(Path(path).parent == folder for folder in folders):
            raise OSError(errno.ENOSPC, "no room")
        return real(path, flags, *rest, **named)

    patch.setattr(os, "open", opened)


def kept() -> list[Path]:
    """The files of edits that couldn't be saved."""
    return list(aside().iterdir()) if aside().is_dir() else []


def test_a_sheet_that_saves_at_last_saves_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Refused, changed, and kept by the same sheet: the first words are withdrawn."""
    folder = a_copy(tmp_path)
    already = minutes(folder)

    async def body(driven: Driven) -> None:
        driven.app.log_steps([STEP])
        await driven.settle()
        with monkeypatch.context() as patch:
            full(patch, folder)
            await driven.press("3", "0", "enter")
            assert driven.screen == "LogSheet"
            assert len(kept()) == 1
            await driven.press("enter")
            assert len(kept()) == 1
        await driven.press("backspace", "5", "enter")
        assert driven.screen == "RunUp"
        assert not driven.shows("could not be saved")
        assert len(minutes(folder)) == len(already) + 1
        assert not kept()

    drive(body, path=folder, now=NOW)


def test_a_sheet_that_is_closed_unsaved_is_asked_about(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the sheet held is offered as soon as it is closed, by its words."""
    folder = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        driven.app.log_steps([STEP])
        await driven.settle()
        with monkeypatch.context() as patch:
            full(patch, folder)
            await driven.press("3", "0", "n", *"lamp", "enter", "enter")
            await driven.press("escape", "escape")
        assert driven.screen == "NotSavedYet"
        assert driven.shows("Today, 19:40: “cut the layers” (Stays), 30 min, “lamp”")
        # nothing else is done over the question
        await driven.press("ctrl+p")
        assert driven.screen == "NotSavedYet"
        await driven.press("down", "enter")
        assert driven.shows("for good: enter once more")
        await driven.press("down", "enter")
        assert len(kept()) == 1
        await driven.press("ctrl+p", *"could not be", "enter")
        assert driven.screen == "NotSavedYet"
        await driven.press("down", "enter", "enter")
        assert not kept()

    drive(body, path=folder, now=NOW)


def test_the_same_edit_made_again_is_not_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A command that is given again some minutes later; with other minutes it is asked about."""
    folder = a_copy(tmp_path)
    later = NOW + timedelta(minutes=4)
    for again, left in ((47, 0), (20, 1)):
        session = Session(folder, lambda: NOW)
        with monkeypatch.context() as patch:
            full(patch, folder)
            with pytest.raises(Exception, match="offered again"):
                session.apply("logged", logged(47, f"in {again}"))
        Session(folder, lambda: later).apply("logged", logged(again, f"in {again}", later))
        assert len(kept()) == left

    async def body(driven: Driven) -> None:
        assert driven.shows("The diary may have this work already: Today, 19:44: ")
        await driven.press("enter")  # the mark stands at "decide later"
        assert len(kept()) == 1

    drive(body, path=folder, now=later)


def test_a_moved_workroom_is_known_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """By its own word, else by its garments; a copy beside the workroom isn't taken for it."""
    for known in (True, False):
        folder = a_copy(tmp_path / str(known))
        session = Session(folder, lambda: NOW)
        if known:
            assert session.open_for_writing() is None
            assert identity_of(folder)
        session.read()
        copy, moved = folder.with_name("copy"), folder.with_name("moved")
        shutil.copytree(folder, copy)
        folder.rename(moved)
        with pytest.raises(Exception, match="the edit is kept and offered again"):
            session.apply("an evening logged", logged(47))
        moved.rename(folder)
        here = Session(copy, lambda: NOW)
        here.read()
        assert not here.unsaved
        folder.rename(moved)
        shutil.rmtree(copy)
        main(["check", str(moved), "--today", "2027-05-03"])
        said = " ".join(capsys.readouterr().out.split())
        assert "47 min, “by lamp”. It was made in" in said
        there = Session(moved, lambda: NOW)
        there.read()
        (edit,) = there.unsaved
        there.recover(edit)
        assert minutes(moved)[-1] == 47
        assert not kept()


def test_a_command_prints_what_is_kept_nowhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With no room for the words anywhere they are printed in full, and nothing else is said."""
    folder = a_copy(tmp_path)
    note = "the left gore is " + "very " * 60 + "tight"
    with monkeypatch.context() as patch:
        full(patch, folder, aside())
        assert main(["log", str(folder), STEP, "30", "--note", note, "--today", "2027-05-03"]) == 2
    said = capsys.readouterr().err
    assert f'note = "{note}"' in said
    assert f'step = "{STEP}"' in said
    assert "offered again" not in said
    assert "this run" not in said


def test_leaving_asks_where_words_would_be_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """q asks; saving them then leaves, and so does leaving them."""
    folder = a_copy(tmp_path)
    already = minutes(folder)

    async def body(driven: Driven) -> None:
        with monkeypatch.context() as patch:
            full(patch, folder, aside())
            driven.app.edit("an evening logged", logged(47))
        await driven.press("q")
        assert driven.screen == "Leaving"
        assert driven.shows("“by lamp”")
        await driven.press("enter")
        assert driven.screen == "RunUp"
        await driven.press("q", "down", "enter")
        assert minutes(folder) == [*already, 47]
        assert driven.app._exit

    drive(body, path=folder, now=NOW)


def test_a_sheet_says_at_once_that_another_has_the_workroom(tmp_path: Path) -> None:
    """Before anything is typed into it, and again with enter, by whole sentences."""
    folder = a_copy(tmp_path)
    other = open_for_writing(folder)
    assert isinstance(other, Held)

    async def body(driven: Driven) -> None:
        driven.app.holds = True
        driven.app.log_steps([STEP])
        await driven.settle()
        assert driven.shows("This workroom is open in another wearby since")
        await driven.press("3", "0", "enter")
        assert driven.shows("Not logged yet: this workroom is open in another wearby since")
        other.release()

    drive(body, path=folder, now=NOW)


def test_a_form_says_once_why_it_was_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the file's name, and not before that without."""
    folder = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        await driven.press("g", "e")
        assert driven.screen == "Form"
        with monkeypatch.context() as patch:
            full(patch, folder)
            await driven.press("x", "ctrl+s")
        told = " ".join(driven.text())
        assert told.count("the disk is full") == 1
        assert "ferrywoman.toml: the disk is full" in told

    drive(body, path=folder, now=NOW)


def test_check_tells_of_what_is_to_come_and_of_no_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An entry with a date ahead, and a file where the folder of earlier states should be."""
    folder = a_copy(tmp_path)
    Session(folder, lambda: NOW).apply("", logged(11, at=NOW + timedelta(days=400)))
    main(["check", str(folder), "--today", "2027-05-03"])
    said = " ".join(capsys.readouterr().out.split())
    assert "dated after today (2028-06-06), and counts as worked already" in said
    assert "is no folder" not in said
    shutil.rmtree(folder / ".wearby")
    (folder / ".wearby").write_text("", encoding="utf-8")
    main(["check", str(folder), "--today", "2028-07-01"])
    said = " ".join(capsys.readouterr().out.split())
    assert "dated after today" not in said
    assert "this is no folder, so no earlier states of files are kept" in said


def test_an_edit_of_an_ensemble_is_told_by_its_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was typed stands in the question, whatever file it was for."""
    folder = a_copy(tmp_path)

    def named(project: Project) -> Project:
        (first,) = project.ensembles
        return replace(project, ensembles=(replace(first, name="Heron [grey]"),))

    session = Session(folder, lambda: NOW)
    with monkeypatch.context() as patch:
        full(patch, folder)
        with pytest.raises(Exception, match="offered again"):
            session.apply("renamed", named)

    async def body(driven: Driven) -> None:
        assert driven.shows('ferrywoman.toml: name = "Heron [grey]"')

    drive(body, path=folder, now=NOW)


@pytest.mark.parametrize("size", [(80, 24), (100, 30)], ids=["80x24", "100x30"])
def test_earlier_states_are_told_apart(tmp_path: Path, size: tuple[int, int]) -> None:
    """Each by its time to the second and what it lacks; the one under the cursor is looked at."""
    folder = a_copy(tmp_path)
    for worked in (11, 12, 13):
        Session(folder, lambda: NOW).apply("", logged(worked, f"note {worked}"))
    states = [one for one in states_of(folder) if one.file.name == "diary.toml"]
    today = datetime.now().date()

    async def body(driven: Driven) -> None:
        bring_back(driven.app)
        await driven.settle()
        text = driven.text()
        for one in states:
            assert any(f"{one.earlier.at:%H:%M:%S}  diary.toml" in line for line in text)
        assert driven.shows("1 entry fewer than now")
        assert driven.shows("2 entries fewer than now")
        told = " ".join(" ".join(text).split())
        assert 'note = "note 13"' in told
        assert "note 12" not in told
        await driven.press("down")
        told = " ".join(" ".join(driven.text()).split())
        assert "Comes back: nothing" in told
        assert 'Goes: ' in told
        assert 'note = "note 12"' in told

    drive(body, size, path=folder, now=NOW.replace(year=today.year))


def test_another_edit_of_the_same_form_withdraws_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a form asks for several things in turn, each is kept by itself."""
    folder = a_copy(tmp_path)
    session, form = Session(folder, lambda: NOW), object()
    with monkeypatch.context() as patch:
        full(patch, folder)
        with pytest.raises(Exception, match="offered again"):
            session.apply("one", logged(47, "one"), (form, "one"))
    session.apply("other", logged(20, "other"), (form, "other"))
    assert [edit.label for edit in session.unsaved] == ["one"]
    session.apply("one", logged(12, "one"), (form, "one"))
    assert not session.unsaved
