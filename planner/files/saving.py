"""Saving a file so that at every moment either the old or the new one is there, whole."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
from pathlib import Path
from typing import Final

from planner.problems import InputError, Problem

_REMEDIES: Final = {
    errno.ENOSPC: "the disk is full: make room, then save again",
    errno.EDQUOT: "your share of the disk is full: make room, then save again",
    errno.EROFS: "this disk can only be read: save the workroom elsewhere",
    errno.EACCES: "this folder or file may not be written: change its permissions",
    errno.EPERM: "this folder or file may not be written: change its permissions",
    errno.ENOENT: "its folder is gone: make it again, then save again",
    errno.ENOTDIR: "its folder is no folder: check the path",
    errno.EISDIR: "there is a folder of this name: rename or move it",
    errno.ELOOP: "its links lead round in a circle: put a real file there",
    errno.ENAMETOOLONG: "the path is too long: shorten it",
}
_NO_FOLDER_SYNC: Final = (errno.EINVAL, errno.ENOTSUP, errno.EBADF)


def save_atomically(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 to ``path``; a link is followed, the file's mode kept.

    The text goes to a temporary file of the same folder, to the disk, and only then takes
    the place of the old one, so a crash or a full disk leaves the old file as it was. (Where
    the file had a second hard link, that one keeps the old text.)

    Raises InputError with one problem and its remedy; then nothing was saved and no
    temporary is left. (Only where the disk fails after the last step, which the text then
    says, is the new file in place and perhaps not there after a power cut.)
    """
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError:
        raise _refused(path, "the text holds half a character: write it anew") from None
    try:
        _replace(Path(os.path.realpath(path)), data)
    except _Unconfirmed as error:
        text = f"the file is saved, but the disk did not confirm it ({error}): check the disk"
        raise _refused(path, text) from None
    except OSError as error:
        remedy = _REMEDIES.get(
            error.errno or 0, f"it could not be written ({error.strerror}): check the disk"
        )
        raise _refused(path, f"{remedy}. Nothing was saved") from None


class _Unconfirmed(Exception):
    """The new file is in place, and its folder couldn't be synced."""


def _refused(path: Path, text: str) -> InputError:
    return InputError([Problem(file=str(path), place="", text=text)])


def _replace(target: Path, data: bytes) -> None:
    mode = _mode(target)
    # the name ends in .tmp and begins with a dot: no reader takes it for an ensemble
    temporary = target.parent / f".wearby-{secrets.token_hex(8)}.tmp"
    try:
        _write(temporary, data, mode)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    _sync_folder(target.parent)


def _mode(target: Path) -> int | None:
    """The mode of the file there is, None for a new one. Raises OSError if it can't be replaced."""
    try:
        found = os.stat(target)
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    # replacing would get round a write protection that the maker set on purpose
    if not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    return stat.S_IMODE(found.st_mode)


def _write(temporary: Path, data: bytes, mode: int | None) -> None:
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    with open(handle, "wb") as file:
        if mode is not None:
            os.chmod(temporary, mode)
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Have the new name reach the disk. Disks that can't sync folders are passed over."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        # network disks often refuse, and a folder may be writable without being readable
        if error.errno not in (*_NO_FOLDER_SYNC, errno.EACCES):
            raise _Unconfirmed(error.strerror) from None
