"""A garment's steps, and the other ways to do them."""

from __future__ import annotations

from typing import Final

from planner.durations import parse_duration, parse_share, parse_wait
from planner.files.checks import Table, doubled, number_problem, quantity_of, sort_of
from planner.files.findings import shown
from planner.model import STAGES, Place, Step, Use, Wait, Way, Work
from planner.quantity import Quantity, parse_quantity

Amount = tuple[str | Quantity, ...]

_LONGEST: Final = 60 * 10_000
_MOST_NIGHTS: Final = 366
_MOST_EFFORT: Final = 20


def read_steps(garment: Table, measurements: frozenset[str]) -> tuple[Step, ...]:
    """The steps of a garment's table in the maker's order.

    ``measurements`` are the garment's names: a factor of an amount may be one of them.
    """
    found = [(item, item.id()) for item in garment.tables("step")]
    doubled(found, "step")
    steps = []
    for table, id in found:
        steps.append(read_step(table, id, measurements))
        table.close()
    return tuple(steps)


def read_step(table: Table, id: str, measurements: frozenset[str]) -> Step:
    """The step of one table; closing it is the caller's, who may know more keys.

    ``measurements`` are the names that a factor of an amount may be.
    """
    hours, low, high = _hours(table, own=True)
    missed = table.whole("missed", 1, 5)
    return Step(
        id=id,
        name=table.text("name") or "",
        technique=table.text("technique"),
        amount=read_factors(table, "amount", measurements) or (),
        hours=hours,
        low=low,
        high=high,
        work=table.choice("work", Work),
        place=table.choice("place", Place),
        during=_reference(table, "during"),
        after=table.words("after") or (),
        stage=table.word("stage", STAGES),
        wait=_wait(table),
        uses=_uses(table, measurements) or (),
        optional=table.flag("optional") or False,
        missed=3 if missed is None else missed,
        instead=_ways(table, measurements),
        one_sitting=table.flag("one_sitting") or False,
        effort=read_effort(table),
        hands=table.whole("hands", 1, 2),
        on=table.day("on"),
        not_before=table.day_or_moment("not_before"),
        left_off=table.flag("left_off") or False,
        done=table.flag("done") or False,
        no_way_back=table.flag("no_way_back"),
        caution=table.text("caution"),
        where=table.where,
    )


def _ways(step: Table, measurements: frozenset[str]) -> tuple[Way, ...]:
    ways: list[Way] = []
    for table in step.tables("instead"):
        way = _way(table, measurements)
        if way.chosen and any(other.chosen for other in ways):
            table.problem("chosen", "another way of this step is chosen already: choose one")
        ways.append(way)
    return tuple(ways)


def _way(table: Table, measurements: frozenset[str]) -> Way:
    hours, low, high = _hours(table, own=False)
    way = Way(
        technique=table.text("technique"),
        name=table.text("name"),
        amount=read_factors(table, "amount", measurements),
        hours=hours,
        low=low,
        high=high,
        work=table.choice("work", Work),
        place=table.choice("place", Place),
        hands=table.whole("hands", 1, 2),
        one_sitting=table.flag("one_sitting"),
        wait=_wait(table),
        no_way_back=table.flag("no_way_back"),
        caution=table.text("caution"),
        uses=_uses(table, measurements),
        missed=table.whole("missed", 1, 5),
        chosen=table.flag("chosen") or False,
    )
    table.close()
    return way


def _hours(table: Table, *, own: bool) -> tuple[int | None, int | None, int | None]:
    """Typical, low and high minutes; a step's bounds need its hours, a way's may be alone."""
    hours, low, high = (
        table.duration(key, parse_duration, 1, _LONGEST) for key in ("hours", "low", "high")
    )
    if own and not table.has("hours"):
        for key in ("low", "high"):
            if table.has(key):
                table.problem(key, f"{key} bounds hours, and there are none: add hours")
    if low is not None and (hours or high) and low > (hours or high or 0):
        table.problem("low", f"low is more than {'hours' if hours else 'high'}: make it less")
    if high is not None and hours is not None and high < hours:
        table.problem("high", "high is less than hours: make it more")
    return hours, low, high


def _wait(table: Table) -> Wait | None:
    wait = table.parsed("wait", parse_wait, '"1 night" or "2h"')
    if wait is not None and (wait.nights > _MOST_NIGHTS or wait.minutes > 60 * 24 * _MOST_NIGHTS):
        table.problem("wait", "a wait of more than a year can't be planned: shorten it")
        return None
    return wait


def read_effort(table: Table) -> float:
    """What minutes are multiplied by; 1 where nothing is said, or nothing sensible."""
    value = table.get("effort")
    wanted = "a number more than 0 and at most 20, such as 1.3"
    if value is None:
        return 1.0
    if isinstance(value, bool) or not isinstance(value, int | float):
        table.wrong_sort("effort", value, wanted)
    elif 0 < value <= _MOST_EFFORT:
        return float(value)
    else:
        table.problem("effort", f"{shown(value)} is out of bounds: write {wanted}")
    return 1.0


def _reference(table: Table, key: str) -> str | None:
    value = table.text(key)
    if value is not None and not value.strip():
        table.problem(key, f"this is empty: name an occasion, or leave {key} out")
    return value


def _uses(table: Table, measurements: frozenset[str]) -> tuple[Use, ...] | None:
    if not table.has("uses"):
        return None
    return tuple(_use(item, measurements) for item in table.tables("uses"))


def _use(table: Table, measurements: frozenset[str]) -> Use:
    extra = table.parsed("extra", parse_share, '"5%"')
    use = Use(
        stock=table.id("stock"),
        extra=0.0 if extra is None else extra,
        amount=read_factors(table, "amount", measurements),
    )
    table.close()
    return use


def read_factors(table: Table, key: str, measurements: frozenset[str]) -> Amount | None:
    """A product: numbers, quantities, and names of measurements; None when missing.

    Other names are kept as they are: whether they mean something is checked later.
    """
    found = table.items(key)
    if found is None:
        return None
    factors: list[str | Quantity] = []
    for where, item in found:
        try:
            factors.append(_factor(item, measurements))
        except ValueError as error:
            table.findings.problem(where, str(error))
    return tuple(factors)


def _factor(item: object, measurements: frozenset[str]) -> str | Quantity:
    if not isinstance(item, str):
        if isinstance(item, bool) or not isinstance(item, int | float):
            raise ValueError(
                f"this is {sort_of(item)} ({shown(item)}): write a number, a length such as "
                '"2.4 m", or the name of a measurement'
            )
        return quantity_of(item)
    if item in measurements:
        return item
    if not item.strip():
        raise ValueError("this is empty: name a measurement, or take it out")
    if _looks_like_a_number(item):
        wrong = number_problem(parse_quantity(item).value)
        if wrong:
            raise ValueError(wrong)
        return parse_quantity(item)
    return item


def _looks_like_a_number(text: str) -> bool:
    """Whether a factor was meant as an amount: what begins like a number is never a name."""
    return text.lstrip()[0] in "0123456789.,+-"
