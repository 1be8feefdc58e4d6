"""Lists, amounts, uses, measurements and dates as one typed line, and back as a file's values.

What is typed is split here and no more: whether it means anything is said by the readers of
``planner.files``, so that a form's messages are those of the files. Where a name holds a
separator it stands in quotes: ``"a, b", c``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta

from planner.quantity import with_point
from screens.wording import MONTHS

TIMES = " × "
"""Between the factors of an amount, as written; * and a lone x are read too."""


_COMMA = r"(?<!\d),|,(?!\d)"
"""A comma between two digits is a decimal point of some countries, and parts nothing."""


def split_list(text: str) -> list[str]:
    """The parts of a text, without quotes around them; empty parts are dropped."""
    return [_bare(part) for part in _parts(text, _COMMA) if part.strip()]


def join_list(parts: Iterable[str]) -> str:
    """Parts as one text."""
    return ", ".join(_quoted(part, ",") for part in parts)


def without_or_with(text: str, one: str) -> str:
    """A text of several with one more, as it is written; or without it, where it was there."""
    there = [part.strip() for part in _parts(text, _COMMA) if part.strip()]
    kept = [part for part in there if _bare(part).casefold() != _bare(one).casefold()]
    return ", ".join(kept if len(kept) < len(there) else [*there, one])


def written(name: str) -> str:
    """A name as it is written among several."""
    return _quoted(name, ",")


def stock_written(name: str) -> str:
    """The name of a stock as it is written among what a step takes of stock."""
    return _quoted(name, ",:+")


def amount_from(text: str) -> list[object]:
    """Factors: "hem × 2" is ``["hem", 2]``; a comma, * and a lone x part them too."""
    parts = _parts(text, rf"[×*]|(?<=\s)x(?=\s)|{_COMMA}")
    return [_number(part) for part in parts if part.strip()]


def amount_text(factors: Sequence[object]) -> str:
    """Factors as one text."""
    return TIMES.join(
        one if not isinstance(one, str) else _quoted(one, "×*,", lone_x=True)
        for one in (factor if isinstance(factor, str) else str(factor) for factor in factors)
    )


def uses_from(text: str) -> list[dict[str, object]]:
    """What is taken of stock: "braid + 5%, linen: hem × 2" as the tables of ``uses``."""
    found = []
    for part in _parts(text, _COMMA):
        if not part.strip():
            continue
        table: dict[str, object] = {}
        share = re.search(r"\+\s*([^+]+%)\s*$", part)
        if share:
            table["extra"] = share[1].strip()
            part = part[: share.start()]
        stock, colon, amount = _halves(part, ":")
        table = {"stock": _bare(stock), **table}
        if colon:
            table["amount"] = amount_from(amount)
        found.append(table)
    return found


def uses_text(tables: Sequence[Mapping[str, object]]) -> str:
    """The tables of ``uses`` as one text."""
    found = []
    for table in tables:
        text = stock_written(str(table.get("stock", "")))
        amount = table.get("amount")
        if isinstance(amount, list):
            text += f": {amount_text(amount)}"
        if "extra" in table:
            text += f" + {table['extra']}"
        found.append(text)
    return ", ".join(found)


def pairs_from(text: str) -> dict[str, object]:
    """Names with amounts: "hem = 2.9 m, buttons = 6"; a name without one has an empty text."""
    found: dict[str, object] = {}
    for part in _parts(text, _COMMA):
        if part.strip():
            name, _, amount = _halves(part, "=")
            found[_bare(name)] = _number(amount)
    return found


def coming_from(text: str, today: date) -> list[dict[str, object]]:
    """Deliveries: "3 m on 2027-05-03, 2 m" as the tables of ``coming``."""
    found = []
    for part in _parts(text, _COMMA):
        if part.strip():
            amount, on, day = re.sub(r"\s+", " ", part).strip().partition(" on ")
            table: dict[str, object] = {"amount": _number(amount)}
            if on:
                table["arrives"] = moment_from(day, today)
            found.append(table)
    return found


def coming_text(tables: Sequence[Mapping[str, object]]) -> str:
    """The tables of ``coming`` as one text."""
    return ", ".join(
        f"{table.get('amount', '')}" + (f" on {table['arrives']}" if "arrives" in table else "")
        for table in tables
    )


def number_from(text: str) -> object:
    """A number where it is one, else the text itself; None of nothing."""
    return _number(text) if text.strip() else None


def moment_from(text: str, today: date) -> object:
    """A date, or a date with a time, where it is one; else the text itself; None of nothing.

    "2027-05-22", "22 May 2027", "22 May" (the next there is), "today", "tomorrow"; each may be
    followed by a time, "14:00".
    """
    if not text.strip():
        return None
    words = text.strip().replace("T", " ") if _ISO.match(text.strip()) else text.strip()
    found = re.fullmatch(r"(.*?)(?:,?\s+(?:at\s+)?(\d{1,2})[:.](\d\d)(?::\d\d)?)?", words)
    day = _day(found[1], today) if found else None
    if found is None or day is None:
        return text.strip()
    if found[2] is None:
        return day
    try:
        return datetime(day.year, day.month, day.day, int(found[2]), int(found[3]))
    except ValueError:
        return text.strip()


def moment_text(value: object) -> str:
    """A date, or a date with a time, as it is typed."""
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    return str(value)


_ISO = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")
_NAMED = re.compile(r"(?:[A-Za-z]+,?\s+)?(\d{1,2})\.?\s+([A-Za-z]{3,9})\.?(?:\s+(\d{4}))?")


def _day(text: str, today: date) -> date | None:
    """A date of several forms; None where it is none."""
    text = text.strip().rstrip(",")
    near = {"today": 0, "tomorrow": 1}.get(text.casefold())
    if near is not None:
        return today + timedelta(days=near)
    named = _NAMED.fullmatch(text)
    try:
        if named is None:
            return date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d\d-\d\d", text) else None
        month = _month(named[2])
        if month is None:
            return None
        if named[3]:
            return date(int(named[3]), month, int(named[1]))
        day = date(today.year, month, int(named[1]))
        return day if day >= today else date(today.year + 1, month, int(named[1]))
    except ValueError:
        return None


def _month(word: str) -> int | None:
    """The number of a month by its first letters."""
    for number, month in enumerate(MONTHS, 1):
        if month.casefold().startswith(word.casefold()):
            return number
    return None


def _number(text: str) -> object:
    """A whole or broken number where it is one, else the text without quotes."""
    text = text.strip()
    if re.fullmatch(r"[+-]?\d{1,15}", text):
        return int(text)
    if re.fullmatch(r"[+-]?\d{1,15}[.,]\d{1,15}", text):
        return float(text.replace(",", "."))
    return with_point(_bare(text))


def _parts(text: str, separator: str) -> list[str]:
    """A text at its separators, those within quotes passed over."""
    found, last = [], 0
    for match in re.finditer(rf'"(?:[^"\\]|\\.)*"|{separator}', text):
        if not match[0].startswith('"'):
            found.append(text[last : match.start()])
            last = match.end()
    return [*found, text[last:]]


def _halves(text: str, separator: str) -> tuple[str, str, str]:
    """A text at its first separator outside of quotes."""
    first, *rest = _parts(text, re.escape(separator))
    return first, separator if rest else "", separator.join(rest)


def _bare(text: str) -> str:
    """A text without the quotes around it."""
    text = text.strip()
    if len(text) >= 2 and text[0] == text[-1] == '"':
        return re.sub(r"\\(.)", r"\1", text[1:-1])
    return text


def _quoted(text: str, separators: str, lone_x: bool = False) -> str:
    """A text in quotes where it would else be split, or lose a space."""
    splits = any(char in text for char in f'{separators}"') or text != text.strip() or not text
    if splits or (lone_x and re.search(r"(?:^|\s)x(?:\s|$)", text)):
        return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return text
