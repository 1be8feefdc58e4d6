"""What is said where saving wasn't possible: who has the workroom open, what is kept for later."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Final

from planner.files.lock import Holder
from planner.files.reading import DIARY
from planner.files.recovery import (
    Unsaved,
    all_kept,
    forget,
    garments_of,
    is_still_there,
    keep_aside,
    kept_aside,
)
from planner.files.saving import NotSaved
from planner.files.unsaved_words import alike, changed_in, entries_of, is_there
from planner.model import Entry, Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.log_told import entry_told
from screens.wording import clean, clock, long_date, named_date, spoken

Asker = tuple[object, str]
"""A form, and which edit it asks for."""
ONLY_HERE: Final = ": only this run of wearby has it"
"""Said where the program runs on; a command has ended by then."""


class OpenElsewhere(InputError):
    """Another wearby has the workroom open for writing; this one only reads. Nothing was saved."""


def aside() -> Path:
    """Where edits are kept that couldn't be saved: the platform's folder for a program's state."""
    from platformdirs import user_state_path

    return user_state_path("wearby", appauthor=False) / "not-saved"


class Aside:
    """The edits that couldn't be saved: of this run of the program, and of earlier ones."""

    def __init__(self) -> None:
        self.of_this_run: list[Unsaved] = []
        self.being_made = False
        """Whether the edit in hand is one of them."""
        self.known_as = ""
        """The workroom's own word."""
        self._asked_by: list[tuple[Asker, Unsaved]] = []
        """Forms that hold the words of such an edit, with it."""

    def keep(self, edit: Unsaved, asker: Asker | None = None) -> Unsaved:
        """Keep an edit: on the disk elsewhere, or where that fails too in memory.

        It takes the place of what the same form couldn't have saved before.
        """
        kept = keep_aside(aside(), edit)
        if asker is not None:
            self._withdraw_of(asker)
            self._asked_by.append((asker, kept))
        self.of_this_run.append(kept)
        return kept

    def forget(self, edit: Unsaved) -> None:
        """Keep it no longer."""
        forget(edit)
        self.of_this_run = [one for one in self.of_this_run if one != edit]
        self._asked_by = [one for one in self._asked_by if one[1] != edit]

    def withdraw(self, project: Project, folder: Path, asker: Asker | None = None) -> None:
        """Keep no longer what this form asked for before it could be saved, nor what the project
        says anyway."""
        if asker is not None:
            self._withdraw_of(asker)
        for one in self.waiting(folder, garments_of(project)):
            if is_there(project, one, folder):
                self.forget(one)

    def _withdraw_of(self, asker: Asker) -> None:
        for who, edit in list(self._asked_by):
            if who == asker:
                self.forget(edit)

    def is_held(self, edit: Unsaved) -> bool:
        """Whether a form that is open holds the words of an edit."""
        return any(one == edit for _, one in self._asked_by)

    def let_go(self, there: Sequence[object]) -> bool:
        """Note which forms are still there; whether one is gone that held such words."""
        gone = [one for one in self._asked_by if not any(one[0][0] is who for who in there)]
        self._asked_by = [one for one in self._asked_by if one not in gone]
        return bool(gone)

    def waiting(self, folder: Path, garments: Sequence[str] = ()) -> list[Unsaved]:
        """Those of a workroom, also where it was before it was moved."""
        there = kept_aside(aside(), folder, garments)
        known = {one.file for one in there}
        # a folder that was moved under the program isn't at its path any more
        more = [
            one
            for one in self.of_this_run
            if one.file is None or (one.file not in known and one.file.exists())
        ]
        return there + more

    def homeless(self, folder: Path, garments: Sequence[str] = ()) -> list[Unsaved]:
        """Those on the disk whose workroom isn't where it was, and isn't this one."""
        here = {one.file for one in self.waiting(folder, garments)}
        kept = [one for one in all_kept(aside()) if one.file not in here]
        return [one for one in kept if not is_still_there(one)]

    @property
    def in_memory(self) -> list[Unsaved]:
        """Those that go with this run."""
        return [one for one in self.of_this_run if one.file is None]


def open_elsewhere(folder: Path, holder: Holder, now: datetime) -> Problem:
    """Why nothing can be saved here now."""
    text = (
        f"this workroom is {who(holder, now)}, and opened here for reading. Nothing was saved; "
        "close it there, then keep this again"
    )
    return Problem(file="", place="", text=text)


def who(holder: Holder, now: datetime) -> str:
    """ "open in another wearby since today, 19:40"."""
    words = "open in another wearby"
    if holder.host:
        words += f" on {clean(holder.host)}"
    if holder.since is None:
        return words
    return f"{words} since {named_date(holder.since.date(), now.date())}, {clock(holder.since)}"


def said_of_holder(holder: Holder, now: datetime) -> str:
    """What is told at opening."""
    return (
        f"This workroom is {who(holder, now)}: opened here for reading. Once it is closed there, "
        "edits made here are saved."
    )


def moment(at: datetime) -> str:
    """ "Monday 3 May, 19:40"."""
    return f"{long_date(at.date())}, {at:%H:%M}"


class KeptAside(NotSaved):
    """An edit couldn't be saved, and is kept: on the disk elsewhere, or in this run alone."""

    def __init__(self, problems: Sequence[Problem], edit: Unsaved) -> None:
        super().__init__(problems)
        self.edit = edit


def and_kept(error: InputError, kept: Unsaved) -> InputError:
    """The same error, that says what becomes of the edit."""
    how = "; the edit is kept and offered again"
    if kept.file is None:
        how = f", nor could the edit be kept in {aside()}{ONLY_HERE}"
    problems = []
    for problem in error.problems[:1]:
        text = problem.text.removesuffix(". Nothing was saved")
        text = f"{text}. Nothing was saved in {kept.workroom}{how}"
        problems.append(Problem(file=problem.file, place=problem.place, text=text))
    return KeptAside(problems, kept)


def offered(edit: Unsaved) -> str:
    """What is asked about an edit that couldn't be saved."""
    return f"An edit of {moment(edit.at)} could not be saved: {clean(edit.label)}."


def words_of(edit: Unsaved, plan: Plan | None, today: date) -> list[str]:
    """What such an edit says: each entry in a sentence, of other files the lines."""
    found = []
    entries = entries_of(edit)
    for one in edit.files:
        if one.name == DIARY and entries:
            found += [_entry(entry, plan, today) for entry in entries]
        else:
            changed = changed_in(one)
            lines = changed.added or changed.taken_out
            how = "" if changed.added else "taken out: "
            found.append(f"{clean(one.name)}: {how}{clean('; '.join(lines))}")
    return found


def _entry(entry: Entry, plan: Plan | None, today: date) -> str:
    """ "Yesterday, 21:30: “hem” (Petticoat), 45 min, done, “by lamp”"; by its id where the plan
    has no such step."""
    if plan is not None and any(one.id == entry.step for one in plan.steps):
        told = entry_told(plan, entry, today)
    else:
        parts = [entry.step, spoken(entry.minutes) if entry.minutes else ""]
        parts += ["done"] if entry.done else []
        parts += [f"{spoken(entry.left)} left"] if entry.left is not None else []
        parts += [f"“{entry.note}”"] if entry.note else []
        told = f"{named_date(entry.at.date(), today)}, {clock(entry.at)}: "
        told += clean(", ".join(filter(None, parts)))
    return f"{told[:1].upper()}{told[1:]}"


def was_at(edit: Unsaved, folder: Path) -> str:
    """Where an edit's workroom was, if that was elsewhere."""
    here = os.path.abspath(folder) == str(edit.workroom)
    return "" if here else f"It was made in {clean(str(edit.workroom))}, which is no longer there."


def twins_of(project: Project, edit: Unsaved, plan: Plan, today: date) -> list[str]:
    """Entries of the diary that may be the same work as the edit's."""
    return [_entry(one, plan, today) for one in alike(project, edit)]


def in_full(edits: Sequence[Unsaved]) -> list[str]:
    """What would be lost, line by line as it was to stand in the files, to be copied."""
    found = ["What could not be saved; it is kept nowhere, so copy it from here:"]
    for edit in edits:
        found += ["", f"# {clean(edit.label)}, {edit.at:%Y-%m-%d %H:%M}"]
        for one in edit.files:
            changed = changed_in(one)
            found.append(f"# in {clean(str(edit.workroom / one.name))}")
            found += [clean(line) for line in changed.added]
            if not changed.added:
                found += [f"# to be taken out: {clean(line)}" for line in changed.taken_out]
    return found
