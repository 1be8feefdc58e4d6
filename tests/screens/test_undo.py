"""Edits, undo, redo and previews through the program."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Event
from time import monotonic, sleep

import pytest

from planner.model import Project
from planner.plan import Verdict
from screens import previews as previews_module
from screens.previews import Preview
from tests.screens.driving import Driven, drive
from tests.screens.test_session import HEATH, WORKROOM, step_with, with_garment

NOW = datetime(2027, 3, 1, 8)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A workroom of one ensemble."""
    (tmp_path / "workroom.toml").write_text(WORKROOM, encoding="utf-8")
    (tmp_path / "heath.toml").write_text(HEATH, encoding="utf-8")
    return tmp_path


def left_off(project: Project) -> Project:
    """The hem of the cape left off."""
    return step_with("cape/hem", left_off=True)(project)


def test_an_edit_is_told_and_planned(folder: Path) -> None:
    """What was done stands beneath the verdict till the next key; the plan is of the edit."""

    async def body(driven: Driven) -> None:
        assert driven.app.edit("hem left off", left_off) == ()
        await driven.settle()
        assert driven.text()[2].startswith(" Hem left off. ")
        assert driven.shows("2 h less to do")
        assert driven.app.state is not None
        assert [step.left_off for step in driven.app.state.plan.steps] == [False, True, False]
        await driven.press("down")
        assert not driven.shows("Hem left off.")

    drive(body, path=folder, now=NOW)


def test_undo_and_redo_say_what_they_did(folder: Path) -> None:
    """ctrl+z and ctrl+y go through the edits, and say so where there are no more."""

    async def body(driven: Driven) -> None:
        await driven.press("ctrl+z")
        assert driven.shows("There is nothing to undo.")
        driven.app.edit("hem left off", left_off)
        driven.app.edit("belt added", with_garment("belt"))
        await driven.settle()
        await driven.press("ctrl+z")
        assert driven.shows("Undone: belt added.")
        await driven.press("ctrl+z")
        assert driven.shows("Undone: hem left off.")
        assert (folder / "heath.toml").read_text() == HEATH
        await driven.press("ctrl+y")
        assert driven.shows("Done again: hem left off.")
        await driven.press("ctrl+y", "ctrl+y")
        assert driven.shows("Nothing was undone.")
        assert "belt" in (folder / "heath.toml").read_text()

    drive(body, path=folder, now=NOW)


def test_the_palette_names_what_can_be_undone(folder: Path) -> None:
    """By the label of the edit; nothing is offered where nothing was done."""

    async def body(driven: Driven) -> None:
        def offered() -> dict[str, str]:
            found = driven.app.get_system_commands(driven.app.screen)
            return {command.title: command.help for command in found}

        assert "Undo the last edit" not in offered()
        driven.app.edit("hem left off", left_off)
        await driven.settle()
        assert offered()["Undo the last edit"] == "Takes back: hem left off"
        await driven.press("ctrl+z")
        assert offered()["Make the edit again"] == "That is: hem left off"

    drive(body, path=folder, now=NOW)


def test_an_edit_that_fails_says_why_and_saves_nothing(folder: Path) -> None:
    """Its problems come back too; screens and files stay as they were."""

    async def body(driven: Driven) -> None:
        problems = driven.app.edit("cut moved", step_with("cape/cut", after=("hem",)))
        await driven.settle()
        assert problems
        assert driven.shows("Not done: cut moved. heath.toml:")
        assert (folder / "heath.toml").read_text() == HEATH
        await driven.press("down")
        assert not driven.shows("Not done")

    drive(body, path=folder, now=NOW)


def test_an_undo_is_refused_where_an_editor_was(folder: Path) -> None:
    """The message names the edit and what was changed; the file keeps the editor's words."""

    async def body(driven: Driven) -> None:
        driven.app.edit("cut longer", step_with("cape/cut", hours=90))
        await driven.settle()
        file = folder / "heath.toml"
        file.write_text(file.read_text().replace('"1h30"', '"5h"'), encoding="utf-8")
        await driven.press("ctrl+z")
        told = " ".join(line.strip() for line in driven.text()[2:6])
        assert "can't be taken back or made again: heath/cape/cut" in told
        assert 'hours = "5h"' in file.read_text()

    drive(body, path=folder, now=NOW)


def test_no_undo_while_a_question_is_open(folder: Path) -> None:
    """ctrl+z in a dialog leaves the edits alone."""

    async def body(driven: Driven) -> None:
        driven.app.edit("hem left off", left_off)
        await driven.settle()
        await driven.press("question_mark", "ctrl+z", "escape")
        assert len(driven.app.session.done) == 1
        await driven.press("ctrl+z")
        assert not driven.app.session.done

    drive(body, path=folder, now=NOW)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_what_is_told_is_wrapped_and_never_markup(folder: Path, width: int) -> None:
    """Brackets show literally, long sentences take lines of their own."""

    async def body(driven: Driven) -> None:
        driven.app.edit(f"“a [b]name[/b] [/]” {'of many words ' * 8}left off", left_off)
        await driven.settle()
        assert driven.text()[2].startswith(" “a [b]name[/b] [/]” of")
        assert any("left off." in line for line in driven.text()[2:6])

    drive(body, size=(width, 24), path=folder, now=NOW)


def test_the_newest_preview_is_told_alone(folder: Path) -> None:
    """Of questions in quick succession the last is answered; nothing is saved."""

    async def body(driven: Driven) -> None:
        told: list[Preview] = []
        for minutes in range(60, 90):
            driven.app.preview(step_with("cape/cut", hours=minutes), told.append)
        last = driven.app.preview(step_with("cape/cut", hours=240), told.append)
        await driven.settle()
        assert [preview.number for preview in told] == [last]
        assert told[0].sentence.startswith("then: fits, ")
        assert "3 h more to do" in told[0].sentence
        assert told[0].final
        assert (folder / "heath.toml").read_text() == HEATH

    drive(body, path=folder, now=NOW)


def test_a_preview_tells_problems_as_values(folder: Path) -> None:
    """A change that can't be planned, and one that fails by itself, are told."""

    async def body(driven: Driven) -> None:
        told: list[Preview] = []
        driven.app.preview(step_with("cape/cut", after=("nowhere",)), told.append)
        await driven.settle()
        assert told[0].plan is None
        assert "nowhere" in told[0].problems[0].text

        def broken(project: Project) -> Project:
            raise RuntimeError("oh")

        driven.app.preview(broken, told.append)
        await driven.settle()
        assert "please report it" in told[1].problems[0].text

    drive(body, path=folder, now=NOW)


def test_an_ended_preview_is_not_told(folder: Path) -> None:
    """Neither after the form is closed, nor once an edit was kept."""

    async def body(driven: Driven) -> None:
        told: list[Preview] = []
        driven.app.preview(left_off, told.append)
        driven.app.end_preview()
        await driven.settle()
        driven.app.preview(left_off, told.append)
        driven.app.edit("hem left off", left_off)
        await driven.settle()
        assert told == []

    drive(body, path=folder, now=NOW)


def test_a_question_stops_the_answer_to_the_one_before(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An answer under way is given up once it is no longer wanted."""
    begun, stopped = Event(), Event()
    answer = previews_module.previews_of

    def slow(asked: previews_module.Asked, stop: Callable[[], bool]) -> object:
        if not begun.is_set():
            begun.set()
            deadline = monotonic() + 5
            while not stop() and monotonic() < deadline:
                sleep(0.001)
            if stop():
                stopped.set()
            return iter(())
        return answer(asked, stop)

    monkeypatch.setattr("screens.app.previews_of", slow)

    async def body(driven: Driven) -> None:
        told: list[Preview] = []
        driven.app.preview(left_off, told.append)
        while not begun.is_set():
            await driven.pilot.pause()
        number = driven.app.preview(left_off, told.append)
        await driven.settle()
        assert stopped.is_set()
        assert [preview.number for preview in told] == [number]

    drive(body, path=folder, now=NOW)


def test_where_it_is_tight_what_is_certain_comes_first(tmp_path: Path) -> None:
    """Two answers to one question: the second with peak and moves, and the same verdict."""
    folder = Path(shutil.copytree("sample_projects/oldmere_regatta", tmp_path / "copy"))

    def longer(project: Project) -> Project:
        ensemble = project.ensembles[0]
        garment = ensemble.garments[0]
        steps = (replace(garment.steps[0], effort=3.0), *garment.steps[1:])
        garments = (replace(garment, steps=steps), *ensemble.garments[1:])
        return replace(project, ensembles=(replace(ensemble, garments=garments),))

    async def body(driven: Driven) -> None:
        told: list[Preview] = []
        driven.app.preview(longer, told.append)
        await driven.settle()
        assert told[-1].final
        assert [preview.final for preview in told[:-1]] in ([], [False])
        first, last = told[0].plan, told[-1].plan
        assert first is not None
        assert last is not None
        assert first.fits in (None, last.fits)
        assert last.verdict in Verdict

    drive(body, path=folder, now=datetime(2027, 5, 1, 8))
