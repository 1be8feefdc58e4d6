"""`wearby techniques`: how each kind of work is done, and at what rate."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planner.exports.catalogue_as_json import technique_as_json
from planner.model import Minutes, Technique, Work
from screens.plain.catalogue import cautions_once, item, listed_beneath, shelves, wait_text
from screens.plain.lines import WIDTH
from screens.plain.split import PLACES
from screens.wording import clean, wrapped


class Answered:
    """Every technique, the maker's own among them."""

    def __init__(self, given: argparse.Namespace) -> None:
        """Raises InputError with what is wrong in the maker's own techniques."""
        self.shelves = shelves(None if given.path is None else Path(given.path))
        order = {work: index for index, work in enumerate(Work)}
        found = self.shelves.techniques
        # sorting is stable: within a kind of work they stay in the order of the file
        self.techniques = sorted((found[name] for name in found), key=lambda t: order[t.work])

    def as_json(self) -> list[dict[str, Any]]:
        """An object each."""
        return [technique_as_json(one, one.id in self.shelves.own) for one in self.techniques]

    def lines(self) -> list[str]:
        """By kind of work: id and name; beneath, rate, set-up, place and source."""
        found = wrapped(
            ["Techniques by kind of work; minutes as usual, and at the least and most."], WIDTH
        )
        work: Work | None = None
        for technique in self.techniques:
            if technique.work is not work:
                work = technique.work
                found += ["", f"{work.letter}  {work.value}"]
            found += self._technique(technique)
        return found + _cautions(self.techniques)

    def _technique(self, technique: Technique) -> list[str]:
        """One technique."""
        name = clean(technique.name)
        own = ", your own" if technique.id in self.shelves.own else ""
        told = f"; {name}" if name and name != clean(technique.id).replace("-", " ") else ""
        told = f"{clean(technique.id)}{told}{own}"
        facts = [
            rate_told(technique),
            f"set-up {technique.set_up} min" if technique.set_up else "",
            PLACES[technique.place],
            "two pairs of hands" if technique.hands > 1 else "",
            "in one sitting" if technique.one_sitting else "",
            wait_text(technique.wait) if technique.wait else "",
            "no way back" if technique.no_way_back else "",
        ]
        known = "; ".join(fact for fact in facts if fact)
        source = f" From: {clean(technique.source)}." if technique.source else ""
        return [*item(told, WIDTH), *listed_beneath(f"{known}.{source}", 6, WIDTH)]


def rate_told(technique: Technique) -> str:
    """ "12 min a metre (8 to 20)", with the part for every seam."""
    unit = clean(technique.unit) or "piece"
    one = f"for {unit}" if unit[:1].isdigit() else f"a {unit}"
    each = f", and {_minutes(technique.each)} a seam" if technique.each else ""
    return f"{_minutes(technique.rate)} {one}{each}"


def _minutes(minutes: Minutes) -> str:
    """ "12 min (8 to 20)"."""
    return f"{minutes.typical:g} min ({minutes.low:g} to {minutes.high:g})"


def _cautions(techniques: Sequence[Technique]) -> list[str]:
    """Each caution once, with the techniques it holds for."""
    found = cautions_once([(clean(one.id), one.caution) for one in techniques])
    if not found:
        return []
    lines = ["", "Mind:"]
    for caution, names in found.items():
        lines += item(f"{caution} ({', '.join(names)})", WIDTH)
    return [
        *lines,
        *wrapped(["Labels, data sheets, local rules and qualified people come first."], WIDTH),
    ]
