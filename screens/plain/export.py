"""`wearby export record`: how an ensemble was made, in Markdown; printed, or saved in a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from planner.exports.record import Record, record_of
from screens.answers import Question
from screens.arguments import wrong
from screens.plain.lines import common
from screens.record_told import record_text
from screens.recording import save_text
from screens.wording import clean

RECORD = "record"
"""What can be exported so far."""


def status(question: Question) -> int:
    """Always 0: a record doesn't judge. Raises InputError for what can't be exported."""
    if question.given.what != RECORD:
        text = f"“{clean(question.given.what)}” can't be exported: write record."
        raise wrong("WHAT", text)
    _ensemble(question)
    return 0


def as_json(question: Question) -> dict[str, Any]:
    """The record as data, and the file it was saved in."""
    from planner.exports.record_as_json import record_as_json

    record = _record(question)
    saved = _saved(question, record)
    return {
        **common(question.plan),
        "saved": None if saved is None else str(saved),
        "record": record_as_json(record),
    }


def lines(question: Question) -> list[str]:
    """The record; where it was saved, that."""
    record = _record(question)
    saved = _saved(question, record)
    if saved is None:
        return record_text(record).splitlines()
    state = "" if record.finished else " What isn't done yet is told as planned."
    return [f"The record of {clean(record.name)} is saved in {clean(str(saved))}.{state}"]


def _record(question: Question) -> Record:
    return record_of(question.project, question.plan, _ensemble(question))


def _saved(question: Question, record: Record) -> Path | None:
    """The file it was saved in, where one was asked for; raises InputError."""
    if question.given.to is None:
        return None
    path = Path(question.given.to)
    save_text(path, record_text(record), over=question.given.over)
    return path


def _ensemble(question: Question) -> str:
    """Id of the ensemble that is meant; raises InputError."""
    there = question.project.ensembles
    asked = question.given.ensemble
    ids = ", ".join(clean(one.id) for one in there)
    if asked is None:
        if len(there) != 1:
            text = f"Say which of the {len(there)} ensembles is meant: {ids}."
            raise wrong("--ensemble", text)
        return there[0].id
    for one in there:
        if asked in (one.id, one.name):
            return one.id
    raise wrong("--ensemble", f"There is no ensemble “{clean(asked)}”: write one of {ids}.")
