"""What an occasion needs: which garment must be how far, the work against the hours, what is done
at it, what is put on and packed, and what can wait. Worked out from a project and its plan.
"""

from __future__ import annotations

from datetime import datetime

from planner.before.at_it import packing, since, things, worn
from planner.before.values import Before, Hours, Item, Must, Part, Thing
from planner.before.wanted import Wanting, musts, parts, wanting
from planner.model import OccasionKind, Place, Project
from planner.plan import Plan, PlannedOccasion, PlannedStep

__all__ = ["Before", "Hours", "Item", "Must", "Part", "Thing", "needs", "next_occasion"]

_PACKED = (OccasionKind.DEPARTURE, OccasionKind.EVENT)


def needs(project: Project, plan: Plan, occasion: PlannedOccasion) -> Before:
    """What an occasion of the plan needs, by now."""
    want = wanting(project, plan, occasion)
    by = _by(plan, occasion)
    found = musts(want)
    spot = plan.tight_spot
    put_on = worn(want, by) if occasion.kind is not OccasionKind.FITTING else ()
    wanted = [one for one in want.steps if one in want.wanted or one in occasion.during]
    at_it = things(want)
    return Before(
        occasion=occasion,
        by=by,
        hours=_hours(want, found, by),
        tight=bool(spot and spot.steps and spot.end <= by and not occasion.past),
        musts=found,
        parts=parts(want, found),
        things=at_it,
        at_it=sum(want.steps[one.step].left for one in at_it),
        kept=occasion.takes,
        said=want.index.occasions[occasion.id].takes is not None,
        worn=put_on,
        packing=packing(want, put_on) if occasion.kind in _PACKED else (),
        can_wait=_can_wait(want, found, by),
        lacked=tuple(s for s in wanted if not want.steps[s].done) if occasion.past else (),
        done_since=since(want, wanted) if occasion.past else (),
    )


def next_occasion(plan: Plan) -> PlannedOccasion | None:
    """The next that isn't past; after all are past, the last."""
    ahead = [one for one in plan.occasions if not one.past]
    return next(iter(ahead or plan.occasions[-1:]), None)


def _by(plan: Plan, occasion: PlannedOccasion) -> datetime:
    """By when all must be there: its ready-by, or its beginning once that is past."""
    return occasion.at if occasion.ready_by <= plan.now < occasion.at else occasion.ready_by


def _hours(want: Wanting, found: tuple[Must, ...], by: datetime) -> Hours:
    """Work against hours: its own, what others want by then, and the hours that serve both."""
    plan = want.plan
    own = [want.steps[one] for must in found for one in must.open]
    own = [step for step in own if not _at_a_coming(want, step)]
    others = [
        step
        for step in plan.steps
        if step.id not in want.wanted
        and not (step.done or step.left_off or _at_a_coming(want, step))
        and step.due is not None
        and step.due <= by
    ]
    others = [step for step in others if step.left]
    wanting_it = {step.due_for for step in others}
    there = dict.fromkeys(Place, 0)
    for window in plan.windows:
        if window.start >= plan.now and window.end <= by:
            there[window.place] += window.minutes
    return Hours(
        left=sum(step.left for step in own),
        also=sum(step.left for step in others),
        also_for=tuple(one.id for one in plan.occasions if one.id in wanting_it),
        also_of=tuple(dict.fromkeys(step.id.split("/")[0] for step in others)),
        there=sum(there.values()),
        serving=_serving(there, [*own, *others]),
    )


def _at_a_coming(want: Wanting, step: PlannedStep) -> bool:
    """Whether it is done at an occasion to come, in that one's own time."""
    return step.during is not None and not any(
        one.id == step.during and one.past for one in want.plan.occasions
    )


def _serving(there: dict[Place, int], work: list[PlannedStep]) -> int:
    """Hours in which some of the work can be done: on the way no more than what can be taken
    along, on the sofa no more than what can be done there besides; the workroom serves all."""
    along = sum(step.left for step in work if _place(step) is Place.TAKE_ALONG)
    sofa = sum(step.left for step in work if _place(step) is Place.SOFA)
    on_the_way = min(there[Place.TAKE_ALONG], along)
    return there[Place.WORKROOM] + on_the_way + min(there[Place.SOFA], sofa + along - on_the_way)


def _place(step: PlannedStep) -> Place:
    """The least place it needs; two pairs of hands are had in the workroom only."""
    return Place.WORKROOM if step.hands > 1 or step.during else step.place


def _can_wait(want: Wanting, found: tuple[Must, ...], by: datetime) -> tuple[str, ...]:
    """Open steps of the ensembles it is about that need not be done by then."""
    if want.occasion.past:
        return ()
    about = {want.occasion.id.split("/")[0], *(must.garment.split("/")[0] for must in found)}
    others = {step.id for step in want.steps.values() if step.due is not None and step.due <= by}
    return tuple(
        step.id
        for step in want.steps.values()
        if step.id.split("/")[0] in about
        and step.id not in want.wanted
        and step.id not in others
        and not (step.done or step.left_off or step.during)
        and step.left
    )
