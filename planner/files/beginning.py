"""A new workroom, or a new ensemble in one, as files that weren't there before."""

from __future__ import annotations

import contextlib
import os
import unicodedata
from collections.abc import Collection
from pathlib import Path
from typing import Final

from planner.files.checks import id_problem
from planner.files.loading import os_problem
from planner.files.reading import NOT_ENSEMBLES, WORKROOM, ensemble_files
from planner.files.staging import Staging
from planner.files.writing import write_ensemble, write_workroom
from planner.model import Ensemble, Workroom
from planner.problems import InputError, Problem

LONGEST: Final = 40
"""Characters of an id made of a name."""

_ACCENTS: Final = frozenset(map(chr, range(0x300, 0x370)))


def begin(folder: Path, ensemble: Ensemble, workroom: Workroom | None) -> None:
    """Write a new workroom of one ensemble into ``folder``, which is made where it is missing;
    or, without ``workroom``, a new ensemble into the workroom that is there.

    No file is ever written over. Raises InputError with what stands in the way; then nothing
    was written.
    """
    folder = Path(folder)
    path = folder / f"{ensemble.id}.toml"
    _check_name(path, ensemble.id)
    _check_folder(folder, path, new=workroom is not None)
    made = _make(folder)
    staging = Staging()
    try:
        if workroom is not None:
            write_workroom(folder / WORKROOM, None, workroom, staging)
        write_ensemble(path, None, ensemble, _units(folder, workroom), staging)
        staging.commit()
    except BaseException:
        for one in reversed(made):
            with contextlib.suppress(OSError):
                os.rmdir(one)
        raise


def _units(folder: Path, workroom: Workroom | None) -> str:
    """How the workroom writes its lengths."""
    if workroom is not None:
        return workroom.units
    from planner.files.checks import Table
    from planner.files.findings import Findings
    from planner.files.loading import load
    from planner.files.workroom import read_workroom

    findings = Findings(str(folder / WORKROOM))
    document = load(folder / WORKROOM, findings)
    # what else is wrong in that file is for reading it to say
    return "metric" if document is None else read_workroom(Table(findings, "", document)).units


def _refused(path: Path, text: str) -> InputError:
    return InputError([Problem(file=str(path), place="", text=f"{text}. Nothing was saved")])


def _check_name(path: Path, id: str) -> None:
    """The file's name is the ensemble's id, and must be one that reading takes for it."""
    wrong = id_problem(id)
    if wrong:
        raise _refused(path, wrong)
    reserved = {name.casefold() for name in NOT_ENSEMBLES}
    if path.name.casefold() in reserved or id.startswith(".") or "\\" in id or "\0" in id:
        raise _refused(path, "no ensemble can have a file of this name: choose another")


def _check_folder(folder: Path, path: Path, *, new: bool) -> None:
    """Nothing that is to be written is there yet, and what is needed is."""
    try:
        there = os.path.lexists(folder / WORKROOM)
        others = ensemble_files(folder) if folder.is_dir() else []
        taken = {file.name.casefold() for file in others}
    except OSError as error:
        raise _refused(folder, os_problem(error)) from None
    if new and there:
        raise _refused(folder / WORKROOM, "there is a workroom here already: add an ensemble to "
                       "it, or choose another folder")  # fmt: skip
    if new and others:
        raise _refused(folder, f"there are ensembles here and no {WORKROOM}: choose another folder")
    if not new and not there:
        raise _refused(folder, f"there is no {WORKROOM} here: say when you sew, and it is made")
    # on many disks capitals make no difference
    if path.name.casefold() in taken or os.path.lexists(path):
        raise _refused(path, "there is a file of this name already: choose another name")


def _make(folder: Path) -> list[Path]:
    """Make the folder with those above it; the ones that were made, the topmost first."""
    missing = [one for one in (folder, *folder.parents) if not os.path.lexists(one)][::-1]
    made: list[Path] = []
    try:
        for one in missing:
            os.mkdir(one)
            made.append(one)
        if not folder.is_dir():
            raise NotADirectoryError(20, "not a folder")
    except OSError as error:
        for one in reversed(made):
            with contextlib.suppress(OSError):
                os.rmdir(one)
        raise _refused(folder, os_problem(error)) from None
    return made


def id_from(name: str, taken: Collection[str], otherwise: str = "piece") -> str:
    """An id made of a name, which is none of ``taken``, capitals or not.

    Letters and figures of any script, small and without their accents, joined by hyphens:
    "Miller's smock" is "millers-smock", a second one "millers-smock-2". A name without any is
    ``otherwise``.
    """
    letters = []
    for char in unicodedata.normalize("NFKD", name.casefold()):
        if char.isalnum() or (unicodedata.category(char)[0] == "M" and char not in _ACCENTS):
            letters.append(char)
        elif char not in _ACCENTS and char not in "'’":
            letters.append(" ")
    # what was taken apart to find the accents and is none of them goes together again
    words = unicodedata.normalize("NFC", "".join(letters)).split()
    base = _cut("-".join(words)) or otherwise
    used = {id.casefold() for id in taken}
    number, found = 2, base
    while found.casefold() in used:
        found = f"{base}-{number}"
        number += 1
    return found


def _cut(text: str) -> str:
    """At most ``LONGEST`` characters, in whole words where there are several."""
    if len(text) <= LONGEST:
        return text
    return (text[: LONGEST + 1].rpartition("-")[0] or text)[:LONGEST]
