"""Tonight's bag: what must be done first, what goes into it, what stays empty."""

from __future__ import annotations

from collections.abc import Sequence

from planner.bag import Bag
from planner.plan import Plan
from screens import bag_told
from screens.why import cautions, reason_sentences
from screens.widgets.lines import Line
from screens.widgets.step_rows import StepRow, StepRows, paragraph


class BagList(StepRows):
    """The bag's steps; each opens its reason."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.bag: Bag | None = None

    def show(self, plan: Plan, bag: Bag) -> None:
        """Show a bag."""
        self.plan, self.bag = plan, bag
        self.renew()

    def renew(self) -> None:
        """Take no more lines than there are; the stylesheet says how many at most."""
        super().renew()
        if self.lines:
            self.styles.height = len(self.lines)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Heading, rows, sentences."""
        plan, bag = self.plan, self.bag
        if plan is None or bag is None:
            return ()
        found = paragraph([bag_told.heading(plan, bag)], width, "strong")
        found += self.drawn(self._rows(plan, bag), width)
        return found + paragraph(bag_told.sentences(plan, bag), width)

    def _rows(self, plan: Plan, bag: Bag) -> list[StepRow]:
        rows = bag_told.rows(plan, bag)
        longest = max((len(row.long) for row in rows), default=0)
        steps = {step.id: step for step in plan.steps}
        found = []
        for row in rows:
            key = f"{row.what} {row.step}"
            opened: tuple[str, ...] = ()
            if self.open == key:
                step = steps[row.step]
                opened = (*cautions(step), *reason_sentences(plan, step))
            found.append(
                StepRow(
                    key=key,
                    head=f"{row.what:<5}  {row.long:<{longest}}  ",
                    letter=row.letter,
                    name=row.name,
                    garment=row.garment,
                    known=(row.known,),
                    opened=opened,
                )
            )
        return found
