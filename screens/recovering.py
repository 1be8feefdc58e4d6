"""What is said where saving wasn't possible: who has the workroom open, what is kept for later."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from planner.files.lock import Holder
from planner.files.recovery import Unsaved, edit_of, forget, keep_aside, kept_aside
from planner.model import Project
from planner.problems import InputError, Problem
from screens.saves import Touched
from screens.wording import clean, clock, long_date, named_date


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

    def keep(
        self,
        label: str,
        at: datetime,
        folder: Path,
        touched: Sequence[Touched],
        before: Project,
        after: Project,
    ) -> Unsaved:
        """Keep an edit: on the disk elsewhere, or where that fails too in memory."""
        kept = keep_aside(aside(), edit_of(label, at, folder, touched, before, after))
        self.of_this_run.append(kept)
        return kept

    def forget(self, edit: Unsaved) -> None:
        """Keep it no longer."""
        forget(edit)
        self.of_this_run = [one for one in self.of_this_run if one != edit]

    def waiting(self, folder: Path) -> list[Unsaved]:
        """Those of a workroom."""
        there = kept_aside(aside(), folder)
        return there + [one for one in self.of_this_run if one.file is None]


def open_elsewhere(folder: Path, holder: Holder, now: datetime) -> Problem:
    """Why nothing can be saved here now."""
    text = f"{who(holder, now)}; opened here for reading. Nothing was saved"
    return Problem(file=str(folder), place="", text=text)


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


def and_kept(error: InputError, kept: Unsaved) -> InputError:
    """The same error, that says what becomes of the edit."""
    how = "" if kept.file is not None else ", till wearby is closed,"
    problems = []
    for problem in error.problems[:1]:
        text = problem.text.removesuffix(". Nothing was saved")
        text = (
            f"{text}. Nothing was saved in {kept.workroom}; the edit is kept{how} and offered again"
        )
        problems.append(Problem(file=problem.file, place=problem.place, text=text))
    return type(error)(problems)


def offered(edit: Unsaved) -> str:
    """What is asked about an edit that couldn't be saved."""
    return f"An edit of {moment(edit.at)} could not be saved: {clean(edit.label)}."
