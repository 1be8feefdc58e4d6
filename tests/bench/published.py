"""Bar 1: eight garments with published times, split with their quantities.

``python -m tests.bench.published`` prints for each the hours low, typical and high beside the
published ones, and whether these lie between low and high. What was published, and the
quantities, stand in ``published.toml``, written down before any order of construction was.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from planner.catalogue import techniques
from planner.catalogue.shelf import orders
from planner.model import Minutes
from planner.splitting.answers import understood
from planner.splitting.split import Split, hours, split

NOTED = Path(__file__).with_suffix(".toml")
WANTED = 6
"""How many of the eight must lie between low and high."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """A garment whose making was timed, and what its order makes of its quantities."""

    id: str
    name: str
    source: str
    least: float
    """Hours published."""
    most: float
    split: Split
    hours: Minutes

    @property
    def where(self) -> str:
        """Where the published hours lie: between low and high, in part (of a range), or not."""
        low, high = self.hours.low / 60, self.hours.high / 60
        if self.most < low:
            return "below"
        if self.least > high:
            return "above"
        return "between" if low <= self.least and self.most <= high else "in part"

    @property
    def lies_between(self) -> bool:
        """Whether the published hours, or a part of their range, lie between low and high."""
        return self.where in ("between", "in part")

    @property
    def row(self) -> str:
        """One line: the hours split, those published, and where these lie."""
        found = (self.hours.low, self.hours.typical, self.hours.high)
        told = f"{self.least:g}" if self.least == self.most else f"{self.least:g}-{self.most:g}"
        hours_split = " ".join(f"{minutes / 60:7.1f}" for minutes in found)
        return f"{self.name:42}{hours_split}  {told:>8}   {self.where}"


def published() -> tuple[Published, ...]:
    """The eight, split. Raises InputError where a quantity means nothing to the order."""
    return tuple(
        _published(garment) for garment in tomllib.loads(NOTED.read_text("utf-8"))["garment"]
    )


def _published(noted: Mapping[str, object]) -> Published:
    order = orders()[str(noted["kind"])]
    answers: dict[str, str] = {"source": "make"}
    for key in ("quantities", "choices"):
        given = noted[key]
        assert isinstance(given, dict)
        answers |= {name: str(value) for name, value in given.items()}
    found = split(order, understood(order, answers, file=f"{NOTED.name}, {noted['id']}"))
    told = noted["hours"]
    assert isinstance(told, list)
    return Published(
        id=str(noted["id"]),
        name=str(noted["name"]),
        source=str(noted["source"]),
        least=float(told[0]),
        most=float(told[1]),
        split=found,
        hours=hours(found, techniques()),
    )


def main() -> int:
    """Print the table; 0 where enough lie between."""
    found = published()
    print(f"{'hours':42}{'low':>7} {'typical':>7} {'high':>7} published")
    for one in found:
        print(one.row)
    between = sum(one.lies_between for one in found)
    part = sum(one.where == "in part" for one in found)
    print(
        f"{between} of {len(found)} between low and high, {part} of them in part; {WANTED} wanted"
    )
    return 0 if between >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
