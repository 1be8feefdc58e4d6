"""`wearby handwork`: every hand step by day and garment, against the day's limit."""

from __future__ import annotations

from typing import Any

from planner.model import Place, Work
from planner.plan import Plan, PlannedStep, Sitting, Where
from screens.answers import Question, fits_status
from screens.countdown import OnDay, days_of
from screens.plain.lines import WIDTH, common, named, names_column, verdict
from screens.why import cautions
from screens.wording import (
    column,
    garment_of,
    name_of,
    short_date,
    spoken,
    wrapped,
)


def status(question: Question) -> int:
    """Whether all fits."""
    return fits_status(question.plan.fits)


def as_json(question: Question) -> dict[str, Any]:
    """Days with hand work, their minutes, and what is beyond the limit."""
    from planner.exports.as_json import sitting_as_json

    plan = question.plan
    return {
        **common(plan),
        "limit": plan.hand_sewing_limit,
        "days": [
            {
                "date": on_day.day.date.isoformat(),
                "minutes": on_day.day.hand_minutes,
                "over": _over(plan, on_day.day.hand_minutes),
                "sittings": [sitting_as_json(sitting) for sitting in sittings],
            }
            for on_day, sittings in _hand_days(plan)
        ],
    }


def lines(question: Question) -> list[str]:
    """The verdict, the sum and the limit, then day by day."""
    plan = question.plan
    days = _hand_days(plan)
    found = [*verdict(plan), "", *wrapped(_summary(plan, days), WIDTH)]
    steps = {step.id: step for step in plan.steps}
    names = names_column(name_of(plan, one.step) for _, sittings in days for one in sittings)
    warned: set[str] = set()
    for on_day, sittings in days:
        limit = f" of {column(plan.hand_sewing_limit)}" if plan.hand_sewing_limit else ""
        minutes = on_day.day.hand_minutes
        over = _over(plan, minutes)
        much = f"   {column(over)} more than you want in a day" if over else ""
        found.append(f"{short_date(on_day.day.date)}  {column(minutes):>5}{limit}{much}")
        for sitting in sittings:
            found += _line(plan, sitting, steps[sitting.step], names)
            for caution in cautions(steps[sitting.step]):
                if caution not in warned:
                    warned.add(caution)
                    found += [f"{'':21}{line}" for line in wrapped([caution], WIDTH - 21)]
    return found


def _hand_days(plan: Plan) -> list[tuple[OnDay, list[Sitting]]]:
    """Days that have hand work, with its sittings by garment."""
    hand = {step.id for step in plan.steps if step.work is Work.HAND}
    found = []
    for on_day in days_of(plan):
        sittings = [sitting for sitting in on_day.sittings if sitting.step in hand]
        if sittings:
            sittings.sort(key=lambda sitting: garment_of(plan, sitting.step))
            found.append((on_day, sittings))
    return found


def _summary(plan: Plan, days: list[tuple[OnDay, list[Sitting]]]) -> list[str]:
    """How much there is, on how many days, and what is too much."""
    if not days:
        return ["No hand sewing is planned."]
    total = sum(sitting.minutes for _, sittings in days for sitting in sittings)
    found = [f"{spoken(total)} of hand sewing on {len(days)} days." if len(days) > 1 else
             f"{spoken(total)} of hand sewing on one day."]  # fmt: skip
    if plan.hand_sewing_limit is None:
        return found
    beyond = [on_day for on_day, _ in days if _over(plan, on_day.day.hand_minutes)]
    limit = spoken(plan.hand_sewing_limit)
    if beyond:
        found.append(
            f"{len(beyond)} of them {'goes' if len(beyond) == 1 else 'go'} beyond the {limit} you"
            " want in a day: rest your hands."
        )
    else:
        found.append(f"No day is beyond the {limit} you want.")
    return found


def _over(plan: Plan, minutes: int) -> int:
    """Minutes beyond the limit."""
    return max(0, minutes - plan.hand_sewing_limit) if plan.hand_sewing_limit else 0


def _line(plan: Plan, sitting: Sitting, step: PlannedStep, names: int) -> list[str]:
    """A hand step: minutes, where it is planned, its name, its garment, where else it could be."""
    where = _WHERE[sitting.where]
    least = _LEAST[step.place]
    could = f"; {least}" if sitting.where is Where.WORKROOM and least else ""
    told = f"{garment_of(plan, sitting.step)}{could}"
    return named(
        f"  {column(sitting.minutes):>5}  {where:<10}  ", name_of(plan, sitting.step), told, names
    )


_WHERE = {
    Where.WORKROOM: "workroom",
    Where.SOFA: "sofa",
    Where.TAKE_ALONG: "on the way",
    Where.OCCASION: "occasion",
}
_LEAST = {
    Place.WORKROOM: "",
    Place.SOFA: "the sofa would do",
    Place.TAKE_ALONG: "could be taken along",
}
"""The least a step needs, where it is less than the workroom."""
