"""What the commands of the catalogue share: what there is to look up, and words for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.catalogue.order import Choice, Measurement, Order
from planner.files.phrasing import write_quantity
from planner.model import Minutes, Project, Source, Technique, Wait
from planner.pace import UNKNOWN, Pace
from planner.pacing import pace_of
from planner.problems import InputError
from planner.quantity import Quantity
from planner.splitting.answers import usual_value
from planner.splitting.split import Split, hours
from screens.amounts_told import worded_amount
from screens.wording import clean, column, count, spoken, wrapped

SOURCES: Mapping[Source, str] = {
    Source.MAKE: "made",
    Source.OWN: "owned",
    Source.ALTER: "altered",
    Source.BORROW: "borrowed",
    Source.BUY: "bought",
}
"""Where a garment comes from, said of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelves:
    """Orders and techniques by id: the catalogue's, and over them the maker's own."""

    orders: Mapping[str, Order]
    techniques: Mapping[str, Technique]
    own: frozenset[str]
    """Ids of the maker's own techniques."""
    units: str = "metric"
    pace: Pace = UNKNOWN
    """The maker's."""

    def hours(self, split: Split) -> Minutes:
        """Minutes of a garment at the maker's pace. Raises InputError."""
        return hours(split, self.techniques, self.pace)


def shelves(path: Path | None) -> Shelves:
    """What there is in the workroom at ``path``, else where one stands in one, else at all.

    Raises InputError with what is wrong in the maker's own orders and techniques. Where anything
    else is wrong in the workroom's files, only a pace set by hand is known.
    """
    from planner.files.reading import WORKROOM, read_own, read_project

    if path is None and not Path(WORKROOM).is_file():
        return shelves_of(None)
    folder = Path() if path is None else path
    own = shelves_of(read_own(folder))
    try:
        return replace(own, pace=pace_of(read_project(folder)))
    except (InputError, OSError):
        return own


def shelves_of(project: Project | None) -> Shelves:
    """What there is in a workroom that was read; without one, the catalogue."""
    from planner.catalogue import techniques_with
    from planner.catalogue.shelf import orders_with

    if project is None:
        return Shelves(orders=orders_with(()), techniques=techniques_with(()), own=frozenset())
    return Shelves(
        orders=orders_with(project.orders),
        techniques=techniques_with(project.techniques),
        own=frozenset(technique.id for technique in project.techniques),
        units=project.workroom.units,
        pace=pace_of(project),
    )


def find_order(text: str, orders: Mapping[str, Order]) -> Order | str:
    """The order of that id or name, capitals or not; else a sentence with the nearest."""
    from planner.nearest import nearest

    word = text.strip().casefold()
    if word in orders:
        return orders[word]
    for order in orders.values():
        if word in (order.id.casefold(), order.name.casefold()):
            return order
    near = nearest(word, orders)
    hint = f"did you mean {clean(near)}?" if near else "wearby garments lists all there are."
    return f"There is no garment “{clean(text)}”: {hint}"


def like(text: str, orders: Mapping[str, Order]) -> list[Order]:
    """Orders with the text in id, name, group or what others call them: for choosing among."""
    word = text.strip().casefold()
    return [
        order
        for order in orders.values()
        if any(
            word in part.casefold() for part in (order.id, order.name, order.group, *order.roles)
        )
    ]


def amount_text(quantity: Quantity, units: str) -> str:
    """An amount for reading: "2.4 m", "44"."""
    return worded_amount(quantity.value, quantity.dimension, units)


def answer_text(question: Measurement | Choice, value: Quantity | str, units: str) -> str:
    """An answer as it may be typed."""
    return value if isinstance(value, str) else str(write_quantity(value, units))


def default_text(question: Measurement | Choice, units: str) -> str:
    """The usual answer as it may be typed."""
    if isinstance(question, Measurement):
        return answer_text(question, usual_value(question, units), units)
    return question.default


def how_text(question: Measurement | Choice) -> str:
    """Label, how to take it, and the options of a choice."""
    ask = clean(question.ask)
    if isinstance(question, Measurement):
        return f"{ask}. {clean(question.how)}".strip()
    options = ", ".join(
        option.id if option.id == option.name else f"{option.id} ({clean(option.name)})"
        for option in question.options
    )
    how = f" {clean(question.how)}" if question.how else ""
    return f"{ask}: {clean(options)}.{how}"


def minutes_text(minutes: Minutes) -> str:
    """ "23 h 40, or 17 h 20 to 33 h 10 as it goes"."""
    low, high = spoken(round(minutes.low)), spoken(round(minutes.high))
    return f"{spoken(round(minutes.typical))}, or {low} to {high} as it goes"


def minutes_columns(minutes: Minutes) -> str:
    """Typical, low and high in columns."""
    low, high = column(round(minutes.low)), column(round(minutes.high))
    return f"{column(round(minutes.typical)):>6}  {low:>6} {high:>6}"


def wait_text(wait: Wait) -> str:
    """ "then 1 night", "then 2 h"; empty without one."""
    if wait.nights:
        return f"then {count(wait.nights, 'night')}"
    return f"then {spoken(wait.minutes)}" if wait.minutes else ""


def listed_beneath(text: str, indent: int, width: int) -> list[str]:
    """A text as lines that begin in one column."""
    return [" " * indent + line for line in wrapped([text], width - indent)]


def item(text: str, width: int, first: int = 2, then: int = 4) -> list[str]:
    """A line of a list, going on further in."""
    lines = wrapped([text], width - then)
    return [" " * (then if index else first) + line for index, line in enumerate(lines)]


def cautions_once(found: Sequence[tuple[str, str]]) -> dict[str, list[str]]:
    """By caution, the names of what carries it, in order; each caution once."""
    by_caution: dict[str, list[str]] = {}
    for name, caution in found:
        if caution:
            by_caution.setdefault(clean(caution), []).append(name)
    return by_caution
