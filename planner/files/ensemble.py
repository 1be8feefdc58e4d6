"""An ensemble's tables: occasions, stock and garments."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from planner.durations import parse_days, parse_duration, parse_margin
from planner.files.checks import Table, doubled, quantity_of
from planner.files.findings import key_path, nearest, shown
from planner.files.steps import read_steps
from planner.model import (
    Coming,
    Ensemble,
    Garment,
    Margin,
    Occasion,
    OccasionKind,
    Source,
    Stock,
)
from planner.quantity import Quantity, parse_quantity

_YEAR = 366
_LONGEST = 60 * 24 * _YEAR
_NEVER: Final = datetime(2000, 1, 1)


def read_ensemble(table: Table, id: str) -> Ensemble:
    """The ensemble of a document; closing the table is the caller's."""
    occasions = _all(table, "occasion")
    stock = _all(table, "stock")
    garments = _all(table, "garment")
    pack = table.words("pack") or ()
    return Ensemble(
        id=id,
        name=table.text("name") or "",
        file=table.findings.file,
        occasions=tuple(_occasion(item, item_id) for item, item_id in occasions),
        stock=tuple(_stock(item, item_id) for item, item_id in stock),
        garments=tuple(_garment(item, item_id) for item, item_id in garments),
        pack=pack,
        packed=_packed(table, {*pack, *(id for _, id in garments)}),
    )


def _packed(table: Table, known: set[str]) -> tuple[str, ...]:
    """What is packed; what is no garment and on no list is kept, and warned about."""
    found = table.words("packed") or ()
    for place, thing in enumerate(found):
        if thing not in known:
            near = nearest(thing, sorted(known))
            hint = f'did you mean "{near}"? ' if near else ""
            table.findings.warn(
                f"{table.at('packed')}[{place}]",
                f"{shown(thing)} is no garment and not in pack: {hint}it is left as it is",
            )
    return found


def _all(table: Table, key: str) -> list[tuple[Table, str]]:
    """The tables under a key with their ids, doubled ones noted."""
    found = [(item, item.id()) for item in table.tables(key)]
    doubled(found, key)
    return found


def _occasion(table: Table, id: str) -> Occasion:
    kind = table.choice("kind", OccasionKind)
    if not table.has("kind"):
        table.problem("kind", "kind is missing: write fitting, trial wear, departure or event")
    at = table.moment("at")
    if not table.has("at"):
        table.problem("at", "at is missing: write when it is, at = 2027-05-22T11:00:00")
    occasion = Occasion(
        id=id,
        kind=kind or OccasionKind.EVENT,
        at=at or _NEVER,
        name=table.text("name") or "",
        takes=table.duration("takes", parse_duration, 1, _LONGEST),
        wants=table.words("wants"),
        margin=_margin(table),
        held=table.flag("held"),
        where=table.where,
    )
    table.close()
    return occasion


def _margin(table: Table) -> Margin:
    margin = table.parsed("margin", parse_margin, '"1 day" or "3h"')
    if margin is None:
        return Margin()
    if margin.days > _YEAR or margin.minutes > _LONGEST:
        table.problem("margin", "a margin of more than a year can't be kept: shorten it")
        return Margin()
    return margin


def _stock(table: Table, id: str) -> Stock:
    again = table.flag("again")
    have = table.quantity("have")
    stock = Stock(
        id=id,
        name=table.text("name") or "",
        have=Quantity(value=0.0) if have is None else have,
        counted=table.day("counted"),
        lead=table.duration("lead", parse_days, 0, 10 * _YEAR),
        again=True if again is None else again,
        coming=tuple(_coming(item) for item in table.tables("coming")),
        where=table.where,
    )
    table.close()
    return stock


def _coming(table: Table) -> Coming:
    amount = table.quantity("amount")
    if not table.has("amount"):
        table.problem("amount", 'amount is missing: write how much is coming, amount = "3 m"')
    coming = Coming(
        amount=Quantity(value=0.0) if amount is None else amount, arrives=table.day("arrives")
    )
    table.close()
    return coming


def _garment(table: Table, id: str) -> Garment:
    measurements = _measurements(table.table("measurements"))
    garment = Garment(
        id=id,
        name=table.text("name") or "",
        kind=table.text("kind"),
        layer=table.whole("layer", -999, 999),
        source=table.choice("source", Source) or Source.MAKE,
        wearer=table.text("wearer") or "",
        in_order=table.flag("in_order") or False,
        measurements=measurements,
        choices=_choices(table.table("choices")),
        steps=read_steps(table, frozenset(measurements)),
        where=table.where,
    )
    table.close()
    return garment


def _measurements(table: Table | None) -> dict[str, Quantity]:
    """Every key is the maker's name; a name that reads as an amount could never be used."""
    found: dict[str, Quantity] = {}
    for name, value in (table.data if table else {}).items():
        where = key_path(table.where if table else "", name)
        findings = table.findings if table else None
        assert findings is not None
        if not name.strip() or _is_amount(name):
            findings.problem(where, f'"{name}" is no name for a measurement: use a word, "hem"')
        found[name] = Quantity(value=0.0)
        try:
            found[name] = quantity_of(value)
        except ValueError as error:
            findings.problem(where, str(error))
    return found


def _choices(table: Table | None) -> dict[str, str]:
    """Every key is the name of a choice, every value the option that was chosen."""
    found: dict[str, str] = {}
    for name in table.data if table else ():
        assert table is not None
        option = table.text(name)
        if not name.strip() or (option is not None and not option.strip()):
            table.problem(name, 'a choice and its option are words: write lining = "full"')
        found[name] = option or ""
    return found


def _is_amount(name: str) -> bool:
    try:
        parse_quantity(name)
    except ValueError:
        return False
    return True
