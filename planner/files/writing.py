"""Saving what changed between two values into the maker's own file, and nothing else.

An edit is a pure function from one value to another; what is saved is the difference. Every
comment, unknown key, blank line and turn of phrase the change doesn't concern stays as the
maker wrote it.

What a careful person writes has a customary order, which only new keys follow.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path
from typing import Final, cast

from planner.files.broken_diary import diary_texts
from planner.files.checks import Table
from planner.files.diary import read_diary
from planner.files.document import Document
from planner.files.ensemble import read_ensemble
from planner.files.findings import Findings
from planner.files.inline import Path as KeyPath
from planner.files.loading import LARGEST, load, os_problem
from planner.files.plain import Plain, plain_diary, plain_ensemble, plain_workroom
from planner.files.rendering import render_document
from planner.files.saving import ChangedMeanwhile as ChangedMeanwhile
from planner.files.staging import Staging, changed_meanwhile
from planner.files.workroom import read_workroom
from planner.model import Diary, Ensemble, Workroom
from planner.problems import InputError, Problem

_GONE_WHEN_EMPTY: Final[frozenset[KeyPath]] = frozenset({("pace",)})
"""Tables that go with their last key: the program wrote them, and empty they say nothing."""

Items = list[Plain]
Reread = Callable[[Table], Plain]
"""The plain tables of a document, as reading understands it."""

_DAYS: Final = ("on", "from", "to", "rule")
"""Keys of a change that say the same in several ways: they are exchanged together."""


def write_ensemble(
    path: Path,
    before: Ensemble | None,
    after: Ensemble,
    units: str = "metric",
    into: Staging | None = None,
) -> None:
    """Save into the ensemble's file at ``path`` what differs between two values of it.

    ``before`` is the value as read from the file, or None to write a new file. ``units``
    ("metric", "imperial") is how lengths are written that the file doesn't hold yet. ``into``
    saves it later, together with other files.

    Raises ChangedMeanwhile when the file no longer says what ``before`` does, InputError
    when it can't be read, written, or doesn't read as ``after`` once edited (nothing is saved
    then), ValueError when ``after`` holds what no file can say.
    """

    def reread(table: Table) -> Plain:
        return plain_ensemble(read_ensemble(table, after.id), units)

    old = None if before is None else plain_ensemble(before, units)
    _write(path, old, plain_ensemble(after, units), reread, into)


def write_workroom(
    path: Path, before: Workroom | None, after: Workroom, into: Staging | None = None
) -> None:
    """Save what differs between two workrooms: into workroom.toml, or into the file of an
    ensemble that has its own hours. Otherwise as ``write_ensemble``."""

    def reread(table: Table) -> Plain:
        return plain_workroom(read_workroom(table))

    old = None if before is None else plain_workroom(before)
    _write(path, old, plain_workroom(after), reread, into)


def write_diary(
    path: Path, before: Diary | None, after: Diary, into: Staging | None = None
) -> None:
    """Save what differs between two diaries. Otherwise as ``write_ensemble``.

    What is broken in the file stays, as comments.
    """

    def reread(table: Table) -> Plain:
        return plain_diary(read_diary(table))

    old = None if before is None else plain_diary(before)
    texts = diary_texts(path) if old is not None and path.is_file() else None
    _write(path, old, plain_diary(after), reread, into, texts)


def read_text(path: Path) -> str:
    """A file's text as it is, byte order mark and line ends included, for editing.

    Raises InputError when there is no valid TOML.
    """
    findings = Findings(str(path))
    load(path, findings)
    if findings.problems:
        raise InputError(findings.problems)
    try:
        with open(path, encoding="utf-8", newline="") as file:
            return file.read(LARGEST)
    except OSError as error:
        raise _refused(path, os_problem(error)) from None


def changed_text(text: str, before: Plain, after: Plain) -> str:
    """A file's text with the difference between two plain tables worked into it."""
    document = Document(text)
    _apply(document, (), before, after)
    return document.text


def _write(
    path: Path,
    before: Plain | None,
    after: Plain,
    reread: Reread,
    into: Staging | None,
    texts: tuple[str, str] | None = None,
) -> None:
    """Save what differs; ``texts`` are what the file says, and what of it is to be edited."""
    staging = into or Staging()
    pending = staging.pending(path)
    found: str | None = None
    if before is None:
        if os.path.lexists(path):  # also a link that leads nowhere
            raise _refused(path, "there is a file of this name already: choose another name")
        text = render_document({"format": 1, **after}, "\n")
    else:
        # what was put there already is found there: the other half of the same file
        found, text = (None, pending) if pending is not None else texts or (read_text(path),) * 2
        if _understood(path, text, reread) != before:
            raise changed_meanwhile(path)
        if before == after:
            return
        text = changed_text(text, before, after)
    if _understood(path, text, reread) != after:
        raise _refused(
            path,
            "the change can't be worked into the way this file is laid out: write it by hand, "
            "or put every table under a heading of its own. Nothing was saved",
        )
    staging.put(path, found, text)
    if into is None:
        staging.commit()


def _understood(path: Path, text: str, reread: Reread) -> Plain | None:
    """What a text says; None where it isn't valid. Raises InputError with its problems."""
    findings = Findings(str(path))
    try:
        document = tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError:
        return None
    plain = reread(Table(findings, "", document))
    if findings.problems:
        raise InputError(findings.problems)
    return plain


def _refused(path: Path, text: str) -> InputError:
    return InputError([Problem(file=str(path), place="", text=text)])


def _apply(document: Document, path: KeyPath, before: Plain, after: Plain) -> None:
    """Work the difference between two tables into the one at ``path``."""
    if path[:1] == ("change",) and any(before.get(key) != after.get(key) for key in _DAYS):
        for key in _DAYS:
            if key not in after:
                document.remove((*path, key))
    order = list(after)
    for key in dict.fromkeys((*after, *before)):
        old, new = before.get(key), after.get(key)
        if old == new:
            continue
        if isinstance(old, Mapping) or isinstance(new, Mapping):
            _apply(document, (*path, key), cast(Plain, old or {}), cast(Plain, new or {}))
            if not new and (*path, key) in _GONE_WHEN_EMPTY:
                document.remove_empty((*path, key))
        elif _is_items(old) and (new is None or _is_items(new) or new == []):
            _apply_items(document, (*path, key), cast(Items, old), cast(Items, new or []))
            if new == []:
                document.set(path, key, [], order)
        elif _is_items(new) and key not in _INLINE:
            _apply_items(document, (*path, key), [], cast(Items, new))
        elif new is None:
            document.remove((*path, key))
        else:
            document.set(path, key, new, order)


_INLINE: Final = ("uses", "instead", "used")


def _is_items(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(i, dict) for i in value)


def _apply_items(document: Document, path: KeyPath, before: Items, after: Items) -> None:
    """Work the difference between two lists of tables into the one at ``path``."""
    partner = _partners(before, after)
    matched = set(partner.values())
    for i in reversed(range(len(before))):
        if i not in matched:
            document.remove((*path, i))
    present = [i for i in range(len(before)) if i in matched]
    for j, item in enumerate(after):
        if j not in partner:
            document.insert(path, j, item)
            present.insert(j, -1)
        elif present[j] != partner[j]:
            _bring(document, path, present, j, partner)
    for j, i in partner.items():
        _apply(document, (*path, j), before[i], after[j])


def _bring(
    document: Document, path: KeyPath, present: list[int], j: int, partner: Mapping[int, int]
) -> None:
    """Have the item that belongs at ``j`` there, by moving one item only."""
    wanted = partner[j]
    if j + 1 < len(present) and present[j + 1] == wanted:
        # the one in the way belongs further down: moving it leaves the others in peace
        later = next(k for k, i in partner.items() if i == present[j])
        goal = min(later, len(present) - 1)
        document.move(path, j, goal)
        present.insert(goal, present.pop(j))
        return
    now = present.index(wanted)
    document.move(path, now, j)
    present.insert(j, present.pop(now))


def _partners(before: Sequence[Plain], after: Sequence[Plain]) -> dict[int, int]:
    """Which item of ``after`` is which of ``before``: by id, else by what they say."""
    if all("id" in item for item in (*before, *after)):
        return _partners_by_id(before, after)
    partner = {}
    matcher = SequenceMatcher(None, [repr(i) for i in before], [repr(i) for i in after], False)
    for _, start, end, to_start, to_end in matcher.get_opcodes():
        for i, j in zip(range(start, end), range(to_start, to_end), strict=False):
            partner[j] = i
    return partner


def _partners_by_id(before: Sequence[Plain], after: Sequence[Plain]) -> dict[int, int]:
    by_id = {item["id"]: i for i, item in enumerate(before)}
    partner = {j: by_id[item["id"]] for j, item in enumerate(after) if item["id"] in by_id}
    free = [i for i in range(len(before)) if i not in partner.values()]
    for j, item in enumerate(after):
        if j in partner:
            continue
        # a renamed item is otherwise the same, and keeps its place and its comments
        for i in free:
            if {**before[i], "id": 0} == {**item, "id": 0}:
                partner[j] = i
                free.remove(i)
                break
    return dict(sorted(partner.items()))
