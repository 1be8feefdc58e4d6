"""How it is going, as the plain answers say it: in a sentence or two, and as data."""

from __future__ import annotations

from typing import Any

from planner.exports.going_as_json import going_as_json
from planner.files.plans_behind import every_plan, folder_of
from planner.going import Going, how_it_goes
from screens.answers import Question
from screens.going_told import sentences
from screens.plain.lines import WIDTH
from screens.wording import wrapped


def _going(question: Question) -> Going:
    """With the plans kept on the days behind, where there are any."""
    folder = folder_of(question.project)
    now = question.plan.now
    behind = () if folder is None else every_plan(folder, now)
    return how_it_goes(question.project, question.plan, now, behind)


def how_it_goes_as_json(question: Question) -> dict[str, Any]:
    """All that is known of it."""
    going = _going(question)
    return going_as_json(going, sentences(question.plan, going))


def how_it_goes_lines(question: Question) -> list[str]:
    """The first sentence, once something was begun; the verdict says the rest."""
    if not question.project.diary.entries:
        return []
    going = _going(question)
    if going.first is None:
        return []
    return wrapped(sentences(question.plan, going)[:1], WIDTH)
