"""Saving a file so that at every moment either the old or the new one is there, whole.

``save_atomically`` writes over whatever is there: it is for files that wearby makes itself. The
maker's own files are changed through ``staging``, which stands on what is here.
"""

from __future__ import annotations

import contextlib
import errno
import os
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


OURS, TEMPORARY = ".wearby-", ".tmp"
"""How the name of a file begins and ends that is on its way to the disk."""
_LONG: Final = 200


class NotSaved(InputError):
    """A file couldn't be written for a reason that isn't in it: a full disk, a folder that is
    gone or can only be read. The edit itself is sound, and may be kept for later."""


class ChangedMeanwhile(InputError):
    """The file was changed by somebody else since it was read; nothing was saved."""


def save_atomically(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 to ``path``; a link is followed, the file's mode kept.

    The text goes to a temporary file of the same folder, to the disk, and only then takes
    the place of the old one, so a crash or a full disk leaves the old file as it was. (Where
    the file had a second hard link, that one keeps the old text.)

    Raises NotSaved with one problem and its remedy; then nothing was saved and no
    temporary is left. (Only where the disk fails after the last step, which the text then
    says, is the new file in place and perhaps not there after a power cut.)
    """
    data = encoded(path, text)
    try:
        _replace(Path(os.path.realpath(path)), data)
    except OSError as error:
        raise not_saved(path, error) from None


def encoded(path: Path, text: str) -> bytes:
    """A text as its file is to hold it. Raises InputError where it is none."""
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        text = "the text holds half a character: write it anew"
        raise InputError([Problem(file=str(path), place="", text=text)]) from None


class Unconfirmed(OSError):
    """The new file is in place, and its folder couldn't be synced."""


def not_saved(path: Path, error: OSError) -> NotSaved:
    """The error to raise where writing a file failed: which file, why, and the remedy."""
    if isinstance(error, Unconfirmed):
        why = error.strerror
        text = f"the file is saved, but the disk did not confirm it ({why}): check the disk"
    else:
        remedy = _REMEDIES.get(
            error.errno or 0, f"it could not be written ({error.strerror}): check the disk"
        )
        text = f"{remedy}. Nothing was saved"
    return NotSaved([Problem(file=str(path), place="", text=text)])


def _replace(target: Path, data: bytes) -> None:
    temporary = write_beside(target, data)
    try:
        os.replace(temporary, target)
    except BaseException:
        discard(temporary)
        raise
    sync_folder(target.parent)


def write_beside(target: Path, data: bytes) -> Path:
    """What is to take the place of a file, on the disk beside it; with the file's mode.

    Raises OSError where it can't be written, or the file can't be replaced.
    """
    mode = _mode(target)
    temporary = temporary_for(target)
    try:
        _write(temporary, data, mode)
    except BaseException:
        discard(temporary)
        raise
    return temporary


def temporary_for(target: Path) -> Path:
    """A name beside a file that nothing has yet and no reader takes for an ensemble's."""
    # the target's name is in it, so that what a killed program leaves can be told apart
    name = target.name if len(os.fsencode(target.name)) < _LONG else "file"
    return target.parent / f"{OURS}{os.urandom(6).hex()}-{name}{TEMPORARY}"


def discard(temporary: Path) -> None:
    """Take a temporary away, if it is there and that can be done."""
    with contextlib.suppress(OSError):
        os.unlink(temporary)


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


def sync_folder(folder: Path) -> None:
    """Have the new name reach the disk. Disks that can't sync folders are passed over.

    Raises Unconfirmed.
    """
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
            raise Unconfirmed(error.errno, error.strerror) from None
