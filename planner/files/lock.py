"""Two programs on one workroom: who has it open for writing, and one save at a time.

Both are locks of the operating system on files in ``.wearby/``: they end with the program that
holds them, however it ends, so none is ever left behind. They are agreements between wearbys; an
editor knows nothing of them (``staging`` takes care of that). Where a disk has no locks, or
nothing can be written beside the files, one goes on without.
"""

from __future__ import annotations

import contextlib
import errno
import os
import platform
import sys
import time
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from planner.files.backups import OURS
from planner.files.saving import NotSaved
from planner.problems import Problem

OPEN: Final = "lock"
"""Held by the program that has the workroom open for writing."""
WRITING: Final = "writing"
"""Held while files are compared and replaced."""
PATIENCE: Final = 10.0
"""Seconds one waits for another's save."""

_PAUSE: Final = 0.01
_TAKEN: Final = (errno.EACCES, errno.EAGAIN, errno.EWOULDBLOCK, errno.EDEADLK)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """The program that has a workroom open for writing."""

    pid: int | None = None
    host: str = ""
    """The machine it runs on; empty where it is this one, or not known."""
    since: datetime | None = None
    """When it opened the workroom, by the disk's clock."""


class Held:
    """A lock that is held until ``release``, or the program's end."""

    def __init__(self, handle: int | None) -> None:
        self._handle = handle

    def release(self) -> None:
        """Let go of it; once is enough."""
        handle, self._handle = self._handle, None
        if handle is not None:
            with contextlib.suppress(OSError):
                os.close(handle)


def open_for_writing(folder: Path) -> Held | Holder:
    """Have a workroom open for writing: what is held, or who else does so."""
    handle = _opened(folder, OPEN)
    if handle is None:
        return Held(None)
    taken = _lock(handle)
    if taken is False:
        os.close(handle)
        return _holder(folder / OURS / OPEN)
    if taken:
        _sign(handle)
    return Held(handle)


@contextmanager
def writing(folder: Path) -> Iterator[bool]:
    """Compare and replace files of a workroom, alone among wearbys: whether that is sure.

    Waits while another does so; raises NotSaved where that takes too long.
    """
    handle = _opened(folder, WRITING)
    if handle is None:
        yield False
        return
    try:
        until = time.monotonic() + PATIENCE
        while (taken := _lock(handle)) is False:
            if time.monotonic() > until:
                text = (
                    "another wearby has been saving for long: close it if it hangs, then save "
                    "again. Nothing was saved"
                )
                raise NotSaved([Problem(file=str(folder), place="", text=text)])
            time.sleep(_PAUSE)
        yield bool(taken)
    finally:
        with contextlib.suppress(OSError):
            os.close(handle)


def _opened(folder: Path, name: str) -> int | None:
    """The lock's file; None where there can be none."""
    try:
        # a workroom that is gone isn't made again by looking for it
        (folder / OURS).mkdir(exist_ok=True)
        return os.open(folder / OURS / name, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError:
        return None


def _sign(handle: int) -> None:
    """Say in the lock's file who holds it."""
    text = f"pid = {os.getpid()}\nhost = {platform.node()!r}\n"
    with contextlib.suppress(OSError):
        os.ftruncate(handle, 0)
        os.write(handle, text.encode("utf-8", "replace"))


def _holder(file: Path) -> Holder:
    """Who has signed; as much of it as can be read."""
    try:
        since = datetime.fromtimestamp(file.stat().st_mtime)
        found = tomllib.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Holder()
    pid, host = found.get("pid"), found.get("host")
    here = host == platform.node()
    return Holder(
        pid=pid if isinstance(pid, int) else None,
        host=host if isinstance(host, str) and not here else "",
        since=since,
    )


if sys.platform == "win32":
    import msvcrt

    _FAR: Final = 1 << 30  # what is locked can't be read there: lock beyond the words

    def _lock(handle: int) -> bool | None:
        """Whether the lock could be had; None where there are none."""
        try:
            os.lseek(handle, _FAR, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            os.lseek(handle, 0, os.SEEK_SET)
        except OSError as error:
            return False if error.errno in _TAKEN else None
        return True

else:
    import fcntl

    def _lock(handle: int) -> bool | None:
        """Whether the lock could be had; None where there are none."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return False if error.errno in _TAKEN else None
        return True
