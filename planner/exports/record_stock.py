"""Cloth, trim and notions of a record: what the steps wanted and what was really used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from planner.estimate import Operation
from planner.exports.account import stock_account
from planner.model import Ensemble, Project
from planner.naming import called
from planner.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One stock."""

    id: str
    """Full id."""
    name: str
    dimension: int
    """COUNT, LENGTH or AREA, as of a ``Quantity``; amounts are metres, square metres or pieces."""
    wanted: float
    """By all steps that weren't left off, waste included."""
    used: float
    """By the steps that are done: what the diary says was taken, else what they wanted."""
    counted: bool
    """Whether the diary says of all of ``used`` what was really taken."""
    to_come: float
    """Wanted by the steps that aren't done."""
    there: float
    """Left of it now."""
    on: date | None
    """The day on which it was counted last; None where it never was."""
    again: bool


def materials_of(
    project: Project, plan: Plan, ensemble: Ensemble, ops: Mapping[str, Operation]
) -> tuple[Material, ...]:
    """The stock of an ensemble, in the order of its file, also what no step wants."""
    lines = {line.id: line for line in stock_account(project, plan)}
    open_steps = {step.id for step in plan.steps if not step.done and not step.left_off}
    found = []
    for stock in ensemble.stock:
        full = f"{ensemble.id}/{stock.id}"
        wanted = {op.id: q.value for op in ops.values() for name, q in op.uses if name == full}
        taken = _taken(project, full, lines[full].dimension)
        finished = {ident: n for ident, n in wanted.items() if ident not in open_steps}
        done = {ident: taken.get(ident, n) for ident, n in finished.items()}
        others = {ident: n for ident, n in taken.items() if ident not in done}
        found.append(
            Material(
                id=full,
                name=called(stock.name, stock.id),
                dimension=lines[full].dimension,
                wanted=sum(wanted.values()),
                used=sum(done.values()) + sum(others.values()),
                counted=bool(done or others) and all(ident in taken for ident in done),
                to_come=sum(
                    max(0.0, n - taken.get(ident, 0.0))
                    for ident, n in wanted.items()
                    if ident in open_steps
                ),
                there=lines[full].there,
                on=stock.counted,
                again=stock.again,
            )
        )
    return tuple(found)


def _taken(project: Project, stock: str, dimension: int) -> dict[str, float]:
    """By step, what the diary says was taken of a stock; measured otherwise it is passed over."""
    ensemble, _, own = stock.partition("/")
    found: dict[str, float] = {}
    for entry in project.diary.entries:
        if entry.step.split("/")[0] != ensemble:
            continue
        for one in entry.used:
            if one.stock == own and one.amount.dimension == dimension:
                found[entry.step] = found.get(entry.step, 0.0) + one.amount.value
    return found
