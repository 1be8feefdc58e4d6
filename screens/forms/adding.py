"""The questions of a new garment, those of its order of construction, and what follows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.catalogue.order import Order
from planner.catalogue.shelf import orders_with
from planner.files.checks import number_problem
from planner.model import Source
from planner.plan import Plan
from planner.problems import InputError
from planner.quantity import Quantity
from planner.splitting.answers import Answers, amount_of, usual
from planner.splitting.joining import Joined
from planner.splitting.split import Split, Wanted, split
from screens.dressing import quantity_told
from screens.forms import lookups
from screens.forms.answers import answer_fields, answers_from
from screens.forms.fields import NO, Field, Option, Reading, Texts, Wrong, flag
from screens.forms.questions import Questions
from screens.new_garment import (
    Details,
    Drafted,
    Waiting,
    adding,
    drafted,
    joined,
    usual_name,
    waitings,
)
from screens.state import State
from screens.widgets.lines import Line, Run, plain
from screens.wording import (
    cells,
    clean,
    column,
    count,
    fitted,
    listed,
    spoken,
    with_article,
    wrapped,
)

NAME, FROM, LAYER, WEARER = "name", "source", "layer", "wearer"
HAVE, WAITS = "have.", "waits."
"""Before a material's id, and before a waiting's key, in the keys of their fields."""
READS_ON = "pgdn reads on"
LAYERS = range(-999, 1000)


class AddQuestions(Questions):
    """What an order of construction asks of a new garment."""

    kept = "add"
    whole = True

    def __init__(self, state: State, ensemble: str, order: str, source: Source) -> None:
        super().__init__(state)
        self.ensemble_id = ensemble
        self.order: Order = orders_with(state.project.orders)[order]
        self.source = source
        self.units = state.project.workroom.units
        self.draft: Drafted | None = None
        """The last that could be worked out."""
        self.narrow = False
        """Whether what is told beside the fields stands beneath them, with little room."""
        self._joined: Joined | None = None
        self._joined_for: object = None
        self.title = f"New: {clean(self.order.name)}"

    def renew(self, state: State) -> None:
        """The files were read again."""
        super().renew(state)
        self._joined_for = None

    # what is asked

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Name, where from, what the order asks at once; then what it could ask besides."""
        started = usual(self.order, self._source(texts), self.units)
        asked = answer_fields(self.order, started, texts, self.units)
        self._work_out(texts)
        self._details(texts, [])
        return [
            Field(
                key=NAME,
                label="Name",
                empty=clean(usual_name(self.order)),
                help="What you call it; in the files too.",
            ),
            *self._where_from(),
            *(one for one in asked if not one.further),
            *(one for one in asked if one.further),
            *self._waits(),
            *self._have(),
            *self._worn(),
        ]

    def _where_from(self) -> list[Field]:
        if len(self.order.sources) < 2:
            return []
        return [
            Field(
                key=FROM,
                label="Where from",
                value=self.source.value,
                options=tuple(Option(key=one.value, name=one.value) for one in Source
                              if one in self.order.sources),
                help="Left and right, or a letter; what is asked changes with it.",
            )
        ]  # fmt: skip

    def _worn(self) -> list[Field]:
        return [
            Field(
                key=LAYER,
                label="Layer",
                value=str(self.order.layer),
                help="Its place in the dressing order: 1 is next to the skin.",
                further=True,
            ),
            Field(
                key=WEARER,
                label="Wearer",
                help="Who wears it, where several are dressed.",
                empty="not said",
                further=True,
            ),
        ]

    def _waits(self) -> list[Field]:
        """A flag for all that waits for one stage of one garment."""
        return [
            replace(
                flag(f"{WAITS}{one.key}", self._label(one), value=True, help=self._why(one)),
                further=True,
            )
            for one in self._waitings()
        ]

    def _have(self) -> list[Field]:
        """What of each material is there already; not of what the ensemble shares and has."""
        there = {one.id for one in lookups.ensemble_of(self.state.project, self.ensemble_id).stock}
        return [
            Field(
                key=f"{HAVE}{one.material.id}",
                label=f"Have: {clean(one.material.name)}",
                empty="none of it",
                help=f"What is there already; {quantity_told(one.amount, self.units)} is wanted.",
                further=True,
            )
            for one in self._wanted()
            if not (one.material.shared and one.material.id in there)
        ]

    # what it comes to

    def _source(self, texts: Texts) -> Source:
        return Source(texts.get(FROM, self.source.value))

    def _wanted(self) -> Sequence[Wanted]:
        return self.draft.split.wanted if self.draft is not None else ()

    def _work_out(self, texts: Texts) -> tuple[Wrong, ...]:
        """Split and estimate with what is typed; what is wrong leaves all as it was."""
        started = usual(self.order, self._source(texts), self.units)
        answers, wrong = answers_from(self.order, started, texts, self.units)
        if wrong and self.draft is not None and self.draft.split.answers.source is answers.source:
            return wrong
        try:
            found = self._split(answers)
        except InputError as error:
            return tuple(Wrong(key="", text=one.text) for one in error.problems)
        if self.draft is None or found is not self.draft.split:
            self.draft = drafted(found, self.state.project, self.state.plan.pace)
        return wrong

    def _split(self, answers: Answers) -> Split:
        """Split, unless that is just what was split last."""
        if self.draft is not None and self.draft.split.answers == answers:
            return self.draft.split
        return split(self.order, answers)

    def _joined_with(self, details: Details) -> Joined | None:
        """The ensemble with the garment and all links; links hang on steps, not on lengths."""
        if self.draft is None:
            return None
        found = self.draft.split
        steps = tuple((one.id, one.after) for one in found.garment.steps)
        what = (found.answers.source, steps, details.name, details.layer, details.wearer)
        if self._joined_for != what:
            plain = replace(details, have={}, without=frozenset())
            try:
                self._joined = joined(
                    self.state.project, self.ensemble_id, found, plain, self.state.now
                )
            except (InputError, ValueError):
                self._joined = None  # keeping says why
            self._joined_for = what
        return self._joined

    def _waitings(self) -> Sequence[Waiting]:
        return waitings(self._joined) if self._joined is not None else ()

    def read(self, texts: Texts) -> Reading:
        """The edit that adds it."""
        wrong = [*self._work_out(texts)]
        details = self._details(texts, wrong)
        if self.draft is None or wrong:
            return Reading(wrong=tuple(wrong), told=self._told())
        after = self._joined_with(details)
        name = clean(details.name) or clean(usual_name(self.order))
        garment = after.garment if after is not None else self.order.id
        return Reading(
            label=f"{name} added",
            change=adding(self.ensemble_id, self.draft.split, details, self.state.now),
            told=self._told(),
            cursor=f"{self.ensemble_id}/{garment}",
        )

    def _details(self, texts: Texts, wrong: list[Wrong]) -> Details:
        """What is said besides the answers; what is wrong with it is noted."""
        layer: int | None = None
        typed = texts.get(LAYER, str(self.order.layer)).strip()
        try:
            layer = int(typed)
            if layer not in LAYERS:
                raise ValueError
        except ValueError:
            wrong.append(Wrong(key=LAYER, text=f"“{typed}” is no layer: write a whole number."))
        bare = Details(
            name=texts.get(NAME, "").strip(), layer=layer, wearer=texts.get(WEARER, "").strip()
        )
        self._joined_with(bare)
        unwanted = [
            (link.step, link.to)
            for one in self._waitings()
            if texts.get(f"{WAITS}{one.key}") == NO
            for link in one.links
        ]
        return replace(bare, without=frozenset(unwanted), have=self._amounts(texts, wrong))

    def _amounts(self, texts: Texts, wrong: list[Wrong]) -> dict[str, Quantity]:
        """What is there already, by material."""
        found = {}
        for one in self._wanted():
            key = f"{HAVE}{one.material.id}"
            typed = texts.get(key, "").strip()
            if not typed:
                continue
            try:
                amount = amount_of(typed, one.amount, self.units)
                wrongly = number_problem(amount.value)
                if wrongly:
                    raise ValueError(f"{fitted(typed, 24)} is more than can be meant: check it")
            except ValueError as error:
                wrong.append(Wrong(key=key, text=str(error)))
                continue
            if amount.value:
                found[one.material.id] = amount
        return found

    def check(self, reading: Reading) -> tuple[Wrong, ...]:
        """Joining makes no reference that leads nowhere and no circle."""
        return ()

    # what is told

    def _told(self) -> str:
        """ "14 steps, 8 h 10 (5 h to 12 h 30)"."""
        if self.draft is None:
            return ""
        minutes = self.draft.minutes
        low, high = spoken(round(minutes.low)), spoken(round(minutes.high))
        steps = count(len(self.draft.operations), "step")
        return f"{steps}, {spoken(round(minutes.typical))} ({low} to {high})"

    def _name(self, garment: str) -> str:
        """The shown name of a garment of the ensemble as it would be."""
        after = self._joined
        if after is not None and garment == after.garment:
            return "it"
        ensemble = lookups.ensemble_of(self.state.project, self.ensemble_id)
        found = (clean(one.name) for one in ensemble.garments if one.id == garment)
        return next(found, "") or garment

    def _label(self, one: Waiting) -> str:
        """ "Waits for Stays"; with the stage, where one garment waits for two of another."""
        pair = (one.garment, one.other)
        twice = [1 for other in self._waitings() if (other.garment, other.other) == pair][1:]
        if self._joined is not None and one.garment == self._joined.garment:
            stage = f"{one.stage} " if twice else ""
            return f"Waits for {stage}{self._name(one.other)}"
        if twice:
            return f"{one.stage.capitalize()} for {self._name(one.garment)}"
        return f"{self._name(one.garment)} waits"

    def _why(self, one: Waiting) -> str:
        """ "“Fit the mock-up” waits until the Stays are fittable: ..."."""
        steps = listed([f"“{self._step(link.step)}”" for link in one.links])
        wait = "waits" if len(one.links) == 1 else "wait"
        other = self._name(one.other)
        until = other if other == "it" else with_article(other)
        why = next((clean(link.why) for link in one.links if link.why), "")
        return f"{steps} {wait}: {until} must be {one.stage}{f', for {why}' if why else ''}."

    def _step(self, name: str) -> str:
        """The shown name of a step of the ensemble as it would be."""
        garment, _, ident = name.partition("/")
        after = self._joined
        if after is not None and garment == after.garment and self.draft is not None:
            made = {one.step.id: one.name for one in self.draft.operations}
            return clean(made.get(ident, "")) or ident
        step = lookups.step_of(self.state.project, f"{self.ensemble_id}/{name}")
        if step is None:
            return ident
        return clean(step.name) or ident

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """What it takes, what waits for what, what is done at a fitting, its steps."""
        if self.draft is None:
            return ()
        style = "faint" if self._work_out(texts) else ""
        told = [self._takes(), self._waiting_told(texts), self._fittings()]
        told = [sentence for sentence in told if sentence]
        lines = [
            plain(f" {line}", style)
            for sentence in told
            for line in wrapped([sentence], max(20, width - 2))
        ]
        if self.narrow and len(lines) > len(told):
            # there is room for a line each; all of it stands there once it is rolled to
            lines = [_in_a_line(sentence, width, style) for sentence in told]
        return [*lines, plain(""), *self._steps(width, style)]

    def _takes(self) -> str:
        wanted = [_taken(one, self.units) for one in self._wanted()]
        return f"Takes {', '.join(wanted)}." if wanted else ""

    def _waiting_told(self, texts: Texts) -> str:
        """ "Waits for Stays (fittable); Gown (till wearable) waits for it."."""
        after = self._joined
        if after is None:
            return ""
        mine: dict[str, list[str]] = {}
        theirs: dict[str, list[str]] = {}
        for one in self._waitings():
            if texts.get(f"{WAITS}{one.key}") != NO and one.garment == after.garment:
                mine.setdefault(self._name(one.other), []).append(one.stage)
            elif texts.get(f"{WAITS}{one.key}") != NO:
                theirs.setdefault(self._name(one.garment), []).append(one.stage)
        parts = []
        if mine:
            parts.append(f"waits for {_with_stages(mine)}")
        if theirs:
            parts.append(
                f"{_with_stages(theirs, 'till ')} {'wait' if len(theirs) > 1 else 'waits'} for it"
            )
        told = "; ".join(parts)
        return f"{told[:1].upper()}{told[1:]}." if told else ""

    def _fittings(self) -> str:
        """ "At the first fitting: “fit the mock-up”."."""
        after = self._joined
        if after is None or not after.gathered:
            return ""
        at: dict[str, list[str]] = {}
        for step, occasion in after.gathered.items():
            other = "" if step.split("/")[0] == after.garment else "also "
            at.setdefault(occasion, []).append(f"{other}“{self._step(step)}”")
        known = {one.id: clean(one.name) for one in after.ensemble.occasions}
        return " ".join(
            f"At {with_article(known[one] or one.replace('-', ' '))}: {listed(steps, 4)}."
            for one, steps in at.items()
        )

    def _steps(self, width: int, style: str) -> list[Line]:
        """The steps in order, with their hours."""
        assert self.draft is not None
        lines = []
        for one in self.draft.operations:
            name = f"{clean(one.name)}, {one.step.stage}" if one.step.stage else clean(one.name)
            lines.append(
                Line(
                    runs=(
                        Run(text=f" {one.work.letter}", style=one.work.letter),
                        Run(text=f"{column(round(one.minutes.typical)):>6}  ", style="faint"),
                        Run(text=fitted(name, max(8, width - 11)), style=style),
                    )
                )
            )
        return lines


def _in_a_line(sentence: str, width: int, style: str) -> Line:
    """A sentence; of one that is cut, which key shows all of it."""
    if cells(sentence) <= width - 2:
        return plain(f" {sentence}", style)
    room = width - cells(READS_ON) - 3
    return Line(
        runs=(Run(text=f" {fitted(sentence, room)}", style=style),),
        right=Run(text=READS_ON, style="accent"),
    )


def _with_stages(garments: Mapping[str, Sequence[str]], before: str = "") -> str:
    """ "Stays (fittable), Petticoat (wearable, finished)"."""
    return ", ".join(f"{name} ({before}{', '.join(told)})" for name, told in garments.items())


def _taken(one: Wanted, units: str) -> str:
    """ "3 m of lining", "6 hooks", "the bought garment"."""
    name = clean(one.material.name)
    if not one.amount.dimension and one.amount.value == 1 and name.startswith("the "):
        return name
    return f"{quantity_told(one.amount, units)}{' of' if one.amount.dimension else ''} {name}"
