"""What an occasion needs, in words: which it is, and whether all can be there by then.

For the screen and the command alike. Sentences are whole; who draws them wraps them. Its steps
are told by ``before_steps_told``, its own list by ``before_list_told``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum, auto

from planner.before import Before, Must
from planner.model import Project
from planner.plan import Plan, PlannedOccasion
from screens.before_others_told import musts_of, others, own_musts
from screens.wording import (
    clean,
    count,
    days_off,
    end_of_day_before,
    listed,
    long_date,
    name_of,
    named_date,
    named_moment,
    occasion_name,
    quoted,
    short_date,
    short_names,
    spoken,
    step_with_garment,
    with_article,
)

THERE = "there already"
NAMED = 12
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


def day_label(occasion: PlannedOccasion) -> str:
    """An occasion to choose from where there is little room: "Sat 8 May"."""
    return " ".join(short_date(occasion.at.date()).split())


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
        Said(text=whether(plan, needed), weight=weight),
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


def whether(plan: Plan, needed: Before) -> str:
    """Whether it can be: work against the hours that serve it."""
    occasion, hours = needed.occasion, needed.hours
    if not needed.open:
        return "Nothing is left to do before it."
    if occasion.fits is False and (worst := _short(plan, needed)):
        return worst
    work = f"{spoken(hours.left)} of work" if hours.left else "no work that takes hours"
    short = ensembles_in_short(plan)
    for one in others(plan, needed):
        if one.minutes:
            work += f", {spoken(one.minutes)} of it for {with_article(short[one.ensemble])},"
    if hours.also:
        work += f" and {spoken(hours.also)} {_others(plan, needed)} by then"
    work = work.rstrip(",")
    there = f"{spoken(hours.serving)} of hours that serve it"
    if occasion.fits is None:
        return f"Whether all of it can be done could not be shown: {work}, in {there}."
    if occasion.fits:
        over = f"; {spoken(hours.over)} left over" if hours.over > 0 else ""
        return f"All of it can be done: {work}, in {there}{over}."
    if occasion.short:
        return f"Not all of it can be done: {work}, in {there}; {spoken(occasion.short)} short."
    over = "" if occasion.late else "; days on the way to it are overfull"
    return f"Not all of it can be done: {work}, in {there}{over}."


def _others(plan: Plan, needed: Before) -> str:
    """Whose other work it is: "for the Tide-reckoner", "that the Sat 25 Sep fitting wants"."""
    short, hours = ensembles_in_short(plan), needed.hours
    if needed.occasion.id.split("/")[0] not in hours.also_of:
        return f"for {listed([with_article(short[one]) for one in hours.also_of])}"
    wanting = [f"the {label(plan, one)}" for one in plan.occasions if one.id in hours.also_for]
    return f"that {listed(wanting, 2)} {'wants' if len(wanting) == 1 else 'want'}"


def _short(plan: Plan, needed: Before) -> str:
    """How much is missing where that is worst, with the span; empty where it is worst over all
    the hours there are. One shortfall is told: a part can lack more than the whole."""
    short, spot = needed.occasion.short, plan.tight_spot
    if not short or needed.hours.over == -short:
        return ""
    told = f"Not all of it can be done: {spoken(short)} short"
    if needed.tight and spot is not None and (spot.end, spot.short) == (needed.by, short):
        since = named_moment(spot.start, plan.now.date())
        must = f"{spoken(spot.wanted)} of work must be done from {since} on"
        return f"{told}, for {must}, in {spoken(spot.available)} of hours."
    return f"{told} where it is tightest."


def _late(plan: Plan, needed: Before) -> str:
    """What is late for it, by name."""
    late = needed.occasion.late
    if not late:
        return ""
    names = listed([step_with_garment(plan, one) for one in late])
    return f"{count(len(late), 'step')} {_is(len(late))} late for it: {names}."


def what_must_be_there(plan: Plan, needed: Before, most: int = NAMED) -> str:
    """Which garments must have reached which stage: "Wanted fittable by then: Stays; wearable:
    ...".

    Those of other ensembles stand in a sentence of their own, with what comes after them.
    """
    told = [_must_be_there(plan, needed, own_musts(needed), most)]
    short = ensembles_in_short(plan)
    for one in others(plan, needed):
        name = with_article(short[one.ensemble])
        through = listed([quoted(plan, step) for step in one.through], most)
        comes = "come" if len(one.through) > 1 else "comes"
        because = f", as {through} {comes} after it" if through else ""
        theirs = _must_be_there(plan, needed, musts_of(needed, one.ensemble), most)
        told.append(f"Of {name} too{because}, {theirs[:1].lower()}{theirs[1:]}")
    return " ".join(text for text in told if text)


def _must_be_there(plan: Plan, needed: Before, musts: Sequence[Must], most: int) -> str:
    """Of some garments, how far they must be."""
    short = garments_in_short(plan, needed)
    told = [
        f"{_wanted(stage, first=not place)}: {listed([short[one] for one in ids], most)}"
        for place, (stage, ids) in enumerate(stages_wanted(musts).items())
    ]
    together = [clean(name_of(plan, must.garment)) for must in musts if not must.worn]
    if together and told:
        told.append(f"done with all together: {listed(together, most)}")
    return f"{capital('; '.join(told))}." if told else ""


def _wanted(stage: str, *, first: bool) -> str:
    """A stage as what is wanted, not as what will be: of some it can't be."""
    if stage == THERE:
        return stage
    return f"wanted {stage} by then" if first else stage


def stages_wanted(musts: Sequence[Must]) -> dict[str, list[str]]:
    """The garments by how far they must be, the nearest stage first."""
    groups: dict[str, list[str]] = {}
    for must in musts:
        if must.worn:
            stage = must.stage or "as far as needed"
            groups.setdefault(THERE if must.there else stage, []).append(must.garment)
    order = ("fittable", "wearable", "finished", "as far as needed", THERE)
    return {one: groups[one] for one in order if one in groups}


def some_unnamed(needed: Before) -> bool:
    """Whether the answer says of some garments only how many they are."""
    return any(
        len(ids) > NAMED
        for ensemble in dict.fromkeys(must.garment.split("/")[0] for must in needed.musts)
        for ids in stages_wanted(musts_of(needed, ensemble)).values()
    )


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
        work = f"It lacked {count(len(lacked), 'step')}, {spoken(left)} of work"
        parts = [f"{part}: {_named(plan, ids)}" for part, ids in _lacked(needed) if ids]
        found.append(f"{work}; {'; '.join(parts)}.")
    if since:
        names = listed([step_with_garment(plan, one) for one in since])
        found.append(f"Not done then, but done since: {names}.")
    return found


def _lacked(needed: Before) -> list[tuple[str, list[str]]]:
    """What it lacked: what was to be done before it, and what at it."""
    at_it = set(needed.occasion.during)
    before = [one for one in needed.lacked if one not in at_it]
    there = [one for one in needed.lacked if one in at_it]
    both = before and there
    return [
        (f"{len(before)} before it" if both else "before it", before),
        (f"{len(there)} to be done at it" if both else "to be done at it", there),
    ]


def _named(plan: Plan, steps: Sequence[str]) -> str:
    return listed([step_with_garment(plan, one) for one in steps])


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
