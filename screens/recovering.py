"""What is said where saving wasn't possible: who has the workroom open, what is kept for later."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from planner.files.lock import Holder
from planner.files.recovery import Unsaved
from planner.problems import InputError, Problem
from screens.wording import clean, long_date


class OpenElsewhere(InputError):
    """Another wearby has the workroom open for writing; this one only reads. Nothing was saved."""


def aside() -> Path:
    """Where edits are kept that couldn't be saved: the platform's folder for a program's state."""
    from platformdirs import user_state_path

    return user_state_path("wearby", appauthor=False) / "not-saved"


def open_elsewhere(folder: Path, holder: Holder, now: datetime) -> Problem:
    """Why nothing can be saved here now."""
    text = f"{who(holder, now)}; opened here for reading. Nothing was saved"
    return Problem(file=str(folder), place="", text=text)


def who(holder: Holder, now: datetime) -> str:
    """ "open in another wearby since Monday 3 May, 19:40"."""
    words = "open in another wearby"
    if holder.host:
        words += f" on {clean(holder.host)}"
    return f"{words} since {moment(holder.since)}" if holder.since is not None else words


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
