"""A run of the program: the project as read, edits saved at once, and the way back.

An edit is a pure function from one project to another. What differs is saved file by file; the
history keeps the values before and after, so that taking an edit back is an edit too, which
changes what the edit changed and nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Final

from planner.carrying import Conflict, bare, carried_over
from planner.files.kept import write_kept
from planner.files.reading import (
    DIARY,
    KEPT,
    NOT_ENSEMBLES,
    ensemble_files,
    read_project,
)
from planner.files.saving import save_atomically
from planner.files.writing import (
    ChangedMeanwhile,
    read_text,
    write_diary,
    write_ensemble,
    write_workroom,
)
from planner.ground import lay_ground
from planner.kept import kept_of
from planner.model import Ensemble, Kept, Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.state import Fingerprint, fingerprint

Change = Callable[[Project], Project]
Touched = tuple[Path, str | None, str | None]
"""A file with its text before and after; None: there is no file."""

ALONE: Final = (
    "only one ensemble is open here, with its own hours: write a workroom.toml with the hours, "
    "and open the folder. Nothing was saved"
)
NOT_OURS: Final = (
    "the file holds more than wearby wrote into it: remove it by hand. Nothing was saved"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One edit that was saved."""

    label: str
    """What was done, as a past fact: "hem by hand left off"."""
    before: Project
    after: Project
    files: tuple[Touched, ...]
    """What it wrote: texts hold comments, which values don't."""


class Session:
    """The project at ``path`` for one run of the program; ``clock`` tells from when to plan.

    A folder, or one ensemble's file. Whatever raises InputError here has saved nothing.
    """

    def __init__(self, path: Path, clock: Callable[[], datetime]) -> None:
        self.path = path
        self.clock = clock
        self.done: list[Edit] = []
        self.undone: list[Edit] = []
        self._project: Project | None = None
        self._seen: Fingerprint = ()
        self._texts = _Texts()
        self._kept: Kept | None = None
        """The plan this run holds on to; None: the one that was read."""
        self._kept_there = Kept()
        """What kept.toml said last, as far as this run knows."""
        self._keeping = Lock()

    @property
    def project(self) -> Project:
        """The project as last read; read now if it hasn't been. Raises InputError."""
        if self._project is None:
            return self.read()
        return self._project

    def read(self) -> Project:
        """Read the files again. Raises InputError with every problem; then the last stays."""
        seen = fingerprint(self.path)
        self._project = self.holding(read_project(self.path))
        self._seen = seen
        return self._project

    def current(self) -> Project:
        """The project as the files say now. Raises InputError where they can't be read."""
        if fingerprint(self.path) != self._seen:
            return self.read()
        return self.project

    def now_read(self, project: Project, seen: Fingerprint) -> None:
        """Take over what was read elsewhere while the files looked like ``seen``."""
        self._project, self._seen = self.holding(project), seen

    def holding(self, project: Project) -> Project:
        """A project that was read, with the plan this run holds on to.

        Where another program kept a newer one, that counts.
        """
        if project.kept.hours != self._kept_there.hours:
            self._kept, self._kept_there = None, project.kept
        return project if self._kept is None else replace(project, kept=self._kept)

    def keep(self, plan: Plan) -> None:
        """Hold on to a plan of the project from now on; ``save_kept`` does so for later runs."""
        self._hold(kept_of(plan))

    def save_kept(self) -> None:
        """Save the plan that is held on to, if that is worth it.

        Quietly: where it can't be saved, it holds for this run. One ensemble of several, opened
        alone, doesn't speak for the others.
        """
        with self._keeping:
            kept = self._kept
            if kept is None or kept.as_of is None or kept.hours == self._kept_there.hours:
                return
            try:
                if self.path.is_dir() or len(ensemble_files(self.folder)) == 1:
                    write_kept(self.folder / KEPT, kept)
                    self._kept_there = kept
            except (InputError, OSError):
                return

    @property
    def folder(self) -> Path:
        """The workroom's."""
        return self.path if self.path.is_dir() else self.path.parent

    def _hold(self, kept: Kept) -> None:
        self._kept = kept
        if self._project is not None:
            self._project = replace(self._project, kept=kept)

    def spread_afresh(self, label: str) -> None:
        """Let go of the plan that was kept: the next one is made without it.

        An edit of no file, that can be undone. Raises InputError where files can't be read.
        """
        before = self.current()
        self._hold(Kept())
        self.done.append(Edit(label=label, before=before, after=self.project, files=()))
        self.undone.clear()

    def apply(self, label: str, change: Change) -> Project:
        """Make an edit, save it, and read what was saved.

        Files changed by somebody else are read again first. Raises InputError where the change
        can't be made, planned or saved; ChangedMeanwhile where a file was changed in the very
        moment. An edit that changes nothing leaves no trace in the history.
        """
        before = self.current()
        files = self._save(before, change(before))
        after = self.project
        if bare(after) != bare(before):
            self.done.append(Edit(label=label, before=before, after=after, files=files))
            self.undone.clear()
        return after

    def undo(self) -> str | None:
        """Take the last edit back: its label, or None where there is none.

        What was changed since elsewhere stays. Raises ChangedMeanwhile where it was changed in
        the same place; the edit stays in the history.
        """
        if not self.done:
            return None
        edit = self.done[-1]
        back = [(file, new, old) for file, old, new in reversed(edit.files)]
        if not self._exchange(back):
            self._carry(edit.label, edit.after, edit.before)
        # what was planned before the edit is planned again
        self._hold(edit.before.kept)
        self.undone.append(self.done.pop())
        return edit.label

    def redo(self) -> str | None:
        """Make the last edit that was taken back again. Otherwise as ``undo``."""
        if not self.undone:
            return None
        edit = self.undone[-1]
        if not self._exchange(edit.files):
            self._carry(edit.label, edit.before, edit.after)
        if not edit.files:
            self._hold(edit.after.kept)
        self.done.append(self.undone.pop())
        return edit.label

    def _exchange(self, files: Sequence[Touched]) -> bool:
        """Put texts in place of others to the letter; False where one isn't there any more."""
        if any(_text(file) != old for file, old, _ in files):
            return False
        put: list[Touched] = []
        try:
            for file, old, new in files:
                put.append((file, new, old))
                _put(file, new)
            self.read()
        except BaseException:
            self._seen = ()
            for file, _, old in reversed(put):
                _put(file, old)
            raise
        self._texts.remember(files)
        return True

    def _carry(self, label: str, base: Project, to: Project) -> None:
        """Change what differs between ``base`` and ``to`` in the project as it is."""
        current = self.current()
        try:
            after = carried_over(current, base, to)
        except Conflict as conflict:
            text = (
                f'"{label}" can\'t be taken back or made again: {conflict.what} has been '
                "changed since, outside of wearby. Nothing was saved; change it by hand"
            )
            problem = Problem(file=conflict.file or str(self.path), place="", text=text)
            raise ChangedMeanwhile([problem]) from None
        self._save(current, after, only_ours=True)

    def _save(
        self, before: Project, after: Project, only_ours: bool = False
    ) -> tuple[Touched, ...]:
        """Save what differs, and read it again; on any failure every file is as it was.

        ``only_ours``: a file is removed only if its text is as wearby wrote it.
        """
        self._check(before, after)
        saving = _Saving(self.path, before, after, self._texts, only_ours)
        try:
            saving.run()
            self.read()
        except BaseException as error:
            self._seen = ()
            saving.take_back()
            if isinstance(error, ValueError):
                raise _refused(self.path, f"{error}. Nothing was saved") from None
            raise
        self._texts.remember(saving.touched)
        return tuple(saving.touched)

    def _check(self, before: Project, after: Project) -> None:
        """Raise InputError with what can't be planned, unless it couldn't be before."""
        now = self.clock()
        known = {problem.text for problem in _problems(before, now)}
        new = [one for one in _problems(after, now) if one.text not in known]
        if new:
            raise InputError(new)


def _problems(project: Project, now: datetime) -> Sequence[Problem]:
    """Why a project can't be planned: references, circles, techniques, amounts, dates."""
    try:
        lay_ground(project, now.replace(tzinfo=None))
    except InputError as error:
        return error.problems
    return ()


class _Texts:
    """What wearby wrote and removed in this run: texts hold more than values do."""

    def __init__(self) -> None:
        self.written: dict[Path, str] = {}
        self.removed: dict[Path, str] = {}

    def remember(self, touched: Sequence[Touched]) -> None:
        """Once all is saved."""
        for file, old, new in touched:
            if new is not None:
                self.written[file] = new
            elif old is not None:
                self.removed[file] = old


class _Saving:
    """The difference between two projects on its way into files."""

    def __init__(
        self, path: Path, before: Project, after: Project, texts: _Texts, only_ours: bool
    ) -> None:
        self.path = path
        self.folder = path if path.is_dir() else path.parent
        self.before, self.after = before, after
        self.texts, self.only_ours = texts, only_ours
        self.touched: list[Touched] = []

    def run(self) -> None:
        """Save every file that differs. Raises InputError; ``take_back`` then mends it."""
        before = {one.id: one for one in self.before.ensembles}
        after = {one.id: one for one in self.after.ensembles}
        units = self.after.workroom.units
        if not after:
            raise _refused(self.path, "a workroom needs an ensemble: the last one stays")
        for ident, ensemble in after.items():
            old = before.get(ident)
            if old is None or bare(old) != bare(ensemble):
                self._ensemble(old, ensemble, units)
        self._workroom_and_diary()
        for ident in before.keys() - after.keys():
            self._remove(before[ident])

    def take_back(self) -> None:
        """Have every file as it was, last one first. Raises InputError where that fails."""
        for file, old, _ in reversed(self.touched):
            _put(file, old)
        self.touched.clear()

    def _ensemble(self, old: Ensemble | None, ensemble: Ensemble, units: str) -> None:
        """Save one ensemble; one that was removed comes back as it was written."""
        file = self._file_of(ensemble, old)
        text = self.texts.removed.get(file) if old is None else None
        if text is not None and not file.exists():
            self.touched.append((file, None, text))
            save_atomically(file, text)
            old = read_project(file).ensembles[0]
        self._touch(file, lambda: write_ensemble(file, old, ensemble, units))

    def _workroom_and_diary(self) -> None:
        old, new = self.before, self.after
        if bare(old.workroom) != bare(new.workroom):
            file = Path(old.workroom.file or self.path)
            self._touch(file, lambda: write_workroom(file, old.workroom, new.workroom))
        if bare(old.diary) != bare(new.diary):
            diary = Path(old.diary.file) if old.diary.file else self.folder / DIARY
            was = old.diary if diary.exists() else None
            self._touch(diary, lambda: write_diary(diary, was, new.diary))

    def _file_of(self, ensemble: Ensemble, old: Ensemble | None) -> Path:
        """Where an ensemble is written; a new one needs a folder with its workroom."""
        if old is not None:
            return Path(old.file)
        alone = self.before.ensembles[0].file == self.before.workroom.file
        if not self.path.is_dir() or alone:
            raise _refused(self.path, ALONE)
        name = f"{ensemble.id}.toml"
        if name in NOT_ENSEMBLES:
            raise _refused(self.folder / name, "this name is taken: choose another id")
        return self.folder / name

    def _touch(self, file: Path, write: Callable[[], None]) -> None:
        """Write a file, remembering what it said."""
        old = read_text(file) if file.exists() else None
        if old is not None:
            self.touched.append((file, old, old))
        write()
        if old is not None:
            self.touched.pop()
        self.touched.append((file, old, read_text(file)))

    def _remove(self, ensemble: Ensemble) -> None:
        """Remove an ensemble's file, if it still says what was read."""
        file = Path(ensemble.file)
        old = read_text(file)
        if self.only_ours and old != self.texts.written.get(file):
            raise ChangedMeanwhile(_refused(file, NOT_OURS).problems)
        # nothing differs, so nothing is written: this only looks whether it was changed
        write_ensemble(file, ensemble, ensemble)
        self.touched.append((file, old, None))
        _put(file, None)


def _text(file: Path) -> str | None:
    """What a file says; None where there is none, or nothing that can be read."""
    try:
        return read_text(file) if file.exists() else None
    except InputError:
        return None


def _put(file: Path, text: str | None) -> None:
    """Have a file say this; None removes it. Raises InputError."""
    if text is not None:
        save_atomically(file, text)
        return
    try:
        file.unlink(missing_ok=True)
    except OSError as error:
        raise _refused(file, f"it can't be removed ({error.strerror})") from None


def _refused(file: Path, text: str) -> InputError:
    return InputError([Problem(file=str(file), place="", text=text)])
