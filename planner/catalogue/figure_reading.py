"""Figures of an order of construction: read, and their dimensions worked out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from planner.catalogue.conditions import read_conditions, unknown
from planner.catalogue.order import Choice, Figure
from planner.files.checks import Table, quantity_of
from planner.files.findings import shown
from planner.files.steps import read_factors
from planner.materials import RULES, Rule
from planner.quantity import AREA, COUNT, Quantity

Dimensions = dict[str, int | None]
"""What each measurement and figure is: a count, a length or an area; None where that can't be
said for a reason that was noted."""

DIMENSIONS: Final = ("a count", "a length", "an area")
_KINDS: Final = ("product", "rule", "by")


def read_figures(
    table: Table, dimensions: Dimensions, choices: Sequence[Choice], ratios: Iterable[str]
) -> tuple[Figure, ...]:
    """The figures in the file's order; ``dimensions`` of the measurements are added to.

    ``ratios`` are the measurements that are no number of pieces.

    A figure may name only what stands above it, of figures with several definitions the last.
    """
    tables = [(item, item.id()) for item in table.tables("figure")]
    reader = _Reader(tables, dimensions, choices, ratios)
    return tuple(reader.figure(index) for index in range(len(tables)))


class _Reader:
    """Reads the figures in turn and knows what each may name."""

    def __init__(
        self,
        tables: Sequence[tuple[Table, str]],
        dimensions: Dimensions,
        choices: Sequence[Choice],
        ratios: Iterable[str],
    ) -> None:
        self.tables = tables
        self.dimensions = dimensions
        self.choices = {choice.id: choice for choice in choices}
        self.measurements = frozenset(dimensions)
        self.ratios = set(ratios)
        self.last = {id: index for index, (_, id) in enumerate(tables) if id}
        self.always: dict[str, str] = {}

    def figure(self, index: int) -> Figure:
        """The figure at ``index``; what is wrong with it is noted."""
        table, id = self.tables[index]
        self._check_id(table, id)
        names = self.measurements | {f for f, last in self.last.items() if last < index}
        kinds = [kind for kind in _KINDS if table.has(kind)]
        if len(kinds) != 1:
            said = " and ".join(kinds) or "none"
            table.problem("", f"a figure has one of product, rule and by, and this has {said}")
        figure = Figure(
            id=id,
            product=self._product(table, names),
            rule=table.text("rule") or "",
            given=self._given(table, names),
            by=table.text("by") or "",
            values=self._values(table),
            when=read_conditions(table, "when", tuple(self.choices.values())),
        )
        if id:
            figure = self._with_dimension(table, figure)
        if id and not figure.when:
            self.always.setdefault(id, table.where)
        table.close()
        return figure

    def _check_id(self, table: Table, id: str) -> None:
        if id in self.measurements:
            table.problem("id", f"{shown(id)} is a measurement already: give it another id")
        elif id in self.always:
            table.problem(
                "id",
                f"{shown(id)} always counts at {self.always[id]}, so this never does: give that "
                "one a when, or this one another id",
            )

    def _name(self, name: str, names: frozenset[str], where: str, table: Table) -> None:
        """Note a name that may not stand here."""
        if name in names:
            return
        if name in self.last:
            text = f"the figure {shown(name)} is worked out further down: put it above this one"
        else:
            text = unknown(name, names, "measurement or figure")
        table.findings.problem(where, text)

    def _product(self, table: Table, names: frozenset[str]) -> tuple[str | Quantity, ...]:
        factors = read_factors(table, "product", names) or ()
        for index, factor in enumerate(factors):
            if isinstance(factor, str):
                self._name(factor, names, f"{table.at('product')}[{index}]", table)
        if table.has("product") and table.data["product"] == []:
            table.problem("product", "a product of nothing: name what is multiplied")
        return factors

    def _given(self, table: Table, names: frozenset[str]) -> dict[str, str | Quantity]:
        """A rule's arguments: known, complete, and of the right sort."""
        name = table.text("rule")
        inner = table.table("given")
        rule = RULES.get(name or "")
        if name is not None and rule is None:
            table.problem("rule", unknown(name, RULES, "rule"))
        if inner is not None and not table.has("rule"):
            table.problem("given", "what is given is given to a rule: name it, or take this out")
        found: dict[str, str | Quantity] = {}
        for key in inner.data if inner else ():
            assert inner is not None
            value = inner.get(key)
            if isinstance(value, str) and (value in names or value in self.last):
                self._name(value, names, inner.at(key), table)
                found[key] = value
                continue
            try:
                found[key] = quantity_of(value)
            except ValueError as error:
                text = unknown(value, names, "measurement or figure")
                inner.problem(key, text if isinstance(value, str) else str(error))
        if rule is not None:
            self._check_arguments(table, rule, found, inner)
        return found

    def _check_arguments(
        self, table: Table, rule: Rule, found: dict[str, str | Quantity], inner: Table | None
    ) -> None:
        """Arguments the rule doesn't know, wants and isn't given, or wants of another sort."""
        place = inner or table
        for key in inner.data if inner else ():
            if key not in rule.arguments:
                place.problem(key, unknown(key, rule.arguments, f"argument of {rule.name}"))
        for key in rule.needed:
            if inner is None or not inner.has(key):
                sort = DIMENSIONS[rule.arguments[key]]
                table.problem("given", f"{rule.name} wants {key}, {sort}: give it")
        for key, value in found.items():
            wanted = rule.arguments.get(key)
            dimension = self._dimension(value)
            nothing = isinstance(value, Quantity) and value.value == 0
            if wanted is not None and dimension not in (None, wanted) and not nothing:
                text = f"this is {DIMENSIONS[dimension or 0]}: {rule.name} wants "
                place.problem(key, f"{text}{DIMENSIONS[wanted]}")

    def _values(self, table: Table) -> dict[str, Quantity]:
        """A value for each option of the choice; a bare 0 is nothing of any sort."""
        by, inner = table.text("by"), table.table("values")
        choice = self.choices.get(by or "")
        if by is not None and choice is None:
            table.problem("by", unknown(by, self.choices, "choice"))
        if inner is not None and not table.has("by"):
            table.problem("values", "values go by a choice: name it, or take them out")
        if by is not None and not table.has("values"):
            table.problem("values", "values are missing: write one for each option")
        if inner is None or choice is None:
            return {}
        options = [option.id for option in choice.options]
        found = {}
        for key in inner.data:
            value = inner.quantity(key)
            if key not in options:
                inner.problem(key, unknown(key, options, f"option of {by}"))
            elif value is not None:
                found[key] = value
        for option in options:
            if not inner.has(option):
                inner.problem(option, f"{option} has no value: write one, or {option} = 0")
        return found

    def _with_dimension(self, table: Table, figure: Figure) -> Figure:
        """The figure with what it comes to; noted for those below."""
        dimension = self._figure_dimension(table, figure)
        earlier = self.dimensions.setdefault(figure.id, dimension)
        if dimension is None:
            return figure
        if earlier is None:
            self.dimensions[figure.id] = dimension
        elif earlier != dimension and figure.id not in self.measurements:
            text = f"this is {DIMENSIONS[dimension]}, but further up {figure.id} is "
            table.problem("id", f"{text}{DIMENSIONS[earlier]}: give one of them another id")
        whole = self._is_whole(figure)
        if not whole:
            self.ratios.add(figure.id)
        values = {
            option: replace(value, dimension=dimension) for option, value in figure.values.items()
        }
        return replace(figure, dimension=dimension, whole=whole, values=values)

    def _is_whole(self, figure: Figure) -> bool:
        """Whether a count of it is one of pieces."""
        if figure.rule:
            return RULES[figure.rule].whole
        if figure.by:
            return all(value.value.is_integer() for value in figure.values.values())
        return self.ratios.isdisjoint(f for f in figure.product if isinstance(f, str))

    def _figure_dimension(self, table: Table, figure: Figure) -> int | None:
        """What it comes to; None where that can't be said, for a reason that was noted."""
        if sum(map(table.has, _KINDS)) != 1:
            return None
        if figure.rule:
            return RULES[figure.rule].result if figure.rule in RULES else None
        if figure.by:
            return self._one_dimension(table, figure)
        dimensions = [self._dimension(factor) for factor in figure.product]
        if None in dimensions or not dimensions:
            return None
        total = sum(d for d in dimensions if d is not None)
        if total > AREA:
            table.problem(
                "product", "more than two lengths multiplied are neither a length nor an area: "
                "take one out"
            )  # fmt: skip
            return None
        return total

    def _one_dimension(self, table: Table, figure: Figure) -> int | None:
        """The dimension all values have that are not 0."""
        found = {value.dimension for value in figure.values.values() if value.value}
        if len(found) > 1:
            table.problem("values", "these are of different sorts: write all with a unit, or none")
            return None
        return found.pop() if found else COUNT

    def _dimension(self, factor: str | Quantity) -> int | None:
        if isinstance(factor, Quantity):
            return factor.dimension
        return self.dimensions.get(factor)
