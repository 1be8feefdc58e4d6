"""The words of an edit that couldn't be saved, and whether the diary has them already."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from planner.carrying import bare
from planner.files.reading import DIARY
from planner.files.recovery import Unsaved, UnsavedFile, recovered
from planner.files.texts import with_text
from planner.model import Entry, Project, Workroom
from planner.problems import InputError

_NOTHING: Final = Project(workroom=Workroom(), ensembles=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """What an edit was to write into one file, line by line."""

    name: str
    added: tuple[str, ...]
    """Lines that only the new text has."""
    taken_out: tuple[str, ...]
    """Lines that only the old text has."""


def entries_of(edit: Unsaved) -> tuple[Entry, ...]:
    """The diary's entries that an edit was to add."""
    found: list[Entry] = []
    for one in edit.files:
        if one.name == DIARY:
            old = Counter(repr(bare(entry)) for entry in _entries(one.name, one.before))
            for entry in _entries(one.name, one.after):
                if old[repr(bare(entry))]:
                    old[repr(bare(entry))] -= 1
                else:
                    found.append(entry)
    return tuple(found)


def _entries(name: str, text: str | None) -> tuple[Entry, ...]:
    """The entries of a diary's text; none where it can't be read."""
    try:
        return with_text(_NOTHING, Path(name), text).diary.entries
    except InputError:
        return ()


def changed_in(one: UnsavedFile) -> Changed:
    """What differs in a file, in the order of its lines; empty lines aside."""
    old, new = _lines(one.before), _lines(one.after)
    while old and new and old[0] == new[0]:
        del old[0], new[0]
    while old and new and old[-1] == new[-1]:
        del old[-1], new[-1]
    return Changed(
        name=one.name, added=tuple(_only_in(new, old)), taken_out=tuple(_only_in(old, new))
    )


def _lines(text: str | None) -> list[str]:
    return [line.strip() for line in (text or "").splitlines() if line.strip()]


def _only_in(these: Sequence[str], those: Sequence[str]) -> Iterator[str]:
    """The lines of the first that the second hasn't, or has less often."""
    there = Counter(those)
    for line in these:
        if there[line]:
            there[line] -= 1
        else:
            yield line


def is_there(project: Project, edit: Unsaved, folder: Path) -> bool:
    """Whether a project has all that an edit was to change: then it need not be made again.

    The same work may have been logged some minutes later, as long as both can't have been done
    one after the other.
    """
    entries = entries_of(edit)
    if entries and all(one.name == DIARY for one in edit.files):
        left = list(project.diary.entries)
        for entry in entries:
            twin = next((one for one in left if _same(one, entry)), None)
            if twin is None:
                return False
            left.remove(twin)
        return True
    try:
        return bool(bare(recovered(project, edit, folder)) == bare(project))
    except InputError:
        return False


def _same(one: Entry, other: Entry) -> bool:
    if _said(one) != _said(other):
        return False
    apart = abs((one.at - other.at).total_seconds()) / 60
    return apart < max(1, one.minutes)


def _said(entry: Entry) -> tuple[object, ...]:
    return (
        entry.step, entry.minutes, entry.done, entry.left, entry.note.strip(), bare(entry.used)
    )  # fmt: skip


def alike(project: Project, edit: Unsaved) -> tuple[Entry, ...]:
    """Entries of the diary that may be the very work an edit was to log, however many minutes:
    of the same step with the same note, on the same day; without a note, at the same hour."""
    wanted = entries_of(edit)
    return tuple(
        entry for entry in project.diary.entries if any(_alike(entry, one) for one in wanted)
    )


def _alike(one: Entry, other: Entry) -> bool:
    if (one.step, one.note.strip()) != (other.step, other.note.strip()):
        return False
    if one.note.strip():
        return one.at.date() == other.at.date()
    apart = abs((one.at - other.at).total_seconds()) / 60
    return apart < max(1, one.minutes, other.minutes)
