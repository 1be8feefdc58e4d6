"""`wearby split`: what a garment is made in, with hours and stock, before it is in any plan."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from planner.catalogue.order import Choice, Measurement, Order
from planner.estimate import Operation
from planner.exports.catalogue_as_json import answers_as_json, packed, split_as_json
from planner.model import Place
from planner.problems import InputError, Problem
from planner.splitting.answers import SOURCE, asked, understood
from planner.splitting.split import Split, split
from planner.splitting.working_order import in_working_order
from screens.arguments import COMMAND_LINE
from screens.plain.catalogue import (
    SOURCES,
    Shelves,
    amount_text,
    default_text,
    find_order,
    how_text,
    item,
    listed_beneath,
    minutes_columns,
    minutes_text,
    shelves,
    wait_text,
)
from screens.plain.lines import WIDTH
from screens.wording import clean, count, wrapped

PLACES = {
    Place.WORKROOM: "in the workroom",
    Place.SOFA: "on the sofa",
    Place.TAKE_ALONG: "could be taken along",
}
_STEP = 26
"""Column at which a step's name begins."""


class Answered:
    """A garment split as it was asked for."""

    def __init__(self, given: argparse.Namespace) -> None:
        """Raises InputError with all that is wrong with what was typed."""
        there = shelves(None if given.workroom is None else Path(given.workroom))
        self.shelves = replace(there, units=given.units or there.units)
        self.split = _split(given.kind, given.answers, self.shelves)

    def as_json(self) -> dict[str, Any]:
        """Answers, steps, stock and total."""
        return split_as_json(
            self.split, self.shelves.techniques, self.shelves.units, self.shelves.pace
        )

    def lines(self) -> list[str]:
        """Hours, steps in working order, what they take, what was asked and how to change it."""
        found = self.split
        done = in_working_order(found, self.shelves.techniques, self.shelves.pace)
        total = minutes_text(self.shelves.hours(found))
        name = clean(found.order.name)
        head = f"{name[:1].upper()}{name[1:]}, {SOURCES[found.answers.source]}:"
        return [
            *wrapped([f"{head} {count(len(done), 'step')}, {total}."], WIDTH),
            "",
            *_steps(found, done, self.shelves.units),
            *_stock(found, self.shelves.units),
            *_packed(found),
            "",
            *_questions(found, self.shelves.units),
        ]


def _split(kind: str, words: Sequence[str], there: Shelves) -> Split:
    """The order split with the answers typed; raises InputError."""
    pairs, problems = paired(words)
    order = find_order(kind, there.orders)
    if isinstance(order, str):
        raise InputError([Problem(file=COMMAND_LINE, place="KIND", text=order), *problems])
    try:
        answers = understood(order, pairs, file=COMMAND_LINE, units=there.units)
    except InputError as error:
        raise InputError([*problems, *error.problems]) from None
    if problems:
        raise InputError(problems)
    return split(order, answers)


def paired(words: Sequence[str]) -> tuple[dict[str, str], list[Problem]]:
    """``name=value`` words by name, and what is wrong with the others."""
    pairs: dict[str, str] = {}
    problems = []
    for word in words:
        name, equals, value = word.partition("=")
        name = name.strip()
        if not equals or not name:
            text = f"“{clean(word)}” is no answer: write name=value, such as sewn=hand."
            problems.append(Problem(file=COMMAND_LINE, place=name, text=text))
        elif name in pairs:
            text = "is answered twice: keep one."
            problems.append(Problem(file=COMMAND_LINE, place=name, text=text))
        else:
            pairs[name] = value
    return pairs, problems


def _steps(found: Split, done: Sequence[Operation], units: str) -> list[str]:
    """Step by step: hours (typical, low, high), letter, name; beneath, what to know of it."""
    said: set[str] = set()
    lines = ["In working order; hours as usual, and at the least and most:"]
    for operation in done:
        head = f"{minutes_columns(operation.minutes)}  {operation.work.letter}  "
        first, *rest = wrapped([clean(operation.name)], WIDTH - _STEP) or [""]
        lines.append(f"{head:<{_STEP}}{first}")
        lines += [" " * _STEP + line for line in rest]
        lines += listed_beneath(_known(found, operation, units), _STEP, WIDTH)
        caution = clean(operation.caution)
        if caution and caution not in said:
            said.add(caution)
            lines += listed_beneath(caution, _STEP, WIDTH)
    return lines


def _known(found: Split, operation: Operation, units: str) -> str:
    """Id, technique and amount, place, order, stage, and what is special about it."""
    step, part = operation.step, found.parts[operation.step.id]
    amount = "" if operation.quantity is None else f", {amount_text(operation.quantity, units)}"
    known = [
        f"{operation.technique}{amount}" if operation.technique else "",
        f"at a {part.at.value}" if part.at else PLACES[operation.place],
        f"after {', '.join(step.after)}" if step.after else "",
        *(f"over {' or '.join(over.roles)}, {over.stage}" for over in part.over),
        wait_text(operation.wait),
        f"then {step.stage}" if step.stage else "",
        "two pairs of hands" if operation.hands > 1 else "",
        "in one sitting" if operation.one_sitting else "",
        "no way back" if operation.no_way_back else "",
        f"optional, missed {step.missed} of 5" if step.optional and not step.stage else "",
        f"minutes x {step.effort:g}" if step.effort != 1 else "",
    ]
    return clean(f"{step.id}: " + "; ".join(text for text in known if text))


def _stock(found: Split, units: str) -> list[str]:
    """What the steps take together, waste included."""
    if not found.wanted:
        return []
    lines = ["", "Cloth, trim and notions wanted:"]
    for wanted in found.wanted:
        lead = (
            f", usually {count(wanted.material.lead, 'day')} to come"
            if wanted.material.lead
            else ""
        )
        amount = amount_text(wanted.amount, units)
        lines += item(f"{amount:>8}  {clean(wanted.material.name)}{lead}", WIDTH, 0, 10)
    return lines


def _packed(found: Split) -> list[str]:
    """What must be there and isn't a garment."""
    if not packed(found):
        return []
    return ["", *wrapped(["To have with it:", ", ".join(map(clean, packed(found))) + "."], WIDTH)]


def _questions(found: Split, units: str) -> list[str]:
    """What was answered, what it means, and how to answer otherwise."""
    given = {name: str(value) for name, value in answers_as_json(found, units).items()}
    questions = asked(found.order, found.answers)
    lines = []
    for told, at_once in (("What it asks:", True), ("And, where the usual doesn't do:", False)):
        these = [one for one in questions if one.asked is at_once]
        if these or not at_once:
            lines.append(told)
        for one in these:
            lines += _question(one, given[one.id], units)
    lines += item(_source(found.order, found), WIDTH)
    return [*lines, "", *wrapped([_how_to_change(found, questions, given)], WIDTH)]


def _question(one: Measurement | Choice, value: str, units: str) -> list[str]:
    """ "panels=12 (usually 10)  Panels. How to take it." """
    usual = default_text(one, units)
    changed = f" (usually {clean(usual)})" if value != usual else ""
    return item(f"{clean(one.id)}={_typed(value)}{changed}: {how_text(one)}", WIDTH)


def _source(order: Order, found: Split) -> str:
    """Where it comes from is asked like the rest."""
    ways = ", ".join(f"{way.value} ({SOURCES[way]})" for way in order.sources)
    return f"{SOURCE}={found.answers.source.value}: Where it comes from: {ways}."


def _how_to_change(
    found: Split, questions: Sequence[Measurement | Choice], given: Mapping[str, str]
) -> str:
    """An example that can be typed as it stands."""
    words = [f"{one.id}={_typed(given[one.id])}" for one in questions[:2]]
    example = " ".join(["wearby split", _typed(found.order.id), *words])
    return f"Answer otherwise by typing name=value behind the garment: {clean(example)}"


def _typed(value: str) -> str:
    """A value as a shell wants it."""
    return clean(f'"{value}"' if " " in value else value)
