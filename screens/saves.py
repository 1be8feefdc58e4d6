"""The difference between two projects on its way into files: worked out first, then all at once."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from planner.carrying import bare
from planner.files.reading import DIARY, NOT_ENSEMBLES
from planner.files.saving import ChangedMeanwhile
from planner.files.staging import Staging
from planner.files.texts import ensemble_in
from planner.files.writing import read_text, write_diary, write_ensemble, write_workroom
from planner.model import Ensemble, Project
from planner.problems import InputError, Problem

Touched = tuple[Path, str | None, str | None]
"""A file with its text before and after; None: there is no file."""

ALONE: Final = (
    "only one ensemble is open here, with its own hours: write a workroom.toml with the hours, "
    "and open the folder. Nothing was saved"
)
NOT_OURS: Final = (
    "the file holds more than wearby wrote into it: remove it by hand. Nothing was saved"
)


class Texts:
    """What wearby wrote and removed in this run: texts hold more than values do."""

    def __init__(self) -> None:
        self.written: dict[Path, str] = {}
        self.removed: dict[Path, str] = {}
        self._lines: dict[Path, Counter[str]] = {}
        """Lines that were not there before this run."""

    def remember(self, touched: Sequence[Touched]) -> None:
        """Once all is saved."""
        for file, old, new in touched:
            if new is not None:
                self.written[file] = new
            elif old is not None:
                self.removed[file] = old
            was, now = _lines(old), _lines(new)
            self._lines[file] = (self._lines.get(file, Counter()) + (now - was)) - (was - now)

    def gone(self) -> list[tuple[Path, int]]:
        """Files of which lines that wearby wrote are gone since, with how many; each told once."""
        found = []
        for file, ours in self._lines.items():
            gone = (_lines(self.written.get(file)) - _lines(text_of(file))) & ours
            if gone:
                self._lines[file] = ours - gone
                found.append((file, gone.total()))
        return found


def _lines(text: str | None) -> Counter[str]:
    return Counter(line for line in (text or "").splitlines() if line.strip())


def text_of(file: Path) -> str | None:
    """What a file says, to the letter; None where there is none, or it can't be got at."""
    try:
        return file.read_bytes().decode("utf-8", "surrogateescape")
    except OSError:
        return None


class Saving:
    """What is to be saved for one edit."""

    def __init__(
        self, path: Path, before: Project, after: Project, texts: Texts, only_ours: bool
    ) -> None:
        """``only_ours``: a file is removed only if its text is as wearby wrote it."""
        self.path = path
        self.folder = folder_of(path)
        self.before, self.after = before, after
        self.texts, self.only_ours = texts, only_ours
        self.staging = Staging()
        self.touched: list[Touched] = []

    def work_out(self) -> None:
        """Find what every file is to say; nothing is written. Raises InputError."""
        before = {one.id: one for one in self.before.ensembles}
        after = {one.id: one for one in self.after.ensembles}
        if not after:
            raise refused(self.path, "a workroom needs an ensemble: the last one stays")
        for ident, ensemble in after.items():
            old = before.get(ident)
            if old is None or bare(old) != bare(ensemble):
                self._ensemble(old, ensemble, self.after.workroom.units)
        self._workroom_and_diary()
        for ident in before.keys() - after.keys():
            self._remove(before[ident])

    def _ensemble(self, old: Ensemble | None, ensemble: Ensemble, units: str) -> None:
        """One ensemble; one that was removed comes back as it was written."""
        file = self._file_of(ensemble, old)
        text = self.texts.removed.get(file) if old is None else None
        if text is not None and not file.exists():
            self.staging.put(file, None, text)
            old = ensemble_in(text, file)
        self._touch(file, lambda: write_ensemble(file, old, ensemble, units, self.staging))

    def _workroom_and_diary(self) -> None:
        old, new, into = self.before, self.after, self.staging
        if bare(old.workroom) != bare(new.workroom):
            file = Path(old.workroom.file or self.path)
            self._touch(file, lambda: write_workroom(file, old.workroom, new.workroom, into))
        if bare(old.diary) != bare(new.diary):
            diary = Path(old.diary.file) if old.diary.file else self.folder / DIARY
            was = old.diary if diary.exists() else None
            self._touch(diary, lambda: write_diary(diary, was, new.diary, into))

    def _file_of(self, ensemble: Ensemble, old: Ensemble | None) -> Path:
        """Where an ensemble is written; a new one needs a folder with its workroom."""
        if old is not None:
            return Path(old.file)
        alone = self.before.ensembles[0].file == self.before.workroom.file
        if not self.path.is_dir() or alone:
            raise refused(self.path, ALONE)
        name = f"{ensemble.id}.toml"
        if name in NOT_ENSEMBLES:
            raise refused(self.folder / name, "this name is taken: choose another id")
        return self.folder / name

    def _touch(self, file: Path, write: Callable[[], None]) -> None:
        """Work out a file's text, remembering what it says."""
        write()
        found = self.staging.found(file)
        if found is None:
            return
        self.touched = [one for one in self.touched if one[0] != file]
        self.touched.append((file, *found))

    def _remove(self, ensemble: Ensemble) -> None:
        """Remove an ensemble's file, if it still says what was read."""
        file = Path(ensemble.file)
        old = read_text(file)
        if self.only_ours and old != self.texts.written.get(file):
            raise ChangedMeanwhile(refused(file, NOT_OURS).problems)
        # nothing differs, so nothing is written: this only looks whether it was changed
        write_ensemble(file, ensemble, ensemble)
        self.staging.put(file, old, None)
        self.touched.append((file, old, None))


def exchange(files: Sequence[Touched]) -> None:
    """Have files say what comes after instead of what came before, to the letter, all or none.

    Raises ChangedMeanwhile where one doesn't say that, NotSaved where one can't be written.
    """
    staging = Staging()
    for file, old, new in files:
        staging.put_text(file, old, new)
    staging.commit()


def folder_of(path: Path) -> Path:
    """The workroom's folder, of its own path or an ensemble's; also where it is gone."""
    alone = path.is_file() or (path.suffix == ".toml" and not os.path.lexists(path))
    return path.parent if alone else path


def refused(file: Path, text: str) -> InputError:
    """The error of one problem."""
    return InputError([Problem(file=str(file), place="", text=text)])
