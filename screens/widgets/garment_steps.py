"""What is under the cursor of the garments, opened: steps of a garment, what an occasion holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.catalogue import techniques_with
from planner.estimate import Operation
from planner.model import Garment, Project
from planner.plan import Plan, PlannedOccasion, PlannedStep
from screens.doable_told import PLACES
from screens.dressing import (
    amount_told,
    garment_heading,
    garment_rows,
    nothing_to_do,
    occasion_facts,
    occasion_heading,
    operations_of,
    quantity_told,
    step_facts,
    step_state,
)
from screens.forms import lookups
from screens.stages_shown import reaching
from screens.why import cautions, reason_sentences
from screens.widgets.garment_list import ENSEMBLE, GARMENT, OCCASION, PACK
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import OpeningLines
from screens.wording import cells, clean, column, garment_of, padded, wrapped

WIDE_ENOUGH = 74
"""Columns from which on amount, place and stage have columns of their own."""
STATE = 10
HEAD = 11
"""Columns before a step's name: mark, letter, hours."""


class GarmentSteps(OpeningLines):
    """Steps; each opens to all that is known of it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="steps.enter",
            tooltip="Open or close all that is known of this step",
        ),
        Binding(
            "escape",
            "close",
            "back",
            show=False,
            key_display="esc",
            id="steps.escape",
            tooltip="Close what is open, then go back to the garments",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.project: Project | None = None
        self.plan: Plan | None = None
        self.subject: tuple[str, str] = ("", "")
        self.open: str | None = None
        """The step that is open, by full id."""
        self.reaching: frozenset[str] = frozenset()
        """The steps with which a stage is reached."""
        self.ops: Mapping[str, Operation] = {}
        """Also of what is left off, which the plan knows little of."""

    def show(self, project: Project, plan: Plan, subject: tuple[str, str]) -> None:
        """Show a garment or an occasion; an open step stays open where it is."""
        if project is not self.project:
            self.ops = operations_of(project)
        if plan is not self.plan:
            self.reaching = reaching(plan)
        if subject != self.subject:
            self.open, self.cursor = None, None
            self.scroll_to(y=0, animate=False)
        self.project, self.plan, self.subject = project, plan, subject
        self.renew()

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A heading, what there is to say, then steps."""
        project, plan = self.project, self.plan
        if project is None or plan is None:
            return ()
        kind, ident = self.subject
        if kind == GARMENT and lookups.has_garment(project, ident):
            return self._garment(project, plan, ident, width)
        if kind == OCCASION:
            found = next((one for one in plan.occasions if one.id == ident), None)
            return self._occasion(plan, found, width) if found is not None else ()
        if kind in (PACK, ENSEMBLE):
            return self._ensemble(project, plan, ident, width)
        return ()

    def _garment(self, project: Project, plan: Plan, ident: str, width: int) -> list[Line]:
        ensemble = lookups.ensemble_of(project, ident.split("/")[0])
        row = next(one for one in garment_rows(plan, ensemble) if one.id == ident)
        garment = lookups.garment_of(project, ident)
        found = _told([garment_heading(row)], width, "strong")
        if not row.steps:
            return found + _told([nothing_to_do(garment)], width, "faint")
        columns = self._columns(row.steps, width)
        for step in row.steps:
            found += self._step(plan, step, garment, columns, width)
        return found

    def _occasion(self, plan: Plan, occasion: PlannedOccasion, width: int) -> list[Line]:
        found = _told([occasion_heading(plan, occasion)], width, "strong")
        found += _told(occasion_facts(plan, occasion), width, "faint")
        by_id = {step.id: step for step in plan.steps}
        for heading, idents in (
            ("Done at it:", occasion.during),
            ("To finish before it:", occasion.wants),
        ):
            steps = [by_id[ident] for ident in idents if ident in by_id]
            if steps:
                found.append(plain(f" {heading}", "strong"))
            columns = self._columns(steps, width)
            for step in steps:
                found += self._step(plan, step, None, columns, width)
        return found

    def _ensemble(self, project: Project, plan: Plan, ident: str, width: int) -> list[Line]:
        ensemble = lookups.ensemble_of(project, ident)
        found = _told([clean(ensemble.name) or clean(ensemble.id)], width, "strong")
        things = [clean(one) for one in ensemble.pack]
        if not things:
            told = "Nothing is listed yet that must be there and isn't a garment: e lists it."
            return found + _told([told], width, "faint")
        found += [plain(" Must be there too:")]
        return found + [plain(f"   {one}", "faint") for one in things]

    # steps

    def _columns(self, steps: Sequence[PlannedStep], width: int) -> tuple[int, int, int]:
        """Columns for amounts, places and stages; none where there is little room."""
        if width < WIDE_ENOUGH:
            return 0, 0, 0
        return (
            max((cells(self._amount(step)) for step in steps), default=0),
            max((len(self._place(step)) for step in steps), default=0),
            max((len(step.stage or "") for step in steps), default=0),
        )

    def _amount(self, step: PlannedStep) -> str:
        assert self.plan is not None
        return amount_told(self.ops.get(step.id), self.plan.units)

    def _place(self, step: PlannedStep) -> str:
        op = self.ops.get(step.id)
        return PLACES[op.place if op is not None else step.place]

    def _step_name(self, step: PlannedStep) -> str:
        assert self.project is not None
        op = self.ops.get(step.id)
        return clean(op.name) if op is not None else lookups.name_of(self.project, step.id)

    def _step(
        self,
        plan: Plan,
        step: PlannedStep,
        garment: Garment | None,
        columns: tuple[int, int, int],
        width: int,
    ) -> list[Line]:
        """One step by its whole name; opened, with all that is known of it."""
        name = self._step_name(step)
        if garment is None:
            name = f"{name} ({garment_of(plan, step.id)})"
        elif width < WIDE_ENOUGH and (stage := self._stage(step)):
            name = f"{name}, {stage}"
        tail = self._tail(step, columns)
        room = max(8, width - HEAD - cells(tail) - STATE - 2)
        first, *rest = wrapped([name], room)
        gone = step.done or step.left_off
        op = self.ops.get(step.id)
        letter = (op.work if op is not None else step.work).letter
        minutes = round(op.minutes.typical) if op is not None else step.minutes
        here = CURSOR if step.id == self.cursor and self.has_focus else " "
        line = Line(
            runs=(
                Run(text=here, style="accent"),
                Run(text=letter, style="faint" if gone else letter),
                Run(text=f"  {column(minutes):>5}  ", style="faint"),
                Run(text=padded(first, room), style="faint" if gone else ""),
                Run(text=tail, style="faint"),
            ),
            right=Run(text=f"{step_state(plan, step):<{STATE}}", style=_style(step)),
            key=step.id,
        )
        style = "faint" if gone else ""
        more = [
            Line(runs=(Run(text=f"{'':{HEAD}}{text}", style=style),), click=step.id)
            for text in rest
        ]
        return [line, *more, *(self._known(plan, step, width) if self.open == step.id else ())]

    def _tail(self, step: PlannedStep, columns: tuple[int, int, int]) -> str:
        """Amount, place and stage in their columns."""
        amount, place, stage = columns
        tail = f"  {self._amount(step):>{amount}}" if amount else ""
        tail += f"  {self._place(step):<{place}}" if place else ""
        return tail + (f"  {self._stage(step):<{stage}}" if stage else "")

    def _stage(self, step: PlannedStep) -> str:
        """The stage that is reached with it: a stage that several carry stands at the last."""
        return step.stage or "" if step.id in self.reaching or step.left_off else ""

    def _known(self, plan: Plan, step: PlannedStep, width: int) -> list[Line]:
        """What hurts or burns, all facts, the reason; each once."""
        assert self.project is not None
        op = self.ops.get(step.id)
        shelf = techniques_with(self.project.techniques)
        technique = shelf.get(op.technique or "") if op is not None else None
        facts = step_facts(
            plan, step, op, clean(technique.name) if technique else "", self._uses(op)
        )
        found = []
        for style, sentences in (
            ("accent", cautions(step)),
            ("faint", facts),
            ("", reason_sentences(plan, step)),
        ):
            for text in wrapped(sentences, max(20, width - 9)) if sentences else ():
                found.append(Line(runs=(Run(text=f"{'':8}{text}", style=style),), click=step.id))
        return found

    def _uses(self, op: Operation | None) -> list[str]:
        """What it takes of the stock: "3.4 m of flat brass braid"."""
        assert self.project is not None and self.plan is not None
        found = []
        for ident, quantity in op.uses if op is not None else ():
            stock = lookups.stock_of(self.project, ident)
            name = clean(stock.name) if stock is not None else ""
            told = quantity_told(quantity, self.plan.units)
            found.append(f"{told} of {name or ident.rpartition('/')[2]}")
        return found

    # keys

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """Open the step, or close it."""
        event.stop()
        self.open = None if self.open == event.key else event.key
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def action_close(self) -> None:
        """Close the step, or leave."""
        if self.open is not None:
            self.open = None
            self.renew()
        else:
            self.screen.focus_previous()


def _style(step: PlannedStep) -> str:
    """A step without a day that is wanted stands out."""
    planned = step.done or step.left_off or step.first_day or step.during
    return "accent" if step.wanted and not planned else "faint"


def _told(sentences: Sequence[str], width: int, style: str) -> list[Line]:
    return [plain(f" {line}", style) for line in wrapped(sentences, max(20, width - 2))]
