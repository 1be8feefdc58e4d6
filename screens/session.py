"""A run of the program: the project as read, edits saved at once, and the way back.

An edit is a pure function from one project to another. What differs is saved file by file; the
history keeps the values before and after, so that taking an edit back is an edit too, which
changes what the edit changed and nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Final

from planner.carrying import Conflict, bare, carried_over
from planner.files.halves import finish
from planner.files.identity import with_identity
from planner.files.kept import write_kept
from planner.files.leftovers import clear_leftovers
from planner.files.lock import Held, Holder, open_for_writing, writing
from planner.files.plans_behind import remember_plan
from planner.files.reading import KEPT, ensemble_files, read_project
from planner.files.recovery import Unsaved, edit_of, garments_of, out_of_reach, recovered
from planner.files.saving import ChangedMeanwhile, NotSaved, not_saved
from planner.ground import lay_ground
from planner.kept import kept_of
from planner.model import Kept, Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.recovering import Aside, Asker, OpenElsewhere, and_kept, open_elsewhere
from screens.saves import Saving, Texts, Touched, exchange, folder_of, refused, text_of
from screens.state import Fingerprint, fingerprint

Change = Callable[[Project], Project]

TRIES: Final = 5
"""How often an edit is made anew where somebody saves in the very moment."""


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
        self.texts = Texts()
        self._attempt: tuple[Touched, ...] = ()
        """What the edit in hand is to write."""
        self._held: Held | None = None
        self._cleared = False
        """Whether what killed programs left behind was taken away."""
        self._asked = False
        """Whether this run is to have the workroom open for writing."""
        self.aside = Aside()
        """Edits that couldn't be saved."""
        self.settled = False
        """Whether what is to be told and asked at opening was."""
        self._kept: Kept | None = None
        """The plan this run holds on to; None: the one that was read."""
        self._set_out = Kept()
        """The first plan this run held on to on its day: what one set out with."""
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
        if self._kept is not None and project.kept is self._kept:
            return project  # it has it already: that doesn't come from the file
        if project.kept.hours != self._kept_there.hours:
            self._kept, self._kept_there = None, project.kept
        return project if self._kept is None else replace(project, kept=self._kept)

    def keep(self, plan: Plan) -> None:
        """Hold on to a plan of the project from now on; ``save_kept`` does so for later runs."""
        kept = kept_of(plan, self._project)
        if self._set_out.as_of is None or self._set_out.as_of.date() != plan.now.date():
            self._set_out = kept
        self._hold(kept)

    def save_kept(self, remember: bool = False) -> None:
        """Save the plan that is held on to, if that is worth it; ``remember`` the one the day
        was set out with, too, and the one kept before, unless there are some of their days.

        Quietly: where it can't be saved, it holds for this run. One ensemble of several, opened
        alone, doesn't speak for the others.
        """
        with self._keeping:
            kept = self._kept
            if self._asked and self._held is None:
                return  # another one has the workroom, and keeps its own
            if kept is None or kept.as_of is None:
                return
            try:
                if not self.path.is_dir() and len(ensemble_files(self.folder)) != 1:
                    return
                if remember:
                    for one in (self._kept_there, self._set_out):
                        if one.as_of is not None and one.as_of <= kept.as_of:
                            remember_plan(self.folder, one, one.as_of)
                if kept.hours != self._kept_there.hours:
                    write_kept(self.folder / KEPT, kept)
                    self._kept_there = kept
            except (InputError, OSError):
                return

    @property
    def folder(self) -> Path:
        """The workroom's."""
        return folder_of(self.path)

    def _hold(self, kept: Kept) -> None:
        self._kept = kept
        if self._project is not None:
            self._project = replace(self._project, kept=kept)

    def spread_afresh(self, label: str) -> None:
        """Let go of the plan that was kept: the next one is made without it.

        An edit of no file, that can be undone. Raises InputError where files can't be read.
        """
        before = self.current()
        self._hold(replace(before.kept, let_go=True))
        self.done.append(Edit(label=label, before=before, after=self.project, files=()))
        self.undone.clear()

    def apply(self, label: str, change: Change, asker: Asker | None = None) -> Project:
        """Make an edit, save it, and read what was saved.

        ``asker``: the form it was typed into, and for what. What that couldn't have saved before
        is this very edit, and isn't kept beside it; nor is what the files now say anyway.

        Files changed by somebody else are read again first. Raises InputError where the change
        can't be made, planned or saved; ChangedMeanwhile where a file was changed in the very
        moment. An edit that changes nothing leaves no trace in the history.
        """
        try:
            before, files = self._made(change)
        except InputError as error:
            raise self._kept_aside(label, change, error, asker) from None
        after = self.project
        if not self.aside.being_made:
            self.aside.withdraw(after, self.folder, asker)
        if bare(after) != bare(before):
            self.done.append(Edit(label=label, before=before, after=after, files=files))
            self.undone.clear()
        return after

    def _made(self, change: Change) -> tuple[Project, tuple[Touched, ...]]:
        """The project before a change, and what was saved of it.

        Where somebody saves in the very moment, the change is made once more on what they say.
        """
        self._attempt = ()
        for tries_left in reversed(range(TRIES)):
            try:
                with self._alone():
                    before = self.current()
                    after = change(before)
                    files = self._save(before, after)
                    if after.kept != before.kept:
                        self._hold(after.kept)
                    return before, files
            except ChangedMeanwhile:
                self._seen = ()
                if not tries_left:
                    raise
        raise AssertionError("unreachable")

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """No other wearby saves here meanwhile. Raises OpenElsewhere where one has it open."""
        self.check_open()
        with writing(self.folder) as alone:
            self._clear(alone)
            self._know()
            yield

    def _know(self) -> None:
        """Keep in mind what the workroom is known by, as long as it can be got at."""
        self.aside.known_as = self.aside.known_as or with_identity(self.folder)

    def _clear(self, alone: bool) -> None:
        """Once: finish what a killed program began, and take away what it left."""
        if not self._cleared and alone:
            self._cleared = True
            finish(self.folder)
            clear_leftovers(self.folder)

    def open_for_writing(self) -> Holder | None:
        """Have the workroom open for writing from now on; else who has, and this run only reads.

        A run that never asks writes whenever nobody else is about to: a command does.
        """
        self._asked = True
        if self._held is None:
            found = open_for_writing(self.folder)
            if isinstance(found, Holder):
                return found
            self._held = found
            with suppress(NotSaved), writing(self.folder) as alone:
                self._clear(alone)
                self._know()
        return None

    def check_open(self) -> None:
        """Raise OpenElsewhere where another wearby has the workroom open for writing, and this
        run was to have; once that one closes it, this one has it."""
        holder = self.open_for_writing() if self._asked else None
        if holder is not None:
            raise OpenElsewhere([open_elsewhere(self.folder, holder, self.clock())])

    def close(self) -> None:
        """Let others have the workroom open for writing."""
        held, self._held, self._asked = self._held, None, False
        if held is not None:
            held.release()

    def _kept_aside(
        self, label: str, change: Change, error: InputError, asker: Asker | None
    ) -> InputError:
        """What to raise where an edit couldn't be made: where only the disk is in the way, the
        edit is kept, to be offered again."""
        by_disk = isinstance(error, NotSaved) or out_of_reach(self.path)
        if self.aside.being_made or self._project is None or not by_disk:
            return error
        try:
            after = change(self._project)
        except InputError:
            return error
        now, touched = self.clock(), self._attempt
        edit = edit_of(
            label, now, self.folder, touched, self._project, after, self.aside.known_as
        )
        return and_kept(error, self.aside.keep(edit, asker))

    @property
    def unsaved(self) -> list[Unsaved]:
        """The edits of this workroom that couldn't be saved, the oldest first."""
        garments = garments_of(self._project) if self._project is not None else ()
        return self.aside.waiting(self.folder, garments)

    def recover(self, edit: Unsaved) -> None:
        """Make an edit that couldn't be saved, on what the files say now; it is then forgotten.

        Raises InputError where it still can't be; it stays.
        """
        self.aside.being_made = True
        try:
            self.apply(edit.label, lambda project: recovered(project, edit, self.folder))
        finally:
            self.aside.being_made = False
        self.aside.forget(edit)

    def bring_back(self, label: str, file: Path, state: Path) -> None:
        """Have a file say again what an earlier state of it says. Raises InputError.

        Also where the files as they are can't be read; then it can't be taken back.
        """
        try:
            text = state.read_bytes().decode("utf-8", "surrogateescape")
        except OSError as error:
            raise not_saved(state, error) from None
        with self._alone():
            try:
                before = self.current()
            except InputError:
                before = None
            files = ((file, text_of(file), text),)
            self._commit(files, lambda: exchange(files))
        self.texts.remember(files)
        if before is not None:
            self.done.append(Edit(label=label, before=before, after=self.project, files=files))
            self.undone.clear()

    def undo(self) -> str | None:
        """Take the last edit back: its label, or None where there is none.

        What was changed since elsewhere stays. Raises ChangedMeanwhile where it was changed in
        the same place; the edit stays in the history.
        """
        if not self.done:
            return None
        edit = self.done[-1]
        back = [(file, new, old) for file, old, new in reversed(edit.files)]
        with self._alone():
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
        with self._alone():
            if not self._exchange(edit.files):
                self._carry(edit.label, edit.before, edit.after)
        if edit.after.kept != edit.before.kept:
            self._hold(edit.after.kept)
        self.done.append(self.undone.pop())
        return edit.label

    def _exchange(self, files: Sequence[Touched]) -> bool:
        """Put texts in place of others to the letter; False where one isn't there any more."""
        if any(text_of(file) != old for file, old, _ in files):
            return False
        self._commit(files, lambda: exchange(files))
        self.texts.remember(files)
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
        saving = Saving(self.path, before, after, self.texts, only_ours)
        try:
            saving.work_out()
        except ValueError as error:
            raise refused(self.path, f"{error}. Nothing was saved") from None
        self._attempt = tuple(saving.touched)
        self._commit(self._attempt, saving.staging.commit)
        self.texts.remember(saving.touched)
        return self._attempt

    def _commit(self, files: Sequence[Touched], save: Callable[[], None]) -> None:
        """Save, and read what was saved; where it can't be read all is as it was."""
        self._seen = ()
        save()
        try:
            self.read()
        except BaseException:
            exchange([(file, new, old) for file, old, new in reversed(files)])
            raise

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
