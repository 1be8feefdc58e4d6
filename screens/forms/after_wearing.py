"""The form of what is to be done after a wearing: what it did to each garment, in one line each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time

from planner.editing.after_wearing import (
    Wear,
    after_wearing,
    next_wearing,
    not_begun,
    worn,
    worn_again,
)
from planner.ground import YEARS_AHEAD, all_operations
from planner.model import Ensemble, Occasion, Project
from planner.plan import Plan
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.forms.texts import moment_from
from screens.new_ensemble import A_DATE
from screens.state import State
from screens.widgets.lines import Line, Run, plain
from screens.wording import clean, column, count, fitted, long_date, spoken, with_article, wrapped
from screens.worn_typed import EXAMPLE, worn_typed

NEXT = "next worn"
"""Key of the date of the next wearing; no garment's id has a space."""
NEXT_HELP = (
    "When it is worn next: 22 May, 22 May 2027 or 2027-05-22 14:00. Then all of it is planned in"
    " days before that; empty: not known yet."
)
NEXT_ADDED = "next wearing added"
HELP = f"What its wearing did: {EXAMPLE}; nothing: it is aired or washed, and put away."

NOT_BEGUN = "not worn"
HELP_NOT_BEGUN = (
    "Nothing of it is logged as made or fetched: left empty, it wasn't worn and nothing is to be"
    f" done. Where it was: nothing, or what its wearing did: {EXAMPLE}."
)


class AfterWearingQuestions(Questions):
    """One field for each garment that was worn."""

    kept = "add"
    whole = True

    def __init__(self, state: State, event: str, *, date_only: bool = False) -> None:
        """``event`` is a full id. ``date_only``: what is to be done is there; asked is only when
        it is worn next."""
        super().__init__(state)
        self.event = event
        self.date_only = date_only
        self.added: Project | None = None
        self.title = f"After {with_article(lookups.name_of(state.project, event))}"

    @property
    def ensemble_id(self) -> str:
        """Id of the ensemble that was worn."""
        return self.event.split("/")[0]

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The garments, in the order they were put on; last those that can't have been."""
        found = _ensemble(self.state.project, self.event)
        if found is None:
            return ()
        bare = not_begun(self.state.project, found[0])
        garments = sorted(
            worn(found[0]), key=lambda one: (one.id in bare, one.layer is None, one.layer or 0)
        )
        fields = [
            Field(
                key=one.id,
                label=clean(one.name) or clean(one.id),
                help=HELP_NOT_BEGUN if one.id in bare else HELP,
                empty=NOT_BEGUN if one.id in bare else "nothing",
            )
            for one in garments
            if not self.date_only
        ]
        if next_wearing(*found) is None:
            fields.append(Field(key=NEXT, label="Next worn", help=NEXT_HELP, empty="not known yet"))
        return fields

    def read(self, texts: Texts) -> Reading:
        """The steps it comes to."""
        project = self.state.project
        found = _ensemble(project, self.event)
        if found is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        bare = not_begun(project, found[0])
        wear: dict[str, Wear] = {}
        wrong: list[Wrong] = []
        next_worn = self._next_worn(texts.get(NEXT, ""), wrong)
        for key, text in texts.items():
            if key == NEXT:
                continue
            try:
                left = key in bare and not text.strip()
                wear[key] = Wear(worn=False) if left else worn_typed(text)
            except ValueError as error:
                wrong.append(Wrong(key=key, text=str(error)))
        if wrong:
            return Reading(wrong=tuple(wrong))
        if self.date_only:
            return self._dated(next_worn)
        self.added = after_wearing(project, self.event, wear, next_worn)
        fresh = self._fresh()
        if not fresh and next_worn is None:
            return Reading(told="All of that is there already.")
        minutes = sum(minutes for _, _, minutes, _ in fresh)
        steps = f"{count(len(fresh), 'step')}, {spoken(minutes)}; " if fresh else ""
        label = f"what is to be done {self.title[:1].lower()}{self.title[1:]} added"
        return Reading(
            label=label if fresh else NEXT_ADDED,
            change=lambda now: after_wearing(now, self.event, wear, next_worn),
            told=f"{steps}{self._wanted(next_worn)}",
            cursor="/".join(fresh[0][0].split("/")[:2]) if fresh else None,
        )

    def _dated(self, next_worn: datetime | None) -> Reading:
        """The next wearing alone."""
        if next_worn is None:
            return Reading(told=NEXT_HELP)
        return Reading(
            label=NEXT_ADDED,
            change=lambda now: worn_again(now, self.ensemble_id, next_worn),
            told=self._wanted(next_worn),
            cursor=self.ensemble_id,
        )

    def _next_worn(self, text: str, wrong: list[Wrong]) -> datetime | None:
        """When it is worn next; None where that isn't said, or is wrong."""
        now = self.state.now
        found = moment_from(text, now.date())
        if found is None:
            return None
        if isinstance(found, date) and not isinstance(found, datetime):
            found = datetime.combine(found, time())
        if not isinstance(found, datetime):
            wrong.append(Wrong(key=NEXT, text=f"“{clean(text)}” is no date: write {A_DATE}."))
            return None
        event = _ensemble(self.state.project, self.event)
        first = max(now, event[1].at) if event is not None else now
        if found.date() <= first.date():
            day = f"{long_date(found.date())} {found.year}"
            wrong.append(Wrong(key=NEXT, text=f"{day} is not after what was worn, and today."))
            return None
        if (found - now).days > YEARS_AHEAD * 366:
            told = f"{found.year} is more than {YEARS_AHEAD} years ahead: check the year."
            wrong.append(Wrong(key=NEXT, text=told))
            return None
        return found

    def _wanted(self, next_worn: datetime | None) -> str:
        """By what it will be wanted, or what is missing for that."""
        if next_worn is not None:
            day = long_date(next_worn.date(), self.state.now.date())
            year = "" if next_worn.year == self.state.now.year else f" {next_worn.year}"
            return f"worn next on {day}{year}, and planned in days before that."
        found = _ensemble(self.state.project, self.event)
        later = None if found is None else next_wearing(*found)
        if later is None:
            return "in no day until “next worn” has a date; Now offers it."
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
