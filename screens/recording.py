"""The record as a file: next to the ensemble's own, and never over words that aren't wearby's.

The last line of a record that was saved holds a sum of all before it. A file whose sum is right is
as wearby wrote it, and may be written over; every other file stays, unless that is asked for.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Final

from planner.exports.record import record_of
from planner.files.saving import save_atomically
from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.record_told import record_text

ENDING: Final = ".record.md"
"""Behind the ensemble's id."""
_LAST: Final = re.compile(r"\n<!-- wearby record ([0-9a-f]{16}) -->\n\Z")
_OTHERS: Final = (
    "this file is not as wearby wrote it, and stays as it is: move or rename it, or write over it "
    "with wearby export record PATH --to FILE --over. Nothing was saved"
)


def save_record(project: Project, plan: Plan, ensemble: str, folder: Path) -> Path:
    """Save the record of an ensemble, by its id, in a folder: ``<id>.record.md``.

    Raises InputError where it can't be saved, or the file there was changed by somebody else.
    """
    path = folder / f"{ensemble}{ENDING}"
    save_text(path, record_text(record_of(project, plan, ensemble)))
    return path


def save_text(path: Path, text: str, *, over: bool = False) -> None:
    """Save a record's text; ``over``: whatever is there. Raises InputError as ``save_record``."""
    if not over and not is_ours(path):
        raise InputError([Problem(file=str(path), place="", text=_OTHERS)])
    save_atomically(path, f"{text}\n<!-- wearby record {_sum(text)} -->\n")


def is_ours(path: Path) -> bool:
    """Whether nothing is lost when the file is written over: there is none, or it is a record as
    wearby wrote it."""
    try:
        text = path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return True
    except (OSError, UnicodeDecodeError):
        return False
    last = _LAST.search(text)
    return last is not None and last[1] == _sum(text[: last.start()])


def _sum(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16]
