"""A program that is killed while it saves loses nothing it has accepted."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from planner.files.backups import earlier_states
from planner.files.leftovers import clear_leftovers
from planner.files.lock import Held, open_for_writing, writing
from tests.bench.killed import kill_often


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
def test_killed_amid_saves(tmp_path: Path) -> None:
    """At random moments: every accepted entry and edit is there, every file can be read."""
    found = kill_often(tmp_path / "workroom", 30, seed=11)
    assert found.accepted > 0
    assert (found.lost, found.unreadable) == (0, 0)


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
