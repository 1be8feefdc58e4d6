"""The form of what is to be done after a wearing: what it did to each garment, in one line each."""

from __future__ import annotations

from collections.abc import Sequence

from planner.editing.after_wearing import Wear, after_wearing, next_wearing, worn
from planner.ground import all_operations
from planner.model import Ensemble, Occasion, Project
from planner.plan import Plan
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.state import State
from screens.widgets.lines import Line, Run, plain
from screens.wording import clean, column, count, fitted, long_date, spoken, with_article, wrapped
from screens.worn_typed import EXAMPLE, worn_typed

HELP = f"What its wearing did: {EXAMPLE}; nothing: it is aired or washed, and put away."


class AfterWearingQuestions(Questions):
    """One field for each garment that was worn."""

    kept = "add"
    whole = True

    def __init__(self, state: State, event: str) -> None:
        """``event`` is a full id."""
        super().__init__(state)
        self.event = event
        self.added: Project | None = None
        self.title = f"After {with_article(lookups.name_of(state.project, event))}"

    @property
    def ensemble_id(self) -> str:
        """Id of the ensemble that was worn."""
        return self.event.split("/")[0]

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The garments, in the order they were put on."""
        found = _ensemble(self.state.project, self.event)
        if found is None:
            return ()
        garments = sorted(worn(found[0]), key=lambda one: (one.layer is None, one.layer or 0))
        return [
            Field(key=one.id, label=clean(one.name) or clean(one.id), help=HELP, empty="nothing")
            for one in garments
        ]

    def read(self, texts: Texts) -> Reading:
        """The steps it comes to."""
        project = self.state.project
        if _ensemble(project, self.event) is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        wear: dict[str, Wear] = {}
        wrong: list[Wrong] = []
        for key, text in texts.items():
            try:
                wear[key] = worn_typed(text)
            except ValueError as error:
                wrong.append(Wrong(key=key, text=str(error)))
        if wrong:
            return Reading(wrong=tuple(wrong))
        self.added = after_wearing(project, self.event, wear)
        fresh = self._fresh()
        if not fresh:
            return Reading(told="All of that is there already.")
        minutes = sum(minutes for _, _, minutes, _ in fresh)
        return Reading(
            label=f"what is to be done {self.title[:1].lower()}{self.title[1:]} added",
            change=lambda now: after_wearing(now, self.event, wear),
            told=f"{count(len(fresh), 'step')}, {spoken(minutes)}; {self._wanted()}",
            cursor="/".join(fresh[0][0].split("/")[:2]),
        )

    def _wanted(self) -> str:
        """By what it will be wanted."""
        found = _ensemble(self.state.project, self.event)
        later = None if found is None else next_wearing(*found)
        if later is None:
            return "wanted by no occasion until the next wearing is added."
        name = clean(later.name) or clean(later.id)
        day = long_date(later.at.date(), self.state.now.date())
        return f"wanted by {with_article(name)}, {day}."

    def _fresh(self) -> list[tuple[str, str, int, str]]:
        """Steps that are added: full id, name, minutes, letter of work."""
        if self.added is None:
            return []
        there = {
            f"{self.ensemble_id}/{garment.id}/{step.id}"
            for garment in lookups.ensemble_of(self.state.project, self.ensemble_id).garments
            for step in garment.steps
        }
        ops = all_operations(self.added)
        return [
            (op.id, op.name, int(op.minutes.typical), op.work.letter)
            for op in ops.values()
            if op.ensemble == self.ensemble_id and op.id not in there
        ]

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """The steps, garment by garment."""
        lines: list[Line] = []
        garment = ""
        for ident, name, minutes, letter in self._fresh():
            mine = ident.rpartition("/")[0]
            if mine != garment:
                garment = mine
                lines.append(plain(f" {lookups.name_of(self.state.project, mine)}", "strong"))
            first, *rest = wrapped([clean(name)], max(12, width - 11)) or [""]
            lines.append(
                Line(
                    runs=(
                        Run(text=f" {letter}", style=letter),
                        Run(text=f"{column(minutes):>6}  ", style="faint"),
                        Run(text=fitted(first, max(8, width - 10))),
                    )
                )
            )
            lines += [plain(f"{'':10}{line}") for line in rest]
        return lines


def _ensemble(project: Project, event: str) -> tuple[Ensemble, Occasion] | None:
    """The ensemble and its event; None where they are gone."""
    occasion = lookups.occasion_of(project, event)
    if occasion is None:
        return None
    return lookups.ensemble_of(project, event.split("/")[0]), occasion
