"""The record of how an ensemble was made: everything there is to tell of it, as values.

Estimates are those without anything learnt from the diary, so that they can be compared with what
the work took. A record can be made at any time; what isn't done yet is told as planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from planner.aftercare import events_before
from planner.catalogue import techniques_with
from planner.catalogue.shelf import orders_with
from planner.editing import dressing_order
from planner.estimate import Operation, operations
from planner.exports.record_stock import Material, materials_of
from planner.held import past_occasions, taken_as_done
from planner.model import (
    Ensemble,
    Entry,
    Garment,
    OccasionKind,
    Project,
    Source,
    Technique,
    Wait,
    Work,
)
from planner.naming import called
from planner.plan import Plan, PlannedStep
from planner.quantity import Quantity
from planner.splitting.answers import working_order
from planner.ways import with_way


@dataclass(frozen=True, slots=True, kw_only=True)
class StepMade:
    """A step, as it was done or is to be."""

    id: str
    """Full id."""
    name: str
    technique: str
    """Its name; empty where the maker gave hours instead."""
    work: Work
    amount: Quantity | None
    estimate: int
    """Minutes by the catalogue or the maker's own hours."""
    logged: int
    done: bool
    left_off: bool
    optional: bool
    before: bool
    """Done before the diary began."""
    timed: bool
    """Whether a time was logged for it."""
    taken: bool
    """It counts as done only because its occasion is past: nobody logged it."""
    by_date: bool
    """That occasion is a departure or an event, of which only the date is known."""
    first: date | None
    """Of its entries; where it has none, of the occasion it was held at or of the plan."""
    last: date | None
    during: str | None
    """The occasion at which it is done, by its shown name."""
    rounds: tuple[Again, ...]
    """Each time it was begun anew; empty where it was done once."""
    instead: str
    """What the way that was chosen stands in place of; empty where none was."""
    caution: str
    hands: int
    uses: tuple[tuple[str, Quantity], ...]
    """What it takes of the stock, by its shown name."""
    follows: tuple[str, ...]
    """Full ids of the ensemble's steps that must be done before it, without what these follow."""
    wait: Wait
    """How long it rests then."""
    aftercare: bool
    """It comes after a wearing: it is no part of the making."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """One of several rounds of a step."""

    first: date
    last: date
    logged: int
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A measurement or a choice of a garment: what was asked, and what it is."""

    asked: str
    amount: Quantity | None = None
    answer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentMade:
    """A garment of the ensemble."""

    id: str
    name: str
    kind: str
    """Name of the order of construction it was split from; empty for none."""
    layer: int | None
    source: Source
    wearer: str
    answers: tuple[Answered, ...]
    steps: tuple[StepMade, ...]
    """In working order, without what was left off."""
    left_off: tuple[StepMade, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """An occasion."""

    id: str
    name: str
    kind: OccasionKind
    at: datetime
    past: bool
    held: bool
    """Past, and not said to have been otherwise."""
    said: bool
    """Whether anybody said so, or logged what was done at it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A note of the diary."""

    at: datetime
    step: str
    """Full id; of a step that is gone, too."""
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TechniqueUsed:
    """A technique with the steps it was used in."""

    technique: Technique
    steps: int
    estimate: int
    logged: int
    """Of those of its steps that have a time."""
    timed: int
    """The estimate of those that have a time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """How an ensemble was made."""

    id: str
    name: str
    now: datetime
    units: str
    occasions: tuple[Held, ...]
    garments: tuple[GarmentMade, ...]
    """In dressing order."""
    materials: tuple[Material, ...]
    techniques: tuple[TechniqueUsed, ...]
    notes: tuple[Written, ...]
    pack: tuple[str, ...]
    order: tuple[str, ...]
    """Full ids of the steps in working order: by their first day, else as they follow."""

    @property
    def steps(self) -> tuple[StepMade, ...]:
        """All that weren't left off, in working order."""
        found = {step.id: step for garment in self.garments for step in garment.steps}
        return tuple(found[one] for one in self.order)

    @property
    def making(self) -> tuple[StepMade, ...]:
        """Those of the making, in working order."""
        return tuple(step for step in self.steps if not step.aftercare)

    @property
    def aftercare(self) -> tuple[StepMade, ...]:
        """Those that come after a wearing, in working order."""
        return tuple(step for step in self.steps if step.aftercare)

    @property
    def finished(self) -> bool:
        """Whether nothing of the making is left to do."""
        return all(step.done for step in self.making)

    @property
    def worn(self) -> Held | None:
        """The event it was worn for last; None where it hasn't been worn yet."""
        events = [one for one in self.occasions if one.kind is OccasionKind.EVENT and one.past]
        return events[-1] if events else None

    @property
    def taken(self) -> tuple[StepMade, ...]:
        """What counts as done only because its occasion is past."""
        return tuple(step for step in self.steps if step.taken)


def record_of(project: Project, plan: Plan, ensemble: str) -> Record:
    """The record of one ensemble, by its id. Raises KeyError where there is none."""
    it = next((one for one in project.ensembles if one.id == ensemble), None)
    if it is None:
        raise KeyError(ensemble)
    maker = _Maker(project, plan, it)
    garments = tuple(maker.garment(one) for one in dressing_order(it))
    steps = {step.id: step for garment in garments for step in garment.steps}
    return Record(
        id=it.id,
        name=called(it.name, it.id),
        now=plan.now,
        units=project.workroom.units,
        occasions=_occasions(project, plan, it),
        garments=garments,
        materials=materials_of(project, plan, it, maker.ops),
        techniques=_techniques(maker, steps.values()),
        notes=tuple(
            Written(at=entry.at, step=entry.step, note=entry.note)
            for entry in sorted(maker.entries, key=lambda one: one.at)
            if entry.note.strip()
        ),
        pack=it.pack,
        order=_in_order(plan, steps),
    )


def _in_order(plan: Plan, steps: Mapping[str, StepMade]) -> tuple[str, ...]:
    """Done before the diary, then by the first day, each behind all it follows."""
    after = {step.id: [p for p in step.after if p in steps] for step in plan.steps}
    found: dict[str, None] = {}

    def wish(ident: str) -> tuple[bool, date, int]:
        step = steps[ident]
        return (not step.before, step.first or date.max, position[ident])

    position = {ident: place for place, ident in enumerate(steps)}
    waiting = sorted(steps, key=wish)
    while waiting:
        free = (one for one in waiting if all(p in found for p in after.get(one, ())))
        # what was ticked against its order still stands by its day
        chosen = next(free, waiting[0])
        found[chosen] = None
        waiting.remove(chosen)
    return tuple(found)


class _Maker:
    """Gathers what is told of one ensemble."""

    def __init__(self, project: Project, plan: Plan, ensemble: Ensemble) -> None:
        self.plan, self.ensemble = plan, ensemble
        self.techniques = techniques_with(project.techniques)
        self.orders = orders_with(project.orders)
        self.ops = {op.id: op for op in operations(ensemble, self.techniques)}
        self.planned = {step.id: step for step in plan.steps}
        self.occasions = {one.id: one for one in plan.occasions}
        self.taken = taken_as_done(project, plan)
        events = [
            one.id
            for one in plan.occasions
            if one.kind is OccasionKind.EVENT and one.id.startswith(f"{ensemble.id}/")
        ]
        self.after_a_wearing = events_before(plan.steps, events)
        self.entries = [
            one for one in project.diary.entries if one.step.split("/")[0] == ensemble.id
        ]

    def garment(self, garment: Garment) -> GarmentMade:
        """A garment with its steps."""
        full = f"{self.ensemble.id}/{garment.id}"
        steps = [self.step(f"{full}/{step.id}") for step in garment.steps]
        order = self.orders.get(garment.kind) if garment.kind is not None else None
        return GarmentMade(
            id=full,
            name=called(garment.name, garment.id),
            kind=order.name if order is not None else "",
            layer=garment.layer,
            source=garment.source,
            wearer=garment.wearer,
            answers=tuple(self._answers(garment)),
            steps=tuple(step for step in steps if not step.left_off),
            left_off=tuple(step for step in steps if step.left_off),
        )

    def _answers(self, garment: Garment) -> Iterable[Answered]:
        """Measurements, then choices, by what was asked where that is known."""
        order = self.orders.get(garment.kind) if garment.kind is not None else None
        working = None if order is None else working_order(order, garment.source)
        asked = {one.id: one.ask for one in working.measurements} if working else {}
        for name, amount in garment.measurements.items():
            yield Answered(asked=asked.get(name, name.replace("-", " ")), amount=amount)
        choices = {one.id: one for one in working.choices} if working else {}
        for name, answer in garment.choices.items():
            choice = choices.get(name)
            options = {one.id: one.name for one in choice.options} if choice else {}
            yield Answered(
                asked=choice.ask if choice else name.replace("-", " "),
                answer=options.get(answer, answer),
            )

    def step(self, ident: str) -> StepMade:
        """A step with what the diary says of it."""
        op, planned = self.ops[ident], self.planned[ident]
        entries = [one for one in self.entries if one.step == ident]
        first, last = self._days(planned, entries)
        technique = self.techniques.get(op.technique or "")
        rounds = _rounds(entries)
        return StepMade(
            id=ident,
            name=op.name,
            technique=technique.name if technique is not None else "",
            work=op.work,
            amount=op.quantity,
            estimate=int(op.by_catalogue.typical),
            logged=sum(one.minutes for one in entries),
            done=planned.done,
            left_off=planned.left_off,
            optional=planned.optional,
            before=op.step.done and not entries,
            timed=planned.done and any(one.minutes for one in entries),
            taken=ident in self.taken,
            by_date=ident in self.taken and self.taken[ident].by_date,
            first=first,
            last=last,
            during=self.plan.names.get(planned.during) if planned.during else None,
            rounds=rounds if len(rounds) > 1 else (),
            instead=self._instead(op),
            caution=op.caution,
            hands=op.hands,
            uses=tuple((self.plan.names.get(stock, stock), used) for stock, used in op.uses),
            follows=tuple(p for p in planned.after if p in self.planned and _same(p, ident)),
            wait=op.wait,
            aftercare=ident in self.after_a_wearing,
        )

    def _days(
        self, step: PlannedStep, entries: Sequence[Entry]
    ) -> tuple[date | None, date | None]:
        """The first and the last day of a step."""
        days = [one.at.date() for one in entries]
        if not step.done:
            days += [day for day in (step.first_day, step.last_day) if day is not None]
        elif not days and step.during in self.occasions:
            days = [self.occasions[step.during].at.date()]
        return (min(days), max(days)) if days else (None, None)

    def _instead(self, op: Operation) -> str:
        """What would have been done without the chosen way."""
        way = next((one for one in op.step.instead if one.chosen), None)
        if way is None:
            return ""
        before = replace(op.step, instead=())
        was, now = self._told(before), self._told(with_way(before, way))
        return was if was != now else ""

    def _told(self, step: object) -> str:
        """A way of doing a step in a word: the name of its technique, else its own."""
        technique = self.techniques.get(getattr(step, "technique", None) or "")
        return technique.name if technique is not None else getattr(step, "name", "")


def _same(one: str, other: str) -> bool:
    """Whether two full ids are of the same ensemble."""
    return one.split("/", 1)[0] == other.split("/", 1)[0]


def _rounds(entries: Sequence[Entry]) -> tuple[Again, ...]:
    """The rounds of a step, from its entries in the order of the file: an entry that says what is
    left of a finished step begins another."""
    found: list[Again] = []
    mine: list[Entry] = []
    for entry in entries:
        if entry.left is not None and mine and mine[-1].done:
            found.append(_round(mine))
            mine = []
        mine.append(entry)
    return (*found, _round(mine)) if mine else tuple(found)


def _round(entries: Sequence[Entry]) -> Again:
    days = [one.at.date() for one in entries]
    return Again(
        first=min(days),
        last=max(days),
        logged=sum(one.minutes for one in entries),
        done=entries[-1].done,
    )


def _occasions(project: Project, plan: Plan, ensemble: Ensemble) -> tuple[Held, ...]:
    """The ensemble's occasions, in order of time."""
    past = {one.id: one for one in past_occasions(project, plan)}
    own = {f"{ensemble.id}/{one.id}" for one in ensemble.occasions}
    return tuple(
        Held(
            id=one.id,
            name=one.name,
            kind=one.kind,
            at=one.at,
            past=one.past,
            held=one.id in past and past[one.id].held,
            said=one.id in past and (past[one.id].said or bool(past[one.id].logged)),
        )
        for one in plan.occasions
        if one.id in own
    )


def _techniques(maker: _Maker, steps: Iterable[StepMade]) -> tuple[TechniqueUsed, ...]:
    """The techniques of the steps, by kind of work and in the order of their first use."""
    found: dict[str, list[StepMade]] = {}
    for step in steps:
        technique = maker.ops[step.id].technique
        if technique is not None:
            found.setdefault(technique, []).append(step)
    order = {work: place for place, work in enumerate(Work)}
    used = [
        TechniqueUsed(
            technique=maker.techniques[ident],
            steps=len(mine),
            estimate=sum(step.estimate for step in mine),
            logged=sum(step.logged for step in mine if step.timed),
            timed=sum(step.estimate for step in mine if step.timed),
        )
        for ident, mine in found.items()
    ]
    return tuple(sorted(used, key=lambda one: order[one.technique.work]))
