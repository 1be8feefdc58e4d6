"""An edit that couldn't be saved is kept, offered again, and made on what the files say then."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.editing.diary import log
from planner.files.lock import Held, open_for_writing
from planner.model import Entry, Project
from screens.command import main
from screens.recovering import aside
from screens.session import Session
from screens.settling import bring_back
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy

NOW = datetime(2027, 5, 3, 19, 40)


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept for later lies in the test's own folder."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def logged(minutes: int) -> Callable[[Project], Project]:
    """A change that logs some minutes at the first step there is."""

    def change(project: Project) -> Project:
        ensemble = project.ensembles[0]
        garment = ensemble.garments[0]
        step = f"{ensemble.id}/{garment.id}/{garment.steps[0].id}"
        return log(project, [Entry(at=NOW, step=step, minutes=minutes)])

    return change


def minutes(folder: Path) -> list[int]:
    """What the diary says was logged."""
    return [one.minutes for one in Session(folder, lambda: NOW).project.diary.entries]


def a_full_disk(patch: pytest.MonkeyPatch, folder: Path) -> None:
    """Nothing more can be written in this folder."""
    real = os.open

    def full(path: str | Path, flags: int, *rest: int, **named: int) -> int:
        if flags & os.O_CREAT and Path(path).parent == folder:
            raise OSError(errno.ENOSPC, "no room")
        return real(path, flags, *rest, **named)

    patch.setattr(os, "open", full)


def test_an_edit_on_a_full_disk_is_offered_and_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is told with file, place and remedy; the next start asks, and enter makes it."""
    folder = a_copy(tmp_path)
    already = minutes(folder)

    async def fails(driven: Driven) -> None:
        with monkeypatch.context() as patch:
            a_full_disk(patch, folder)
            assert driven.app.edit("an evening logged", logged(47))
        await driven.settle()
        told = " ".join(driven.text())
        assert "the disk is full" in told
        assert "kept" in told

    async def keeps(driven: Driven) -> None:
        assert driven.shows("An edit of Monday 3 May, 19:40 could not be saved: an evening logged.")
        assert driven.shows("The diary may have this work already: Today, 19:40: ")
        await driven.press("up", "up", "enter")
        assert driven.shows("both count then: enter once more")
        await driven.press("enter")
        assert driven.shows("Kept: an evening logged.")

    async def is_not_asked_again(driven: Driven) -> None:
        assert not driven.shows("could not be saved")

    drive(fails, path=folder, now=NOW)
    assert minutes(folder) == already
    Session(folder, lambda: NOW).apply("another", logged(11))
    drive(keeps, path=folder, now=NOW)
    assert sorted(minutes(folder)) == sorted([*already, 11, 47])
    assert not list(aside().iterdir())
    drive(is_not_asked_again, path=folder, now=NOW)


def test_as_soon_as_saving_works_again_it_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After the next edit that could be saved, in the same run."""
    folder = a_copy(tmp_path)

    async def body(driven: Driven) -> None:
        with monkeypatch.context() as patch:
            a_full_disk(patch, folder)
            driven.app.edit("an evening logged", logged(47))
        await driven.settle()
        assert not driven.shows("could not be saved")
        driven.app.edit("another", logged(11))
        await driven.settle()
        assert driven.shows("could not be saved")
        await driven.press("enter")
        assert sorted(minutes(folder)) == [11, 47]

    drive(body, path=folder, now=NOW)


def test_it_can_be_put_off_and_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Escape decides later; the second answer throws it away. Till then `wearby check` tells."""
    folder = a_copy(tmp_path)
    already = minutes(folder)
    session = Session(folder, lambda: NOW)
    with monkeypatch.context() as patch:
        a_full_disk(patch, folder)
        with pytest.raises(Exception, match="offered again"):
            session.apply("an evening logged", logged(47))

    main(["check", str(folder), "--today", "2027-05-03"])
    said = " ".join(capsys.readouterr().out.split())
    refused = "An edit of Monday 3 May, 19:40 could not be saved: an evening logged. Today, 19:40: "
    assert refused in said
    assert "47 min. Open the workroom to keep it" in said

    async def later(driven: Driven) -> None:
        await driven.press("escape")
        assert not driven.shows("could not be saved")

    async def dropped(driven: Driven) -> None:
        await driven.press("down", "enter", "enter")
        assert driven.shows("Thrown away: an evening logged.")

    drive(later, path=folder, now=NOW)
    assert len(list(aside().iterdir())) == 1
    drive(dropped, path=folder, now=NOW)
    assert not list(aside().iterdir())
    assert minutes(folder) == already


def test_a_folder_that_is_gone_costs_no_words(tmp_path: Path) -> None:
    """An edit is kept although nothing can be read; once the folder is back it can be made."""
    folder = a_copy(tmp_path)
    already = minutes(folder)
    session = Session(folder, lambda: NOW)
    session.read()
    folder.rename(tmp_path / "elsewhere")
    with pytest.raises(Exception, match="the edit is kept and offered again"):
        session.apply("an evening logged", logged(47))
    assert not folder.exists()
    (tmp_path / "elsewhere").rename(folder)
    (edit,) = session.aside.waiting(folder)
    session.recover(edit)
    assert minutes(folder) == [*already, 47]
    assert not session.aside.waiting(folder)


def test_what_was_changed_since_is_told_and_stays_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where somebody changed the same thing meanwhile, nothing is overwritten nor thrown away."""
    folder = a_copy(tmp_path)
    session = Session(folder, lambda: NOW)

    def named(name: str) -> Callable[[Project], Project]:
        def change(project: Project) -> Project:
            first, *rest = project.ensembles
            return replace(project, ensembles=(replace(first, name=name), *rest))

        return change

    with monkeypatch.context() as patch:
        a_full_disk(patch, folder)
        with pytest.raises(Exception, match="offered again"):
            session.apply("renamed", named("Heron"))
    session.apply("renamed otherwise", named("Crane"))
    (edit,) = session.aside.waiting(folder)
    with pytest.raises(Exception, match="changed since: make this edit by hand; its words are in"):
        session.recover(edit)
    assert session.aside.waiting(folder) == [edit]
    assert session.project.ensembles[0].name == "Crane"


def test_where_nothing_can_be_kept_on_disk_memory_serves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where that is full too the edit is kept while the program runs, which is said."""
    folder = a_copy(tmp_path)
    already = minutes(folder)
    session = Session(folder, lambda: NOW)
    session.read()
    real = os.open

    def full(path: str | Path, flags: int, *rest: int, **named: int) -> int:
        if flags & os.O_CREAT:
            raise OSError(errno.ENOSPC, "no room")
        return real(path, flags, *rest, **named)

    with monkeypatch.context() as patch:
        patch.setattr(os, "open", full)
        with pytest.raises(Exception, match="only this run of wearby has it"):
            session.apply("an evening logged", logged(47))
    (edit,) = session.aside.waiting(folder)
    session.recover(edit)
    assert minutes(folder) == [*already, 47]


def test_a_workroom_open_elsewhere_is_read(tmp_path: Path) -> None:
    """A second program is told who has it, saves nothing, and can once the first has closed it."""
    folder = a_copy(tmp_path)
    already = minutes(folder)
    other = open_for_writing(folder)
    assert isinstance(other, Held)

    async def body(driven: Driven) -> None:
        driven.app.holds = True
        driven.app.session.settled = False
        driven.app.replan()
        await driven.settle()
        assert driven.shows("open in another wearby since")
        (problem,) = driven.app.edit("an evening logged", logged(47))
        assert "opened here for reading. Nothing was saved" in problem.text
        assert minutes(folder) == already
        other.release()
        assert driven.app.edit("an evening logged", logged(47)) == ()
        await driven.settle()
        assert minutes(folder) == [*already, 47]

    drive(body, path=folder, now=NOW)
    again = open_for_writing(folder)
    assert isinstance(again, Held)
    again.release()


def test_a_command_writes_while_the_program_is_open(tmp_path: Path) -> None:
    """What is logged in a second terminal is saved, and in the program's next edit it is there."""
    folder = a_copy(tmp_path)
    already = minutes(folder)
    program, command = Session(folder, lambda: NOW), Session(folder, lambda: NOW)
    assert program.open_for_writing() is None
    program.read()
    command.apply("logged", logged(11))
    program.apply("logged", logged(47))
    assert minutes(folder) == [*already, 11, 47]
    program.undo()
    assert minutes(folder) == [*already, 11]
    program.close()


def test_an_earlier_state_comes_back(tmp_path: Path) -> None:
    """The list has what a file said before; enter brings it back, undo takes that back."""
    folder = a_copy(tmp_path)
    Session(folder, lambda: NOW).apply("an evening logged", logged(11))
    already = minutes(folder)

    async def body(driven: Driven) -> None:
        driven.app.edit("an evening logged", logged(47))
        await driven.settle()

        bring_back(driven.app)
        await driven.settle()
        assert driven.shows("diary.toml")
        await driven.press("enter")
        assert minutes(folder) == already
        assert driven.shows("Brought back: diary.toml as it was at")
        driven.app.action_undo()
        await driven.settle()
        assert minutes(folder) == [*already, 47]

    drive(body, path=folder, now=NOW)


def test_words_that_an_editor_saved_over_are_told(tmp_path: Path) -> None:
    """The program says once that they are gone, and where they are; its own undo isn't that."""
    folder = a_copy(tmp_path)
    Session(folder, lambda: NOW).apply("an evening logged", logged(11))
    older = (folder / "diary.toml").read_text(encoding="utf-8")

    async def body(driven: Driven) -> None:
        driven.app.edit("an evening logged", logged(47))
        await driven.settle()
        driven.app.action_undo()
        await driven.settle()
        assert not driven.shows("Gone since")
        driven.app.action_redo()
        await driven.settle()
        (folder / "diary.toml").write_text(older, encoding="utf-8")
        driven.app.look()
        await driven.settle()
        told = " ".join(line.strip() for line in driven.text()[:6])
        assert "Gone since wearby wrote it: 4 lines of diary.toml." in told
        driven.app.tell("")
        driven.app.replan()
        await driven.settle()
        assert not driven.shows("Gone since")

    drive(body, path=folder, now=NOW)
