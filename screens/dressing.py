"""The garments in dressing order, without a screen: hours, stages, steps, occasions.

Texts are whole here; who draws them cuts them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from planner.editing import dressing_order
from planner.estimate import Operation
from planner.ground import all_operations
from planner.model import STAGES, Ensemble, Garment, OccasionKind, Place, Project, Source
from planner.plan import Plan, PlannedOccasion, PlannedStep
from planner.problems import InputError
from planner.quantity import LENGTH, Quantity
from screens.aftercare_told import of_aftercare
from screens.wording import (
    clean,
    column,
    count,
    hour,
    long_date,
    name_of,
    named_date,
    occasion_name,
    on_date,
    short_date,
    spoken,
    the_occasion,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StageAt:
    """A stage of a garment, and when it is reached."""

    stage: str
    reached: bool
    on: date | None
    """By the plan; None where it is reached already, or never."""

    @property
    def told(self) -> str:
        """ "fittable Thu 3 Jun", "wearable", "not wearable"."""
        if self.reached:
            return self.stage
        if self.on is None:
            return f"not {self.stage}"
        return f"{self.stage} {' '.join(short_date(self.on).split())}"


@dataclass(frozen=True, slots=True, kw_only=True)
class GarmentRow:
    """A garment as a line tells it."""

    id: str
    """Full id."""
    name: str
    layer: int | None
    source: str
    wearer: str
    steps: tuple[PlannedStep, ...]
    """In the file's order, also what is done or left off."""
    left: int
    """Minutes left."""
    total: int
    """Minutes of all that isn't left off."""
    low: int
    high: int
    """Bounds of ``total``."""
    stages: tuple[StageAt, ...]
    """Those it has, in their order."""

    @property
    def left_off(self) -> bool:
        """Whether everything of it is left off."""
        return bool(self.steps) and all(step.left_off for step in self.steps)

    @property
    def hours(self) -> str:
        """ "16:10 of 18:20", "done"; nothing where there is nothing to do."""
        if self.left_off:
            return "left off"
        if not self.total:
            return ""
        if not self.left:
            return "done"
        return f"{column(self.left)} of {column(self.total)}"

    @property
    def reached(self) -> str:
        """The stages in order, what is reached by its last alone."""
        if self.left_off or not self.steps:
            return ""
        ahead = [one for one in self.stages if not one.reached]
        there = [one for one in self.stages if one.reached]
        told = ([there[-1].told] if there else []) + [one.told for one in ahead]
        return ", ".join(told)

    @property
    def wearable(self) -> str:
        """When it can be worn, or that it can; where there is little room."""
        if self.left_off or not self.steps or not self.stages:
            return ""
        wanted = [one for one in self.stages if one.stage == "wearable" and not one.reached]
        there = [one for one in self.stages if one.reached]
        return (wanted or there or list(self.stages))[-1].told


def by_garment(plan: Plan) -> Mapping[str, tuple[PlannedStep, ...]]:
    """The plan's steps by full id of their garment."""
    found: dict[str, list[PlannedStep]] = defaultdict(list)
    for step in plan.steps:
        found[step.id.rsplit("/", 1)[0]].append(step)
    return {garment: tuple(steps) for garment, steps in found.items()}


def garment_rows(plan: Plan, ensemble: Ensemble) -> list[GarmentRow]:
    """The garments of an ensemble as they are put on."""
    steps = by_garment(plan)
    return [
        _row(plan, f"{ensemble.id}/{garment.id}", garment, steps)
        for garment in dressing_order(ensemble)
    ]


def _row(
    plan: Plan, ident: str, garment: Garment, by: Mapping[str, tuple[PlannedStep, ...]]
) -> GarmentRow:
    known = {step.id: step for step in by.get(ident, ())}
    order = [f"{ident}/{step.id}" for step in garment.steps]
    steps = tuple(known[one] for one in order if one in known)
    kept = [step for step in steps if not step.left_off]
    return GarmentRow(
        id=ident,
        name=clean(garment.name) or clean(garment.id),
        layer=garment.layer,
        source=garment.source.value,
        wearer=clean(garment.wearer),
        steps=steps,
        left=sum(step.left for step in kept if not step.done),
        total=sum(step.minutes for step in kept),
        low=sum(step.low for step in kept),
        high=sum(step.high for step in kept),
        stages=tuple(_stages(plan, kept)),
    )


def _stages(plan: Plan, steps: Sequence[PlannedStep]) -> list[StageAt]:
    """Each stage that steps carry; wearable and finished where none does, by all of them.

    What can be worn can be fitted: a stage is told no earlier than those before it, also where
    its own steps are done sooner.
    """
    required = [step for step in steps if not step.optional or step.stage]
    found: list[StageAt] = []
    for stage in STAGES:
        carriers = [step for step in steps if step.stage == stage]
        if not carriers and stage != "fittable":
            carriers = required
        if not carriers:
            continue
        at = _not_before(found, _reached(plan, stage, carriers))
        if stage == "finished" and found and (at.on, at.reached) == (found[-1].on, False):
            continue
        found.append(at)
    return found


def _not_before(found: Sequence[StageAt], at: StageAt) -> StageAt:
    """A stage as late as the one before it."""
    earlier = found[-1] if found else None
    if earlier is None or earlier.reached:
        return at
    if earlier.on is None or (at.on is None and not at.reached):
        return replace(at, reached=False, on=None)
    return replace(at, reached=False, on=max(earlier.on, at.on or earlier.on))


def _reached(plan: Plan, stage: str, carriers: Sequence[PlannedStep]) -> StageAt:
    """When the last of the steps that carry a stage is done."""
    ahead = [step for step in carriers if not step.done]
    if not ahead:
        return StageAt(stage=stage, reached=True, on=None)
    days = [_day(plan, step) for step in ahead]
    known = [day for day in days if day is not None]
    return StageAt(
        stage=stage, reached=False, on=max(known) if known and len(known) == len(days) else None
    )


def _day(plan: Plan, step: PlannedStep) -> date | None:
    """The day a step ends on, at an occasion that occasion's."""
    if step.last_day is not None or step.during is None:
        return step.last_day
    at = (one.at.date() for one in plan.occasions if one.id == step.during)
    return next(at, None)


# a garment opened


SOURCES = {
    Source.MAKE: "is made",
    Source.OWN: "is in the wardrobe",
    Source.ALTER: "is altered",
    Source.BORROW: "is borrowed",
    Source.BUY: "is bought",
}


def garment_heading(row: GarmentRow) -> str:
    """ "Stays: 16 h 10 of 18 h 20 left (11 h to 25 h in all), fittable Thu 3 Jun"."""
    hours = row.hours
    if row.left and not row.left_off:
        bounds = f"{spoken(row.low)} to {spoken(row.high)}"
        all_of_it = f" of {spoken(row.total)}" if row.left != row.total else ""
        hours = f"{spoken(row.left)}{all_of_it} left ({bounds} in all)"
        if not all_of_it:
            hours = f"{spoken(row.left)} of work ({bounds})"
    wearer = f" of {row.wearer}" if row.wearer else ""
    told = ", ".join(part for part in (hours, row.reached) if part)
    return f"{row.name}{wearer}: {told}" if told else f"{row.name}{wearer}"


def nothing_to_do(garment: Garment) -> str:
    """What to say of a garment without steps."""
    told = "No step yet: i adds the first."
    if garment.source is Source.MAKE:
        return told
    return f"It {SOURCES[garment.source]}. {told}"


def operations_of(project: Project) -> Mapping[str, Operation]:
    """Every step as it is to be done, by full id; also those left off. Empty where files are
    wrong."""
    try:
        return all_operations(project)
    except InputError:
        return {}


def amount_told(op: Operation | None, units: str) -> str:
    """How much of a step there is: "3.2 m", "8"."""
    return quantity_told(op.quantity, units) if op is not None and op.quantity else ""


def quantity_told(quantity: Quantity, units: str) -> str:
    """A quantity in few letters, rounded as one would say it."""
    if not quantity.dimension:
        return f"{quantity.value:.4g}"
    power = 1 if quantity.dimension == LENGTH else 2
    metres, unit = (1.0, "m") if units == "metric" else (0.9144, "yd")
    small, smaller = (0.01, "cm") if units == "metric" else (0.0254, "in")
    value, name = quantity.value / metres**power, unit
    if value < 1 or (name == "yd" and power == 1 and value < 2):  # as it is measured
        value, name = quantity.value / small**power, smaller
    told = f"{value:.2f}".rstrip("0").rstrip(".") if value < 100 else f"{value:.0f}"
    return f"{told} {name}{'2' if power == 2 else ''}"


def step_state(plan: Plan, step: PlannedStep) -> str:
    """Done, left off, or the day it is planned to end on."""
    if step.left_off:
        return "left off"
    if step.done:
        return "done"
    day = _day(plan, step)
    if day is not None:
        return short_date(day)
    if step.wanted:
        return "no day"
    return "worn next" if of_aftercare(plan, step.id) else "not wanted"


def step_facts(
    plan: Plan, step: PlannedStep, op: Operation | None, technique: str, uses: Sequence[str]
) -> list[str]:
    """All facts of a step as sentences; reason and caution are told elsewhere.

    ``technique`` is the name of its technique, ``uses`` what it takes of the stock.
    """
    written = op.step if op is not None else None
    found = [_work_told(step, op)]
    if technique and technique != name_of(plan, step.id):
        found.append(f"Technique: {technique}.")
    if op is not None and op.quantity is not None:
        found.append(_amount_sentence(op, plan.units))
    minutes, low, high = _minutes(step, op)
    effort = f", effort {written.effort:g}" if written and written.effort != 1 else ""
    found.append(f"It takes {spoken(minutes)} ({spoken(low)} to {spoken(high)}{effort}).")
    if step.first_day and step.last_day and not step.done:
        found.append(_planned(plan, step.first_day, step.last_day))
    if step.after:
        garment = step.id.rpartition("/")[0]
        names = [_before(plan, one, garment) for one in step.after]
        found.append(f"It comes after {', '.join(names)}.")
    if uses:
        found.append(f"It uses {', '.join(uses)}.")
    if step.stage:
        found.append(f"With it the garment is {step.stage}.")
    if step.optional:
        found.append(f"It could be left off; missed: {step.missed} of 5.")
    return found


def _work_told(step: PlannedStep, op: Operation | None) -> str:
    """ "Hand, on the sofa, in one sitting."."""
    work, place = (op.work, op.place) if op is not None else (step.work, step.place)
    told = f"{work.value.capitalize()}, {_PLACES[place]}"
    if (op.hands if op is not None else step.hands) > 1:
        told += ", two pairs of hands"
    if op.one_sitting if op is not None else step.one_sitting:
        told += ", in one sitting"
    return f"{told}."


def _minutes(step: PlannedStep, op: Operation | None) -> tuple[int, int, int]:
    """Typical, low and high; the plan's, but of a step left off the estimate's."""
    if step.left_off and op is not None:
        low, high = round(op.minutes.low), round(op.minutes.high)
        return round(op.minutes.typical), low, high
    return step.minutes, step.low, step.high


def _amount_sentence(op: Operation, units: str) -> str:
    """ "How much: seam × seams = 3.2 m."."""
    amount = amount_told(op, units)
    factors = [
        clean(one) if isinstance(one, str) else quantity_told(one, units) for one in op.step.amount
    ]
    whole = " × ".join(factors)
    return f"How much: {amount}." if whole in ("", amount) else f"How much: {whole} = {amount}."


def _planned(plan: Plan, first: date, last: date) -> str:
    today = plan.now.date()
    if first == last:
        return f"Planned {on_date(last, today)}."
    return f"Planned from {named_date(first, today)} to {named_date(last, today)}."


_PLACES = {
    Place.WORKROOM: "in the workroom",
    Place.SOFA: "on the sofa",
    Place.TAKE_ALONG: "on the way",
}


def _before(plan: Plan, ident: str, garment: str) -> str:
    if any(one.id == ident for one in plan.occasions):
        return the_occasion(plan, ident)
    other = ident.rpartition("/")[0]
    name = f"“{name_of(plan, ident)}”"
    return name if other == garment else f"{name} ({name_of(plan, other)})"


# occasions


def occasions_of(plan: Plan, ensemble: str) -> list[PlannedOccasion]:
    """An ensemble's occasions in order of time."""
    return [one for one in plan.occasions if one.id.startswith(f"{ensemble}/")]


def occasion_told(occasion: PlannedOccasion) -> str:
    """ "fitting, 5 things to do", "event, 1 h 45 short"."""
    parts = [occasion.kind.value] if occasion_name(occasion) != occasion.kind.value else []
    if occasion.past:
        parts.append("past")
    if occasion.during:
        parts.append(f"{count(len(occasion.during), 'thing')} to do")
    if occasion.short:
        parts.append(f"{spoken(occasion.short)} short")
    if occasion.late:
        parts.append(f"{count(len(occasion.late), 'step')} late")
    return ", ".join(parts)


def occasion_heading(plan: Plan, occasion: PlannedOccasion) -> str:
    """Its name, day and hour."""
    day = long_date(occasion.at.date(), plan.now.date())
    return f"{occasion_name(occasion)}: {day}, {hour(occasion.kind, occasion.at) or 'all day'}"


def occasion_facts(plan: Plan, occasion: PlannedOccasion) -> list[str]:
    """How it stands, as sentences."""
    if occasion.past:
        return ["It is past."]
    found = []
    body = occasion.kind in (OccasionKind.FITTING, OccasionKind.TRIAL_WEAR)
    if body:
        found.append(f"It takes {spoken(occasion.takes)}.")
    if occasion.wants:
        found.append(f"{count(len(occasion.wants), 'step')} to finish before it.")
    if occasion.late:
        names = ", ".join(f"“{name_of(plan, one)}”" for one in occasion.late[:3])
        found.append(f"It lacks {names}{' and more' if len(occasion.late) > 3 else ''}.")
    if body and not occasion.during:
        found.append("Nothing is done at it yet: a step's form has “Done at”.")
    return found
