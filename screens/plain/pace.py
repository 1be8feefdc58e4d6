"""`wearby pace`: how quick the maker is against the catalogue, and setting it by hand."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from planner.editing.pace import forget_pace, learn_pace, set_pace
from planner.exports.pace_as_json import pace_as_json
from planner.model import Project
from planner.plan import Plan
from screens import state
from screens.answers import Answer, Question, fits_status
from screens.arguments import wrong
from screens.pace_told import PaceLine, compared, nothing_learnt, pace_rows, sentences
from screens.plain.lines import WIDTH, common, said
from screens.session import Session
from screens.then import became_sentence
from screens.wording import clean, padded, wrapped

_NAME, _WORDS, _BETWEEN = 30, 21, 12
"""Columns of the table."""
HOW = (
    "An estimate is scaled by its technique's pace; a technique without steps follows its kind of"
    " work, a kind without steps all work. Set one by hand: wearby pace PATH --set hand=1.2; take"
    " it back: --forget hand; --learn no keeps to the catalogue."
)
OFF = (
    "wearby pace PATH --learn yes goes by the diary again; --set hand=1.2 sets one by hand, and"
    " --forget hand takes it back."
)
BEGIN = (
    "Log a step as done with its minutes (wearby log PATH STEP 45 done), and its pace is learnt."
    " Or set one by hand: wearby pace PATH --set hand=1.2 is a fifth slower at hand sewing."
)


def answered(question: Question, path: Path, now: datetime) -> Answer:
    """The table; with options what they say is saved first. Raises InputError."""
    given, project, plan, done = question.given, question.project, question.plan, ""
    if given.set or given.forget or given.learn:
        session = Session(path, lambda: now)
        labels = _labels(given)
        session.current()
        session.keep(plan)
        session.apply(", ".join(labels), lambda before: _changed(before, given))
        project = session.project
        after = state.plan_of(project, now, thorough=False).plan
        session.keep(after)
        session.save_kept()
        done = _done(labels, plan, after)
        plan = after
    return Answer(
        status=fits_status(plan.fits),
        as_text=lambda: "\n".join(line.rstrip() for line in _lines(project, plan, done)),
        as_json=lambda: {**common(plan), **pace_as_json(plan.pace)},
    )


def _done(labels: list[str], before: Plan, after: Plan) -> str:
    """What was set, and what became of the plan."""
    what = ", ".join(labels)
    return f"{what[:1].upper()}{what[1:]}. {became_sentence(before, after)}"


def _labels(given: argparse.Namespace) -> list[str]:
    """What the options do, as past facts. Raises InputError."""
    pairs = [_typed(word) for word in given.set or ()]
    told = [f"the pace of {key} set to {ratio:g}, {compared(ratio)}" for key, ratio in pairs]
    told += [f"the pace of {key} no longer set by hand" for key in given.forget or ()]
    if given.learn:
        told.append(f"learning from the diary turned {'on' if given.learn == 'yes' else 'off'}")
    return told


def _changed(project: Project, given: argparse.Namespace) -> Project:
    """The project with what the options say. Raises InputError."""
    option = "--set"
    try:
        for word in given.set or ():
            project = set_pace(project, *_typed(word))
        option = "--forget"
        for key in given.forget or ():
            project = forget_pace(project, key)
    except ValueError as error:
        raise wrong(option, str(error)) from None
    return learn_pace(project, given.learn == "yes") if given.learn else project


def _typed(word: str) -> tuple[str, float]:
    """ "hand=1.2"."""
    key, equals, number = word.partition("=")
    if not equals:
        raise wrong("--set", f"“{clean(word)}” names no pace: write --set hand=1.2.")
    try:
        return key.strip(), float(number.replace(",", "."))
    except ValueError:
        text = f"“{clean(number)}” is no number: write --set {clean(key)}=1.2, a fifth slower."
        raise wrong("--set", text) from None


def _lines(project: Project, plan: Plan, done: str) -> list[str]:
    """What was done, a sentence, the table, and how to change it."""
    pace = plan.pace
    found = [*wrapped([done], WIDTH), ""] if done else []
    found += wrapped(sentences(pace), WIDTH)
    rows = pace_rows(pace, project.techniques)
    if pace.steps or pace.choices.by_hand:
        head = f"{'':{_NAME}} times  {'':{_WORDS}} 80 % between steps"
        found += ["", head, *(line for row in rows for line in _row(row))]
    how = OFF if not pace.choices.learn else BEGIN if nothing_learnt(pace) else HOW
    return [*found, *said([how])]


def _row(row: PaceLine) -> list[str]:
    """One line, and beneath it what was learnt where another pace counts."""
    name = padded("  " * row.depth + row.name, _NAME)
    words, between = padded(row.words, _WORDS), padded(row.between, _BETWEEN)
    line = f"{name} {row.ratio:>5}  {words} {between} {row.row.entries or '':>5}"
    beneath = [f"{'  ' * row.depth}  {row.learnt}"] if row.learnt else []
    return [line, *beneath]
