"""`wearby check`: what is odd in the files, and whether it fits, in a sentence or two."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from screens.answers import Question, fits_status
from screens.plain.going import how_it_goes_as_json, how_it_goes_lines
from screens.plain.lines import WIDTH, common, verdict
from screens.recovering import Aside, offered
from screens.saves import folder_of
from screens.why import unplaced_sentence, warning_line
from screens.wording import count, wrapped


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
        "warnings": [warned_as_json(one) for one in plan.warnings],
        "unplaced": [unplaced_as_json(one) for one in plan.unplaced],
    }


def not_saved_lines(question: Question) -> list[str]:
    """Edits that couldn't be saved, and what to do about them."""
    folder = folder_of(Path(question.given.path or "."))
    told = [
        f"{offered(one)} Open the workroom to keep it or throw it away."
        for one in Aside().waiting(folder)
    ]
    return ["", *(line for one in told for line in wrapped([one], WIDTH))] if told else []


def lines(question: Question) -> list[str]:
    """The verdict, then warnings, each with its file and place."""
    plan = question.plan
    found = [*verdict(plan), *how_it_goes_lines(question)]
    for one in plan.unplaced:
        found += wrapped(["No time for", unplaced_sentence(plan, one)], WIDTH)
    found += not_saved_lines(question)
    if not plan.warnings:
        return [*found, "", "Nothing is wrong or odd in the files."]
    number = count(len(plan.warnings), "thing")
    found += ["", f"Nothing is wrong in the files; {number} to look at:"]
    for warned in plan.warnings:
        first, *rest = wrapped([warning_line(warned)], WIDTH - 2)
        found += [f"  {first}", *(f"    {line}" for line in rest)]
    return found
