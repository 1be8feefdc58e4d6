"""What can be done now, the most useful first; beneath it what is left out, and what nearly is."""

from __future__ import annotations

from collections.abc import Sequence

from planner.candidates import Candidate
from planner.doable import Answer, Doable, Kept
from planner.plan import Plan, PlannedStep
from screens import doable_told
from screens.why import cautions, reason_sentences
from screens.widgets.lines import Line, plain
from screens.widgets.step_rows import StepRow, StepRows, paragraph
from screens.wording import garment_of, name_of

MOST_NEARLY = 5
"""So many nearly doable steps are shown."""
HEAD = 14
"""Columns of "0:20 of 1:25"."""


def _said(sentence: str, width: int, style: str = "") -> list[Line]:
    """A sentence of no row, if there is one."""
    return paragraph([sentence], width, style) if sentence else []


class DoableList(StepRows):
    """The steps; each opens why it is there."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.answer: Answer | None = None
        self.candidates: dict[str, Candidate] = {}

    def show(self, plan: Plan, answer: Answer, candidates: Sequence[Candidate]) -> None:
        """Show an answer; the cursor stays on its step while that can be done."""
        able = [one.step for one in answer.doable]
        nearly = [one.step for one in answer.nearly]
        asked_anew = self.answer is not None and self.answer.choices != answer.choices
        self.plan, self.answer = plan, answer
        self.candidates = {one.id: one for one in candidates}
        if able and self.cursor not in able and (asked_anew or self.cursor not in nearly):
            self.cursor = able[0]
        self.renew()
        self.call_after_refresh(self.keep_in_view)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Rows, sentences, rows that are nearly possible."""
        plan, answer = self.plan, self.answer
        if plan is None or answer is None:
            return ()
        steps = {step.id: step for step in plan.steps}
        head = [plain(" Can be done now:", "strong")] if answer.doable else []
        found = [*head, *self.drawn(self._rows(plan, answer, steps), width)]
        found += paragraph(doable_told.nothing(plan, answer), width)
        found += _said(doable_told.not_yet(plan, answer), width, "accent")
        found += _said(doable_told.left_out(plan, answer), width)
        nearly = answer.nearly[:MOST_NEARLY]
        if nearly and answer.doable:
            found += [plain(" Nearly possible:", "strong")]
        found += self.drawn([self._nearly(plan, one, steps) for one in nearly], width)
        return found + _said(doable_told.besides(plan, answer), width, "faint")

    def _rows(
        self, plan: Plan, answer: Answer, steps: dict[str, PlannedStep]
    ) -> list[StepRow]:
        """What can be done."""
        found = []
        for number, one in enumerate(answer.doable):
            following = answer.doable[number + 1] if number + 1 < len(answer.doable) else None
            candidate = self.candidates[one.step]
            found.append(
                StepRow(
                    key=one.step,
                    head=f"{doable_told.how_long(one):<{HEAD}}",
                    letter=steps[one.step].work.letter,
                    name=name_of(plan, one.step),
                    garment=garment_of(plan, one.step),
                    known=doable_told.why(plan, candidate.use, one),
                    opened=self._opened(plan, steps[one.step], one, following),
                )
            )
        return found

    def _opened(
        self, plan: Plan, step: PlannedStep, one: Doable, following: Doable | None
    ) -> tuple[str, ...]:
        """Caution, why it stands before the next, what it takes, why it is when it is."""
        if self.open != one.step or self.answer is None:
            return ()
        mine = self.candidates[one.step]
        before: tuple[str, ...] = ()
        if following is not None:
            its = self.candidates[following.step]
            before = (doable_told.why_before(plan, mine, its, self.answer.choices),)
        takes = doable_told.takes(plan, mine)
        return (*cautions(step), *before, *takes, *reason_sentences(plan, step))

    def _nearly(self, plan: Plan, one: Kept, steps: dict[str, PlannedStep]) -> StepRow:
        """A step that is nearly possible, with what keeps it."""
        step = steps[one.step]
        opened: tuple[str, ...] = ()
        if self.open == one.step:
            first = self.candidates[one.step].first
            missing = (doable_told.before_cutting(plan, one.step, first),) if first else ()
            opened = (*missing, *cautions(step), *reason_sentences(plan, step))
        return StepRow(
            key=one.step,
            head="",
            letter=step.work.letter,
            name=name_of(plan, one.step),
            garment=garment_of(plan, one.step),
            known=doable_told.kept_in_short(plan, one),
            opened=opened,
        )
