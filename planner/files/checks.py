"""One table of a file, read key by key: every value checked, every key known or warned about.

A value of the wrong sort is noted as a problem and read as if it were missing, so that one
reading finds all problems of all files.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from datetime import date, datetime, time
from enum import StrEnum
from typing import Final, TypeVar

from planner.files.findings import Findings, key_path, nearest, shown
from planner.quantity import Quantity, parse_quantity

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

FORMAT: Final = 1
FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2199
MOST: Final = 1_000_000_000
"""No length, area or count is larger than this; it keeps sums finite."""
TOO_LARGE: Final = "larger than anything a costume holds: check the number"


def sort_of(value: object) -> str:
    """What a TOML value is, in words."""
    for kind, words in (
        (bool, "true or false"),
        (int, "a number"),
        (float, "a number"),
        (str, "text"),
        (datetime, "a date with a time"),
        (date, "a date"),
        (time, "a time of day"),
        (list, "a list"),
        (dict, "a table"),
    ):
        if isinstance(value, kind):
            return words
    return "something else"


def number_problem(value: int | float) -> str | None:
    """What is wrong with a number as an amount, or None."""
    if isinstance(value, float) and not math.isfinite(value):
        return f"{value} is not an amount: write a finite number"
    if value < 0:
        return f"{shown(value)} is less than nothing: write 0 or more"
    if value > MOST:
        return f"{shown(value)} is {TOO_LARGE}"
    return None


def quantity_of(value: object) -> Quantity:
    """A bare number as a count, or text such as "2.4 m".

    Raises ValueError with a sentence for the maker.
    """
    if isinstance(value, str):
        found = parse_quantity(value)
        if found.value > MOST:  # as typed: so large a number would be shown as 1e+19
            raise ValueError(f"{shown(value)} is {TOO_LARGE}")
        return found
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(
            f"is {sort_of(value)}, not an amount: write a bare number for a count, "
            'or a length with its unit ("2.4 m", "36 in")'
        )
    wrong = number_problem(value)
    if wrong:
        raise ValueError(wrong)
    return Quantity(value=float(value))


class Table:
    """One TOML table under reading. Getters return None (or the default) for a missing key."""

    __slots__ = ("_asked", "data", "findings", "where")

    def __init__(self, findings: Findings, where: str, data: dict[str, object]) -> None:
        self.findings = findings
        self.where = where
        self.data = data
        self._asked: set[str] = set()

    def at(self, key: str) -> str:
        """The key path of a key of this table."""
        return key_path(self.where, key)

    def problem(self, key: str, text: str) -> None:
        """Note something wrong with a key; an empty key means the table itself."""
        self.findings.problem(self.at(key) if key else self.where, text)

    def warn(self, key: str, text: str) -> None:
        """Note something odd about a key; an empty key means the table itself."""
        self.findings.warn(self.at(key) if key else self.where, text)

    def has(self, key: str) -> bool:
        """Whether the maker wrote the key."""
        return key in self.data

    def get(self, key: str) -> object:
        """The raw value of a known key; None when missing."""
        self._asked.add(key)
        return self.data.get(key)

    def know(self, keys: Iterable[str]) -> None:
        """Keys that are known but read elsewhere."""
        self._asked.update(keys)

    def close(self) -> None:
        """Warn of keys nobody asked for, each with the nearest known one."""
        for key in [key for key in self.data if key not in self._asked]:
            near = nearest(key, self._asked - self.data.keys()) or nearest(key, self._asked)
            hint = f'did you mean "{near}"?' if near else "it is kept, and not used"
            self.warn(key, f"{shown(key)} is not a key wearby knows: {hint}")

    def wrong_sort(self, key: str, value: object, wanted: str) -> None:
        """Note that a value is of the wrong sort."""
        self.problem(key, f"this is {sort_of(value)} ({shown(value)}): write {wanted}")

    def text(self, key: str) -> str | None:
        """Text."""
        value = self.get(key)
        if value is None or isinstance(value, str):
            return value
        self.wrong_sort(key, value, 'text in quotes, "like this"')
        return None

    def id(self, key: str = "id") -> str:
        """An id, required; "" after a problem."""
        value = self.text(key)
        if value is None:
            if not self.has(key):
                self.problem(key, f'{key} is missing: write a short name, {key} = "bodice"')
            return ""
        wrong = id_problem(value)
        if wrong:
            self.problem(key, wrong)
            return ""
        return value

    def flag(self, key: str) -> bool | None:
        """true or false."""
        value = self.get(key)
        if value is None or isinstance(value, bool):
            return value
        self.wrong_sort(key, value, "true or false, without quotes")
        return None

    def whole(self, key: str, low: int, high: int) -> int | None:
        """A whole number between two bounds, both allowed."""
        value = self.get(key)
        if value is None:
            return None
        wanted = f"a whole number from {low} to {high}"
        if isinstance(value, bool) or not isinstance(value, int):
            self.wrong_sort(key, value, wanted)
            return None
        if not low <= value <= high:
            self.problem(key, f"{shown(value)} is out of bounds: write {wanted}")
            return None
        return value

    def parsed(self, key: str, parse: Callable[[str], T], example: str) -> T | None:
        """Text read by ``parse``, which raises ValueError with a sentence."""
        value = self.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.wrong_sort(key, value, f"text in quotes, such as {example}")
            return None
        try:
            return parse(value)
        except ValueError as error:
            self.problem(key, str(error))
            return None

    def duration(self, key: str, parse: Callable[[str], int], low: int, high: int) -> int | None:
        """A duration in minutes (or a number of days) between two bounds."""
        found = self.parsed(key, parse, '"1h30" or "45m"')
        if found is None:
            return None
        if not low <= found <= high:
            wrong = "is nothing" if found < low else "is too long"
            self.problem(key, f"{shown(self.data[key])} {wrong}: check it, or leave {key} out")
            return None
        return found

    def choice(self, key: str, kinds: type[E]) -> E | None:
        """One of a set of words."""
        word = self.word(key, [k.value for k in kinds])
        return None if word is None else kinds(word)

    def word(self, key: str, words: Iterable[str]) -> str | None:
        """One of some words; a misspelt one is a problem that names the nearest."""
        value = self.text(key)
        known = list(words)
        if value is None or value in known:
            return value
        near = nearest(value, known)
        hint = f'did you mean "{near}"? ' if near else ""
        allowed = ", ".join(known[:-1]) + " or " + known[-1]
        self.problem(key, f"{shown(value)} is not a {key} wearby knows: {hint}write {allowed}")
        return None

    def moment(self, key: str, *, seconds: bool = False) -> datetime | None:
        """A date and time, to the minute or the second; a bare date is its 00:00."""
        value = self._dated(key, self.get(key), "2027-05-22T11:00:00", seconds=seconds)
        if isinstance(value, datetime) or value is None:
            return value
        return datetime.combine(value, time())

    def day(self, key: str) -> date | None:
        """A bare date."""
        value = self._dated(key, self.get(key), "2027-05-22")
        if isinstance(value, datetime):
            self.wrong_sort(key, value, f"the date alone, {value.date()}")
            return None
        return value

    def day_or_moment(self, key: str) -> date | datetime | None:
        """A date, or a date with a time, to the minute."""
        return self._dated(key, self.get(key), "2027-05-22 or 2027-05-22T11:00:00")

    def _dated(
        self, key: str, value: object, example: str, *, seconds: bool = False
    ) -> date | datetime | None:
        if value is None:
            return None
        if not isinstance(value, date):
            self.wrong_sort(key, value, f"a date without quotes, {example}")
            return None
        if isinstance(value, datetime) and value.tzinfo is not None:
            self.problem(
                key,
                f"{shown(value)} has an offset from UTC: write the time on the clock there, "
                f"without Z or +01:00, {value.replace(tzinfo=None).isoformat()}",
            )
            return None
        if not FIRST_YEAR <= value.year <= LAST_YEAR:
            self.problem(key, f"{value} is no date to plan for: check the year {value.year}")
            return None
        if not isinstance(value, datetime):
            return value
        return value.replace(second=value.second if seconds else 0, microsecond=0)

    def quantity(self, key: str) -> Quantity | None:
        """A count, a length or an area."""
        value = self.get(key)
        if value is None:
            return None
        try:
            return quantity_of(value)
        except ValueError as error:
            self.problem(key, str(error))
            return None

    def items(self, key: str) -> list[tuple[str, object]] | None:
        """A list's values with their key paths; a single value stands for a list of one."""
        value = self.get(key)
        if value is None:
            return None
        if isinstance(value, dict):
            self.wrong_sort(key, value, 'a list, ["like", "this"]')
            return []
        if not isinstance(value, list):
            return [(self.at(key), value)]
        return [(f"{self.at(key)}[{i}]", item) for i, item in enumerate(value)]

    def words(self, key: str) -> tuple[str, ...] | None:
        """A list of texts, none of them empty."""
        found = self.items(key)
        if found is None:
            return None
        for where, item in found:
            if not isinstance(item, str):
                self.findings.problem(
                    where, f'this is {sort_of(item)} ({shown(item)}): write text, "like this"'
                )
            elif not item.strip():
                self.findings.problem(where, "this is empty: name something, or take it out")
        return tuple(item for _, item in found if isinstance(item, str))

    def table(self, key: str) -> Table | None:
        """A table below this one."""
        value = self.get(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.wrong_sort(key, value, f"a table, headed [{self.at(key)}]")
            return None
        return Table(self.findings, self.at(key), value)

    def tables(self, key: str) -> list[Table]:
        """A list of tables below this one, in the maker's order."""
        value = self.get(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.wrong_sort(key, value, f"a list of tables, each headed [[{key}]]")
            return []
        found = []
        for i, item in enumerate(value):
            where = f"{self.at(key)}[{i}]"
            if isinstance(item, dict):
                found.append(Table(self.findings, where, item))
            else:
                self.findings.problem(
                    where, f"this is {sort_of(item)} ({shown(item)}): write a table"
                )
        return found


def check_format(table: Table) -> None:
    """Note a ``format`` that this wearby doesn't read; warn where there is none."""
    value = table.get("format")
    if value is None:
        table.warn("format", f"format is missing: write format = {FORMAT} at the top")
    elif isinstance(value, bool) or value != FORMAT or not isinstance(value, int):
        table.problem(
            "format", f"this wearby reads format {FORMAT} and no other: write format = {FORMAT}, "
            "or use a later wearby"
        )  # fmt: skip


def id_problem(text: str) -> str | None:
    """What is wrong with a text as an id, or None."""
    if not text.strip():
        return 'the id is empty: write a short name, "bodice"'
    if "/" in text or ":" in text:
        return f'{shown(text)} has "/" or ":", which join ids: write "-" instead'
    if text != text.strip():
        return f"{shown(text)} begins or ends with a space: take the space out"
    return None


def doubled(tables: Iterable[tuple[Table, str]], what: str) -> None:
    """Note ids that stand twice among tables that must differ; "" is passed over."""
    first: dict[str, str] = {}
    for table, id in tables:
        if id and id in first:
            table.problem(
                "id", f"{shown(id)} is the id of {first[id]} already: give this {what} another"
            )
        first.setdefault(id, table.where)
