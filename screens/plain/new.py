"""`wearby new`: begins a workroom, or an ensemble in one, from options and answers."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from planner.files.beginning import begin as write
from planner.files.reading import WORKROOM
from planner.model import Ensemble
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.answers import Answer, fits_status
from screens.arguments import COMMAND_LINE
from screens.plain.lines import WIDTH, common, verdict
from screens.plain.new_fields import FIELDS, HOURS, Field
from screens.plain.new_garments import Piece, piece_of, whole
from screens.plain.new_ground import Ground, ground
from screens.wording import clean, column, name_of, wrapped

Ask = Callable[[str], str]
"""Puts a question and returns the line that was typed; as ``input``."""


@dataclass(slots=True, kw_only=True)
class Said:
    """What is known of the ensemble so far."""

    texts: dict[str, str]
    """By field, as typed."""
    pieces: list[Piece]
    whole: bool


def begin(given: argparse.Namespace, now: datetime, ask: Ask | None) -> Answer:
    """Begin it, asking by ``ask`` for what wasn't given; without ``ask`` that is refused.

    Raises InputError with all that is wrong or missing, KeyboardInterrupt where the answering
    was broken off; then nothing was written.
    """
    there = ground(Path(given.path), now)
    said, problems = _given(given, there)
    if ask is None:
        problems = [*_missing(said, there), *problems]
    if problems:
        raise InputError(problems)
    if ask is not None:
        from screens.plain.new_talk import talk

        talk(said, there, ask)
    return _written(said, there)


def _given(given: argparse.Namespace, there: Ground) -> tuple[Said, list[Problem]]:
    """What the options say, and what is wrong with it."""
    texts: dict[str, str] = {}
    problems = []
    for field in FIELDS:
        value = getattr(given, field.id.replace("-", "_"))
        if value is not None:
            texts[field.key] = ", ".join(value) if isinstance(value, list) else value.strip()
    for field in FIELDS:
        if field.key in texts:
            problems += _wrong(field, texts, there)
    pieces = []
    units = there.units(texts)
    for words in given.garment or ():
        try:
            pieces.append(piece_of(words, there.shelves, units))
        except InputError as error:
            problems += error.problems
    return Said(texts=texts, pieces=pieces, whole=given.whole), problems


def _wrong(field: Field, texts: dict[str, str], there: Ground) -> list[Problem]:
    """What is wrong with one field."""
    if field.of_workroom and not there.new:
        text = f"The workroom here has its own: change that in its {WORKROOM}."
        return [Problem(file=COMMAND_LINE, place=field.option, text=text)]
    try:
        field.check(texts, there.now)
    except ValueError as error:
        return [Problem(file=COMMAND_LINE, place=field.option, text=str(error))]
    return []


def _missing(said: Said, there: Ground) -> list[Problem]:
    """What must be given where nobody can be asked."""
    found = [
        Problem(
            file=COMMAND_LINE,
            place=field.option,
            text=f"{field.ask}? Nobody can be asked here, so give {field.option}. {field.how}",
        )
        for field in FIELDS
        if field.needed and field.key not in said.texts
    ]
    if there.new and not any(field.key in said.texts for field in HOURS):
        text = f"When do you sew? Nobody can be asked here, so give {HOURS[0].option}. "
        found.append(Problem(file=COMMAND_LINE, place=HOURS[0].option, text=text + HOURS[0].how))
    return found


def all_pieces(said: Said, there: Ground) -> Sequence[Piece]:
    """The garments, and what is done with all of them together if that is wanted."""
    return [*said.pieces, *(whole(said.pieces, there.shelves) if said.whole else ())]


def _written(said: Said, there: Ground) -> Answer:
    """Plan, write, and say what was written and what to do next."""
    workroom = there.workroom(said.texts)
    ensemble = there.ensemble(said.texts, all_pieces(said, there))
    plan = there.plan(ensemble, workroom)
    write(there.folder, ensemble, workroom if there.new else None)
    files = [there.folder / f"{ensemble.id}.toml"]
    if there.new:
        files.insert(0, there.folder / WORKROOM)
    return Answer(
        status=fits_status(plan.fits),
        as_text=lambda: "\n".join(_lines(there, ensemble, plan, files)),
        as_json=lambda: _as_json(ensemble, plan, files),
    )


def _lines(there: Ground, ensemble: Ensemble, plan: Plan, files: Sequence[Path]) -> list[str]:
    """What was written, whether it fits, and what to do next."""
    folder = clean(str(there.folder))
    folder = f'"{folder}"' if " " in folder else folder
    found = [f"Written: {clean(str(file))}" for file in files]
    found += ["", *verdict(plan)]
    hours = _minutes(plan, ensemble)
    if hours:
        found += ["", "Hours of each garment:"]
        found += [f"  {column(minutes):>7}  {name_of(plan, one)}" for one, minutes in hours.items()]
    if ensemble.pack:
        packed = ", ".join(clean(one) for one in ensemble.pack)
        found += ["", *wrapped([f"To have there too: {packed}."], WIDTH)]
    more = "see the days, change steps" if ensemble.garments else "add its garments"
    return [
        *found,
        "",
        "Next:",
        f"  wearby {folder}  ({more})",
        f"  wearby plan {folder}",
        f"  wearby stock {folder}  (what to buy, and by when)",
    ]


def _minutes(plan: Plan, ensemble: Ensemble) -> dict[str, int]:
    """Minutes by garment, full ids."""
    found = {f"{ensemble.id}/{garment.id}": 0 for garment in ensemble.garments}
    for step in plan.steps:
        garment = step.id.rsplit("/", 1)[0]
        if garment in found:
            found[garment] += step.minutes
    return found


def _as_json(ensemble: Ensemble, plan: Plan, files: Sequence[Path]) -> dict[str, Any]:
    """What was written, and the verdict."""
    return {
        **common(plan),
        "ensemble": ensemble.id,
        "written": [str(file) for file in files],
        "garments": [
            {"id": ident, "name": plan.names.get(ident, ""), "minutes": minutes}
            for ident, minutes in _minutes(plan, ensemble).items()
        ],
        "pack": list(ensemble.pack),
    }
