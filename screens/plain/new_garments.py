"""The garments of a new ensemble: each as it was asked for, read, split and joined."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from planner.catalogue.order import Order
from planner.model import Ensemble
from planner.problems import InputError, Problem
from planner.splitting.answers import SOURCE, Answers, asked, understood, working_order
from planner.splitting.joining import join
from planner.splitting.split import Split, split
from screens.arguments import COMMAND_LINE
from screens.new_ensemble import TOGETHER, read_name
from screens.plain.catalogue import Shelves, find_order
from screens.plain.split import paired
from screens.wording import clean

NAME = "name"
"""Among a garment's words: what it is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A garment as it was asked for."""

    order: Order
    name: str = ""
    """Empty: as its order is called."""
    pairs: Mapping[str, str] = field(default_factory=dict)
    """Answers by question, as typed; the others are as usual."""
    units: str = "metric"
    """In which they are as usual."""

    def known(self) -> Piece:
        """Without answers to questions that are none of it, since it comes from elsewhere."""
        source = understood(self.order, self._only(SOURCE)).source
        working = working_order(self.order, source)
        names = {SOURCE, *(m.id for m in working.measurements), *(c.id for c in working.choices)}
        return replace(self, pairs={k: v for k, v in self.pairs.items() if k in names})

    def _only(self, name: str) -> dict[str, str]:
        return {name: self.pairs[name]} if name in self.pairs else {}

    def answers(self) -> Answers:
        """Raises InputError with every answer that can't be understood."""
        return understood(self.order, self.pairs, units=self.units)

    def split(self) -> Split:
        """Raises InputError, also where the measurements can't be worked with."""
        return split(self.order, self.answers())

    def questions(self) -> list[str]:
        """Ids of what is asked of it at once."""
        return [one.id for one in asked(self.order, self.answers()) if one.asked]


def piece_of(words: str, there: Shelves, units: str) -> Piece:
    """A garment from the words of an option: "stays panels=12 sewn=hand name='Green stays'".

    Raises InputError with all that is wrong with them.
    """
    place = "--garment"
    try:
        kind, *rest = shlex.split(words) or [""]
    except ValueError:
        text = f'“{clean(words)}” has a quote that doesn\'t end: put "…" round what has one in it.'
        raise InputError([Problem(file=COMMAND_LINE, place=place, text=text)]) from None
    order = find_order(kind, there.orders)
    pairs, problems = paired(rest)
    if isinstance(order, str):
        raise InputError(
            _placed([Problem(file=COMMAND_LINE, place="", text=order), *problems], place)
        )
    own_name = NAME in {*(m.id for m in order.measurements), *(c.id for c in order.choices)}
    name = "" if own_name else pairs.pop(NAME, "")
    piece = Piece(order=order, name=name, pairs=pairs, units=units)
    try:
        if name:
            read_name(name)
        piece.answers()
    except InputError as error:
        problems += error.problems
    except ValueError as error:
        problems.append(Problem(file=COMMAND_LINE, place=NAME, text=str(error)))
    if problems:
        raise InputError(_placed(problems, f"{place} {clean(kind)}"))
    return piece


def _placed(problems: Sequence[Problem], place: str) -> list[Problem]:
    """Problems placed at the option they stand in."""
    return [
        replace(one, place=", ".join(part for part in (place, clean(one.place)) if part))
        for one in problems
    ]


def with_pieces(
    ensemble: Ensemble, pieces: Sequence[Piece], there: Shelves, now: datetime
) -> Ensemble:
    """The ensemble with each garment split and joined. Raises InputError."""
    for piece in pieces:
        joined = join(ensemble, piece.split(), orders=there.orders, now=now, name=piece.name)
        ensemble = joined.ensemble
    return ensemble


def whole(pieces: Sequence[Piece], there: Shelves) -> list[Piece]:
    """What is done with so many garments together; nothing where there is no order for it."""
    order = there.orders.get(TOGETHER)
    if order is None or any(piece.order.id == TOGETHER for piece in pieces):
        return []
    for question in order.measurements:
        if question.id == "garments":
            most, least = int(question.most.value), int(question.least.value)
            number = max(least, min(most, len(pieces)))
            return [Piece(order=order, pairs={question.id: str(number)})]
    return [Piece(order=order)]
