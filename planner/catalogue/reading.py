"""Technique tables, as parsed from TOML, into ``Technique`` values.

One table of the catalogue or of the maker's ``techniques.toml``::

    [[technique]]
    id = "straight-seam"
    name = "sew straight seams"          # else the id
    work = "machine"
    place = "workroom"                   # the least place; workroom unless said
    per = "length"                       # count (unless said), length or area
    unit = "metre"                       # what it is called
    unit_size = "1 m"                    # what the minutes are for; or a bare number
    low = 2.5                            # minutes; or "1h30"
    typical = 4
    high = 8
    each = { low = 1, typical = 1.5, high = 3 }   # for every seam, however long
    set_up = 3                           # minutes, once a garment
    hands = 1
    one_sitting = false
    wait = "1 night"
    no_way_back = false
    caution = "..."
    source = "..."

Without ``low`` and ``high`` they are 70 % and 150 % of ``typical``, as for a step's hours.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

from planner.amounts import HIGH_SHARE, LOW_SHARE
from planner.durations import parse_duration, parse_wait
from planner.model import Minutes, Per, Place, Technique, Wait, Warned, Work
from planner.nearest import is_meant
from planner.problems import Problem
from planner.quantity import AREA, COUNT, LENGTH, parse_quantity

DIMENSION = {Per.COUNT: COUNT, Per.LENGTH: LENGTH, Per.AREA: AREA}
"""The dimension of what a technique is counted by."""

_UNITS = {Per.COUNT: "piece", Per.LENGTH: "metre", Per.AREA: "square metre"}
_BOUNDS = frozenset({"low", "typical", "high"})
_KEYS = _BOUNDS | {
    "id",
    "name",
    "work",
    "place",
    "per",
    "unit",
    "unit_size",
    "each",
    "set_up",
    "hands",
    "one_sitting",
    "wait",
    "no_way_back",
    "caution",
    "source",
}

_Word = TypeVar("_Word", bound=StrEnum)


class _Table:
    """One TOML table being read: hands out values, collects what is wrong with them."""

    def __init__(self, table: Mapping[str, object], file: str, place: str) -> None:
        self.table = table
        self.file = file
        self.place = place
        self.problems: list[Problem] = []
        self.warnings: list[Warned] = []

    def wrong(self, key: str, text: str) -> None:
        """Note a problem at ``key``."""
        self.problems.append(Problem(file=self.file, place=f"{self.place}.{key}", text=text))

    def warn_of_others(self, known: frozenset[str]) -> None:
        """Warn of every key that means nothing here."""
        for key in self.table:
            if key not in known:
                text = f"`{key}` means nothing in a technique and is passed over."
                text += is_meant(key, sorted(known))
                self.warnings.append(Warned(file=self.file, place=f"{self.place}.{key}", text=text))

    def text(self, key: str, default: str = "") -> str:
        """A text, or ``default``."""
        value = self.table.get(key, default)
        if isinstance(value, str):
            return value
        self.wrong(key, f'`{key}` wants a text in quotes, as `{key} = "..."`.')
        return default

    def flag(self, key: str) -> bool:
        """true or false; false where not given."""
        value = self.table.get(key, False)
        if isinstance(value, bool):
            return value
        self.wrong(key, f"`{key}` wants true or false, without quotes.")
        return False

    def word(self, key: str, words: type[_Word], default: _Word | None) -> _Word | None:
        """One of the words of an enumeration; ``default`` None means it is required."""
        known = ", ".join(words)
        if key not in self.table:
            if default is None:
                self.wrong(key, f"`{key}` is missing: write one of {known}.")
            return default
        value = self.table[key]
        if isinstance(value, str) and value in set(words):
            return words(value)
        self.wrong(
            key, f'"{value}" is no `{key}`: write one of {known}.{is_meant(str(value), words)}'
        )
        return default

    def minutes(self, key: str) -> float | None:
        """Minutes, a number of 0 and more or a duration; None where not given or wrong."""
        value = self.table.get(key)
        if value is None:
            return None
        if isinstance(value, str):
            try:
                return float(parse_duration(value))
            except ValueError as error:
                self.wrong(key, f"{error}.")
                return None
        number = _number(value)
        if number is None or number < 0:
            self.wrong(key, f'`{key}` wants minutes, as `{key} = 12` or `{key} = "1h30"`.')
            return None
        return number

    def size(self, per: Per) -> float:
        """``unit_size``: more than 0, in pieces, metres or square metres; 1 where not given."""
        value = self.table.get("unit_size", 1)
        if isinstance(value, str):
            try:
                quantity = parse_quantity(value)
            except ValueError as error:
                self.wrong("unit_size", f"{error}.")
                return 1.0
            if quantity.dimension != DIMENSION[per]:
                self.wrong("unit_size", f'"{value}" is no {per}, which `per` asks for.')
            number: float | None = quantity.value
        else:
            number = _number(value)
        if number is None or number <= 0:
            self.wrong("unit_size", '`unit_size` wants an amount above 0, as "1 yd" or 100.')
            return 1.0
        return number

    def wait(self) -> Wait | None:
        """``wait``; None where not given or wrong."""
        text = self.text("wait")
        if not text:
            return None
        try:
            return parse_wait(text)
        except ValueError as error:
            self.wrong("wait", f"{error}.")
            return None

    def hands(self) -> int:
        """``hands``, 1 or 2; 1 where not given or wrong."""
        value = self.table.get("hands", 1)
        if _number(value) in (1, 2):
            return 1 if value == 1 else 2
        self.wrong("hands", "`hands` wants 1 or 2.")
        return 1

    def rate(self) -> Minutes | None:
        """Minutes from ``low``, ``typical`` and ``high``; None where wrong."""
        before = len(self.problems)
        typical = self.minutes("typical")
        low, high = self.minutes("low"), self.minutes("high")
        if len(self.problems) > before:
            return None
        if typical is None:
            self.wrong(
                "typical", "`typical` is missing: write the usual minutes, as `typical = 5`."
            )
            return None
        low = typical * LOW_SHARE if low is None else low
        high = typical * HIGH_SHARE if high is None else high
        if not low <= typical <= high:
            self.wrong("typical", "`low`, `typical` and `high` want to rise in this order.")
            return None
        return Minutes(low=low, typical=typical, high=high)

    def each(self) -> Minutes | None:
        """The part for every seam or set; None where not given or wrong."""
        value = self.table.get("each")
        if value is None:
            return None
        if not isinstance(value, Mapping):
            self.wrong("each", "`each` wants minutes, as `each = { typical = 1.5 }`.")
            return None
        inner = _Table(value, self.file, f"{self.place}.each")
        inner.warn_of_others(_BOUNDS)
        rate = inner.rate()
        self.problems += inner.problems
        self.warnings += inner.warnings
        return rate


def _number(value: object) -> float | None:
    """A finite number that is no truth value, as a float; else None."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return float(value)


def parse_technique(
    table: Mapping[str, object], file: str, place: str
) -> tuple[Technique | None, list[Problem], list[Warned]]:
    """One technique from its TOML table.

    ``file`` and ``place`` (key path, "technique[3]") say where it stands. The technique is
    None exactly where there are problems.
    """
    reader = _Table(table, file, place)
    reader.warn_of_others(_KEYS)
    technique_id = reader.text("id")
    if reader.problems:
        pass  # told already: it is no text
    elif "id" not in table:
        reader.wrong("id", '`id` is missing: write a short one, as `id = "straight-seam"`.')
    elif not technique_id.strip() or any(mark in technique_id for mark in "/: "):
        reader.wrong("id", "`id` wants letters, digits and hyphens, without spaces, / or :.")
    technique = _technique(reader, technique_id)
    if reader.problems:
        return None, reader.problems, reader.warnings
    return technique, [], reader.warnings


def _technique(reader: _Table, technique_id: str) -> Technique | None:
    """The technique, with every value read; None where one that it can't be without is wrong."""
    work = reader.word("work", Work, None)
    place = reader.word("place", Place, Place.WORKROOM)
    per = reader.word("per", Per, Per.COUNT) or Per.COUNT
    rate = reader.rate()
    set_up = reader.minutes("set_up") or 0
    unit, unit_size = reader.text("unit", _UNITS[per]), reader.size(per)
    name = reader.text("name") or technique_id
    each, hands, wait = reader.each(), reader.hands(), reader.wait()
    one_sitting, no_way_back = reader.flag("one_sitting"), reader.flag("no_way_back")
    caution, source = reader.text("caution"), reader.text("source")
    if work is None or place is None or rate is None:
        return None
    return Technique(
        id=technique_id,
        name=name,
        work=work,
        place=place,
        per=per,
        rate=rate,
        unit=unit,
        unit_size=unit_size,
        each=each,
        set_up=round(set_up),
        hands=hands,
        one_sitting=one_sitting,
        wait=wait,
        no_way_back=no_way_back,
        caution=caution,
        source=source,
    )


def parse_techniques(
    document: Mapping[str, object], file: str
) -> tuple[tuple[Technique, ...], list[Problem], list[Warned]]:
    """The techniques of a parsed ``techniques.toml``, in its order, with all that is wrong.

    Techniques with problems are left out of the result. An id used twice is a problem.
    """
    tables = document.get("technique", [])
    if not isinstance(tables, list) or not all(isinstance(table, Mapping) for table in tables):
        text = "Techniques want a heading of their own each, `[[technique]]`."
        return (), [Problem(file=file, place="technique", text=text)], []
    found: dict[str, Technique] = {}
    problems: list[Problem] = []
    warnings = [
        Warned(file=file, place=key, text=f"`{key}` means nothing here and is passed over")
        for key in document
        if key not in ("technique", "format")
    ]
    for index, table in enumerate(tables):
        place = f"technique[{index}]"
        technique, wrong, warned = parse_technique(table, file, place)
        problems += wrong
        warnings += warned
        if technique is None:
            continue
        if technique.id in found:
            text = f'"{technique.id}" is the id of two techniques: give one of them another.'
            problems.append(Problem(file=file, place=f"{place}.id", text=text))
        else:
            found[technique.id] = technique
    return tuple(found.values()), problems, warnings
