"""`wearby handwork`: every hand step by day and garment, against the day's limit."""

from __future__ import annotations

from typing import Any

from planner.handwork import HandPlace, HandWork, hand_work
from planner.other_ways import OtherWay
from planner.plan import Plan, PlannedStep
from screens.answers import Question, fits_status
from screens.handwork_told import (
    WHERE,
    DayPart,
    could_be,
    day_head,
    day_over,
    day_parts,
    summary,
    way_sentences,
)
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.why import cautions
from screens.wording import (
    clean,
    column,
    garment_of,
    name_of,
    spoken,
    step_with_garment,
    wrapped,
)


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """Days with hand work, their minutes, where it is held, and the ways by machine."""
    from planner.exports.as_json import place_as_json, sitting_as_json

    plan = question.plan
    work = hand_work(question.project, plan)
    return {
        **common(plan),
        "limit": work.limit,
        "minutes": work.minutes,
        "without_day": work.without_day,
        "sofa": _place_as_json(work.sofa),
        "take_along": _place_as_json(work.on_the_way),
        "workroom": work.workroom,
        "could_leave": work.could_leave,
        "at_occasions": work.at_occasions,
        "could_save": work.could_save,
        "caution": work.caution,
        "days": [
            {
                "date": day.date.isoformat(),
                "minutes": day.minutes,
                "over": day.over,
                "sittings": [sitting_as_json(sitting) for sitting in day.sittings],
            }
            for day in work.days
        ],
        "steps": [
            {
                "step": one.step.id,
                "left": one.step.left,
                "minutes": one.minutes,
                "place": place_as_json(one.step.place),
                "days": [day.isoformat() for day in one.days],
                "by_machine": [_way_as_json(way) for way in one.ways],
            }
            for one in work.steps
        ],
        "to_machine": [_way_as_json(way) for way in work.to_machine],
    }


def _place_as_json(place: HandPlace) -> dict[str, int]:
    return {
        "available": place.available,
        "planned": place.planned,
        "hand": place.hand,
        "could": place.could,
    }


def _way_as_json(way: OtherWay) -> dict[str, Any]:
    return {
        "step": way.step,
        "instead": way.index,
        "offered": way.offered,
        "name": clean(way.name),
        "technique": way.technique,
        "minutes": way.left,
        "saved": way.saved,
        "missed": way.missed,
    }


def lines(question: Question) -> list[str]:
    """The verdict, the sum and the limit, then day by day, then what a machine would save."""
    plan = question.plan
    work = hand_work(question.project, plan)
    found = [*verdict(plan), "", *wrapped(summary(plan, work), WIDTH)]
    if work.steps:
        found += wrapped([work.caution], WIDTH)
    found += _days(plan, work) + _without_day(plan, work) + _by_machine(plan, work)
    return found


def _days(plan: Plan, work: HandWork) -> list[str]:
    """Every day with its steps; a caution once."""
    steps = {step.id: step for step in plan.steps}
    names = names_column(
        name_of(plan, one.step) for day in work.days for one in day.sittings
    )
    found: list[str] = []
    warned = {work.caution}
    for day in work.days:
        over = day_over(day)
        found += ["", f"{day_head(day, work.limit)}{f'   {over}' if over else ''}"]
        for part in day_parts(day):
            found += _line(plan, part, steps[part.step], names)
            for caution in cautions(steps[part.step]):
                if caution not in warned:
                    warned.add(caution)
                    found += [f"{'':21}{line}" for line in wrapped([caution], WIDTH - 21)]
    return found


def _line(plan: Plan, part: DayPart, step: PlannedStep, names: int) -> list[str]:
    """A hand step: minutes, where it is planned, its name, its garment, where else it could be."""
    could = could_be(step, part.where)
    told = f"{garment_of(plan, part.step)}{f'; {could}' if could else ''}"
    return named(
        f"  {column(part.minutes):>5}  {WHERE[part.where]:<10}  ",
        name_of(plan, part.step),
        told,
        names,
    )


def _without_day(plan: Plan, work: HandWork) -> list[str]:
    """Steps for which there is no day."""
    lacking = [one for one in work.steps if not one.days]
    if not lacking:
        return []
    found = ["", "On no day, for there is no time for it:"]
    for one in lacking:
        told = f"{step_with_garment(plan, one.step.id)}, {spoken(one.step.left)}."
        found += [f"  {line}" for line in wrapped([told], WIDTH - 2)]
    return found


def _by_machine(plan: Plan, work: HandWork) -> list[str]:
    """What the machine would save, step by step."""
    found: list[str] = []
    for one in work.steps:
        for way in one.ways:
            told = [f"{step_with_garment(plan, one.step.id)}.", *way_sentences(plan, way)]
            found += [f"  {line}" for line in wrapped(told, WIDTH - 2)]
    return ["", "What a machine would save:", *found] if found else []
