"""A hand step opened: its days and places, what a machine would save, and why it is when it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.handwork import HandStep
from planner.other_ways import OtherWay
from planner.plan import Plan, PlannedStep
from screens.handwork_told import LEAST, WHERE, back_sentences, step_days, way_sentences
from screens.why import cautions, reason_sentences
from screens.widgets.lines import CURSOR, Line, Run
from screens.widgets.marked import OpeningLines
from screens.wording import abbreviated, spoken, step_with_garment, wrapped

WAY = "way"
"""First word of the key of a way; then comes its place among them."""


class OpenedHand(OpeningLines):
    """One step, paragraph by paragraph; a way chosen here is taken."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "take this way",
            show=False,
            key_display="enter",
            id="opened-hand.enter",
            tooltip="Sew it in the way under the cursor",
        ),
        Binding(
            "escape",
            "screen.close",
            "back",
            key_display="esc",
            id="opened-hand.escape",
            tooltip="Back to the list",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.step: PlannedStep | None = None
        self.hand: HandStep | None = None
        self.ways: tuple[OtherWay, ...] = ()
        self.general = ""
        """The caution of all long hand sewing."""
        self.then: dict[int, str] = {}
        """What each way would make of the plan, by its place among the ways."""

    def show(
        self,
        plan: Plan,
        step: PlannedStep | None,
        hand: HandStep | None,
        ways: Sequence[OtherWay],
        general: str,
    ) -> None:
        """Show a step of a plan; ``hand`` is None where it was given to the machine."""
        if step is None or self.step is None or step.id != self.step.id:
            self.cursor = None
        self.plan, self.step, self.hand, self.ways = plan, step, hand, tuple(ways)
        self.general, self.then = general, {}
        self.renew()
        if self.cursor is None and self.is_attached:
            self.scroll_to(y=0, animate=False)

    def tell(self, place: int, then: str) -> None:
        """Say what a way would make of the plan."""
        self.then[place] = then
        self.renew()

    @property
    def way(self) -> int:
        """Place of the way under the cursor; 0, the best, where it is on none."""
        kind, _, place = (self.cursor or "").partition(" ")
        return int(place) if kind == WAY and self.has_focus else 0

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Heading, ways, what to watch, reasons."""
        plan, step = self.plan, self.step
        if plan is None or step is None:
            return ()
        found = self._paragraph("head", [self._heading(plan, step)], width, "strong")
        for place, way in enumerate(self.ways):
            told = way_sentences(plan, way) if self.hand is not None else back_sentences(plan, way)
            key = "m takes it." if place == 0 else "enter takes it."
            found += self._paragraph(f"{WAY} {place}", [*told, key], width)
            if place in self.then:
                found += [
                    Line(runs=(Run(text=f"   {line}", style="accent"),), click=f"{WAY} {place}")
                    for line in wrapped([abbreviated(self.then[place])], width - 4)
                ]
        said = [self.general] if self.hand is not None else []
        said += [one for one in cautions(step) if one != self.general]
        found += self._paragraph("caution", said, width, "faint")
        for number, sentence in enumerate(reason_sentences(plan, step)):
            found += self._paragraph(f"why {number}", [sentence], width)
        return found

    def _heading(self, plan: Plan, step: PlannedStep) -> str:
        """The step with its minutes, days and places."""
        name = step_with_garment(plan, step.id)
        if self.hand is None:
            return f"{name}: by machine, {spoken(step.left)}."
        one = self.hand
        places = ", ".join(dict.fromkeys(WHERE[where] for where in one.wheres))
        parts = [spoken(step.left), step_days(one.days), places, LEAST[step.place]]
        return f"{name}: {'; '.join(part for part in parts if part)}."

    def _paragraph(
        self, key: str, sentences: Sequence[str], width: int, style: str = ""
    ) -> list[Line]:
        """Sentences with the cursor's mark before their first line."""
        here = CURSOR if self.has_focus and key == self.cursor else " "
        lines = wrapped(sentences, max(20, width - 3))
        found = []
        for number, text in enumerate(lines):
            mark = Run(text=here if number == 0 else " ", style="accent")
            runs = (mark, Run(text=text, style=style))
            first = number == 0
            found.append(
                Line(runs=runs, key=key if first else None, click=None if first else key)
            )
        return found

    def clicked(self, key: str) -> None:
        """A click goes there; a second one chooses."""
        if key == self.cursor:
            self.post_message(self.Chosen(self, key))
        else:
            self.go(key)
