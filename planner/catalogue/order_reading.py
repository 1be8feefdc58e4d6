"""Orders of construction, as parsed from TOML, into ``Order`` values.

``ORDERS.md`` beside this module is the reference. Every value is read and every name looked up
even after something was found wrong, so that one reading tells all problems of a file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from planner.catalogue.common import COMMON, USUAL_WORKS
from planner.catalogue.conditions import ROLES, known_words, one_of, read_conditions, unknown
from planner.catalogue.figure_reading import Dimensions, read_figures
from planner.catalogue.order import (
    Choice,
    Material,
    Measurement,
    Option,
    Order,
    OrderStep,
    Over,
)
from planner.catalogue.order_checks import check_order, check_steps
from planner.durations import parse_days
from planner.files.checks import Table, check_format, doubled, id_problem
from planner.files.findings import Findings, shown
from planner.files.steps import read_effort, read_step
from planner.model import STAGES, OccasionKind, Per, Source, Technique, Warned, Work
from planner.problems import Problem
from planner.quantity import AREA, COUNT, LENGTH, Quantity, parse_quantity

_DIMENSION: Final = {Per.COUNT: COUNT, Per.LENGTH: LENGTH, Per.AREA: AREA}
_TABLE: Final = re.compile(r"([a-z]+)(?:\[(\d+)\])?")
_LONGEST_LEAD: Final = 366
_AT: Final = (OccasionKind.FITTING.value, OccasionKind.TRIAL_WEAR.value)
_NOT_HERE: Final = {
    "during": 'an order knows no occasions: write at = "fitting"',
    "on": "an order knows no dates: take it out",
    "not_before": "an order knows no dates: take it out",
    "left_off": "make it optional, or give it a when",
    "done": "an order has nothing done: take it out",
}
"""Keys of a garment's step that mean nothing in an order, and what to do instead."""


def parse_order(
    document: Mapping[str, object],
    file: str,
    stem: str,
    techniques: Mapping[str, Technique],
    *,
    tried: bool = True,
) -> tuple[Order | None, list[Problem], list[Warned]]:
    """The order of construction of a parsed TOML document.

    ``file`` is its path as to be shown, ``stem`` the file's name without ``.toml``, the order's
    id. ``techniques`` are all that its steps may name. The order is None exactly where there
    are problems. Not ``tried``, what steps name isn't looked up and no trial split is made:
    that takes as long as the reading, and is for orders that were tried before.
    """
    findings = Findings(file)
    table = Table(findings, "", dict(document))
    check_format(table)
    wrong = id_problem(stem)
    if wrong:
        table.problem("", f"the file's name is the order's id, and {wrong}")
    order = _order(table, stem, techniques, tried=tried)
    table.close()
    if tried and not findings.problems:
        check_order(findings, order, techniques)
    _sort(findings, document)
    return None if findings.problems else order, findings.problems, findings.warnings


def _order(table: Table, stem: str, techniques: Mapping[str, Technique], *, tried: bool) -> Order:
    """The order with all that could be read; what is wrong is in the findings."""
    name = _needed_text(table, "name", 'what lists call it, name = "petticoat"')
    layer, sources = _layer(table), _sources(table)
    roles = frozenset((*(table.words("roles") or ()), stem))
    group, source = table.text("group") or "", table.text("source") or ""
    pack = table.words("pack") or ()
    choices = _choices(table)
    measurements = _measurements(table, choices)
    dimensions = _dimensions(table.findings, measurements)
    ratios = [m.id for m in measurements if not _is_whole(m.default)]
    figures = read_figures(table, dimensions, choices, ratios)
    materials = _materials(table)
    steps = _steps(table, frozenset(dimensions), choices, techniques)
    if tried:
        check_steps(steps, stem, dimensions, materials, techniques)
    return Order(
        id=stem,
        name=name or stem,
        group=group,
        layer=layer,
        roles=roles,
        sources=sources,
        source=source,
        measurements=measurements,
        choices=choices,
        figures=figures,
        materials=materials,
        steps=tuple(step for _, step in steps),
        pack=pack,
        file=table.findings.file,
    )


def _dimensions(findings: Findings, measurements: tuple[Measurement, ...]) -> Dimensions:
    """What each measurement is; None of one whose default was found wrong."""
    wrong = {problem.place for problem in findings.problems}
    return {
        m.id: None if f"measurement[{index}].default" in wrong else m.default.dimension
        for index, m in enumerate(measurements)
        if m.id
    }


def _sort(findings: Findings, document: Mapping[str, object]) -> None:
    """Bring the problems into the order of the file: choices are read before measurements."""
    order = {key: index for index, key in enumerate(document)}

    def position(problem: Problem) -> tuple[int, int]:
        found = _TABLE.match(problem.place)
        return (order.get(found[1], -1), int(found[2] or 0)) if found else (-1, 0)

    findings.problems.sort(key=position)


def _is_whole(quantity: Quantity) -> bool:
    """Whether it counts pieces, going by its usual value: 2.5 is a fullness or a share."""
    return quantity.dimension != COUNT or quantity.value.is_integer()


def _needed_text(table: Table, key: str, example: str) -> str:
    """A text that must be there and say something; "" after a problem."""
    value = table.text(key)
    if not table.has(key):
        table.problem(key, f"{key} is missing: write {example}")
    elif value is not None and not value.strip():
        table.problem(key, f"{key} is empty: write {example}")
    return value or ""


def _layer(table: Table) -> int:
    layer = table.whole("layer", -999, 999)
    if not table.has("layer"):
        table.problem("layer", "layer is missing: write its place in the dressing order, layer = 4")
    return layer or 0


def _sources(table: Table) -> tuple[Source, ...]:
    """Where such a garment can come from, the usual first; all five unless said."""
    if not table.has("sources"):
        return tuple(Source)
    words = known_words(table, "sources", [source.value for source in Source], "source")
    if table.data["sources"] == []:
        table.problem("sources", 'this is empty: write where it can come from, ["make", "buy"]')
    return tuple(dict.fromkeys(Source(word) for word in words))


def _name_problem(id: str) -> str | None:
    """What is wrong with an id that stands in amounts and in ``name=value``, or None."""
    if any(mark.isspace() or mark in "=\"'" for mark in id):
        return f'{shown(id)} has a space, "=" or a quotation mark: write "-" instead'
    if id == "source":
        return '"source" asks where the garment comes from: give this another id'
    try:
        parse_quantity(id)
    except ValueError:
        return None
    return f"{shown(id)} reads as an amount: use a word"


def _id(table: Table) -> str:
    """An id that can stand in amounts; "" after a problem."""
    id = table.id()
    wrong = _name_problem(id) if id else None
    if wrong:
        table.problem("id", wrong)
        return ""
    return id


def _measurements(table: Table, choices: tuple[Choice, ...]) -> tuple[Measurement, ...]:
    found = [(item, _id(item)) for item in table.tables("measurement")]
    doubled(found, "measurement")
    for item, id in found:
        if id and any(choice.id == id for choice in choices):
            item.problem("id", f"{shown(id)} is the id of a choice already: give it another")
    return tuple(_measurement(item, id, choices) for item, id in found)


def _measurement(table: Table, id: str, choices: tuple[Choice, ...]) -> Measurement:
    default = table.quantity("default")
    if not table.has("default"):
        table.problem("default", 'default is missing: write a usual value, default = "3.2 m"')
    elif default is not None and default.dimension not in (COUNT, LENGTH):
        table.problem("default", "this is an area: ask for a length or a count")
    usual = default or Quantity(value=1.0)
    least, most = _bound(table, "least", usual, 0.2), _bound(table, "most", usual, 5.0)
    if default is not None and usual.value == 0 and not table.has("most"):
        table.problem("most", "5 times a default of 0 is 0: write the most that can be meant")
    elif usual.dimension == least.dimension == most.dimension:
        if least.value > usual.value:
            table.problem("least", "least is more than default: make it less")
        if most.value < usual.value:
            table.problem("most", "most is less than default: make it more")
    asked = table.flag("asked")
    measurement = Measurement(
        id=id,
        ask=_needed_text(table, "ask", 'its label, ask = "Hem, all the way round"'),
        how=_needed_text(table, "how", "a sentence how to take it"),
        default=usual,
        least=least,
        most=most,
        asked=True if asked is None else asked,
        when=read_conditions(table, "when", choices),
    )
    table.close()
    return measurement


def _bound(table: Table, key: str, usual: Quantity, share: float) -> Quantity:
    """``least`` or ``most``; a share of the usual value where not given."""
    found = table.quantity(key)
    if found is None:
        return Quantity(value=round(usual.value * share, 3), dimension=usual.dimension)
    if found.value == 0:
        return Quantity(value=0.0, dimension=usual.dimension)
    if found.dimension != usual.dimension:
        wanted = "a length with its unit" if usual.dimension == LENGTH else "a bare number"
        table.problem(key, f"default is another sort of amount: write {wanted}")
    return found


def _choices(table: Table) -> tuple[Choice, ...]:
    """The order's own choices, then the common ones that it doesn't replace."""
    found = [(item, _id(item)) for item in table.tables("choice")]
    doubled(found, "choice")
    choices: list[Choice] = []
    for item, id in found:
        if id == ROLES:
            item.problem("id", f'"{id}" stands for the roles in `when`: give this another id')
        choices.append(_choice(item, id, tuple(choices)))
    own = {choice.id for choice in choices}
    return (*choices, *(choice for choice in COMMON if choice.id not in own))


def _choice(table: Table, id: str, above: tuple[Choice, ...]) -> Choice:
    tables = [(item, item.id()) for item in table.tables("options")]
    doubled(tables, "option")
    options = tuple(_option(item, option_id) for item, option_id in tables)
    if not options:
        table.problem(
            "options", 'options are missing: write a table each, options = [{ id = "hand" }]'
        )
    ids = [option.id for option in options]
    default = table.text("default")
    if default is not None and ids and default not in ids:
        table.problem("default", unknown(default, ids, "option"))
    asked = table.flag("asked")
    choice = Choice(
        id=id,
        ask=_needed_text(table, "ask", 'its label, ask = "Sewn"'),
        options=options,
        default=default if default in ids else (ids[0] if ids else ""),
        how=table.text("how") or "",
        works=_works(table) or USUAL_WORKS,
        asked=True if asked is None else asked,
        when=read_conditions(table, "when", above),
    )
    table.close()
    return choice


def _option(table: Table, id: str) -> Option:
    option = Option(
        id=id, name=table.text("name") or id, effort=read_effort(table), works=_works(table)
    )
    table.close()
    return option


def _works(table: Table) -> frozenset[str]:
    """Kinds of work; empty where none are given."""
    return frozenset(known_words(table, "works", [work.value for work in Work], "kind of work"))


def _materials(table: Table) -> tuple[Material, ...]:
    found = [(item, item.id()) for item in table.tables("stock")]
    doubled(found, "stock")
    return tuple(_material(item, id) for item, id in found)


def _material(table: Table, id: str) -> Material:
    per = table.choice("per", Per) or Per.LENGTH
    lead = table.parsed("lead", parse_days, '"10 days"')
    if lead is not None and lead > _LONGEST_LEAD:
        table.problem("lead", "a lead of more than a year can't be planned: shorten it")
    material = Material(
        id=id,
        name=table.text("name") or id,
        dimension=_DIMENSION[per],
        shared=table.flag("shared") or False,
        lead=lead,
    )
    table.close()
    return material


def _steps(
    table: Table,
    names: frozenset[str],
    choices: tuple[Choice, ...],
    techniques: Mapping[str, Technique],
) -> list[tuple[Table, OrderStep]]:
    """The steps with their tables, which later checks need for places."""
    found = [(item, item.id()) for item in table.tables("step")]
    doubled(found, "step")
    return [(item, _step(item, id, names, choices, techniques)) for item, id in found]


def _step(
    table: Table,
    id: str,
    names: frozenset[str],
    choices: tuple[Choice, ...],
    techniques: Mapping[str, Technique],
) -> OrderStep:
    for key, remedy in _NOT_HERE.items():
        if table.has(key):
            table.problem(key, f"{key} belongs to a garment's step: {remedy}")
    step = read_step(table, id, names)
    technique = techniques.get(step.technique or "")
    found = OrderStep(
        step=step,
        when=read_conditions(table, "when", choices),
        unless=read_conditions(table, "unless", choices),
        at=_at(table),
        over=tuple(_over(item) for item in table.tables("over")),
        spared=frozenset(known_words(table, "spared", [choice.id for choice in choices], "choice")),
        work=step.work or (technique.work if technique else None),
    )
    table.close()
    return found


def _at(table: Table) -> OccasionKind | None:
    word = table.text("at")
    if word is None or word in _AT:
        return None if word is None else OccasionKind(word)
    table.problem("at", unknown(word, _AT, "occasion for steps"))
    return None


def _over(table: Table) -> Over:
    roles = table.words("roles") or ()
    if not roles and not isinstance(table.data.get("roles"), list | str):
        table.problem("roles", 'roles are missing: write what it waits for, roles = ["stays"]')
    elif not roles:
        table.problem("roles", 'this is empty: write what it waits for, roles = ["stays"]')
    stage = table.word("stage", STAGES)
    if not table.has("stage"):
        table.problem("stage", f"stage is missing: write {one_of(STAGES)}")
    over = Over(roles=roles, stage=stage or STAGES[-1], why=table.text("why") or "")
    table.close()
    return over
