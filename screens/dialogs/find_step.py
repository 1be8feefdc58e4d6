"""Finding a step by a few letters of its garment or name."""

from __future__ import annotations

from collections.abc import Sequence

from textual.widgets import Input

from planner.plan import Plan, PlannedStep
from screens.dialogs.looking import Looking, Matches
from screens.finding import find_steps
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import cells, clean, padded, short_date


class FoundSteps(Matches, can_focus=False):
    """The steps that match."""

    def __init__(self, plan: Plan) -> None:
        super().__init__(id="found")
        self.plan = plan

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line a step: letter, garment, step, its day."""
        steps = find_steps(self.plan, self.letters)
        if not steps:
            hint = "No step has these letters." if self.letters.strip() else "Type a few letters."
            if not self.plan.steps:
                hint = "There are no steps yet."
            return [plain(f" {hint}", "faint")]
        garments = min(max(cells(clean(step.garment)) for step in steps), 16)
        if self.cursor not in {step.id for step in steps}:
            self.cursor = steps[0].id
        return [self._line(step, garments, width) for step in steps]

    def _line(self, step: PlannedStep, garments: int, width: int) -> Line:
        here = CURSOR if step.id == self.cursor else " "
        return Line(
            runs=(
                Run(text=f"{here} ", style="accent"),
                Run(text=step.work.letter, style=step.work.letter),
                Run(text=f"  {padded(clean(step.garment), garments)}  {clean(step.name)}"),
            ),
            right=Run(text=_day(step), style="faint"),
            key=step.id,
        )


class FindStep(Looking):
    """Gives the step's id."""

    CSS = """
    FindStep {
        align: center top;
        #looking {
            width: 80;
            height: 17;
            margin: 2 0 0 0;
        }
    }
    """

    def __init__(self, plan: Plan) -> None:
        self.found = FoundSteps(plan)
        super().__init__("Find a step: part of its garment or name", self.found)

    def on_input_changed(self, event: Input.Changed) -> None:
        """The best match is under the cursor."""
        self.found.cursor = None  # then matches are looked for, by the handler of all such screens


def _day(step: PlannedStep) -> str:
    """When it is done."""
    if step.done:
        return "done"
    if step.left_off:
        return "left off"
    return short_date(step.first_day) if step.first_day else "no day"
