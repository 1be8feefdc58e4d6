"""What an occasion needs, in words: for the screen and the command alike.

Sentences are whole; who draws them wraps them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.before import Before, Item, Must, Part, Thing
from planner.model import OccasionKind, Project
from planner.plan import NoteKind, Plan, PlannedOccasion, PlannedStep
from screens.why import in_short
from screens.wording import (
    clean,
    column,
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

NAMED = 6
"""So many garments are named in a sentence."""
PARTS = {
    Part.FITTABLE: "to be fittable",
    Part.WEARABLE: "to be wearable",
    Part.FINISHED: "to be finished",
    Part.AS_FAR: "as far as needed",
    Part.EXTRA: "extras, and what else it wants",
}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


# which occasion


def label(plan: Plan, occasion: PlannedOccasion) -> str:
    """An occasion to choose from, in few words: "Sat 8 May fitting"; with its ensemble where
    two are alike."""
    text = f"{short_date(occasion.at.date())} {occasion.kind.value}"
    alike = [one for one in plan.occasions if (one.at, one.kind) == (occasion.at, occasion.kind)]
    if len(alike) > 1:
        text += f", {ensembles_in_short(plan)[occasion.id.split('/')[0]]}"
    return " ".join(text.split())


def ensembles_in_short(plan: Plan) -> dict[str, str]:
    """Each ensemble's name, or what is left of it where there is little room."""
    names = {ident: name_of(plan, ident) for ident in plan.names if "/" not in ident}
    short = short_names(names.values())
    return {ident: short[name] for ident, name in names.items()}


# the answer


def answer(plan: Plan, needed: Before) -> list[str]:
    """When it is, whether all can be there by then, and what that is."""
    if needed.occasion.past:
        return [_when(plan, needed), *_lacking(plan, needed)]
    return [
        sentence
        for sentence in (
            _when(plan, needed),
            whether(needed),
            _late(plan, needed),
            what_must_be_there(plan, needed),
        )
        if sentence
    ]


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


# at it


def list_sentences(plan: Plan, needed: Before) -> list[str]:
    """What there is to say above the occasion's own list."""
    return [] if needed.occasion.past else [*at_it(plan, needed), *packed(plan, needed)]


def at_it(plan: Plan, needed: Before) -> list[str]:
    """Whether the time kept for it is enough, and what need not be there yet."""
    if not needed.things:
        return []
    day = named_date(needed.occasion.at.date(), plan.now.date()).split(" ")[0]
    number = len(needed.things)
    several = NUMBERS[number] if number < len(NUMBERS) else str(number)
    things = f"{several} {'thing' if number == 1 else 'things'} to do"
    kept = f"you have kept {spoken(needed.kept)} for it"
    if not needed.said:
        kept = f"it is planned to take {spoken(needed.kept)}"
    more = needed.at_it - needed.kept
    enough = f": {spoken(more)} too little" if more > 0 else ""
    found = [f"{capital(day)} has {things}, about {spoken(needed.at_it)}, and {kept}{enough}."]
    if needed.occasion.kind is OccasionKind.FITTING and (need := _need_only(plan, needed)):
        found.append(need)
    return found


def _need_only(plan: Plan, needed: Before) -> str:
    """Of the garment of which most can wait: what it needs by then, and what can wait."""
    under = {garment for thing in needed.things for garment in thing.under}
    found = [must for must in needed.musts if must.stage and must.waits and must.garment in under]
    if not found:
        return ""
    steps = {step.id: step for step in plan.steps}
    must = max(found, key=lambda must: sum(steps[one].left for one in must.waits))
    last = [one for one in must.last if not steps[one].done]
    waits = f"{listed([quoted(plan, one) for one in must.waits], 2)} can wait"
    name = capital(with_article(name_of(plan, must.garment)))
    if not last:
        return f"{name}: {waits}."
    return f"{name}: by then only {listed([quoted(plan, one) for one in last])}; {waits}."


def thing_told(plan: Plan, needed: Before, thing: Thing) -> list[str]:
    """Over what a thing is done, and what it decides: a line each."""
    short = garments_in_short(plan, needed)
    found = []
    if thing.under:
        found.append(f"over: {listed([short[one] for one in thing.under], len(thing.under))}")
    if thing.decides:
        then = ", then ".join(quoted(plan, one) for one in thing.decides)
        found.append(f"decides: {then}")
    return found


def hands_told(step: PlannedStep) -> str:
    """How many hands a thing takes."""
    return "two pairs of hands" if step.hands > 1 else "one pair of hands"


def under_it(needed: Before) -> list[Must]:
    """The garments worn under what is fitted, in dressing order."""
    under = {garment for thing in needed.things for garment in thing.under}
    return [must for must in needed.musts if must.garment in under]


def must_told(plan: Plan, must: Must) -> str:
    """How far a garment must be by then: "fittable, with “eyelets”; Sat 25 Sep"."""
    steps = {step.id: step for step in plan.steps}
    last = [quoted(plan, one) for one in must.last if not steps[one].done]
    if must.there:
        return f"{must.stage or 'as far as needed'} already"
    by = f", on {_plain(must.on)} by the plan" if must.on else ""
    if must.stage:
        return f"{must.stage} with {listed(last)}{by}" if last else f"{must.stage}{by}"
    return f"as far as {listed(last)}{by}"


# steps


def step_known(plan: Plan, needed: Before, step: PlannedStep) -> str:
    """The one thing to know of a step before it."""
    if step.id in needed.occasion.late:
        return "late"
    if step.during is not None and (at := _occasion(plan, step.during)) is not None:
        return f"at the {at.kind.value} that day" if not at.past else in_short(plan, step)
    return in_short(plan, step)


def day_column(plan: Plan, step: PlannedStep) -> str:
    """The day of a step in a column: where it is done at an occasion, that one's."""
    if step.first_day is not None:
        return short_date(step.first_day)
    at = _occasion(plan, step.during) if step.during else None
    return short_date(at.at.date()) if at is not None and not at.past else "no time"


def is_grave(step: PlannedStep, needed: Before) -> bool:
    """Whether what is to be known of a step must be shown even where there is little room."""
    lesser = (NoteKind.CAUTION, NoteKind.OVER, NoteKind.TIGHT, NoteKind.NO_WAY_BACK)
    grave = any(note.kind not in lesser for note in step.notes)
    return grave or step.id in needed.occasion.late


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Steps under a heading."""

    heading: str
    minutes: int
    steps: tuple[str, ...]
    garment: str | None = None
    """Where they are all of one garment."""
    late: bool = False


def groups(plan: Plan, needed: Before, by_garment: bool) -> list[Group]:
    """What must be done before it: what is late first, then by stage, or by garment."""
    steps = {step.id: step for step in plan.steps}
    if needed.occasion.past:
        return _past_groups(needed, steps)
    late = tuple(one for one in needed.open if one in needed.occasion.late)
    found = [_group("late for it", late, steps, late=True)] if late else []
    if by_garment:
        for must in needed.musts:
            rest = tuple(one for one in must.open if one not in late)
            if rest:
                heading = f"{name_of(plan, must.garment)}: {must_in_short(plan, must)}"
                found.append(_group(heading, rest, steps, garment=must.garment))
        return found
    for part, ids in needed.parts:
        rest = tuple(one for one in ids if one not in late)
        if rest:
            found.append(_group(PARTS[part], rest, steps))
    return found


def _past_groups(needed: Before, steps: Mapping[str, PlannedStep]) -> list[Group]:
    """What it lacked."""
    found = []
    if needed.lacked:
        found.append(_group("lacked then, and still open", needed.lacked, steps, late=True))
    if needed.done_since:
        found.append(_group("lacked then, done since", needed.done_since, steps))
    return found


def _group(
    heading: str,
    ids: tuple[str, ...],
    steps: Mapping[str, PlannedStep],
    garment: str | None = None,
    late: bool = False,
) -> Group:
    minutes = sum(steps[one].left for one in ids)
    return Group(heading=heading, minutes=minutes, steps=ids, garment=garment, late=late)


def must_in_short(plan: Plan, must: Must) -> str:
    """ "fittable Sat 25 Sep", "as far as “baste” Fri 15 Oct"."""
    if must.stage is None:
        stage = f"as far as {quoted(plan, must.last[-1])}" if must.last else "as far as wanted"
    else:
        stage = must.stage
    return f"{stage} {_plain(must.on)}" if must.on else stage


# what is put on and packed


def item_name(plan: Plan, item: Item) -> str:
    """A garment's name, or the words of the list."""
    return name_of(plan, item.garment) if item.garment else clean(item.thing)


def item_told(plan: Plan, item: Item) -> str:
    """Whether it is ready, or when: open, drying or hanging."""
    today = plan.now.date()
    if item.garment is None:
        return ""
    if not item.open:
        if item.ready is None:
            return "ready"
        late = "" if item.in_time else "; too late"
        return f"waits till {named_moment(item.ready, today)}{late}"
    left = f"{count(len(item.open), 'step')} left, {column(item.left)}"
    if item.ready is None:
        return f"{left}; no day for all of it"
    day = f"ready {_plain(item.ready.date())}"
    return f"{left}; {day}" if item.in_time else f"{left}; not in time: {day}"


def packed(plan: Plan, needed: Before) -> list[str]:
    """How much is packed, and what is not there to be packed yet."""
    if not needed.packing:
        return []
    number = sum(item.packed for item in needed.packing)
    found = [f"{number} of {len(needed.packing)} things are packed."]
    waiting = [one for one in needed.packing if one.garment and not one.open and one.ready]
    if waiting:
        names = listed([f"{item_name(plan, one)} {item_told(plan, one)}" for one in waiting])
        found.append(f"Still to dry, hang or set: {names}.")
    if late := [one for one in needed.packing if not one.in_time and one.open]:
        names = listed([item_name(plan, one) for one in late])
        found.append(f"Not ready in time: {names}.")
    return found


def wearers(items: Sequence[Item]) -> list[tuple[str, list[Item]]]:
    """Items by who wears them, with a heading for each where there are several."""
    by: dict[str, list[Item]] = {}
    for item in items:
        by.setdefault(clean(item.wearer) if item.garment else "\n", []).append(item)
    people = [name for name in by if name != "\n"]
    found = []
    for name, own in by.items():
        if name == "\n":
            found.append(("what else must be there", own))
        elif len(people) > 1:
            found.append((f"worn by {name}" if name else "worn by whom it doesn't say", own))
        else:
            found.append(("", own))
    return found


def list_heading(needed: Before) -> str:
    """What the occasion's own list is of."""
    if needed.packing:
        return "to pack, in dressing order"
    if needed.occasion.kind is OccasionKind.TRIAL_WEAR:
        return "to put on, in dressing order"
    return "to do at it"


# what can wait


def waiting(plan: Plan, needed: Before) -> list[tuple[str, str, int]]:
    """What can wait, garment by garment: its id, the names of its steps, their minutes."""
    steps = {step.id: step for step in plan.steps}
    by: dict[str, list[str]] = {}
    for ident in needed.can_wait:
        by.setdefault(ident.rpartition("/")[0], []).append(ident)
    return [
        (
            garment,
            " / ".join(name_of(plan, one) for one in ids),
            sum(steps[one].left for one in ids),
        )
        for garment, ids in by.items()
    ]


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


def _occasion(plan: Plan, ident: str) -> PlannedOccasion | None:
    return next((one for one in plan.occasions if one.id == ident), None)


def _is(number: int) -> str:
    return "is" if number == 1 else "are"


def _plain(day: date | None) -> str:
    """ "Sat 25 Sep"."""
    return " ".join(short_date(day).split()) if day else ""


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
