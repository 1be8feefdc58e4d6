"""What two plans say of occasions, stock and steps, set beside each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from planner.exports.account import stock_reports_of
from planner.kept import kept_of
from planner.model import Kept, Project
from planner.plan import NoteKind, Plan
from planner.replanning.values import OccasionMoved, OrderMissed, ShortMoved, WearableMoved

Late = tuple[tuple[str, str], ...]


def late_then_and_now(before: Kept, after: Plan, plan: Plan | None) -> tuple[Late, Late | None]:
    """Steps newly late with their occasions, and those late no longer.

    Of a kept plan alone it is known that a step was not late which ended by the ready-by, and
    ends later now. (What must rest until then can be late though it ends before.)
    """
    now = [(step, o.id) for o in after.occasions for step in o.late]
    if plan is not None:
        was = [(step, o.id) for o in plan.occasions for step in o.late]
        done = {step.id for step in after.steps if step.done}
        there = {step.id for step in after.steps}
        freed = set(was) - set(now)
        return (
            tuple(one for one in now if one not in set(was)),
            tuple(one for one in was if one in freed and one[0] in there - done),
        )
    ends, later = _ends(before), _ends(kept_of(after))
    ready = {o.id: o.ready_by for o in after.occasions}
    new = [
        (step, o)
        for step, o in now
        if step in ends and ends[step] <= ready[o] and ready[o] > after.now
        if later.get(step, datetime.max) > ends[step]
    ]
    return tuple(new), None


def _ends(kept: Kept) -> dict[str, datetime]:
    """By step, the end of the last hours in which it was planned."""
    found: dict[str, datetime] = {}
    for hours in kept.hours:
        for step, _ in hours.planned:
            found[step] = max(hours.end, found.get(step, hours.end))
    return found


def nothing_to_spare(after: Plan, before: Plan | None) -> tuple[str, ...] | None:
    """Steps with nothing to spare that had something; None where that isn't known."""
    if before is None:
        return None
    was = set(_without_spare(before))
    known = {step.id for step in before.steps if step.wanted and not step.done}
    return tuple(step for step in _without_spare(after) if step in known - was)


def _without_spare(plan: Plan) -> list[str]:
    return [
        step.id
        for step in plan.steps
        if any(note.kind is NoteKind.NOTHING_TO_SPARE for note in step.notes)
    ]


def short_moved(before: Kept, after: Plan) -> tuple[ShortMoved, ...]:
    """Coming occasions with other minutes short than before, in order of time."""
    return tuple(
        ShortMoved(occasion=o.id, before=before.short.get(o.id, 0), after=o.short)
        for o in after.occasions
        if not o.past and o.short != before.short.get(o.id, 0)
    )


def occasions_moved(after: Plan, before: Plan | None) -> tuple[OccasionMoved, ...]:
    """Occasions at another time, in order of time."""
    if before is None:
        return ()
    was = {o.id: o.at for o in before.occasions}
    return tuple(
        OccasionMoved(occasion=o.id, before=was[o.id], after=o.at)
        for o in after.occasions
        if o.id in was and was[o.id] != o.at
    )


def wearable_moved(before: Kept, after: Plan) -> tuple[WearableMoved, ...]:
    """Ensembles that can be worn on another day than before.

    What could be worn then and can be now is no news, whatever day is told for it.
    """
    found = []
    for ensemble, day in after.wearable_on.items():
        was = before.wearable.get(ensemble)
        if was != day and not _both_by_now(was, day, after.now.date()):
            found.append(WearableMoved(ensemble=ensemble, before=was, after=day))
    return tuple(found)


def _both_by_now(was: date | None, day: date | None, today: date) -> bool:
    """Whether it was to be wearable by today and is."""
    return was is not None and day is not None and was <= today and day <= today


def orders_missed(
    before: Kept,
    after: Plan,
    project: Project,
    before_plan: Plan | None,
    before_project: Project | None,
) -> tuple[OrderMissed, ...]:
    """Stock of which the last day to order in time went by, and hadn't before."""
    gone = _gone_by(project, after)
    if not gone:
        return ()
    if before_plan is not None and before_project is not None:
        was: Iterable[str] = _gone_by(before_project, before_plan)
    else:
        then = before.as_of.date() if before.as_of is not None else date.min
        was = [stock for stock, day in gone.items() if day < then]
    return tuple(
        OrderMissed(stock=stock, order_by=day) for stock, day in gone.items() if stock not in was
    )


def _gone_by(project: Project, plan: Plan) -> Mapping[str, date]:
    """By stock, the order-by dates before the plan's day."""
    if not any(ensemble.stock for ensemble in project.ensembles):
        return {}
    return {
        one.id: one.order_by
        for one in stock_reports_of(project, plan)
        if one.order_by is not None and one.order_by < plan.now.date()
    }
