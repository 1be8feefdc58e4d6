"""The verdict as the same two lines everywhere: for what and when, and whether it fits.

Computed from the plan, never a word alone: which occasion, how much is missing or left, where
it is fullest, what that means for beginning.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.glance import by_staying_up
from planner.model import OccasionKind
from planner.plan import NoteKind, Plan, PlannedOccasion, Verdict
from screens.aftercare_told import undated
from screens.wording import (
    abbreviated,
    cells,
    clean,
    count,
    days_off,
    fitted,
    long_date,
    name_of,
    named_date,
    occasion_name,
    on_date,
    share,
    spoken,
    step_with_garment,
    the_occasion,
    with_article,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sentence of the verdict."""

    text: str
    brief: str = ""
    """Of a warning: the least that is said of it, before any advice; else empty."""


def verdict_lines(plan: Plan, width: int = 80) -> tuple[str, str]:
    """The two lines, each at most ``width`` columns: the head, every warning, and what fits of
    the advice."""
    sentences = _told(plan)
    if cells(" ".join(one.text for one in sentences)) > width:
        sentences = [Said(text=_in_few_letters(one.text), brief=one.brief) for one in sentences]
    head, *others = sentences
    warnings = [one for one in others if one.brief]
    line = _with_warnings(head.text, warnings, width)
    for one in others:
        if not one.brief and cells(line) + 1 + cells(one.text) <= width:
            line = f"{line} {one.text}"
    return heading(plan, width), fitted(line, width)


def _with_warnings(head: str, warnings: Sequence[Said], width: int) -> str:
    """The head with the warnings: each as long as there is room, the head as long as they allow.

    Where even so there isn't room for all, the first of them, and others that fit.
    """
    sure = len(warnings)
    room = width - sum(cells(one.brief) + 1 for one in warnings)
    while sure and not any(cells(one) <= room for one in _heads(head, room, width)):
        sure -= 1
        room += cells(warnings[sure].brief) + 1
    heads = _heads(head, room, width)
    parts = [next((one for one in heads if cells(one) <= room), heads[0])]
    least = [one.brief for one in warnings[:sure]]
    for number, one in enumerate(warnings):
        for text in (one.text, one.brief):
            rest = least[number + 1 :] if cells(parts[0]) <= room else []
            if cells(" ".join([*parts, text, *rest])) <= width:
                parts.append(text)
                break
    return " ".join(parts)


def _heads(head: str, room: int, width: int) -> list[str]:
    """The head in so many columns, the longest first; why it doesn't fit is not left out."""
    short = _SHORT_BEFORE.match(head)
    if short is None:
        brief = f"{head.split(':', 1)[0].rstrip('.')}."
        return [head] if head.startswith("Does not fit") else [head, brief]
    said, opened, name, closed = short.groups()
    found = [head] if cells(head) <= width else []
    for left in (room, width):
        columns = left - cells(f"{said} before {opened}{closed}.")
        if columns >= LEAST_NAME:
            found.append(f"{said} before {opened}{fitted(name, columns)}{closed}.")
    return found or [f"{said}."]


_SHORT_BEFORE = re.compile(r"(Does not fit: .+? short) before (“?)(.+?)(”?)\.")
LEAST_NAME = 8
"""Columns in which an occasion's name still tells something."""


def _in_few_letters(sentence: str) -> str:
    """A sentence of the verdict where there is little room."""
    return abbreviated(sentence).replace(" is fullest, at ", " fullest, ")


def heading(plan: Plan, width: int = 80) -> str:
    """What is made, for which occasion, and how far off that is."""
    ensembles = [clean(name) for ident, name in plan.names.items() if "/" not in ident]
    what = ensembles[0] if len(ensembles) == 1 else count(len(ensembles), "ensemble")
    occasion = goal(plan)
    if occasion is None:
        return fitted(f"{what}: no occasion ahead" if ensembles else "No ensemble yet", width)
    today = plan.now.date()
    day = occasion.at.date()
    far = days_off(day, today)
    dated = f"{long_date(day, today)}, {far}" if day != today else "today"
    tail = f": {occasion_name(occasion)}, {dated}"
    if cells(what) + cells(tail) > width:
        tail = abbreviated(tail)
    return fitted(fitted(what, max(width - cells(tail), 12)) + tail, width)


def goal(plan: Plan) -> PlannedOccasion | None:
    """The next event, else the next occasion of any kind."""
    ahead = [occasion for occasion in plan.occasions if not occasion.past]
    events = [occasion for occasion in ahead if occasion.kind is OccasionKind.EVENT]
    return next(iter(events or ahead), None)


def verdict_sentences(plan: Plan) -> list[str]:
    """Everything the verdict says; the first sentence stands alone."""
    return [one.text for one in _told(plan)]


def _told(plan: Plan) -> list[Said]:
    """The same, with what of it is a warning."""
    if nothing := _nothing_to_plan(plan):
        return _plain(nothing)
    if plan.fits is None:
        return _plain(_undecided(plan))
    if plan.verdict is Verdict.DOES_NOT_FIT or not plan.fits:
        return _does_not_fit(plan)
    return _fits(plan)


def _plain(sentences: Sequence[str]) -> list[Said]:
    return [Said(text=one) for one in sentences]


def _nothing_to_plan(plan: Plan) -> list[str]:
    """Where there is nothing to judge: what to do next."""
    if not plan.steps:
        return ["Nothing to plan yet: give a garment its steps, and an occasion to be ready for."]
    if not any(not occasion.past for occasion in plan.occasions):
        return [_nothing_ahead(plan)]
    if all(step.done or step.left_off or not step.left for step in plan.steps):
        occasion = goal(plan)
        ready = f" for {with_article(occasion_name(occasion))}" if occasion else ""
        return [f"Every step is done: all is ready{ready}."]
    if not any(day.workroom_available for day in plan.days) and not plan.sittings:
        return ["Does not fit: there are no hours to work in; give the week its workroom hours."]
    return []


def _nothing_ahead(plan: Plan) -> str:
    """No occasion is ahead: what is to be done before the next wearing, else how an occasion is
    added. What was is told in the plan at a glance."""
    if later := undated(plan):
        return f"{later}."
    add = "g, then ^p “Add an occasion”."
    return f"For another occasion: {add}" if plan.occasions else f"Nothing is ahead yet: {add}"


def _fits(plan: Plan) -> list[Said]:
    """It fits, comfortably or tightly: what is left, and when to begin."""
    sentences: list[str] = []
    spot = plan.tight_spot
    fullest = _fullest_day(plan)
    full = ""
    if fullest and plan.peak_load is not None:
        full = f"{named_date(fullest, plan.now.date())} is fullest, at {share(plan.peak_load)}"
    if plan.verdict is Verdict.TIGHT:
        if spot is not None and spot.wanted:
            sentences.append(
                f"Fits, but tightly: {spoken(spot.wanted)} of work in {spoken(spot.available)}"
                f" {_until(plan, spot.end.date())}."
            )
            sentences += [_capital(f"{full}.")] if full else []
        else:
            sentences.append(f"Fits, but tightly: {full}." if full else "Fits, but tightly.")
    else:
        sentences.append(f"Fits: {full}." if full else _fits_without_workroom(plan))
    if unwanted := _unwanted(plan):
        # the head says the worse of the two
        sentences = [unwanted, _capital(sentences[0].split(": ", 1)[-1]), *sentences[1:]]
    return _plain(sentences) + _runs_out(plan) + _plain(_begin(plan) + _wearable(plan))


def _unwanted(plan: Plan) -> str:
    """That it fits only because what makes an ensemble wearable is wanted by no occasion.

    So it is where a fitting lies after the event: what follows the fitting comes too late.
    """
    coming = {one.id.split("/", 1)[0] for one in plan.occasions if not one.past}
    never = {one for one, day in plan.wearable_on.items() if day is None and one in coming}
    missing = [
        step
        for step in plan.steps
        if step.id.split("/", 1)[0] in never and not (step.wanted or step.done or step.optional)
        if not step.left_off and step.during is None
    ]
    if not missing:
        return ""
    are = "1 step is" if len(missing) == 1 else f"{count(len(missing), 'step')} are"
    return f"Fits, but can't be worn: {are} wanted by no occasion."


def _fits_without_workroom(plan: Plan) -> str:
    """It fits, and no workroom hours are needed."""
    left = sum(sitting.minutes for sitting in plan.sittings)
    return f"Fits: the {spoken(left)} left need no workroom."


def _does_not_fit(plan: Plan) -> list[Said]:
    """It does not fit: by how much and before what, what is late, what comes after."""
    short = [occasion for occasion in plan.occasions if occasion.short > 0]
    late = [occasion for occasion in plan.occasions if occasion.late]
    causes: list[tuple[str, str]] = []
    if short:
        first = short[0]
        before = f"{spoken(first.short)} short before {with_article(occasion_name(first))}"
        causes.append((before, ""))
    if late:
        first = late[0]
        steps = _steps(plan, first.late, not causes)
        hands = _want_hands(plan, first.late)
        why = ", for want of helper hours" if hands else ""
        cause = f"{steps} late for {with_article(occasion_name(first))}{why}"
        # where there is little room: of all occasions, as many as are told elsewhere
        every = {step for occasion in late for step in occasion.late}
        all_why = why if len(every) == len(first.late) else ""
        causes.append((cause, f"{count(len(every), 'step')} late{all_why}."))
    if plan.unplaced:
        # their minutes are no part of what is short: left unsaid, less would look like better
        told = no_time_told(plan)
        causes.insert(1, (told, f"{_capital(told.replace(' at all', ''))}."))
    if not causes:
        fullest = _fullest_day(plan)
        over = share(plan.peak_load or 0.0)
        day = f"{on_date(fullest, plan.now.date())} " if fullest else ""
        causes.append((f"{day}the hours would be {over} full", ""))
    head = Said(text=f"Does not fit: {causes[0][0]}.")
    more = [Said(text=_capital(f"{cause}."), brief=brief) for cause, brief in causes[1:]]
    advice = _plain(_afterwards(plan, short or late) + _wearable(plan))
    return [head, *more, *_runs_out(plan), *advice]


def no_time_told(plan: Plan) -> str:
    """The steps without any time, with their minutes: "no time at all for 4 steps, 2 h 10"; empty
    where there are none."""
    if not plan.unplaced:
        return ""
    minutes = spoken(sum(one.minutes for one in plan.unplaced))
    return f"no time at all for {count(len(plan.unplaced), 'step')}, {minutes}"


def _want_hands(plan: Plan, late: Sequence[str]) -> bool:
    """Whether steps are late only because nobody is there for a second pair of hands."""
    lacking = {
        step.id
        for step in plan.steps
        if any(note.kind is NoteKind.TWO_HANDS_WITHOUT_HELPER for note in step.notes)
    }
    return lacking.issuperset(late)


def _undecided(plan: Plan) -> list[str]:
    """Neither shown: how near the best plan comes, and what is known for certain."""
    fullest = _fullest_day(plan)
    over = share(plan.peak_load) if plan.peak_load is not None else "over its hours"
    day = f" {on_date(fullest, plan.now.date())}" if fullest else ""
    sentences = [f"Undecided: the best plan found is {over} full{day}."]
    if plan.lower_bound is not None:
        sentences.append(f"No plan can be under {share(plan.lower_bound)}.")
    return sentences


def _afterwards(plan: Plan, hurt: list[PlannedOccasion]) -> list[str]:
    """How full it is after the last occasion that can't be met."""
    if not hurt:
        return []
    for occasion in plan.occasions:
        if occasion.at > hurt[-1].at and occasion.fits and occasion.full is not None:
            return [f"After it, {share(occasion.full)} full."]
    return []


def _begin(plan: Plan) -> list[str]:
    """When work must have begun."""
    if plan.begin_by is None:
        return []
    today = plan.now.date()
    if plan.begin_by <= today:
        return ["Begin today."]
    return [f"Begin by {named_date(plan.begin_by, today)}."]


def _runs_out(plan: Plan) -> list[Said]:
    """That hours may be enough and stock is not."""
    found = {
        note.subject
        for step in plan.steps
        for note in step.notes
        if note.kind is NoteKind.STOCK_RUNS_OUT and note.subject
    }
    if not found:
        return []
    what = f"{len(found)} things in stock"
    if len(found) == 1:
        what = f"“{name_of(plan, next(iter(found)))}”"
    return [Said(text=f"Not enough of {what}.", brief="Stock runs out.")]


def _wearable(plan: Plan) -> list[str]:
    """From when on all can be worn."""
    days = list(plan.wearable_on.values())
    if not days or any(day is None for day in days):
        return []
    last = max(day for day in days if day is not None)
    if last < plan.now.date():
        return []
    worn = f"earable from {named_date(last, plan.now.date())}."
    return [f"By staying up: w{worn}" if by_staying_up(plan, last) else f"W{worn}"]


def _until(plan: Plan, day: date) -> str:
    """ "before the body fitting" where an occasion's ready-by ends a span, else the date."""
    for occasion in plan.occasions:
        if occasion.ready_by.date() == day and not occasion.past:
            return f"before {the_occasion(plan, occasion.id)}"
    return f"up to {named_date(day, plan.now.date())}"


def _fullest_day(plan: Plan) -> date | None:
    """The day of the fullest workroom window."""
    full = [(day.peak, day.date) for day in plan.days if day.peak]
    return max(full, key=lambda pair: (pair[0], -pair[1].toordinal()))[1] if full else None


def _steps(plan: Plan, steps: Sequence[str], by_name: bool) -> str:
    """“lining” (Jacket bodice) is, "3 steps are"."""
    return f"{_what(plan, steps, by_name)} {'is' if len(steps) == 1 else 'are'}"


def _what(plan: Plan, steps: Sequence[str], by_name: bool) -> str:
    """One step by name where there is room, several by number."""
    if len(steps) == 1 and by_name:
        return step_with_garment(plan, steps[0])
    return count(len(steps), "step")


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
