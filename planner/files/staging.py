"""Several files changed together: all of them, or none; and never over words nobody has read.

All texts are written beside their files first, so that a full disk is met before anything is
changed. Then each takes its file's place, and what was replaced is looked at once more: if it
isn't what was read, somebody saved in that very moment; it goes back, and so do all the others.
"""

from __future__ import annotations

import contextlib
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from planner.files.backups import home_of, keep_states
from planner.files.halves import Part, noted, sum_of
from planner.files.saving import (
    ChangedMeanwhile,
    Unconfirmed,
    discard,
    encoded,
    not_saved,
    sync_folder,
    temporary_for,
    write_beside,
)
from planner.files.swapping import put_new, swap
from planner.problems import Problem

_PATIENCE: Final = 8
"""How often somebody may save in the very moment in which a file is given back."""


def as_bytes(text: str) -> bytes:
    """What a file held whose text was read; also where not all of it was UTF-8."""
    return text.encode("utf-8", "surrogateescape")


def changed_meanwhile(path: Path) -> ChangedMeanwhile:
    """The error to raise where a file no longer says what was read."""
    text = (
        "the file was changed since it was read: open it anew and make the change again. "
        "Nothing was saved"
    )
    return ChangedMeanwhile([Problem(file=str(path), place="", text=text)])


@dataclass(slots=True, kw_only=True)
class _File:
    """One file on its way."""

    path: Path
    target: Path
    """The file behind the links."""
    old: bytes | None
    new: bytes | None
    temporary: Path | None = None
    """Beside it: what is to come, then what was there."""
    placed: bool = False


class Staging:
    """Files to be changed together."""

    def __init__(self) -> None:
        self._files: dict[Path, _File] = {}

    def put(self, path: Path, old: str | None, new: str | None) -> None:
        """Have a file say ``new`` where it says ``old``; None: there is no file, or to be none.

        A second ``put`` of a file builds upon the first. Raises InputError where ``new`` can't
        be written in UTF-8.
        """
        data = None if new is None else encoded(path, new)
        self.put_bytes(path, None if old is None else as_bytes(old), data)

    def put_bytes(self, path: Path, old: bytes | None, new: bytes | None) -> None:
        """As ``put``, whatever the letters."""
        known = self._files.get(path)
        if known is not None:
            known.new = new
            return
        target = Path(os.path.realpath(path))
        self._files[path] = _File(path=path, target=target, old=old, new=new)

    def put_text(self, path: Path, old: str | None, new: str | None) -> None:
        """As ``put``, with texts as they were read before, whatever they hold."""
        self.put_bytes(path, *(None if one is None else as_bytes(one) for one in (old, new)))

    def found(self, path: Path) -> tuple[str | None, str | None] | None:
        """What a file says, and what it is to say; None where it is not to be changed."""
        known = self._files.get(path)
        if known is None:
            return None
        old, new = (
            None if one is None else one.decode("utf-8", "surrogateescape")
            for one in (known.old, known.new)
        )
        return old, new

    def pending(self, path: Path) -> str | None:
        """What a file is to say; None where it is not to be changed, or not to be there."""
        known = self._files.get(path)
        return None if known is None or known.new is None else known.new.decode("utf-8")

    def commit(self) -> None:
        """Change the files. Raises ChangedMeanwhile where one isn't as it was read, NotSaved
        where one can't be written; then all are as they were."""
        files = [one for one in self._files.values() if one.old != one.new]
        done: list[_File] = []
        current = files[0].path if files else Path()
        try:
            for one in files:
                current = one.path
                self._write(one)
            with noted(home_of(current), [_part(one) for one in files]):
                try:
                    for one in files:
                        current = one.path
                        done.append(one)
                        self._place(one)
                    for one in files:
                        current = one.path
                        sync_folder(one.target.parent)
                except BaseException:
                    for one in reversed(done):
                        _give_back(one)
                    raise
        except BaseException as error:
            for one in files:
                if one.temporary is not None:
                    discard(one.temporary)
            if isinstance(error, Unconfirmed):
                # it was given back, so this is a disk that failed like any other
                raise not_saved(current, OSError(error.errno, error.strerror)) from None
            if isinstance(error, OSError):
                raise not_saved(current, error) from None
            raise
        for one in files:
            if one.old is not None:
                keep_states(one.path, one.temporary, one.old, one.new)

    def _write(self, one: _File) -> None:
        if one.new is not None:
            one.temporary = write_beside(one.target, one.new)

    def _place(self, one: _File) -> None:
        """Have one file say what it is to, if it says what was read."""
        if _content(one.target) != one.old:
            raise changed_meanwhile(one.path)
        if one.old is None:
            self._make(one)
            return
        if one.temporary is None:
            one.temporary = temporary_for(one.target)
            os.rename(one.target, one.temporary)
            one.placed = True
        else:
            swap(one.temporary, one.target)
            one.placed = True
        if _content(one.temporary) != one.old:
            raise changed_meanwhile(one.path)

    def _make(self, one: _File) -> None:
        """Have a file be there that wasn't."""
        assert one.temporary is not None
        try:
            put_new(one.temporary, one.target)
        except FileExistsError:
            raise changed_meanwhile(one.path) from None
        one.temporary, one.placed = None, True


def _part(one: _File) -> Part:
    """What is noted of it."""
    return Part(
        path=one.path,
        target=one.target,
        temporary=one.temporary,
        old=sum_of(one.old),
        new=sum_of(one.new),
    )


def _give_back(one: _File) -> None:
    """Have a file as it was found; where somebody saved since, theirs stays."""
    if not one.placed:
        return
    with contextlib.suppress(OSError):
        if one.old is None:
            if _content(one.target) == one.new:
                os.unlink(one.target)
        elif one.new is None:
            assert one.temporary is not None
            with contextlib.suppress(FileExistsError):
                put_new(one.temporary, one.target)
                one.temporary = None
        else:
            assert one.temporary is not None
            theirs = _content(one.temporary)
            for _ in range(_PATIENCE):
                swap(one.temporary, one.target)
                found = _content(one.temporary)
                if found in (one.new, theirs):
                    break
                # saved once more in that moment: what is newer goes back
                keep_states(one.path, None, b"", theirs)
                theirs = found


def _content(path: Path) -> bytes | None:
    """What a file holds; None where there is none. Raises OSError."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
