"""The form of a garment's measurements and choices: it is split again with what is answered."""

from __future__ import annotations

from collections.abc import Sequence

from planner.catalogue import techniques_with
from planner.catalogue.order import Order
from planner.estimate import operations
from planner.model import Work
from planner.plan import Plan
from planner.problems import InputError
from planner.splitting.answers import Answers
from planner.splitting.split import Split, alone, hours, split
from screens.dressing import quantity_told
from screens.forms import lookups
from screens.forms.answers import ANSWER, answer_fields, answers_from
from screens.forms.checked import GONE
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.splits import answered, order_of, with_answers
from screens.state import State
from screens.widgets.lines import Line, Run, plain
from screens.wording import clean, column, count, fitted, name_of, spoken, wrapped


class MeasureQuestions(Questions):
    """The questions of the order of construction a garment was split from."""

    def __init__(self, state: State, garment: str) -> None:
        """``garment`` is a full id, of a garment whose kind has an order."""
        super().__init__(state)
        self.garment_id = garment
        there = lookups.garment_of(state.project, garment)
        found = order_of(state.project, there)
        assert found is not None
        self.order: Order = found
        self.started: Answers = answered(state.project, there)
        self.units = state.project.workroom.units
        self.split: Split | None = None
        usual = split(found, self.started).garment.steps
        self.as_split = {step.id for step in usual} == {step.id for step in there.steps}
        """Whether its steps are those of the order: then they are known at once."""
        self.title = f"{clean(there.name) or there.id}: measurements and choices"

    def renew(self, state: State) -> None:
        """The files were read again; without its order the fields stay as they were."""
        super().renew(state)
        if lookups.has_garment(state.project, self.garment_id):
            there = lookups.garment_of(state.project, self.garment_id)
            if order_of(state.project, there) is not None:
                self.started = answered(state.project, there)

    def fields(self, texts: Texts) -> Sequence[Field]:
        """What the order asks for the choices typed."""
        return answer_fields(self.order, self.started, texts, self.units)

    def read(self, texts: Texts) -> Reading:
        """The garment split again."""
        if not lookups.has_garment(self.state.project, self.garment_id):
            return Reading(wrong=(Wrong(key="", text=GONE),))
        answers, wrong = answers_from(self.order, self.started, texts, self.units)
        if wrong:
            return Reading(wrong=wrong)
        try:
            self.split = split(self.order, answers)
        except InputError as error:
            told = tuple(Wrong(key=f"{ANSWER}{one.place}", text=one.text) for one in error.problems)
            return Reading(wrong=told)
        name = clean(lookups.garment_of(self.state.project, self.garment_id).name)
        return Reading(
            label=f"{name or self.garment_id.rpartition('/')[2]} measured anew",
            change=with_answers(self.garment_id, answers, self.state.now),
            told=hours_told(self.split, self.state) if self.as_split else "",
            cursor=self.garment_id,
        )

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """What it takes, and its steps as they would become."""
        if self.split is None:
            return ()
        if self.as_split:
            return split_lines(self.split, self.state, width)
        return self._planned(plan or self.state.plan, width)

    def _planned(self, plan: Plan, width: int) -> list[Line]:
        """Its steps by a plan: of a garment that its maker changed much in."""
        steps = [
            step
            for step in plan.steps
            if step.id.startswith(f"{self.garment_id}/") and not step.left_off
        ]
        total = spoken(sum(step.minutes for step in steps))
        return [
            plain(f" {total} in all, with what you changed by hand", "faint"),
            *(
                _step_line(step.work, step.minutes, name_of(plan, step.id), step.stage, width)
                for step in steps
            ),
        ]


def hours_told(found: Split, state: State) -> str:
    """ "11 h 30 (8 h to 17 h), 18 steps"."""
    minutes = hours(found, techniques_with(state.project.techniques), state.plan.pace)
    low, high = spoken(round(minutes.low)), spoken(round(minutes.high))
    number = len(found.garment.steps)
    return f"{spoken(round(minutes.typical))} ({low} to {high}), {count(number, 'step')}"


def split_lines(found: Split, state: State, width: int) -> list[Line]:
    """A split as lines: what it takes of cloth and trim, then its steps with their hours."""
    units = state.project.workroom.units
    wanted = [f"{quantity_told(one.amount, units)} of {one.material.name}" for one in found.wanted]
    lines: list[Line] = []
    if wanted:
        told = wrapped([f"It takes {', '.join(wanted)}."], max(20, width - 2))
        lines += [plain(f" {line}", "faint") for line in told]
    made = operations(
        alone(found), techniques_with(state.project.techniques), state.plan.pace
    )
    return lines + [
        _step_line(op.work, round(op.minutes.typical), op.name, op.step.stage, width) for op in made
    ]


def _step_line(work: Work, minutes: int, name: str, stage: str | None, width: int) -> Line:
    told = f"{clean(name)}, {stage}" if stage else clean(name)
    return Line(
        runs=(
            Run(text=f" {work.letter}", style=work.letter),
            Run(text=f"{column(minutes):>6}  ", style="faint"),
            Run(text=fitted(told, max(8, width - 11))),
        )
    )
