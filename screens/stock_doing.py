"""Edits of a stock as it is typed in its row, without a screen: counted, coming, come, removed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from planner.editing import remove_stock, replace_stock
from planner.model import Project, Stock
from planner.quantity import AREA, COUNT, METRES, Quantity, parse_quantity, with_point
from planner.stock import GRAIN
from screens.amounts_told import in_unit, unit_for
from screens.doing import Doing
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Change
from screens.forms.tables import Plain, read_stock_table, stock_table
from screens.forms.texts import coming_from, coming_text, number_from
from screens.wording import clean, listed, on_date


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What a typed line comes to: an edit, or what is wrong."""

    doing: Doing | None = None
    wrong: str = ""
    told: str = ""
    """What is to be known of it besides."""


def counted(
    project: Project, ident: str, text: str, today: date, unit: str, dimension: int
) -> Typed:
    """A stock counted today: there is what was typed, and what was due by now is in it.

    A bare number of what isn't counted in pieces is in ``unit``, as the row shows it.
    """
    stock = lookups.stock_of(project, ident)
    if stock is None:
        return Typed(wrong=GONE)
    if not text.strip():
        return Typed(wrong="Type how much there is; 0 for nothing.")
    table = {"have": number_from(_with_unit(text, unit, dimension)), "counted": today}
    found, wrong = _read(project, stock, table)
    if found is None:
        return Typed(wrong=wrong)
    have = found.have
    if have.dimension != dimension:
        return Typed(wrong=f"It is kept in {_kept_in(unit, dimension)}: write the amount so.")

    def now(there: Stock) -> Stock:
        left = tuple(c for c in there.coming if c.arrives is None or c.arrives > today)
        return replace(there, have=have, counted=today, coming=left)

    due = [
        f"{_told(c.amount, project)} due {on_date(c.arrives, today).removeprefix('on ')}"
        for c in stock.coming
        if c.arrives is not None and c.arrives <= today
    ]
    told = f"The {listed(due)} counts as in it: if it hasn't come, d gives it a day." if due else ""
    label = f"{_name(stock)} counted: {in_unit(have.value, dimension, unit)}"
    return Typed(doing=_doing(label, ident, now), told=told)


def delivered(project: Project, ident: str, text: str, today: date) -> Typed:
    """The deliveries of a stock as typed: "3 m on 3 May, 2 m"; nothing: none is coming."""
    stock = lookups.stock_of(project, ident)
    if stock is None:
        return Typed(wrong=GONE)
    tables = coming_from(text, today)
    found, wrong = _read(project, stock, {"coming": tables or None})
    if found is None:
        return Typed(wrong=wrong)
    coming = found.coming
    told = f"{_name(stock)} coming: {clean(coming_text(tables))}"
    label = told if tables else f"no more {_name(stock)} coming"
    return Typed(doing=_doing(label, ident, lambda there: replace(there, coming=coming)))


def coming_now(project: Project, ident: str) -> str:
    """The deliveries of a stock as they would be typed."""
    stock = lookups.stock_of(project, ident)
    if stock is None:
        return ""
    table = stock_table(stock, project.workroom.units).get("coming")
    return coming_text(table) if isinstance(table, list) else ""


def come(project: Project, ident: str, place: int | None = None) -> Typed:
    """A delivery that has come (None: the one due first): it is there from now on.

    What was due by the day of the last count is in that count, and adds nothing.
    """
    stock = lookups.stock_of(project, ident)
    if stock is None:
        return Typed(wrong=GONE)
    if not stock.coming:
        return Typed(wrong=f"No {_name(stock)} is coming; d writes down what is.")
    if place is None:
        place = min((one.arrives or date.max, k) for k, one in enumerate(stock.coming))[1]
    one, since = stock.coming[place], stock.counted
    already = since is not None and one.arrives is not None and one.arrives <= since

    def now(there: Stock) -> Stock:
        rest = list(there.coming)
        if one not in rest:
            return there
        rest.remove(one)
        have = there.have if already else _sum(there.have, one.amount, project.workroom.units)
        return replace(there, have=have, coming=tuple(rest))

    told = "It was in the last count already, and adds nothing." if already else ""
    label = f"{_told(one.amount, project)} of {_name(stock)} has come"
    return Typed(doing=_doing(label, ident, now), told=told)


def removed(project: Project, ident: str) -> Doing:
    """A stock taken out; no step uses it any more."""
    stock = lookups.stock_of(project, ident)
    name = _name(stock) if stock is not None else ident

    def change(now: Project) -> Project:
        return remove_stock(now, ident) if lookups.stock_of(now, ident) is not None else now

    return Doing(label=f"{name} removed from the stock", change=change)


def _doing(label: str, ident: str, change: Callable[[Stock], Stock]) -> Doing:
    """An edit of one stock; where it has gone meanwhile there is nothing to change."""

    def made(project: Project) -> Project:
        there = lookups.stock_of(project, ident)
        return project if there is None else replace_stock(project, ident, change(there))

    edit: Change = made
    return Doing(label=label, change=edit, cursor=ident)


def _read(project: Project, stock: Stock, changed: Plain) -> tuple[Stock | None, str]:
    """The stock with some keys changed, read as the files are; else what is wrong."""
    table = {**stock_table(stock, project.workroom.units), **changed}
    table = {key: value for key, value in table.items() if value is not None}
    found, wrong = read_stock_table(table)
    return (None, wrong[0].text) if wrong else (found, "")


def _with_unit(text: str, unit: str, dimension: int) -> str:
    """What was typed, a bare number with the unit of the row."""
    pointed = with_point(text.strip())
    try:
        bare = parse_quantity(pointed).dimension == COUNT
    except ValueError:
        return pointed
    return f"{pointed} {unit}{'2' if dimension == AREA else ''}" if bare and unit else pointed


def _kept_in(unit: str, dimension: int) -> str:
    """ "pieces", "m", "m2"."""
    return "pieces" if dimension == COUNT else f"{unit}{'2' if dimension == AREA else ''}"


def _sum(first: Quantity, second: Quantity, units: str) -> Quantity:
    """Both together, as a round number of the unit in which it would be written."""
    value, dimension = first.value + second.value, second.dimension
    unit = unit_for(value, dimension, units)
    scale = METRES[unit] ** dimension if unit else 1.0
    text = f"{value / scale:.3f}{f' {unit}' if unit else ''}{'2' if dimension == AREA else ''}"
    written = parse_quantity(text)
    exact = abs(written.value - value) <= GRAIN
    return written if exact else Quantity(value=value, dimension=dimension)


def _told(amount: Quantity, project: Project) -> str:
    unit = unit_for(amount.value, amount.dimension, project.workroom.units)
    return in_unit(amount.value, amount.dimension, unit)


def _name(stock: Stock) -> str:
    return clean(stock.name) or clean(stock.id)
