"""What a maker answers to an order's questions, and reading it from typed texts."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field

from planner.catalogue.conditions import all_hold, unknown
from planner.catalogue.order import Choice, Measurement, Order
from planner.files.phrasing import write_quantity
from planner.model import Source
from planner.problems import InputError, Problem
from planner.quantity import AREA, LENGTH, METRES, Quantity, parse_quantity, with_point

SOURCE = "source"
"""The name under which texts say where the garment comes from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Answers to an order's questions; what isn't answered is as usual."""

    measurements: Mapping[str, Quantity] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    """Options by choice."""
    source: Source = Source.MAKE


def working_order(order: Order, source: Source) -> Order:
    """The order whose questions and steps count: the short one of a garment that isn't made.

    Raises KeyError where the catalogue has none for the source.
    """
    if source is Source.MAKE:
        return order
    from planner.catalogue.shelf import source_orders  # most garments are made

    return source_orders()[source]


def usual(order: Order, source: Source | None = None, units: str = "metric") -> Answers:
    """All defaults, round in ``units``; of the order's usual source unless another is given."""
    source = order.sources[0] if source is None else source
    working = working_order(order, source)
    return Answers(
        measurements={m.id: usual_value(m, units) for m in working.measurements},
        choices={c.id: c.default for c in working.choices},
        source=source,
    )


def usual_value(measurement: Measurement, units: str) -> Quantity:
    """The default as one would measure it in ``units``.

    In imperial units a length is rounded to what a tape shows: under 2 in to an eighth of an
    inch, under a foot to half of one, under 2 yd to an inch, else to a quarter of a yard.
    """
    default = measurement.default
    if units == "metric" or default.dimension != LENGTH:
        return default
    mark = next((mark for below, mark in _MARKS if default.value < below), _LONGEST_MARK)
    scale, part = mark
    rounded = round(default.value / scale / part) * part * scale
    if not measurement.least.value <= rounded <= measurement.most.value:
        return default
    return Quantity(value=rounded, dimension=LENGTH)


_INCH, _YARD = METRES["in"], METRES["yd"]
_MARKS = ((2 * _INCH, (_INCH, 0.125)), (12 * _INCH, (_INCH, 0.5)), (2 * _YARD, (_INCH, 1)))
"""Lengths, and the unit and the part of it that those below are rounded to."""
_LONGEST_MARK = (_YARD, 0.25)


def chosen(order: Order, working: Order, answers: Answers) -> dict[str, str]:
    """Options by choice, of the choices of ``working`` that apply to a garment of ``order``.

    An answer that is none of the options is passed over.
    """
    found: dict[str, str] = {}
    for choice in working.choices:
        if not choice.when or all_hold(choice.when, found, order.roles):
            option = answers.choices.get(choice.id, choice.default)
            found[choice.id] = option if option in _ids(choice) else choice.default
    return found


def asked(order: Order, answers: Answers) -> tuple[Measurement | Choice, ...]:
    """The questions that apply: measurements, then choices, each in the file's order.

    Also those that aren't asked at once (``asked`` false). Which apply hangs on the choices
    already made.
    """
    working = working_order(order, answers.source)
    options = chosen(order, working, answers)
    return (
        *(m for m in working.measurements if all_hold(m.when, options, order.roles)),
        *(c for c in working.choices if c.id in options),
    )


def understood(
    order: Order, pairs: Mapping[str, str], *, file: str = "command line", units: str = "metric"
) -> Answers:
    """The answers that ``name=value`` texts give; the rest is as usual in ``units``.

    ``source`` among the names says where the garment comes from. Raises InputError with all
    problems, each with the name as its place.
    """
    return _Listener(order, file, units).answers(pairs)


class _Listener:
    """Reads texts as answers and collects what is wrong with them."""

    def __init__(self, order: Order, file: str, units: str) -> None:
        self.order = order
        self.file = file
        self.units = units
        self.problems: list[Problem] = []

    def wrong(self, name: str, text: str) -> None:
        self.problems.append(Problem(file=self.file, place=name, text=text))

    def answers(self, pairs: Mapping[str, str]) -> Answers:
        """The answers; raises InputError."""
        source = self.source(pairs.get(SOURCE))
        working = working_order(self.order, source)
        answers = usual(self.order, source, self.units)
        measurements, choices = dict(answers.measurements), dict(answers.choices)
        measured = {m.id: m for m in working.measurements}
        offered = {c.id: c for c in working.choices}
        for name, text in pairs.items():
            if name in measured:
                found = self.measurement(measured[name], text)
                measurements[name] = found or measurements[name]
            elif name in offered:
                choices[name] = self.option(offered[name], text) or choices[name]
            elif name != SOURCE:
                self.wrong(name, unknown(name, (*measured, *offered, SOURCE), "question"))
        if self.problems:
            raise InputError(self.problems)
        return Answers(measurements=measurements, choices=choices, source=source)

    def source(self, text: str | None) -> Source:
        if text is None:
            return self.order.sources[0]
        if text.strip() in [source.value for source in self.order.sources]:
            return Source(text.strip())
        known = [source.value for source in self.order.sources]
        self.wrong(SOURCE, unknown(text, known, f"source of {self.order.name}"))
        return self.order.sources[0]

    def measurement(self, measurement: Measurement, text: str) -> Quantity | None:
        """The amount, in bounds; None after a problem."""
        try:
            found = measured(measurement, text, self.units)
        except ValueError as error:
            self.wrong(measurement.id, str(error))
            return None
        return found

    def option(self, choice: Choice, text: str) -> str | None:
        """The option of that id or name; None after a problem."""
        try:
            return option_of(choice, text)
        except ValueError as error:
            self.wrong(choice.id, str(error))
            return None


def measured(measurement: Measurement, text: str, units: str = "metric") -> Quantity:
    """A typed text as an answer to the measurement: "3.2 m", "36 in", "12".

    ``units`` are those in which bounds are told.
    Raises ValueError with a sentence where it is no amount, of another sort, or out of bounds.
    """
    found = amount_of(text, measurement.default, units)
    for bound, too, least in (
        (measurement.least, "less", True),
        (measurement.most, "more", False),
    ):
        beyond = found.value < bound.value if least else found.value > bound.value
        if beyond:
            limit = write_quantity(bound, units)
            told = _short(text)
            raise ValueError(f"{told} is {too} than can be meant ({limit}): check it")
    return found


def amount_of(text: str, like: Quantity, units: str = "metric") -> Quantity:
    """A typed text as an amount of the sort of another: a length, an area or a count.

    A decimal comma is understood. Raises ValueError with a sentence that says how an amount of
    this sort is written.
    """
    found: Quantity | None = None
    with suppress(ValueError):
        found = parse_quantity(with_point(text))
    if found is not None and found.value == 0:
        return Quantity(value=0.0, dimension=like.dimension)
    if found is None or found.dimension != like.dimension:
        what, how = _written(like, units)
        if "," in text:
            how += "; with a point, not a comma"
        told = f'"{_short(text)}" is no {what}: write' if text.strip() else "Write"
        raise ValueError(f"{told} {how}")
    return found


def _written(like: Quantity, units: str) -> tuple[str, str]:
    """What an amount of this sort is called, and how it is written."""
    if like.dimension == LENGTH:
        return "length", f"a length with its unit, as {'2.4 m' if units == 'metric' else '36 in'}"
    if like.dimension == AREA:
        return "area", f"an area with its unit, as {'0.5 m2' if units == 'metric' else '2 yd2'}"
    whole = like.value == round(like.value)
    return "count", "a whole number, as 12" if whole else "a number, as 1.5"


def _short(text: str) -> str:
    """A typed text as a message repeats it."""
    text = " ".join(text.split())
    return text if len(text) <= _REPEATED else f"{text[:_REPEATED]}…"


_REPEATED = 24
"""Letters of a typed text that are repeated to the maker."""


def option_of(choice: Choice, text: str) -> str:
    """The id of the option that a typed text names by its id or its name.

    Raises ValueError with a sentence, with the nearest or all options.
    """
    word = text.strip()
    for option in choice.options:
        if word in (option.id, option.name):
            return option.id
    raise ValueError(unknown(word, _ids(choice), f"option of {choice.id}"))


def _ids(choice: Choice) -> list[str]:
    return [option.id for option in choice.options]
