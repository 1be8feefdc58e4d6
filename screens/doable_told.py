"""What can be done this minute in words: reasons, what keeps a step, what to do instead."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from planner.candidates import Candidate, Hindrance, Keeps
from planner.doable import Answer, Choices, Doable, Kept
from planner.model import Place, Wait
from planner.plan import NoteKind, Plan, PlannedStep
from planner.usefulness import Use, rank
from screens.wording import (
    WEEKDAYS,
    abbreviated,
    clock,
    column,
    count,
    end_of_day_before,
    garment_of,
    listed,
    name_of,
    named_date,
    named_moment,
    on_date,
    quoted,
    spoken,
    step_with_garment,
    the_occasion,
)

PLACES = {Place.WORKROOM: "workroom", Place.SOFA: "sofa", Place.TAKE_ALONG: "on the way"}
"""The places in a choice."""
AT = {
    Place.WORKROOM: "in the workroom",
    Place.SOFA: "on the sofa",
    Place.TAKE_ALONG: "on the way",
}
MOST_NAMED = 3


def chosen(choices: Choices) -> str:
    """ "20 min on the sofa, tired"; "2 h in the workroom with a helper"."""
    helper = " with a helper" if choices.helper else ""
    tired = ", tired" if choices.tired else ""
    return f"{spoken(choices.minutes)} {AT[choices.place]}{helper}{tired}"


def how_long(one: Doable) -> str:
    """In a column: "0:20 of 1:25", or "0:12 ends it"."""
    minutes = column(one.minutes)
    return f"{minutes} ends it" if one.ends else f"{minutes} of {column(one.left)}"


# why it stands where it stands


def why(plan: Plan, use: Use, one: Doable) -> tuple[str, ...]:
    """Why a step is useful now, in few words; the longest first."""
    also = _also(use, one)
    whole, brief = (
        "; ".join(part for part in (when, also) if part) for when in _presses(plan, use, one.step)
    )
    least = _presses(plan, use, one.step)[1] or also
    texts = (whole, abbreviated(whole), abbreviated(brief), abbreviated(least))
    return tuple(dict.fromkeys(texts))


def _presses(plan: Plan, use: Use, step: str) -> tuple[str, str]:
    """What presses, long and short: late, no time left, too few hours, or by when it must end."""
    by = _must_end(plan, use)
    if use.late_for is not None and use.late_step is not None:
        late = f"late for {the_occasion(plan, use.late_for)}"
        if use.late_step == step:
            return late, late
        return f"holds up {_named(plan, step, use.late_step)}, {late}", "holds up what is late"
    if use.unplaced:
        return "no time is left for it, or for what waits for it", "no time is left"
    return (f"hours are too few, {by}", "hours are too few") if use.short and by else (by, by)


def _must_end(plan: Plan, use: Use) -> str:
    """ "by Saturday 8 May", of what its chain leaves it."""
    if use.latest is None:
        return "" if use.wanted else "before the next wearing"
    if use.latest <= plan.now:
        return "should be done by now"
    return f"by {_last_day(plan, use.latest)}"


def _last_day(plan: Plan, latest: datetime) -> str:
    """The day, or today's hour, by which something must have ended."""
    today = plan.now.date()
    day = end_of_day_before(latest)
    if day == today:
        return f"{clock(latest)} today" if latest.time() != time() else "midnight"
    return named_date(day, today)


def _also(use: Use, one: Doable) -> str:
    """What else speaks for it: the wait it starts, the work behind it, that it can be worn."""
    if use.fixed is not None:
        return "you fixed another day for it"
    if use.wait and one.ends:
        return f"{waited(use.wait)} begins with it"
    if use.behind:
        return f"{spoken(use.behind)} waits for it"
    if use.optional and use.wanted:
        return "an extra"
    return "to be worn" if use.wearable else ""


def waited(wait: Wait) -> str:
    """A wait with its article: "a night's wait", "a wait of 2 h"."""
    if wait.nights:
        return "a night's wait" if wait.nights == 1 else f"a wait of {wait.nights} nights"
    return f"a wait of {spoken(wait.minutes)}"


def why_before(
    plan: Plan, one: Candidate, following: Candidate, choices: Choices
) -> str:
    """Why a step stands before the one beneath it: the first key of the ranking that differs."""
    mine = rank(one.use, one.left, choices.minutes)
    its = rank(following.use, following.left, choices.minutes)
    key = next((k for k, (a, b) in enumerate(zip(mine, its, strict=True)) if a != b), len(mine))
    reason = (
        _worth(plan, following),
        "it is late, or holds up what is" if mine[1] == 0 else "it lies where hours are too few",
        _less_room(one.use, following.use),
        "nothing can be worn without it" if one.use.wearable else "the other is an extra",
        f"more waits for it: {spoken(one.use.behind)} of work",
        "a wait begins with it",
        f"it can be ended in {spoken(choices.minutes)}",
        "the plan begins it first",
        "it comes first in the order of work",
    )[key]
    return f"Before {step_with_garment(plan, following.id)}, since {reason}."


def _worth(plan: Plan, other: Candidate) -> str:
    """Why another step is not worth getting out for now."""
    if other.use.fixed is not None:
        return f"you fixed that for {named_date(other.use.fixed, plan.now.date())}"
    return f"that wants at least {spoken(other.use.least)} at a time"


def _less_room(mine: Use, its: Use) -> str:
    """How much room two steps have, in hours there are besides their own work."""
    if mine.room is None or mine.room <= 0:
        return "it has no hours to spare"
    other = "no end" if its.room is None else spoken(its.room)
    return f"it has less room: {spoken(mine.room)} of hours besides its own, against {other}"


# what keeps a step


def kept_told(plan: Plan, one: Kept) -> str:
    """What keeps a step, in few words: "after “pin the hem”, 15 min"."""
    return "; ".join(hindrance_told(plan, one.step, by) for by in one.by)


def hindrance_told(plan: Plan, step: str, by: Hindrance) -> str:
    """One thing that keeps a step."""
    today = plan.now.date()
    name = name_of(plan, by.names[0]) if by.names else ""
    match by.keeps:
        case Keeps.AFTER:
            return _after(plan, step, by)
        case Keeps.WAIT:
            before = _named(plan, step, by.names[0])
            return f"the wait after {before} lasts till {_moment(by.until, today)}"
        case Keeps.OCCASION:
            return f"{the_occasion(plan, by.names[0])} comes first, {_at(plan, by.names[0])}"
        case Keeps.NOT_BEFORE:
            return f"not before {_moment(by.until, today)}, you said"
        case Keeps.COMING:
            when = on_date(by.until.date(), today) if by.until else "then"
            return f"it waits for {by.text} of the {name}, due {when}"
        case Keeps.LACKING:
            return f"not enough of the {name}: {by.text} short"
        case Keeps.PLACE:
            return f"it needs {_needs(plan, step)}"
        case Keeps.HANDS:
            there = f", there {_moment(by.until, today)}" if by.until else ""
            return f"it needs a second pair of hands{there}"
        case Keeps.MINUTES:
            return f"it wants one sitting of {spoken(by.minutes or 0)}"
        case _:
            return TIRES[by.keeps]


def kept_in_short(plan: Plan, one: Kept) -> tuple[str, ...]:
    """What keeps a step, the longest first; the dates in few letters where there is no room."""
    whole = kept_told(plan, one)
    return tuple(dict.fromkeys((whole, abbreviated(whole))))


def takes(plan: Plan, one: Candidate) -> list[str]:
    """What of the stock a step takes, as a sentence."""
    if not one.uses:
        return []
    of = [f"{use.text}{' of' if ' ' in use.text else ''} {name_of(plan, use.stock)}"
          for use in one.uses]  # fmt: skip
    return [f"It takes {listed(of)}."]


TIRES = {
    Keeps.CUTTING: "cutting",
    Keeps.NO_WAY_BACK: "no way back",
    Keeps.SETS: "it sets as it is",
}
"""Why a step is not for the tired."""


def _after(plan: Plan, step: str, by: Hindrance) -> str:
    """The steps that come first, with their minutes, what keeps these, and the wait behind."""
    names = by.names
    work = spoken(by.minutes or 0)
    if len(names) > 2:
        first = _named(plan, step, names[0])
        told = f"after {count(len(names), 'step')}, {work}, the first {first}"
    else:
        told = f"after {listed([_named(plan, step, name) for name in names])}, {work}"
    if by.stock_missing:
        told += ", and its stock is not there"
    elif by.until is not None:
        told += f", not before {_moment(by.until, plan.now.date())}"
    return f"{told}, then {waited(by.wait)}" if by.wait else told


def _named(plan: Plan, step: str, other: str) -> str:
    """Another step, with its garment where that isn't the step's own."""
    same = garment_of(plan, step) == garment_of(plan, other)
    return quoted(plan, other) if same else step_with_garment(plan, other)


def _needs(plan: Plan, step: str) -> str:
    place = next(one.place for one in plan.steps if one.id == step)
    return "the workroom" if place is Place.WORKROOM else "the sofa at least"


def _moment(moment: datetime | None, today: date) -> str:
    """A moment in few words: "21:00" today, a date where it is its beginning."""
    if moment is None:
        return "then"
    if moment.time() == time():
        return named_date(moment.date(), today)
    return clock(moment) if moment.date() == today else named_moment(moment, today)


def _at(plan: Plan, occasion: str) -> str:
    """When an occasion is."""
    at = next((one.at for one in plan.occasions if one.id == occasion), None)
    return _moment(at, plan.now.date())


# sentences


def left_out(plan: Plan, answer: Answer) -> str:
    """What is left out for the tired, and why."""
    if not answer.left_out:
        return ""
    parts = []
    for keeps in TIRES:
        names = [one.step for one in answer.left_out if one.by[0].keeps is keeps]
        if names:
            parts.append(f"{TIRES[keeps]}, {_listed(plan, names)}")
    return f"You are tired, so left out: {'; '.join(parts)}."


def _listed(plan: Plan, names: Sequence[str]) -> str:
    """Steps with their garments, the first few."""
    return listed([step_with_garment(plan, name) for name in names], MOST_NAMED)


def not_yet(plan: Plan, answer: Answer) -> str:
    """What must not be begun yet, though somebody might: the most useful such step."""
    return before_cutting(plan, *answer.not_yet[0]) if answer.not_yet else ""


def before_cutting(plan: Plan, step: str, first: str) -> str:
    """Why a step with no way back must not be begun.

    "Not yet “cut” (Bodice): Saturday's corrections are not on the pattern, and the wool can't …".
    """
    by_id = {one.id: one for one in plan.steps}
    missing = f"{_missing(plan, by_id, first)}{_only_once(plan, by_id[step])}"
    return f"Not yet {step_with_garment(plan, step)}: {missing}."


def _missing(plan: Plan, by_id: dict[str, PlannedStep], first: str) -> str:
    """What has not been done: the corrections of a fitting, the fitting, or a step."""
    at = {one.id: one for one in plan.occasions}
    asked = by_id[first]
    if asked.during is not None and not at[asked.during].past:
        return f"{the_occasion(plan, asked.during)} comes first, {_at(plan, asked.during)}"
    before = [by_id[name] for name in asked.after if name in by_id]
    fittings = [at[one.during] for one in before if one.during is not None]
    if asked.technique != "transfer-corrections" or not fittings:
        return f"{_named(plan, first, first)} comes first"
    ahead = [one for one in fittings if not one.past]
    if ahead:
        fitting = ahead[0]
        when = _at(plan, fitting.id)
        return f"{the_occasion(plan, fitting.id)}, {when}, and its corrections come first"
    return f"{_of_day(fittings[-1].at.date(), plan.now.date())} are not on the pattern"


def _of_day(day: date, today: date) -> str:
    """ "Saturday's corrections"; of longer ago with the date."""
    if today - day < timedelta(days=7):
        named = named_date(day, today)
        word = named if named in ("today", "yesterday") else WEEKDAYS[day.weekday()]
        return f"{word}'s corrections"
    return f"the corrections of {named_date(day, today)}"


def _only_once(plan: Plan, step: PlannedStep) -> str:
    """That what it uses can't be bought again, where it can't."""
    for note in step.notes:
        if note.kind is NoteKind.CANNOT_BE_BOUGHT_AGAIN:
            named = f"the {name_of(plan, note.subject)}" if note.subject else "what it uses"
            return f", and {named} can't be bought again"
    return ""


def besides(plan: Plan, answer: Answer) -> str:
    """What could be done in the workroom besides what can be done here."""
    if not answer.elsewhere or not answer.doable:
        return ""
    return f"In the workroom also: {_shares(plan, answer.elsewhere)}."


def _shares(plan: Plan, steps: Sequence[Doable]) -> str:
    """Steps with garment and minutes, the first few."""
    named = [f"{step_with_garment(plan, one.step)}, {_share(one)}" for one in steps[:2]]
    more = [count(len(steps) - 2, "more", "more")] if len(steps) > 2 else []
    return "; ".join([*named, *more])


def _no_work(plan: Plan) -> str:
    """Why there is no work at all: none is left, none is wanted, or it is done at occasions."""
    if any(not (one.done or one.left_off or one.wanted) for one in plan.steps):
        return (
            "No coming occasion wants what is still open: add one with its date in the"
            " garments (g)."
        )
    return "Nothing is left to do. What is still to be made is added in the garments (g)."


def _share(one: Doable) -> str:
    """ "10 min", "20 min of 1 h 10"."""
    minutes = spoken(one.minutes)
    return minutes if one.ends else f"{minutes} of {spoken(one.left)}"


def nothing(plan: Plan, answer: Answer) -> list[str]:
    """Where nothing can be done: that, what comes nearest, and what to do next."""
    if answer.doable:
        return []
    if not answer.open:
        return [_no_work(plan)]
    at = AT[answer.choices.place]
    nearest = answer.nearly[0] if answer.nearly else None
    found = []
    if nearest is not None:
        told = f"the nearest is {step_with_garment(plan, nearest.step)}, {kept_told(plan, nearest)}"
        found.append(f"Nothing can be done {at} now: {told}.")
    elif answer.left_out:
        found.append(f"Nothing can be done {at} now by somebody tired.")
    else:
        found.append(f"Nothing that is left to do can be done {at}.")
    if answer.elsewhere:
        found.append(f"In the workroom: {_shares(plan, answer.elsewhere)}.")
    elif nearest is None:
        found.append("Leave it for now." if answer.choices.tired else "")
    return [one for one in found if one]
