"""The hand sewing of a plan: when, where, how much a day, and what a machine would save."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from planner.catalogue import techniques
from planner.model import Place, Project, Work
from planner.other_ways import OtherWay, other_ways
from planner.plan import Plan, PlannedStep, Sitting, Where

LONG_HAND_SEWING = "hem-by-hand"
"""The technique whose caution is that of all long hand sewing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandDay:
    """A day with hand sewing."""

    date: date
    minutes: int
    """By hand, wherever."""
    over: int
    """Beyond the limit; 0 without one."""
    sittings: tuple[Sitting, ...]
    """In order of time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandStep:
    """A step by hand that is still to do, whether it has a day or not."""

    step: PlannedStep
    minutes: int
    """Planned on days; 0 of one that has none."""
    days: tuple[date, ...]
    wheres: tuple[Where, ...]
    """Where it is planned, each once."""
    ways: tuple[OtherWay, ...]
    """By machine, what saves most first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandPlace:
    """Hours away from the workroom, and the hand sewing in them."""

    place: Place
    """Sofa, or on the way."""
    available: int
    """From now to the last occasion."""
    planned: int
    """Of any work."""
    hand: int
    """Of it, by hand."""
    could: int
    """Hand sewing that could be done there, wherever it is planned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandWork:
    """All hand sewing of a plan."""

    limit: int | None
    minutes: int
    """Planned on days."""
    without_day: int
    """Minutes of wanted steps for which there is no time."""
    days: tuple[HandDay, ...]
    steps: tuple[HandStep, ...]
    """In order of the files."""
    sofa: HandPlace
    on_the_way: HandPlace
    workroom: int
    """Minutes planned in the workroom."""
    could_leave: int
    """Of those, minutes of steps that need no workroom."""
    at_occasions: int
    to_machine: tuple[OtherWay, ...]
    """Steps that were given to the machine, each with its way by hand."""
    caution: str
    """Of long hand sewing."""

    @property
    def over(self) -> tuple[HandDay, ...]:
        """The days beyond the limit."""
        return tuple(day for day in self.days if day.over)

    @property
    def could_save(self) -> int:
        """Minutes the machine would save in all that the files offer it for."""
        best = (next((w.saved for w in one.ways if w.offered), 0) for one in self.steps)
        return sum(max(0, saved) for saved in best)


def hand_work(project: Project, plan: Plan) -> HandWork:
    """The hand sewing of a plan, and what the project offers in its place."""
    steps = {step.id: step for step in plan.steps}
    hand = [step for step in plan.steps if step.work is Work.HAND and _to_do(step)]
    names = {step.id for step in plan.steps if step.work is Work.HAND}
    sittings = [sitting for sitting in plan.sittings if sitting.step in names]
    spent: dict[Where, int] = defaultdict(int)
    for one in sittings:
        spent[one.where] += one.minutes
    workroom = [one for one in sittings if one.where is Where.WORKROOM]
    ways = other_ways(
        project, {step.id for step in hand if not step.done}, plan.pace, usual=True
    )
    by_step: dict[str, list[Sitting]] = defaultdict(list)
    for one in sittings:
        by_step[one.step].append(one)
    found = tuple(_hand_step(step, by_step[step.id], ways.get(step.id, ())) for step in hand)
    return HandWork(
        limit=plan.hand_sewing_limit,
        minutes=sum(one.minutes for one in sittings),
        without_day=sum(one.step.left for one in found if not one.days),
        days=_days(plan, sittings),
        steps=found,
        sofa=_place(plan, sittings, steps, Place.SOFA, spent[Where.SOFA]),
        on_the_way=_place(plan, sittings, steps, Place.TAKE_ALONG, spent[Where.TAKE_ALONG]),
        workroom=spent[Where.WORKROOM],
        could_leave=sum(
            one.minutes for one in workroom if steps[one.step].place is not Place.WORKROOM
        ),
        at_occasions=spent[Where.OCCASION],
        to_machine=_to_machine(project, plan),
        caution=techniques()[LONG_HAND_SEWING].caution,
    )


def _to_do(step: PlannedStep) -> bool:
    """Whether a step is wanted and not done."""
    return step.wanted and not (step.done or step.left_off)


def _hand_step(
    step: PlannedStep, mine: Sequence[Sitting], ways: Sequence[OtherWay]
) -> HandStep:
    by_machine = [way for way in ways if way.work is Work.MACHINE]
    return HandStep(
        step=step,
        minutes=sum(one.minutes for one in mine),
        days=tuple(dict.fromkeys(one.date for one in mine)),
        wheres=tuple(dict.fromkeys(one.where for one in mine)),
        ways=tuple(sorted(by_machine, key=lambda way: -way.saved)),
    )


def _days(plan: Plan, sittings: Sequence[Sitting]) -> tuple[HandDay, ...]:
    """The days on which any of it is planned."""
    by_day: dict[date, list[Sitting]] = defaultdict(list)
    for one in sittings:
        by_day[one.date].append(one)
    limit = plan.hand_sewing_limit
    found = []
    for day in sorted(by_day):
        minutes = sum(one.minutes for one in by_day[day])
        over = max(0, minutes - limit) if limit is not None else 0
        found.append(
            HandDay(date=day, minutes=minutes, over=over, sittings=tuple(by_day[day]))
        )
    return tuple(found)


_WITHIN: dict[Place, Collection[Place]] = {
    Place.SOFA: (Place.SOFA, Place.TAKE_ALONG),
    Place.TAKE_ALONG: (Place.TAKE_ALONG,),
}
"""The least places of steps that hours of a place serve."""


def _place(
    plan: Plan,
    sittings: Sequence[Sitting],
    steps: dict[str, PlannedStep],
    place: Place,
    hand: int,
) -> HandPlace:
    """The hours of a place, up to the last occasion."""
    sofa = place is Place.SOFA
    return HandPlace(
        place=place,
        available=sum(d.sofa_available if sofa else d.take_along_available for d in plan.days),
        planned=sum(d.sofa_planned if sofa else d.take_along_planned for d in plan.days),
        hand=hand,
        could=sum(
            one.minutes
            for one in sittings
            if one.where is not Where.OCCASION
            and steps[one.step].place in _WITHIN[place]
            and steps[one.step].hands == 1
        ),
    )


def _to_machine(project: Project, plan: Plan) -> tuple[OtherWay, ...]:
    """By hand, what was given to the machine: its chosen way is no hand sewing."""
    by_machine = {s.id for s in plan.steps if _to_do(s) and s.work is Work.MACHINE}
    chosen = {
        full
        for ensemble in project.ensembles
        for garment in ensemble.garments
        for step in garment.steps
        if any(way.chosen for way in step.instead)
        and (full := f"{ensemble.id}/{garment.id}/{step.id}") in by_machine
    }
    ways = other_ways(project, chosen, plan.pace)
    return tuple(
        next(way for way in mine if way.work is Work.HAND)
        for mine in ways.values()
        if any(way.work is Work.HAND for way in mine)
    )
