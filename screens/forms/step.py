"""The form of a step: every key that a file can hold of it, its other ways too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from planner.catalogue import techniques_with
from planner.editing import add_step, free_step, rename_step, replace_step
from planner.estimate import operations
from planner.model import Garment, Project, Step, Technique
from planner.problems import InputError
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Option, Reading, Texts, Wrong, typed
from screens.forms.names import (
    StepNames,
    all_meant,
    stock_names,
    technique_names,
    uses_meant,
    wanted_names,
)
from screens.forms.questions import Questions
from screens.forms.step_fields import BEFORE, Around, further_fields, usual_fields, way_fields
from screens.forms.tables import (
    Plain,
    Typing,
    read_step_table,
    step_table,
    text_of,
    trimmed,
    yes_or_no,
)
from screens.forms.texts import (
    amount_from,
    join_list,
    moment_from,
    number_from,
    split_list,
    uses_from,
)
from screens.state import State
from screens.wording import clean, spoken, with_article

MOST_WAYS = 3
"""Other ways that can be added in the form; a file may hold more."""


class StepQuestions(Questions):
    """A step that is there, or a new one of a garment."""

    def __init__(
        self, state: State, garment: str, step: str | None = None, index: int | None = None
    ) -> None:
        """``garment`` and ``step`` are full ids; a new step goes to ``index`` (None: the end)."""
        super().__init__(state)
        self.garment_id = garment
        self.step_id = step
        self.index = index
        self.was = self._table()
        self.followed_by = self._followers()
        name = with_article(clean(self.garment.name) or self.garment.id)
        self.title = f"A step of {name}" if step else f"A new step of {name}"
        self._names_of: tuple[Project, StepNames] | None = None

    def renew(self, state: State) -> None:
        """The files were read again; where it has gone the fields stay as they were."""
        super().renew(state)
        if self.step is not None:
            self.was = self._table()

    @property
    def garment(self) -> Garment:
        """The garment as it is now."""
        return lookups.garment_of(self.state.project, self.garment_id)

    @property
    def step(self) -> Step | None:
        """The step as it is now; None for a new one, or where it has gone."""
        return lookups.step_of(self.state.project, self.step_id) if self.step_id else None

    @property
    def names(self) -> StepNames:
        """The names for what the step refers to, of the project as it is now."""
        project = self.state.project
        if self._names_of is None or self._names_of[0] is not project:
            ensemble = self.garment_id.split("/")[0]
            names = StepNames(
                technique=technique_names(project),
                after=wanted_names(project, ensemble, self.garment_id),
                stock=stock_names(lookups.ensemble_of(project, ensemble)),
            )
            self._names_of = project, names
        return self._names_of[1]

    @property
    def typing(self) -> Typing:
        """How its texts become a file's values."""
        return step_typing(self.state.now.date(), self.names)

    @property
    def place(self) -> int:
        """Where it stands, or is to stand, among the garment's steps."""
        steps = self.garment.steps
        ident = (self.step_id or "").rsplit("/", 1)[-1]
        there = next((i for i, one in enumerate(steps) if one.id == ident), None)
        if there is not None:
            return there
        return len(steps) if self.index is None else min(self.index, len(steps))

    def _table(self) -> Plain:
        """The step as a file holds it now; a new one comes after the step above it."""
        step = self.step
        if step is not None:
            return step_table(step, self.state.project.workroom.units)
        above = self.above
        return {"after": [above.id]} if above is not None and not self.garment.in_order else {}

    @property
    def above(self) -> Step | None:
        """The step that stands above a new one; None where nothing does."""
        steps = self.garment.steps[: self.place]
        return steps[-1] if steps else None

    def _followers(self) -> tuple[str, ...] | None:
        """Which steps of its garment a new one goes before: those that follow the one above.

        None where it isn't asked: of a step that is there, and in a garment in order.
        """
        if self.step_id is not None or self.garment.in_order:
            return None
        above = self.above
        steps = self.garment.steps if above is not None else ()
        return tuple(one.id for one in steps if above is not None and self._named(above, one))

    def _named(self, above: Step, one: Step) -> bool:
        """Whether a step of the garment says that it follows the one above."""
        return any(text in self._ways_to_name(above.id) for text in one.after)

    def _ways_to_name(self, step: str) -> tuple[str, str, str]:
        """What a step can be called within its garment."""
        full = f"{self.garment_id}/{step}"
        return step, full.split("/", 1)[1], full

    # fields

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The usual ones, the further ones, and those of as many other ways as are wanted."""
        project = self.state.project
        ensemble = lookups.ensemble_of(project, self.garment_id.split("/")[0])
        around = Around(
            project=project,
            ensemble=ensemble,
            garment=self.garment_id,
            step=self.step_id,
            names=self.names,
        )
        technique = self._technique(texts, "technique", self.was)
        found = [
            *usual_fields(self.was, around, technique, self.followed_by),
            *further_fields(self.was, technique),
            self._how_many_ways(),
        ]
        for number in range(int(texts.get("ways", self._ways_there()))):
            table = self._way(number)
            way = self._technique(texts, f"instead.{number}.technique", table)
            found += way_fields(table, number, around, way)
        return found

    def _technique(self, texts: Texts, key: str, table: Plain) -> Technique | None:
        """The technique that is typed, if it is one."""
        shelf = techniques_with(self.state.project.techniques)
        text = texts.get(key, text_of(table.get("technique")))
        return shelf.get(self.names.technique.ident(text))

    def _way(self, number: int) -> Plain:
        ways = self.was.get("instead")
        there = isinstance(ways, list) and number < len(ways)
        return ways[number] if isinstance(ways, list) and there else {}

    def _ways_there(self) -> str:
        ways = self.was.get("instead")
        return str(len(ways)) if isinstance(ways, list) else "0"

    def _how_many_ways(self) -> Field:
        there = self._ways_there()
        most = max(MOST_WAYS, int(there))
        return Field(
            key="ways",
            label="Other ways",
            help="Quicker or simpler ways to do it, to choose from when time is short.",
            value=there,
            options=tuple(
                Option(key=str(number), name=str(number) if number else "none")
                for number in range(most + 1)
            ),
            further=True,
        )

    # what it comes to

    def read(self, texts: Texts) -> Reading:
        """The step as it would be."""
        if self.step_id is not None and self.step is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        new = typed(self.fields(texts), texts)
        ways = int(new.pop("ways", self._ways_there()))
        new.pop(BEFORE, None)
        table = self.typing.into(self._table(), new)
        _cut(table, ways)
        if not text_of(table.get("id")).strip():
            name = _called(table) or "step"
            table["id"] = free_step(self.state.project, self.garment_id, name)
        step, wrong = read_step_table(table, frozenset(self.garment.measurements))
        if self.step_id is None and not _called(table):
            wrong = (Wrong(key="name", text="Give it a name, or a technique."), *wrong)
        before, unknown = self._before(texts)
        if wrong or unknown:
            return Reading(wrong=(*wrong, *unknown))
        return self._reading(step, before)

    def _before(self, texts: Texts) -> tuple[tuple[str, ...], tuple[Wrong, ...]]:
        """The steps a new one goes before; what is none of its garment is wrong."""
        if self.followed_by is None:
            return (), ()
        text = texts.get(BEFORE, join_list(self.followed_by))
        meant = self.names.after.ident
        known = {name: one.id for one in self.garment.steps for name in self._ways_to_name(one.id)}
        names = dict.fromkeys(split_list(text))
        wrong = tuple(
            Wrong(key=BEFORE, text=f"“{clean(one)}” is no step of this garment; ^f looks them up.")
            for one in names
            if meant(one) not in known
        )
        return tuple(known[meant(one)] for one in names if meant(one) in known), wrong

    def _reading(self, step: Step, before: Sequence[str]) -> Reading:
        """The edit, by ids; a new step goes in between."""
        garment, ident, place = self.garment_id, self.step_id, self.place
        kept = f"{garment}/{step.id}"
        # what follows the new step follows the one above by way of it
        above = self._ways_to_name(self.above.id) if self.above is not None else ()
        above = above if set(above) & set(step.after) else ()

        def change(project: Project) -> Project:
            if ident is None:
                project = add_step(project, garment, place, step)
                for one in before:
                    follower = lookups.step_of(project, f"{garment}/{one}")
                    if follower is not None:
                        after = [text for text in follower.after if text not in above]
                        follower = replace(follower, after=(*after, step.id))
                        project = replace_step(project, f"{garment}/{one}", follower)
                return project
            renamed = project if ident == kept else rename_step(project, ident, step.id)
            return replace_step(renamed, kept, step)

        name = lookups.step_name(self.state.project, step)
        return Reading(
            label=f"“{name}” {'changed' if ident else 'added'}",
            change=change,
            told=self._told(step),
            cursor=kept,
            where=f"{self.garment.where}.step[{place}]",
        )

    def _told(self, step: Step) -> str:
        """Its hours, known at once."""
        project = self.state.project
        others = tuple(one for one in self.garment.steps if one is not self.step)
        ensemble = lookups.ensemble_of(project, self.garment_id.split("/")[0])
        garment = replace(self.garment, steps=(*others, step))
        try:
            made = operations(
                replace(ensemble, garments=(garment,)),
                techniques_with(project.techniques),
                self.state.plan.pace,
            )
        except InputError:
            return ""
        minutes = made[-1].minutes
        low, high = round(minutes.low), round(minutes.high)
        told = f"{spoken(round(minutes.typical))}, from {spoken(low)} to {spoken(high)}"
        usual = round(made[-1].by_catalogue.typical)
        return f"{told}; by the catalogue {spoken(usual)}" if usual != minutes.typical else told


def _called(table: Plain) -> str:
    """What it is called by."""
    return text_of(table.get("name")).strip() or text_of(table.get("technique")).strip()


def _cut(table: Plain, ways: int) -> None:
    """Keep so many other ways."""
    there = table.get("instead")
    if isinstance(there, list):
        del there[ways:]
        if not there:
            del table["instead"]


def step_typing(today: date, names: StepNames) -> Typing:
    """How the texts of a step become a file's values; names become ids."""
    trimmed_keys = ("hours", "low", "high", "work", "place", "during", "stage", "wait")
    flags = ("one_sitting", "optional", "no_way_back", "left_off", "done", "chosen")
    numbers = ("effort", "hands", "missed")
    return Typing(
        today=today,
        parse={
            **dict.fromkeys((*trimmed_keys, "id"), trimmed),
            **dict.fromkeys(flags, yes_or_no),
            **dict.fromkeys(numbers, number_from),
            **dict.fromkeys(("on", "not_before"), partial(moment_from, today=today)),
            "amount": lambda text: amount_from(text) or None,
            "technique": lambda text: names.technique.ident(text) or None,
            "after": lambda text: all_meant(names.after, split_list(text)) or None,
            "uses": lambda text: uses_meant(names.stock, uses_from(text)) or None,
        },
    )
