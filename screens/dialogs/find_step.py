"""Finding a step by a few letters of its garment or name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import getters
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import ModalScreen
from textual.widgets import Input

from planner.plan import Plan, PlannedStep
from screens.finding import find_steps
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.wording import cells, clean, padded, short_date


class FoundSteps(Lines, can_focus=False):
    """The steps that match."""

    def __init__(self, plan: Plan) -> None:
        super().__init__(id="found")
        self.plan = plan
        self.letters = ""

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A line a step: letter, garment, step, its day."""
        steps = find_steps(self.plan, self.letters)
        if not steps:
            hint = "No step has these letters." if self.letters.strip() else "Type a few letters."
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

    def go(self, key: str, tell: bool = True) -> bool:
        """Move the mark along."""
        moved = super().go(key, tell)
        if moved:
            self.renew()
        return moved

    def clicked(self, key: str) -> None:
        """A click chooses at once."""
        self.post_message(self.Chosen(self, key))


class FindStep(ModalScreen[str | None]):
    """Type letters, choose with the arrows and enter; escape closes."""

    CSS = """
    FindStep {
        align: center top;
        background: $background 60%;
        #asking {
            width: 72;
            max-width: 100%;
            height: 14;
            margin: 3 0 0 0;
            padding: 0 1;
            background: $panel;
        }
        Input {
            height: 1;
            border: none;
            padding: 0;
            background: $panel;
            color: $foreground;
        }
        Lines {
            height: 1fr;
            background: $panel;
            & > .lines--cursor {
                background: $cursor;
                text-style: bold;
            }
        }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "close", id="find.close", tooltip="Close without choosing"),
        Binding("down", "move(1)", "next", show=False, id="find.down", tooltip="Next match"),
        Binding("up", "move(-1)", "previous", show=False, id="find.up", tooltip="Match above"),
    ]

    found = getters.query_one("#found", FoundSteps)

    def __init__(self, plan: Plan) -> None:
        super().__init__()
        self.plan = plan

    def compose(self) -> ComposeResult:
        """A line to type in, and what matches."""
        with Container(id="asking"):
            asked = Input(placeholder="Find a step: part of its garment or name", id="letters")
            asked.cursor_blink = False
            yield asked
            yield FoundSteps(self.plan)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Match afresh."""
        self.found.letters = event.value
        self.found.cursor = None
        self.found.renew()
        self.found.scroll_to(y=0, animate=False)

    def on_input_submitted(self) -> None:
        """Choose the match under the cursor."""
        self.found.action_choose()

    def on_lines_chosen(self, event: Lines.Chosen) -> None:
        """A match was chosen."""
        self.dismiss(event.key)

    def action_move(self, steps: int) -> None:
        """Another match."""
        self.found.action_step(steps)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss(None)


def _day(step: PlannedStep) -> str:
    """When it is done."""
    if step.done:
        return "done"
    if step.left_off:
        return "left off"
    return short_date(step.first_day) if step.first_day else "no day"
