"""Two programs on one workroom, and an editor saving under their feet: nobody's words are lost."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.editing.diary import log
from planner.files import saving, swapping
from planner.files.backups import earlier_states
from planner.files.reading import read_project
from planner.files.staging import Staging
from planner.files.writing import ChangedMeanwhile
from planner.model import Entry, Project
from screens.session import Session

NOW = datetime(2027, 5, 3, 19, 40)
STEP = "ferrywoman/stays/cut"


def logged(word: str) -> Callable[[Project], Project]:
    """A change that logs a word, and has it in the ensemble's file too."""

    def change(project: Project) -> Project:
        project = log(project, [Entry(at=NOW, step=STEP, minutes=1, note=word)])
        first, *rest = project.ensembles
        garment, *others = first.garments
        step, *steps = garment.steps
        step = replace(step, name=f"{step.name} {word}")
        garment = replace(garment, steps=(step, *steps))
        return replace(project, ensembles=(replace(first, garments=(garment, *others)), *rest))

    return change


class Editor:
    """It knows no locks: it reads when it likes, and saves over whatever is there."""

    def __init__(self, file: Path, renames: bool) -> None:
        self.file, self.renames = file, renames
        self.text = ""

    def read(self) -> None:
        """Show the file as it is, unless there is something unsaved."""
        self.text = self.file.read_text(encoding="utf-8")

    def save(self, word: str) -> None:
        """Add a word, and save: by a new file of the name, or into the very file."""
        self.text += f"# {word}\n"
        if self.renames:
            beside = self.file.with_name(f"{self.file.name}~")
            beside.write_text(self.text, encoding="utf-8")
            os.replace(beside, self.file)
        else:
            self.file.write_text(self.text, encoding="utf-8")


@contextlib.contextmanager
def amid_saves(what: Callable[[], None]) -> Any:
    """Do something once, between a save's looking at the file and its replacing it."""
    waiting = [what]
    real = saving.write_beside

    def written(target: Path, data: bytes) -> Path:
        found = real(target, data)
        if waiting:
            waiting.pop()()
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("planner.files.staging.write_beside", written)
        yield


@contextlib.contextmanager
def amid_swaps(what: Callable[[], None]) -> Any:
    """Do something once, at the last moment: between the last look and the replacing."""
    waiting = [what]
    real = swapping.swap

    def swapped(one: Path, other: Path) -> None:
        if waiting:
            waiting.pop()()
        real(one, other)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("planner.files.staging.swap", swapped)
        yield


def everything(folder: Path) -> str:
    """What the files say, and what their earlier states do."""
    files = list(folder.glob("*.toml"))
    states = [one.path for file in files for one in earlier_states(file)]
    return "\n".join(path.read_text(encoding="utf-8") for path in (*files, *states))


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["program", "command", "editor reads", "editor saves", "undo"]),
        st.sampled_from(["alone", "editor amid", "editor at the last moment"]),
    ),
    max_size=14,
)


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(acts=ACTS, renames=st.booleans(), exchanges=st.booleans(), of_diary=st.booleans())
def test_in_any_order(
    acts: list[tuple[str, str]], renames: bool, exchanges: bool, of_diary: bool
) -> None:
    """A program, commands beside it, and an editor, in any order: each accepted word is in a
    file or an earlier state of it, and what no editor overwrote is in the file."""
    with tempfile.TemporaryDirectory() as parent, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", parent)
        if not exchanges:
            patch.setattr(swapping, "_rename", lambda: None)
        folder = Path(parent) / "workroom"
        shutil.copytree("tests/screens/a_workroom", folder)
        _one_evening(folder, acts, renames, of_diary)


def _one_evening(folder: Path, acts: list[tuple[str, str]], renames: bool, of_diary: bool) -> None:
    Session(folder, lambda: NOW).apply("first", logged("first"))
    program = Session(folder, lambda: NOW)
    assert program.open_for_writing() is None
    editor = Editor(folder / ("diary.toml" if of_diary else "ferrywoman.toml"), renames)
    editor.read()
    words, overwrites = ["first"], False
    for number, (who, how) in enumerate(acts):
        word = f"word{number}x"
        amid = {"alone": None, "editor amid": amid_saves}.get(how, amid_swaps)

        def edits(word: str = f"edit{number}x") -> None:
            editor.read()
            editor.save(word)
            words.append(word)

        with amid(edits) if amid else contextlib.nullcontext():
            if who == "program":
                program.apply("logged", logged(word))
                words.append(word)
            elif who == "command":
                Session(folder, lambda: NOW).apply("logged", logged(word))
                words.append(word)
            elif who == "undo" and program.done:
                with contextlib.suppress(ChangedMeanwhile):
                    program.undo()
            elif who == "editor reads":
                editor.read()
            elif who == "editor saves":
                # what it showed may be older than what is there
                overwrites = overwrites or editor.text != editor.file.read_text(encoding="utf-8")
                editor.save(word)
                words.append(word)
    program.close()
    read_project(folder)
    found = everything(folder)
    assert [word for word in words if word not in found] == []
    if not overwrites and not any(who == "undo" for who, _ in acts):
        now = "\n".join(file.read_text(encoding="utf-8") for file in folder.glob("*.toml"))
        assert [word for word in words if word not in now] == []


@pytest.mark.parametrize("exchanges", [True, False], ids=["in one step", "in two"])
@pytest.mark.parametrize("renames", [True, False], ids=["by a new file", "in place"])
@pytest.mark.parametrize("amid", [amid_saves, amid_swaps], ids=["before the look", "after it"])
def test_an_editor_in_the_very_moment(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    amid: Callable[[Callable[[], None]], Any],
    renames: bool,
    exchanges: bool,
) -> None:
    """Its words stay in the file, and the save says that it was changed meanwhile."""
    if not exchanges:
        monkeypatch.setattr(swapping, "_rename", lambda: None)
    file = tmp_path / "hat.toml"
    file.write_text("format = 1\n")
    editor = Editor(file, renames)
    editor.read()
    staging = Staging()
    staging.put(file, "format = 1\n", "format = 1\n# ours\n")
    with amid(lambda: editor.save("theirs")), pytest.raises(ChangedMeanwhile):
        staging.commit()
    assert file.read_text() == "format = 1\n# theirs\n"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["hat.toml"]


def test_a_file_that_appears_is_not_written_over(tmp_path: Path) -> None:
    """A new file is put there only where there is none, also at the last moment."""
    file = tmp_path / "diary.toml"
    staging = Staging()
    staging.put(file, None, "# ours\n")

    def appears() -> None:
        file.write_text("# theirs\n")

    with amid_saves(appears), pytest.raises(ChangedMeanwhile):
        staging.commit()
    assert file.read_text() == "# theirs\n"
    assert [one.name for one in tmp_path.iterdir()] == ["diary.toml"]


def test_a_file_removed_while_somebody_saves(tmp_path: Path) -> None:
    """It comes back with the words that were saved."""
    file = tmp_path / "hat.toml"
    file.write_text("# old\n")
    staging = Staging()
    staging.put(file, "# old\n", None)
    staging.commit()
    assert not file.exists()
    assert earlier_states(file)[-1].path.read_text() == "# old\n"
    file.write_text("# new\n")
    staging = Staging()
    staging.put(file, "# old\n", None)
    with pytest.raises(ChangedMeanwhile):
        staging.commit()
    assert file.read_text() == "# new\n"


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
def test_two_processes_and_an_editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two real programs log as fast as they can while an editor saves: every word is there."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    folder = tmp_path / "workroom"
    shutil.copytree("tests/screens/a_workroom", folder)
    Session(folder, lambda: NOW).apply("first", logged("first"))
    words = ["first"]
    children = []
    for name in ("one", "two"):
        child = os.fork()
        if not child:
            code = 1
            try:
                for number in range(10):
                    Session(folder, lambda: NOW).apply("logged", logged(f"{name}{number}x"))
                code = 0
            finally:
                os._exit(code)
        children.append(child)
        words += [f"{name}{number}x" for number in range(10)]
    editor = Editor(folder / "diary.toml", True)
    for number in range(10):
        editor.read()
        editor.save(f"editor{number}x")
        words.append(f"editor{number}x")
        time.sleep(0.03)
    for child in children:
        assert os.waitpid(child, 0)[1] == 0
    read_project(folder)
    found = everything(folder)
    assert [word for word in words if word not in found] == []
    # of the file that no editor touched, nothing went
    ours = (folder / "ferrywoman.toml").read_text(encoding="utf-8")
    assert [word for word in words if not word.startswith("editor") and word not in ours] == []
