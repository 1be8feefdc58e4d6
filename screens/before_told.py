"""What an occasion needs, in words: which it is, and whether all can be there by then.

For the screen and the command alike. Sentences are whole; who draws them wraps them. Its steps
are told by ``before_steps_told``, its own list by ``before_list_told``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from planner.before import Before
from planner.model import Project
from planner.plan import Plan, PlannedOccasion
from screens.wording import (
    count,
    days_off,
    end_of_day_before,
    listed,
    long_date,
    name_of,
    named_date,
    named_moment,
    occasion_name,
    short_date,
    short_names,
    spoken,
    step_with_garment,
    with_article,
)

NAMED = 6
"""So many garments are named in a sentence."""


# which occasion


def label(plan: Plan, occasion: PlannedOccasion) -> str:
    """An occasion to choose from, in few words: "Sat 8 May fitting"; with its ensemble where
    two are alike."""
    text = f"{short_date(occasion.at.date())} {occasion.kind.value}"
    alike = [one for one in plan.occasions if (one.at, one.kind) == (occasion.at, occasion.kind)]
    if len(alike) > 1:
        text += f", {ensembles_in_short(plan)[occasion.id.split('/')[0]]}"
    return " ".join(text.split())


def labels(plan: Plan) -> list[str]:
    """Each occasion's label, shorter where it is like the one before it: "same, Lamp-keeper"."""
    found = []
    before: PlannedOccasion | None = None
    for one in plan.occasions:
        text = label(plan, one)
        if before is not None and (before.at, before.kind) == (one.at, one.kind):
            text = f"same,{text.rpartition(',')[2]}"
        found.append(text)
        before = one
    return found


def ensembles_in_short(plan: Plan) -> dict[str, str]:
    """Each ensemble's name, or what is left of it where there is little room."""
    names = {ident: name_of(plan, ident) for ident in plan.names if "/" not in ident}
    short = short_names(names.values())
    return {ident: short[name] for ident, name in names.items()}


# the answer


class Weight(Enum):
    """How much a sentence weighs."""

    PLAIN = auto()
    STRONG = auto()
    GRAVE = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sentence of the answer."""

    text: str
    weight: Weight = Weight.PLAIN


def answer(plan: Plan, needed: Before) -> list[Said]:
    """When it is, whether all can be there by then, and what that is."""
    when = Said(text=_when(plan, needed))
    if needed.occasion.past:
        weight = Weight.STRONG if not needed.lacked else Weight.GRAVE
        return [when, *(Said(text=text, weight=weight) for text in _lacking(plan, needed))]
    weight = Weight.STRONG if needed.occasion.fits or not needed.open else Weight.GRAVE
    found = [
        when,
        Said(text=whether(needed), weight=weight),
        Said(text=_late(plan, needed), weight=Weight.GRAVE),
        Said(text=what_must_be_there(plan, needed)),
    ]
    return [one for one in found if one.text]


def _when(plan: Plan, needed: Before) -> str:
    """ "The Body fitting is on Saturday 8 May, 14:00, in 3 days."; by when all must be ready."""
    occasion, today = needed.occasion, plan.now.date()
    name = capital(with_article(occasion_name(occasion)))
    ensembles = ensembles_in_short(plan)
    if len(ensembles) > 1 and _shared_name(plan, occasion):
        name += f" ({ensembles[occasion.id.split('/')[0]]})"
    day = occasion.at.date()
    if occasion.past:
        return f"{name} was on {long_date(day, today)}."
    if occasion.at <= plan.now:
        return f"{name} goes on till {named_moment(occasion.end, today)}."
    far = days_off(day, today) if day != today else "today"
    told = f"{name} is on {long_date(day, today)}, {occasion.at:%H:%M}, {far}"
    return f"{told}; all must be ready by {_by(plan, needed)}." if _early(needed) else f"{told}."


def _shared_name(plan: Plan, occasion: PlannedOccasion) -> bool:
    """Whether another occasion is called the same."""
    return sum(one.name == occasion.name for one in plan.occasions) > 1


def _early(needed: Before) -> bool:
    return needed.by != needed.occasion.at


def _by(plan: Plan, needed: Before) -> str:
    """By when all must be ready, where that isn't its beginning."""
    today = plan.now.date()
    last = end_of_day_before(needed.by)
    if last != needed.by.date():
        return f"the end of {named_date(last, today)}"
    return named_moment(needed.by, today)


def whether(needed: Before) -> str:
    """Whether it can be: work against the hours that serve it."""
    occasion, hours = needed.occasion, needed.hours
    if not needed.open:
        return "Nothing is left to do before it."
    work = f"{spoken(hours.left)} of work" if hours.left else "no work that takes hours"
    if hours.also:
        work += f" and {spoken(hours.also)} that others want by then"
    there = f"{spoken(hours.serving)} of hours that serve it"
    if occasion.fits is None:
        return f"Whether all of it can be done could not be shown: {work}, in {there}."
    if occasion.fits:
        over = f"; {spoken(hours.over)} left over" if hours.over > 0 else ""
        return f"All of it can be done: {work}, in {there}{over}."
    return f"Not all of it can be done: {work}, in {there}{_short(needed)}."


def _short(needed: Before) -> str:
    """How much is missing."""
    short = needed.occasion.short
    if not short:
        return "" if needed.occasion.late else "; days on the way to it are over"
    if needed.hours.over == -short:
        return f"; {spoken(short)} short"
    return f"; {spoken(short)} short where it is tightest"


def _late(plan: Plan, needed: Before) -> str:
    """What is late for it, by name."""
    late = needed.occasion.late
    if not late:
        return ""
    names = listed([step_with_garment(plan, one) for one in late])
    return f"{count(len(late), 'step')} {_is(len(late))} late for it: {names}."


def what_must_be_there(plan: Plan, needed: Before) -> str:
    """Which garments must have reached which stage: "Fittable by then: Stays; wearable: ..."."""
    short = garments_in_short(plan, needed)
    groups: dict[str, list[str]] = {}
    for must in needed.musts:
        stage = must.stage or "as far as needed"
        groups.setdefault("there already" if must.there else stage, []).append(short[must.garment])
    order = ("fittable", "wearable", "finished", "as far as needed", "there already")
    told = [
        f"{stage}{' by then' if not place else ''}: {listed(groups[stage], NAMED)}"
        for place, stage in enumerate(one for one in order if one in groups)
    ]
    return f"{capital('; '.join(told))}." if told else ""


def garments_in_short(plan: Plan, needed: Before) -> dict[str, str]:
    """Names of the garments it is about, in few words where those are no two alike."""
    ids = dict.fromkeys(
        [
            *(must.garment for must in needed.musts),
            *(one.rpartition("/")[0] for one in needed.can_wait),
            *(thing.step.rpartition("/")[0] for thing in needed.things),
            *(garment for thing in needed.things for garment in thing.under),
            *(item.garment for item in needed.worn if item.garment),
        ]
    )
    names = {ident: name_of(plan, ident) for ident in ids}
    short = short_names(dict.fromkeys(names.values()))
    return {ident: short[name] for ident, name in names.items()}


# an occasion that is past


def _lacking(plan: Plan, needed: Before) -> list[str]:
    """What it lacked."""
    lacked, since = needed.lacked, needed.done_since
    if not lacked and not since:
        return ["It lacked nothing."]
    steps = {step.id: step for step in plan.steps}
    found = []
    if lacked:
        left = sum(steps[one].left for one in lacked)
        names = listed([step_with_garment(plan, one) for one in lacked])
        found.append(f"It lacked {count(len(lacked), 'step')}, {spoken(left)} of work: {names}.")
    if since:
        names = listed([step_with_garment(plan, one) for one in since])
        found.append(f"Not done then, but done since: {names}.")
    return found


# small words


def _is(number: int) -> str:
    return "is" if number == 1 else "are"


def capital(text: str) -> str:
    """A text as the beginning of a sentence."""
    return text[:1].upper() + text[1:]


def no_occasions(project: Project) -> list[str]:
    """What to say where there is none, and what to do."""
    if not project.ensembles:
        return ["There is no ensemble yet, and so no occasion: in the garments, i begins one."]
    return [
        "There is no occasion yet: go to the garments with g, stand below them, and add a",
        "fitting, a trial wear, a departure or an event with i.",
    ]
