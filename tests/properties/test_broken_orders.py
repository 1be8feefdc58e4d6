"""Broken orders of construction: read, or refused with places; never a traceback.

``python -m tests.properties.test_broken_orders 5000`` tries more.
"""

from __future__ import annotations

import copy
import random
import sys
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

import planner.catalogue
from planner.catalogue import techniques
from planner.catalogue.order_reading import parse_order
from planner.problems import InputError
from planner.splitting.answers import Answers
from planner.splitting.split import alone, hours, split_by

FOLDER = Path(planner.catalogue.__file__).parent
FILES = sorted([*FOLDER.glob("orders/*.toml"), *FOLDER.glob("sources/*.toml")])
ODD: tuple[object, ...] = (
    0, -1, 1, 10**30, 1.5, float("nan"), float("inf"), True, "", " ", "x", "3 m", "-3", "9" * 400,
    "1h", "50%", [], [[]], [1, "x"], ["is"], {}, {"id": "x"}, {"is": []}, [{}], date(2027, 5, 22),
    "[b]", '"', "🧵", "\u202eabc", "hem", "length", "panels", "sewn", ["cut"], ["cloth"],
)  # fmt: skip


def spots(value: object) -> Iterator[tuple[dict[str, object] | list[object], str | int]]:
    """Every place of a document where a value stands."""
    items: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        items = list(value.items())
    elif isinstance(value, list):
        items = list(enumerate(value))
    for key, inner in items:
        assert isinstance(value, dict | list)
        yield value, key
        yield from spots(inner)


def broken(document: dict[str, object], chance: random.Random) -> dict[str, object]:
    """A copy with one to three values replaced, taken out, doubled or swapped."""
    document = copy.deepcopy(document)
    for _ in range(chance.randint(1, 3)):
        holder, key = chance.choice(list(spots(document)))
        how = chance.randrange(4)
        other, other_key = chance.choice(list(spots(document)))
        if how == 0 and isinstance(holder, dict):
            del holder[str(key)]
        elif how == 1 and isinstance(holder, list):
            holder.append(copy.deepcopy(chance.choice(holder)))
        elif how == 2:
            holder[key] = copy.deepcopy(other[other_key])  # type: ignore[index]
        else:
            holder[key] = copy.deepcopy(chance.choice(ODD))  # type: ignore[index]
    return document


def try_one(file: Path, seed: int) -> bool:
    """Whether a broken order was still read; it must split, or say why it can't."""
    document = broken(tomllib.loads(file.read_text("utf-8")), random.Random(f"{file.stem} {seed}"))
    order, problems, warnings = parse_order(document, file.name, file.stem, techniques())
    assert (order is None) == bool(problems)
    told = [(p.file, p.text) for p in problems] + [(w.file, w.text) for w in warnings]
    for name, text in told:
        assert name == file.name
        assert text and "\n" not in text
    if order is None:
        return False
    try:
        result = split_by(order, order, Answers())
        hours(result, techniques())
        assert alone(result).garments
    except InputError as error:
        raise AssertionError(f"read without a problem, and can't be split: {error}") from None
    return True


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.stem))
def test_a_broken_order_is_read_or_refused(file: Path) -> None:
    """Whatever is wrong in it, an order is refused with problems, or it splits."""
    for seed in range(12):
        try_one(file, seed)


def main(count: int) -> None:
    """Try ``count`` broken orders of every file."""
    read = sum(try_one(file, seed) for file in FILES for seed in range(count))
    print(f"{count * len(FILES)} broken orders, {read} of them still read")


if __name__ == "__main__":
    main(int(sys.argv[1]))
