"""Checks of an order's steps: that what they name is there, suits, and makes no circle.

Amounts are checked by their dimensions alone, so that no combination of choices is missed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from planner.amounts import amount_of, measure
from planner.catalogue.conditions import all_hold, unknown
from planner.catalogue.figure_reading import DIMENSIONS, Dimensions
from planner.catalogue.order import Choice, Material, Measurement, Order, OrderStep
from planner.files.checks import Table
from planner.files.findings import Findings, shown
from planner.model import Step, Technique, Use, Way
from planner.problems import InputError
from planner.quantity import Quantity
from planner.ways import names, with_way

MOST_ASKED = 8
"""Questions asked at once at the most."""
_TRIED = 4096
"""Combinations of choices looked at before counting questions is given up."""

Steps = Sequence[tuple[Table, OrderStep]]


def check_steps(
    steps: Steps,
    stem: str,
    dimensions: Dimensions,
    materials: Iterable[Material],
    techniques: Mapping[str, Technique],
) -> None:
    """Note every name that means nothing, amount that doesn't suit, and circle.

    ``dimensions`` are those of measurements and figures; ``stem`` is the order's id.
    """
    ids = [part.step.id for _, part in steps]
    stock = {material.id: material.dimension for material in materials}
    for table, part in steps:
        if part.step.id and part.step.id == stem:
            table.problem("id", "a step can't be called as its garment is: give it another id")
        for index, name in enumerate(part.step.after):
            if name not in ids:
                _note_after(table, index, name, ids)
        _Checked(table, part.step, None, "", dimensions, stock, techniques).check()
        for index, way in enumerate(part.step.instead):
            place = f"instead[{index}]"
            over = with_way(part.step, way)
            _Checked(table, over, way, place, dimensions, stock, techniques).check()
    _check_circle(steps)


def _note_after(table: Table, index: int, name: str, ids: Sequence[str]) -> None:
    text = unknown(name, [id for id in ids if id], "step")
    if ":" in name or "/" in name:
        text = f"{shown(name)} is another garment's: `after` names steps of this order, "
        text += 'over = [{ roles = ["stays"], stage = "fittable" }] waits for others'
    table.findings.problem(f"{table.at('after')}[{index}]", text)


@dataclass(frozen=True, slots=True)
class _Checked:
    """A step, or the step with a way over it, and what its names may mean."""

    table: Table
    step: Step
    way: Way | None
    place: str
    """Of the way, below the step's table; empty for the step itself."""
    dimensions: Dimensions
    stock: Mapping[str, int]
    techniques: Mapping[str, Technique]

    def check(self) -> None:
        """Note all that is wrong here and was not noted at the step itself."""
        technique = self._technique()
        self._check_names("amount", self.step.amount)
        factors = self._factors(self.step.amount)
        new = self.way is None or any(map(self._says, ("technique", "amount", "hours")))
        if new and technique is not None and self.step.hours is None and factors is not None:
            try:
                measure(technique, factors)
            except ValueError as error:
                self._problem("amount" if self._says("amount") else "technique", str(error))
        for index, use in enumerate(self.step.uses):
            self._check_use(index, use, factors)

    def _says(self, key: str) -> bool:
        """Whether the key stands here, and not only in the step below a way."""
        if self.way is None:
            return self.table.has(key)
        return names(self.way, key)

    def _problem(self, key: str, text: str) -> None:
        where = self.table.where
        if self.way is not None and self._says(key.partition("[")[0]):
            where = f"{where}.{self.place}"
        problem = f"{where}.{key}"
        if not any(p.place == problem for p in self.table.findings.problems):
            self.table.findings.problem(problem, text)

    def _technique(self) -> Technique | None:
        step = self.step
        if step.technique is not None and step.technique not in self.techniques:
            if self._says("technique"):
                self._problem("technique", unknown(step.technique, self.techniques, "technique"))
            return None
        if step.technique is None and step.hours is None and not self.table.has("technique"):
            self._problem("technique", "a step wants a technique, or hours and its kind of work")
        elif step.technique is None and step.hours is not None and step.work is None:
            self._problem("work", 'hours alone say no kind of work: write one, work = "hand"')
        return self.techniques[step.technique] if step.technique is not None else None

    def _check_names(self, key: str, amount: Iterable[str | Quantity]) -> None:
        """Note factors that are neither measurements nor figures."""
        for index, factor in enumerate(amount):
            if isinstance(factor, str) and factor not in self.dimensions:
                text = unknown(factor, self.dimensions, "measurement or figure")
                self._problem(f"{key}[{index}]", text)

    def _factors(self, amount: Iterable[str | Quantity]) -> tuple[Quantity, ...] | None:
        """The amount with 1 for every name; None where a name means nothing that is known."""
        found = []
        for factor in amount:
            if isinstance(factor, Quantity):
                found.append(factor)
                continue
            dimension = self.dimensions.get(factor)
            if dimension is None:
                return None
            found.append(Quantity(value=1.0, dimension=dimension))
        return tuple(found)

    def _check_use(self, index: int, use: Use, own: tuple[Quantity, ...] | None) -> None:
        key = f"uses[{index}]"
        if use.stock not in self.stock:
            if use.stock:
                self._problem(f"{key}.stock", unknown(use.stock, self.stock, "stock"))
            return
        if use.amount is None and not self.step.amount:
            self._problem(key, "neither this nor its step has an amount: write how much it takes")
            return
        if use.amount is not None:
            self._check_names(f"{key}.amount", use.amount)
            own = self._factors(use.amount)
        if own is None:
            return
        product = amount_of(own)
        wanted = self.stock[use.stock]
        if product is None or product.dimension != wanted:
            what = DIMENSIONS[product.dimension] if product else "more than an area"
            text = f"this uses {what} of {use.stock}, which is kept by {DIMENSIONS[wanted]}: "
            self._problem(key, text + "write an amount that is one, or change its per")


def _check_circle(steps: Steps) -> None:
    """Note the first circle among the steps, whichever of them are there."""
    tables = {part.step.id: table for table, part in steps}
    after = {part.step.id: part.step.after for _, part in steps}
    left = dict(after)
    while left:
        free = [id for id, before in left.items() if not any(b in left for b in before)]
        if not free:
            circle = _round(left)
            text = "these steps wait for each other in a circle: "
            text += " after ".join(circle) + ". Take one of them out of an `after`"
            tables[circle[0]].problem("after", text)
            return
        for id in free:
            del left[id]


def _round(after: Mapping[str, Sequence[str]]) -> list[str]:
    """A circle among steps each of which follows one of them; the first again at the end."""
    path = [next(iter(after))]
    while path[-1] not in path[:-1]:
        path.append(next(before for before in after[path[-1]] if before in after))
    return path[path.index(path[-1]) :]


def check_order(findings: Findings, order: Order, techniques: Mapping[str, Technique]) -> None:
    """What can be said only of the order as a whole: questions, stages, and a trial split."""
    from planner.splitting.split import trial  # splitting rests on this package

    asked = most_asked(order)
    if asked > MOST_ASKED:
        findings.problem(
            "", f"{asked} questions are asked at once, at most {MOST_ASKED} are: write "
            "asked = false where the default mostly does"
        )  # fmt: skip
    if order.steps and not any(part.step.stage == "wearable" for part in order.steps):
        findings.warn("step", 'no step says stage = "wearable": all required ones count instead')
    try:
        trial(order, techniques)
    except InputError as error:
        findings.problems += error.problems


def most_asked(order: Order) -> int:
    """The most questions asked at once, whichever options are chosen."""
    everything: list[Measurement | Choice] = [*order.measurements, *order.choices]
    questions = [q for q in everything if q.asked]
    unconditional = sum(not q.when for q in questions)
    conditional = [q for q in questions if q.when]
    deciding = [c for c in order.choices if any(c.id in q.when for q in everything)]
    size = 1
    for choice in deciding:
        size *= len(choice.options)
    if not conditional or size > _TRIED:
        return unconditional + len(conditional)
    return unconditional + max(
        sum(all_hold(q.when, chosen, order.roles) for q in conditional)
        for chosen in _combinations(deciding, order.roles)
    )


def _combinations(choices: Sequence[Choice], roles: frozenset[str]) -> Iterable[dict[str, str]]:
    """Every way to choose, without the choices that don't apply."""
    for options in product(*(choice.options for choice in choices)):
        chosen: dict[str, str] = {}
        for choice, option in zip(choices, options, strict=True):
            if all_hold(choice.when, chosen, roles):
                chosen[choice.id] = option.id
        yield chosen
