"""From typed texts to values, by way of a file's tables and the readers of files.

A form holds the plain table of what it edits (as a file would hold it). Only what was typed in
is read anew; every other key stays as it is, to the last digit, also where it was changed in
the file meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from planner.files.checks import Table
from planner.files.ensemble import read_ensemble
from planner.files.findings import Findings
from planner.files.plain import plain_ensemble
from planner.files.steps import read_step
from planner.model import Ensemble, Garment, Occasion, Step, Stock
from screens.forms.checked import HERE, at_fields
from screens.forms.fields import NO, YES, Wrong
from screens.forms.texts import join_list, moment_text
from screens.wording import clean

T = TypeVar("T")
Plain = dict[str, object]
FromText = Callable[[str], object]
"""A typed text as a file's value; None takes the key out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typing:
    """What turns texts into a file's values."""

    today: date
    parse: Mapping[str, FromText]
    """By key of the field; a key without one is text."""

    def into(self, table: Plain, texts: Mapping[str, str]) -> Plain:
        """A table with what was typed worked into it."""
        made = deepcopy(table)
        for key, text in texts.items():
            _put(made, key.split("."), self.parse.get(_family(key), bare)(text))
        return made


def _family(key: str) -> str:
    """What a key is read as: measurements.hem as measurements, instead.0.hours as hours."""
    first, _, rest = key.partition(".")
    return first if first == "measurements" or not rest else rest.rsplit(".", 1)[-1]


def bare(text: str) -> object:
    """Text as typed; nothing typed takes the key out."""
    return text if text.strip() else None


def trimmed(text: str) -> object:
    """Text without spaces around it."""
    return text.strip() or None


def yes_or_no(text: str) -> object:
    """The key of a flag's option; anything else takes the key out."""
    return {YES: True, NO: False}.get(text)


def _put(table: Plain, path: list[str], value: object) -> None:
    """Put a value at a path such as instead, 0, technique; None takes it out."""
    first, *rest = path
    if not rest:
        if value is None:
            table.pop(first, None)
        else:
            table[first] = value
        return
    if rest[0].isdigit():
        below = table.setdefault(first, [])
        assert isinstance(below, list)
        while len(below) <= int(rest[0]):
            below.append({})
        _put(below[int(rest[0])], rest[1:], value)
        return
    inner = table.setdefault(first, {})
    assert isinstance(inner, dict)
    _put(inner, [".".join(rest)], value)


def text_of(value: object) -> str:
    """A file's value as the text of its field, without control characters."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, date):
        return moment_text(value)
    if isinstance(value, list):
        return clean(join_list(str(one) for one in value))
    return clean(str(value))


# values as tables


def _only(ensemble: Ensemble, key: str, units: str) -> Plain:
    found = plain_ensemble(ensemble, units)[key]
    assert isinstance(found, list) and isinstance(found[0], dict)
    return found[0]


def step_table(step: Step, units: str) -> Plain:
    """A step as a file holds it."""
    garment = garment_table(Garment(id="g", steps=(step,)), units)
    steps = garment["step"]
    assert isinstance(steps, list) and isinstance(steps[0], dict)
    return steps[0]


def garment_table(garment: Garment, units: str) -> Plain:
    """A garment as a file holds it, its steps too."""
    return _only(Ensemble(id="e", garments=(garment,)), "garment", units)


def occasion_table(occasion: Occasion, units: str = "metric") -> Plain:
    """An occasion as a file holds it."""
    return _only(Ensemble(id="e", occasions=(occasion,)), "occasion", units)


def stock_table(stock: Stock, units: str) -> Plain:
    """A stock as a file holds it."""
    return _only(Ensemble(id="e", stock=(stock,)), "stock", units)


# tables as values


def read_step_table(table: Plain, measurements: frozenset[str]) -> tuple[Step, tuple[Wrong, ...]]:
    """A step from its table, and what is wrong at which field."""
    findings = Findings("")
    found = Table(findings, HERE, table)
    step = read_step(found, found.id(), measurements)
    return step, at_fields(findings.problems, HERE)


def _read(table: Plain, key: str) -> tuple[Ensemble, tuple[Wrong, ...]]:
    findings = Findings("")
    ensemble = read_ensemble(Table(findings, "", {key: [table]}), "e")
    return ensemble, at_fields(findings.problems, f"{key}[0]")


def read_garment_table(table: Plain) -> tuple[Garment, tuple[Wrong, ...]]:
    """A garment from its table, and what is wrong at which field."""
    ensemble, wrong = _read(table, "garment")
    return ensemble.garments[0], wrong


def read_occasion_table(table: Plain) -> tuple[Occasion, tuple[Wrong, ...]]:
    """An occasion from its table, and what is wrong at which field."""
    ensemble, wrong = _read(table, "occasion")
    return ensemble.occasions[0], wrong


def read_stock_table(table: Plain) -> tuple[Stock, tuple[Wrong, ...]]:
    """A stock from its table, and what is wrong at which field."""
    ensemble, wrong = _read(table, "stock")
    return ensemble.stock[0], wrong
