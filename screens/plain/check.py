"""`wearby check`: what is odd in the files, and whether it fits, in a sentence or two."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from planner.files.backups import OURS
from planner.files.recovery import garments_of
from planner.model import Warned
from screens.answers import Question, fits_status
from screens.plain.going import how_it_goes_as_json, how_it_goes_lines
from screens.plain.lines import WIDTH, common, verdict
from screens.recovering import Aside, offered, was_at, words_of
from screens.saves import folder_of
from screens.why import unplaced_sentence, warning_line
from screens.wording import clean, count, wrapped


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """Warnings and what has no time; problems would have stopped the reading."""
    from planner.exports.as_json import unplaced_as_json, warned_as_json

    plan = question.plan
    return {
        **common(plan),
        "going": how_it_goes_as_json(question),
        "problems": [],
        "warnings": [warned_as_json(one) for one in warnings_of(question)],
        "unplaced": [unplaced_as_json(one) for one in plan.unplaced],
    }


def warnings_of(question: Question) -> tuple[Warned, ...]:
    """What is odd in the files, also by the day it is, and beside them."""
    return (*question.plan.warnings, *_still_to_come(question), *_no_folder(question))


def _still_to_come(question: Question) -> Iterator[Warned]:
    """Entries of the diary that are dated after today."""
    diary, today = question.project.diary, question.plan.now.date()
    later = [one for one in diary.entries if one.at.date() > today]
    if later:
        which = "this entry is" if len(later) == 1 else f"this and {len(later) - 1} more are"
        text = (
            f"{which} dated after today ({later[0].at.date()}), and counts as worked already: "
            "check the date"
        )
        yield Warned(file=diary.file, place=later[0].where, text=text)


def _no_folder(question: Question) -> Iterator[Warned]:
    """Where something else lies in the place of the folder for earlier states."""
    ours = folder_of(Path(question.given.path or ".")) / OURS
    if os.path.lexists(ours) and not ours.is_dir():
        text = (
            "this is no folder, so no earlier states of files are kept, and a second program "
            "isn't told that the workroom is open: rename it"
        )
        yield Warned(file=str(ours), place="", text=text)


def not_saved_lines(question: Question) -> list[str]:
    """Edits that couldn't be saved, and what to do about them."""
    folder = folder_of(Path(question.given.path or "."))
    garments = garments_of(question.project)
    plan, today = question.plan, question.plan.now.date()
    told = []
    for one in Aside().waiting(folder, garments):
        words = f"{'; '.join(words_of(one, plan, today))}. {was_at(one, folder)}".strip()
        told.append(f"{offered(one)} {words} Open the workroom to keep it or throw it away.")
    for one in Aside().homeless(folder, garments):
        told.append(
            f"{offered(one)} Its workroom is no longer in {clean(str(one.workroom))}; its words "
            f"are in {clean(str(one.file))}."
        )
    return ["", *(line for one in told for line in wrapped([one], WIDTH))] if told else []


def lines(question: Question) -> list[str]:
    """The verdict, then warnings, each with its file and place."""
    plan = question.plan
    found = [*verdict(plan), *how_it_goes_lines(question)]
    for one in plan.unplaced:
        found += wrapped(["No time for", unplaced_sentence(plan, one)], WIDTH)
    found += not_saved_lines(question)
    warnings = warnings_of(question)
    if not warnings:
        return [*found, "", "Nothing is wrong or odd in the files."]
    number = count(len(warnings), "thing")
    found += ["", f"Nothing is wrong in the files; {number} to look at:"]
    for warned in warnings:
        first, *rest = wrapped([warning_line(warned)], WIDTH - 2)
        found += [f"  {first}", *(f"    {line}" for line in rest)]
    return found
