"""Steps and techniques into operations: what each step asks for, in minutes and stock.

Minutes are set-up + effort x (rate x amount + the part for every seam), or effort x the maker's
own hours, rounded to the minute (half up), at least 1. Effort never multiplies set-up or stock.
These are the catalogue's minutes; a maker's ``Pace`` multiplies them, set-up and all, but never
the maker's own hours.
Several lengths multiply only as the technique allows: ``planner.amounts`` says how.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.amounts import HIGH_SHARE, LOW_SHARE, amount_of, measure
from planner.model import (
    Ensemble,
    Entry,
    Garment,
    Minutes,
    Place,
    Step,
    Stock,
    Technique,
    Wait,
    Way,
    Work,
)
from planner.naming import called
from planner.nearest import is_meant
from planner.pace import Pace
from planner.problems import InputError, Problem
from planner.quantity import COUNT, Quantity
from planner.ways import names, with_way

LEAST_LEFT = 5
"""Minutes that a step begun and not done still takes at the least (the estimate if less)."""

MOST_MINUTES = 10_000 * 60
"""More minutes than any one step takes."""

_DIMENSIONS = ("a count", "a length", "an area")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """A step as it is to be done: technique, chosen way and the maker's own words together."""

    step: Step
    """As the maker wrote it."""
    ensemble: str
    garment: str
    """Id of the garment in its ensemble."""
    id: str
    """Full id, ``ensemble/garment/step``."""
    name: str
    """The maker's, else the technique's, else the step's id."""
    technique: str | None
    """None where the maker gave hours instead."""
    work: Work
    place: Place
    hands: int
    one_sitting: bool
    wait: Wait
    """The chosen way's, else the step's, else the technique's; no wait is ``Wait()``."""
    minutes: Minutes
    """Whole minutes of 1 and more at the maker's pace, as if nothing of it were done yet."""
    by_catalogue: Minutes
    """The same at the catalogue's pace; the maker's own hours where they gave them."""
    quantity: Quantity | None
    """The product of the amount; None where the step has none."""
    uses: tuple[tuple[str, Quantity], ...]
    """Full ids of stock, ``ensemble/stock``, and how much of it; nothing of a step left off."""
    no_way_back: bool
    caution: str


def operations(
    ensemble: Ensemble, techniques: Mapping[str, Technique], pace: Pace | None = None
) -> tuple[Operation, ...]:
    """Every step of the ensemble as an operation, in file order; without a pace at the
    catalogue's.

    Also steps left off, and done ones. The set-up of a technique is in the first step of the
    garment that uses it and is not left off.

    Raises InputError with all problems: techniques, measurements and stock that there are not,
    amounts that don't suit the technique or the stock, steps with neither technique nor hours.
    Ways that are not chosen are looked at too, so that choosing one later can't fail.
    """
    desk = _Desk(ensemble, techniques)
    found = [operation for garment in ensemble.garments for operation in desk.garment(garment)]
    if desk.problems:
        raise InputError(tuple(dict.fromkeys(desk.problems)))
    return tuple(found) if pace is None else tuple(at_pace(one, pace) for one in found)


def at_pace(operation: Operation, pace: Pace) -> Operation:
    """The operation with its minutes at a maker's pace; own hours stay the maker's word."""
    if operation.technique is None or pace.changes_nothing:
        return operation
    paced = pace.minutes(operation.by_catalogue, operation.work, operation.technique)
    if paced == operation.minutes:
        return operation
    minutes = Minutes(
        low=whole_minutes(paced.low),
        typical=whole_minutes(paced.typical),
        high=whole_minutes(paced.high),
    )
    return replace(operation, minutes=minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    """A step with a way over it, and what its messages need."""

    garment: Garment
    step: Step
    """With what the way replaces."""
    written: Step
    technique: Technique | None
    """What gives minutes and set-up; None where hours do."""
    style: Technique | None
    """What gives work, place, wait and the like where the maker is silent."""
    way: Way | None
    at: str
    """Key path of the step."""
    way_at: str
    """Key path of the way."""

    def place(self, key: str) -> str:
        """Where ``key`` was written: in the way if that names it, else in the step."""
        by_way = self.way is not None and names(self.way, key)
        return f"{self.way_at if by_way else self.at}.{key}"


class _Desk:
    """Works through an ensemble and collects the problems it meets."""

    def __init__(self, ensemble: Ensemble, techniques: Mapping[str, Technique]) -> None:
        self.ensemble = ensemble
        self.techniques = techniques
        self.problems: list[Problem] = []
        self.stock = dict(self._stock_dimensions())

    def wrong(self, place: str, text: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(file=self.ensemble.file, place=place, text=text))

    def _stock_dimensions(self) -> Iterator[tuple[str, int | None]]:
        """What each stock is measured in; None where nothing says so yet."""
        for stock in self.ensemble.stock:
            dimension = _dimension(stock)
            for index, coming in enumerate(stock.coming):
                if coming.amount.dimension != dimension:
                    text = f"This is {_DIMENSIONS[coming.amount.dimension]}, but `{stock.id}` is "
                    text += f"kept by {_DIMENSIONS[dimension or 0]}: use the same for both."
                    self.wrong(f"{stock.where or stock.id}.coming[{index}].amount", text)
            yield stock.id, dimension

    def garment(self, garment: Garment) -> Iterator[Operation]:
        """The operations of a garment; steps with problems are passed over."""
        set_up: set[str] = set()
        for step in garment.steps:
            chosen = [way for way in step.instead if way.chosen]
            if len(chosen) > 1:
                text = "More than one way is chosen here: leave `chosen = true` at one of them."
                self.wrong(f"{_at(garment, step)}.instead", text)
            for index, way in enumerate((None, *step.instead)):
                way_at = f"{_at(garment, step)}.instead[{index - 1}]"
                operation = self._operation(self._task(garment, step, way, way_at), set_up)
                if operation is not None and way is (chosen[0] if chosen else None):
                    yield operation
                    if operation.technique is not None and not step.left_off:
                        set_up.add(operation.technique)

    def _task(self, garment: Garment, written: Step, way: Way | None, way_at: str) -> _Task:
        """The step with the way over it, its techniques looked up."""
        at = _at(garment, written)
        step = written if way is None else with_way(written, way)
        by_way = way is not None and way.technique is not None
        technique = self._technique(step.technique, f"{way_at if by_way else at}.technique")
        return _Task(
            garment=garment,
            step=step,
            written=written,
            technique=technique if step.hours is None else None,
            style=technique or self.techniques.get(written.technique or ""),
            way=way,
            at=at,
            way_at=way_at,
        )

    def _technique(self, technique_id: str | None, place: str) -> Technique | None:
        """The technique of that id; a problem where there is none."""
        if technique_id is None or technique_id in self.techniques:
            return self.techniques[technique_id] if technique_id is not None else None
        text = f'There is no technique "{technique_id}".'
        self.wrong(place, text + is_meant(technique_id, self.techniques))
        return None

    def _operation(self, task: _Task, set_up: set[str]) -> Operation | None:
        """The operation; None where problems leave no minutes or kind of work."""
        step, style = task.step, task.style
        quantity = self._product(task, step.amount, "amount")
        minutes = self._minutes(task, quantity, set_up)
        work = step.work or (style.work if style else None)
        uses = _together(self._uses(task, quantity))
        if minutes is None:
            return None
        if minutes.high > MOST_MINUTES:
            # beyond this a unit or a zero is wrong, and no plan would be worth waiting for
            hours = f"{minutes.typical / 60:,.0f}".replace(",", " ")
            self.wrong(
                task.place("amount"),
                f"This step would take {hours} hours: is an amount, a unit or a rate wrong?",
            )
            return None
        if work is None:
            text = "Without a technique a step wants its kind of work: write one of "
            self.wrong(task.place("work"), f"{text}{', '.join(Work)}.")
            return None
        return Operation(
            step=task.written,
            ensemble=self.ensemble.id,
            garment=task.garment.id,
            id=f"{self.ensemble.id}/{task.garment.id}/{step.id}",
            name=called(step.name, task.technique.name if task.technique else "", step.id),
            technique=task.technique.id if task.technique else None,
            work=work,
            place=step.place or (style.place if style else Place.WORKROOM),
            hands=step.hands or (style.hands if style else 1),
            one_sitting=_one_sitting(task),
            wait=_wait(task),
            minutes=minutes,
            by_catalogue=minutes,
            quantity=quantity,
            uses=() if step.left_off else uses,
            no_way_back=_no_way_back(task),
            caution=_caution(task),
        )

    def _minutes(self, task: _Task, quantity: Quantity | None, set_up: set[str]) -> Minutes | None:
        """Minutes from hours or from the technique; None where there is a problem."""
        step, technique = task.step, task.technique
        if step.hours is not None:
            return _of_hours(step.hours, step.low, step.high, step.effort)
        if technique is None:
            if step.technique is None:
                text = "A step wants a technique, or `hours` with its kind of `work`."
                self.wrong(task.at, text)
            return None
        if step.amount and quantity is None:
            return None
        factors = tuple(self._factors(task, step.amount))
        try:
            size, seams = measure(technique, factors)
        except ValueError as error:
            self.wrong(task.place("amount"), str(error))
            return None
        first = technique.set_up if technique.id not in set_up else 0
        return _of_rate(technique, size, seams, first, step.effort)

    def _factors(self, task: _Task, amount: Sequence[str | Quantity]) -> Iterator[Quantity]:
        """The factors of an amount, measurements looked up; unknown ones are left out."""
        for factor in amount:
            if isinstance(factor, Quantity):
                yield factor
            elif factor in task.garment.measurements:
                yield task.garment.measurements[factor]

    def _product(self, task: _Task, amount: Sequence[str | Quantity], key: str) -> Quantity | None:
        """The product of an amount; None where it is empty or has a problem."""
        known = task.garment.measurements
        unknown = [name for name in amount if isinstance(name, str) and name not in known]
        for name in unknown:
            text = f'"{name}" is neither a measurement of `{task.garment.id}` nor an amount.'
            self.wrong(task.place(key), text + is_meant(name, known))
        if unknown or not amount:
            return None
        product = amount_of(tuple(self._factors(task, amount)))
        if product is None:
            text = "More than two lengths multiplied are neither a count, a length nor an area."
            self.wrong(task.place(key), text)
        return product

    def _uses(self, task: _Task, own: Quantity | None) -> Iterator[tuple[str, Quantity]]:
        """Stock and how much of it, extra included."""
        for index, use in enumerate(task.step.uses):
            key = f"uses[{index}]"
            place = f"{task.place('uses')}[{index}]"
            if use.stock not in self.stock:
                text = f'There is no stock "{use.stock}" in this ensemble.'
                self.wrong(f"{place}.stock", text + is_meant(use.stock, self.stock))
                continue
            wanted = own
            if use.amount is not None:
                wanted = self._product(task, use.amount, "uses")
            if wanted is None:
                continue
            dimension = self.stock[use.stock]
            if dimension is None:
                # nothing there and nothing coming: the first use says what it is measured in
                dimension = self.stock[use.stock] = wanted.dimension
            if wanted.dimension != dimension:
                text = f"This uses {_DIMENSIONS[wanted.dimension]} of `{use.stock}`, which is kept "
                text += f"by {_DIMENSIONS[dimension]}: give {key} an `amount` of its own."
                self.wrong(place, text)
                continue
            total = replace(wanted, value=wanted.value * (1 + use.extra))
            yield f"{self.ensemble.id}/{use.stock}", total


def _together(uses: Iterable[tuple[str, Quantity]]) -> tuple[tuple[str, Quantity], ...]:
    """Each stock once: a step may take some of it with waste on top and some without."""
    found: dict[str, Quantity] = {}
    for stock, amount in uses:
        before = found.get(stock)
        found[stock] = (
            amount if before is None else replace(amount, value=before.value + amount.value)
        )
    return tuple(found.items())


def _at(garment: Garment, step: Step) -> str:
    """Key path of a step, or its id where it was not read from a file."""
    return step.where or f"{garment.id}/{step.id}"


def _dimension(stock: Stock) -> int | None:
    """What a stock is measured in; a bare 0 with nothing coming says nothing."""
    if stock.have.value or stock.have.dimension != COUNT:
        return stock.have.dimension
    return stock.coming[0].amount.dimension if stock.coming else None


def _one_sitting(task: _Task) -> bool:
    """The way's word, else the step's or the technique's."""
    if task.way is not None and task.way.one_sitting is not None:
        return task.way.one_sitting
    return task.step.one_sitting or bool(task.style and task.style.one_sitting)


def _wait(task: _Task) -> Wait:
    """The way's or the step's wait, else the technique's."""
    if task.step.wait is not None:
        return task.step.wait
    return (task.style.wait if task.style else None) or Wait()


def _no_way_back(task: _Task) -> bool:
    """The way's or the step's word, else the technique's."""
    if task.step.no_way_back is not None:
        return task.step.no_way_back
    return bool(task.style and task.style.no_way_back)


def _caution(task: _Task) -> str:
    """The way's or the step's caution, else the technique's."""
    if task.step.caution is not None:
        return task.step.caution
    return task.style.caution if task.style else ""


def whole_minutes(minutes: float) -> int:
    """Rounded half up to the minute, at least 1."""
    # products of lengths carry noise in their last digits, which must not decide a half
    return max(1, math.floor(round(minutes, 6) + 0.5))


def _of_hours(hours: int, low: int | None, high: int | None, effort: float) -> Minutes:
    """Minutes from the maker's own hours."""
    return Minutes(
        low=whole_minutes(effort * (hours * LOW_SHARE if low is None else low)),
        typical=whole_minutes(effort * hours),
        high=whole_minutes(effort * (hours * HIGH_SHARE if high is None else high)),
    )


def _of_rate(
    technique: Technique, size: float, seams: float, set_up: int, effort: float
) -> Minutes:
    """Minutes of ``size`` units and so many seams at that effort, with a set-up."""
    rate, each = technique.rate, technique.each or Minutes(low=0, typical=0, high=0)
    return Minutes(
        low=whole_minutes(set_up + effort * (rate.low * size + each.low * seams)),
        typical=whole_minutes(set_up + effort * (rate.typical * size + each.typical * seams)),
        high=whole_minutes(set_up + effort * (rate.high * size + each.high * seams)),
    )


def is_done_by_diary(entries: Sequence[Entry]) -> bool:
    """Whether the last entry that says ``done`` or ``left`` says ``done``.

    ``entries`` are the diary's of one step, in the order of the file.
    """
    for entry in reversed(entries):
        if entry.done or entry.left is not None:
            return entry.done
    return False


def minutes_left(operation: Operation, entries: Sequence[Entry]) -> int:
    """Minutes of work that a step still takes.

    ``entries`` are the diary's of this step, in the order of the file. The last ``left`` less
    what was logged since, else the estimate less what was logged; once anything is logged at
    least 5 or, if that is less, the estimate; 0 when done.
    """
    if operation.step.done or is_done_by_diary(entries):
        return 0
    estimate = int(operation.minutes.typical)
    left = estimate
    begun = False
    for entry in entries:
        begun = begun or entry.minutes > 0 or entry.left is not None
        left = left - entry.minutes if entry.left is None else entry.left
    return max(left, min(LEAST_LEFT, estimate)) if begun else estimate
