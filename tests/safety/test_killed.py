"""A program that is killed while it saves loses nothing it has accepted."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import pytest

from planner.files.backups import earlier_states
from planner.files.halves import Part, finish, noted, sum_of
from planner.files.leftovers import clear_leftovers
from planner.files.lock import Held, open_for_writing, writing
from planner.files.staging import Staging
from tests.bench.killed import kill_often


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
def test_killed_amid_saves(tmp_path: Path) -> None:
    """At random moments: every accepted entry and edit is there, every file can be read."""
    found = kill_often(tmp_path / "workroom", 30, seed=11)
    assert found.accepted > 0
    assert (found.lost, found.unreadable, found.half) == (0, 0, 0)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
def test_a_lock_ends_with_its_program(tmp_path: Path) -> None:
    """A program killed with the workroom open leaves no lock behind."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        try:
            held = open_for_writing(tmp_path)
            os.write(write, b"open")
            os.read(0, 1)
            while held:
                pass
        finally:
            os._exit(1)
    assert os.read(read, 4) == b"open"
    holder = open_for_writing(tmp_path)
    assert not isinstance(holder, Held)
    assert holder.pid == child
    assert holder.since is not None
    os.kill(child, 9)
    os.waitpid(child, 0)
    held = open_for_writing(tmp_path)
    assert isinstance(held, Held)
    held.release()


def test_what_was_left_behind_is_taken_away(tmp_path: Path) -> None:
    """Half a file goes; a whole one that says something else is set aside; a young one stays."""
    target = tmp_path / "hat.toml"
    target.write_text("format = 1\n")
    half, whole, same = (tmp_path / f".wearby-{n}-hat.toml.tmp" for n in ("a1", "b2", "c3"))
    half.write_text('format = 1\nname = "ha')
    whole.write_text('format = 1\nname = "hat"\n')
    same.write_text("format = 1\n")
    with writing(tmp_path):
        clear_leftovers(tmp_path)
        assert half.exists()
        clear_leftovers(tmp_path, young=0)
    assert sorted(file.name for file in tmp_path.iterdir()) == [".wearby", "hat.toml"]
    (state,) = earlier_states(target)
    assert state.path.read_text() == 'format = 1\nname = "hat"\n'
    assert target.read_text() == "format = 1\n"


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
@pytest.mark.parametrize("placed", [0, 1, 2, 3])
def test_killed_between_two_files(tmp_path: Path, placed: int) -> None:
    """What was begun is finished by the next program; what wasn't is as if it had never been."""
    changed, removed, made = (tmp_path / f"{name}.toml" for name in ("a", "b", "c"))
    changed.write_text("old = 1\n")
    removed.write_text("gone = 1\n")
    (tmp_path / ".wearby").mkdir()
    child = os.fork()
    if not child:
        _killed_after(placed, changed, removed, made)
    os.waitpid(child, 0)
    with writing(tmp_path):
        finish(tmp_path)
        clear_leftovers(tmp_path, young=0)
    if placed:
        assert changed.read_text() == "new = 1\n"
        assert made.read_text() == "made = 1\n"
        assert not removed.exists()
        assert earlier_states(removed)[-1].path.read_text() == "gone = 1\n"
    else:
        assert changed.read_text() == "old = 1\n"
        assert removed.read_text() == "gone = 1\n"
        assert not made.exists()
    assert not (tmp_path / ".wearby" / "unfinished.toml").exists()
    assert not list(tmp_path.glob(".wearby-*"))


def _killed_after(placed: int, changed: Path, removed: Path, made: Path) -> None:
    """Save three files, and be gone after some of them."""
    try:
        staging = Staging()
        staging.put(changed, "old = 1\n", "new = 1\n")
        staging.put(made, None, "made = 1\n")
        staging.put(removed, "gone = 1\n", None)
        place = staging._place
        left = [placed]

        def placing(one: Any) -> None:
            if not left[0]:
                os.kill(os.getpid(), 9)
            left[0] -= 1
            place(one)

        staging._place = placing  # type: ignore[method-assign]
        staging.commit()
    finally:
        os._exit(1)


def test_an_editor_s_file_is_not_finished(tmp_path: Path) -> None:
    """Where somebody changed a file since, it stays as they have it; rubbish hurts nobody."""
    (tmp_path / ".wearby").mkdir()
    note = tmp_path / ".wearby" / "unfinished.toml"
    for text in ("rubbish", "part = 1", "[[part]]\npath = 1\n"):
        note.write_text(text)
        finish(tmp_path)
        assert not note.exists()
    one, two = tmp_path / "a.toml", tmp_path / "b.toml"
    one.write_text("new")
    two.write_text("an editor's")
    (tmp_path / "t").write_text("new too")
    parts = [
        Part(path=one, target=one, temporary=None, old=sum_of(b"old"), new=sum_of(b"new")),
        Part(
            path=two,
            target=two,
            temporary=tmp_path / "t",
            old=sum_of(b"old too"),
            new=sum_of(b"new too"),
        ),
    ]
    with noted(tmp_path, parts):
        text = note.read_text()
    assert not note.exists()
    note.write_text(text)
    finish(tmp_path)
    assert two.read_text() == "an editor's"
