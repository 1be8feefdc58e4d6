"""Putting one file in another's place without losing what it held, in one step where there is one.

Between looking at a file and replacing it an editor may save; renaming over it would lose those
words. So the two files change places: what was replaced is at hand, whole, and can be looked at.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final

from planner.files.saving import temporary_for

_NO_REPLACE, _EXCHANGE = 1, 2  # of renameat2, linux/fs.h
_HERE: Final = -100  # AT_FDCWD
_NOT_HERE: Final = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EPERM)

Rename = Callable[[Path, Path, int], None]


def swap(one: Path, other: Path) -> None:
    """Two files of a folder change places. Raises OSError; then ``other`` is as it was.

    Linux does so in one step. Elsewhere ``one`` takes the place of ``other``, of which a second
    name was made just before: ``other`` is at every moment one of the two, whole, and a program
    that has it open goes on writing into what is ``one`` afterwards.
    """
    if _renamed(one, other, _EXCHANGE):
        return
    aside = temporary_for(other)
    try:
        try:
            os.link(other, aside)
        except OSError:
            shutil.copyfile(other, aside)
        os.replace(one, other)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(aside)
        raise
    try:
        os.replace(aside, one)
    except OSError:
        os.replace(aside, other)  # what was there is worth more than what was to come
        raise


def put_new(one: Path, other: Path) -> None:
    """Have ``one`` be named ``other``, which must not be there yet.

    Raises FileExistsError where it is, OSError where it can't be; then nothing is changed.
    """
    if _renamed(one, other, _NO_REPLACE):
        return
    try:
        os.link(one, other)
    except FileExistsError:
        raise
    except OSError:
        # a disk without links: look, as late as possible
        if os.path.lexists(other):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        os.replace(one, other)
    else:
        os.unlink(one)


def _renamed(one: Path, other: Path, how: int) -> bool:
    """Whether the system could do that in one step; False where it has no such step."""
    rename = _rename()
    if rename is None:
        return False
    try:
        rename(one, other, how)
    except OSError as error:
        if error.errno in _NOT_HERE:  # this disk can't, though others could
            return False
        raise
    return True


@cache
def _rename() -> Rename | None:
    """The system's renaming with a choice of how; None where it has none."""
    if not sys.platform.startswith("linux"):
        return None
    import ctypes

    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return None
    call.argtypes = [
        ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint
    ]  # fmt: skip
    call.restype = ctypes.c_int

    def rename(one: Path, other: Path, how: int) -> None:
        if call(_HERE, os.fsencode(one), _HERE, os.fsencode(other), how):
            number = ctypes.get_errno()
            raise OSError(number, os.strerror(number), str(one), None, str(other))

    return rename
