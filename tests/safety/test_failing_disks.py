"""Full, failing and read-only disks, at every write: no half edit, no lost word, a clear say."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planner.editing.diary import log
from planner.files import saving, swapping
from planner.files.reading import read_project
from planner.model import Entry, Project
from planner.problems import InputError
from screens.session import Session

NOW = datetime(2027, 5, 3, 19, 40)
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT
REMEDIES = {
    errno.ENOSPC: "the disk is full: make room",
    errno.EROFS: "this disk can only be read",
    errno.EACCES: "may not be written: change its permissions",
    errno.EIO: "check the disk",
}


class Disk:
    """A disk that fails at one of its calls, or from that one on."""

    def __init__(self, code: int, at: int, lasts: bool, within: Path) -> None:
        self.code, self.at, self.lasts, self.within = code, at, lasts, within
        self.calls = 0
        self.failed = False

    def call(self, what: Callable[..., Any], *given: Any, **named: Any) -> Any:
        """A call of the system; it may fail."""
        self.calls += 1
        if self.calls == self.at or (self.lasts and self.calls > self.at):
            self.failed = True
            raise OSError(self.code, os.strerror(self.code))
        return what(*given, **named)

    @contextmanager
    def installed(self) -> Iterator[None]:
        """Under whatever writes in the workroom."""
        with pytest.MonkeyPatch.context() as patch:
            for name in ("fsync", "replace", "rename", "mkdir", "chmod"):
                patch.setattr(os, name, self._wrapped(getattr(os, name)))
            really = os.open

            def opened(path: Any, flags: int, *rest: Any, **named: Any) -> int:
                if flags & WRITES:
                    return int(self.call(really, path, flags, *rest, **named))
                return really(path, flags, *rest, **named)

            patch.setattr(os, "open", opened)
            patch.setattr(saving, "open", self._file, raising=False)
            renames = swapping._rename()
            if renames is not None:
                patch.setattr(swapping, "_rename", lambda: self._wrapped(renames))
            yield

    def _wrapped(self, what: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any, **named: Any) -> Any:
            # what is kept for later lies on another disk
            if any(isinstance(one, str | Path) and "state" in str(one) for one in given):
                return what(*given, **named)
            return self.call(what, *given, **named)

        return call

    def _file(self, handle: int, mode: str) -> Any:
        disk = self
        file = os.fdopen(handle, mode)

        class Written:
            def __enter__(self) -> Written:
                return self

            def __exit__(self, *_: object) -> None:
                file.close()

            def write(self, data: bytes) -> None:
                file.write(data[: len(data) // 2])
                disk.call(file.write, data[len(data) // 2 :])

            def flush(self) -> None:
                disk.call(file.flush)

            def fileno(self) -> int:
                return file.fileno()

        return Written()


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept for later lies in the test's own folder."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def an_evening(number: int) -> Callable[[Project], Project]:
    """A change of two files: an entry, and the ensemble's name."""

    def change(project: Project) -> Project:
        entry = Entry(at=NOW, step="ferrywoman/stays/cut", minutes=number, note=f"word{number}")
        logged = log(project, [entry])
        first, *rest = logged.ensembles
        return replace(logged, ensembles=(replace(first, name=f"Clothes {number}"), *rest))

    return change


def a_workroom(folder: Path) -> Path:
    """One with a diary."""
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree("tests/screens/a_workroom", folder)
    Session(folder, lambda: NOW).apply("first", an_evening(7))
    return folder


def texts(folder: Path) -> dict[str, bytes]:
    """What the maker's files hold."""
    return {file.name: file.read_bytes() for file in sorted(folder.glob("*.toml"))}


def has(folder: Path, number: int) -> tuple[bool, bool]:
    """Whether the diary and the ensemble have an edit."""
    project = read_project(folder)
    return (
        any(one.minutes == number for one in project.diary.entries),
        project.ensembles[0].name == f"Clothes {number}",
    )


@pytest.mark.parametrize(
    ("code", "exchanges"),
    [
        (errno.ENOSPC, True),
        (errno.ENOSPC, False),
        (errno.EROFS, True),
        (errno.EACCES, True),
        (errno.EIO, False),
    ],
    ids=["full", "full, in two steps", "read-only", "not ours", "failing, in two steps"],
)
def test_a_disk_that_fails_once_at_any_call(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, exchanges: bool
) -> None:
    """Either the edit is saved whole, or every file is to the byte as it was; then the edit is
    kept, the message says what to do, and made again it is whole."""
    if not exchanges:
        monkeypatch.setattr(swapping, "_rename", lambda: None)
    failures = 0
    for at in range(1, 200):
        folder = a_workroom(tmp_path / "workroom")
        session = Session(folder, lambda: NOW)
        session.read()
        before = texts(folder)
        disk = Disk(code, at, False, folder)
        try:
            with disk.installed():
                session.apply("an evening", an_evening(11))
        except InputError as error:
            failures += 1
            assert REMEDIES[code] in str(error)
            assert "the edit is kept and offered again" in str(error)
            assert str(folder) in str(error)
            assert texts(folder) == before
            (edit,) = session.aside.waiting(folder)
            session.aside.being_made = False
            session.recover(edit)
        assert has(folder, 11) == (True, True)
        assert [one.name for one in folder.glob(".wearby-*")] == []
        if not disk.failed:
            break
    else:
        raise AssertionError("an edit that never ends")
    assert failures >= 6


@pytest.mark.parametrize("exchanges", [True, False], ids=["in one step", "in two"])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS], ids=["full", "read-only"])
def test_a_disk_that_fails_from_a_call_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, exchanges: bool
) -> None:
    """Where nothing can be written any more, not even taken back, every file can be read, no
    older word is lost, and the edit is kept; made again, once that is possible, it is whole."""
    if not exchanges:
        monkeypatch.setattr(swapping, "_rename", lambda: None)
    for at in range(1, 200):
        folder = a_workroom(tmp_path / "workroom")
        session = Session(folder, lambda: NOW)
        session.read()
        disk = Disk(code, at, True, folder)
        try:
            with disk.installed():
                session.apply("an evening", an_evening(11))
        except InputError as error:
            assert REMEDIES[code] in str(error)
            for text in texts(folder).values():
                tomllib.loads(text.decode())
            assert has(folder, 7)[0]
            (edit,) = session.aside.waiting(folder)
            session.recover(edit)
        assert has(folder, 11) == (True, True)
        if not disk.failed:
            break
    else:
        raise AssertionError("an edit that never ends")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="mounts a small disk")
def test_a_small_disk_that_fills_up(tmp_path: Path) -> None:
    """On a real disk without room: what was accepted is there, what wasn't is kept."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=160k", "none", str(disk)], capture_output=True
    )
    if mounted.returncode:
        pytest.skip("no disk can be mounted here")
    try:
        folder = disk / "workroom"
        shutil.copytree("tests/screens/a_workroom", folder)
        session = Session(folder, lambda: NOW)
        accepted = []
        for number in range(1, 200):
            try:
                session.apply("an evening", long_evening(number))
                accepted.append(number)
            except InputError as error:
                assert "the disk is full" in str(error)
                break
        else:
            raise AssertionError("the disk never fills up")
        logged = [one.minutes for one in read_project(folder).diary.entries]
        assert logged == accepted
        assert accepted
        shutil.rmtree(folder / ".wearby" / "backups")
        (edit,) = session.aside.waiting(folder)
        session.recover(edit)
        assert [one.minutes for one in read_project(folder).diary.entries] == [*accepted, number]
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def long_evening(number: int) -> Callable[[Project], Project]:
    """An entry with much to say."""

    def change(project: Project) -> Project:
        note = f"evening {number}: " + "the seam by the lamp " * 80
        return log(
            project,
            [Entry(at=NOW, step="ferrywoman/stays/cut", minutes=number, note=note)],
        )

    return change
