"""What tells a workroom from every other wherever its folder is moved: a word in `.wearby/id`."""

from __future__ import annotations

import contextlib
import os
import re
from pathlib import Path
from typing import Final

from planner.files.backups import OURS

FILE: Final = "id"
_WORD: Final = re.compile(r"[0-9a-f]{16}")


def identity_of(folder: Path) -> str:
    """The word of the workroom in ``folder``; empty where it has none, or can't be read."""
    try:
        text = (folder / OURS / FILE).read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
    return text if _WORD.fullmatch(text) else ""


def with_identity(folder: Path) -> str:
    """The word of a workroom, which is given one where it has none; empty where it can't be.

    Never fails. The folder ``.wearby`` is made by whoever locks the workroom, not here.
    """
    found = identity_of(folder)
    if found:
        return found
    with contextlib.suppress(OSError):
        (folder / OURS / FILE).write_text(f"{os.urandom(8).hex()}\n", encoding="ascii")
    return identity_of(folder)
