"""Reasons and notes as sentences: why a step is on its day, what to watch, where it is tight."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, time

from planner.model import Warned
from planner.plan import Because, Note, NoteKind, Plan, PlannedStep, SpotStep, Unplaced
from screens.aftercare_told import HOW, of_aftercare
from screens.fixed_told import not_kept_sentence
from screens.pace_told import estimate_sentence
from screens.wording import (
    cells,
    clean,
    count,
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

_GRAVITY = (
    NoteKind.OVER,
    NoteKind.UNPLACED,
    NoteKind.LATE,
    NoteKind.STOCK_RUNS_OUT,
    NoteKind.STOCK_NOT_THERE,
    NoteKind.TOO_MUCH_HAND_SEWING,
    NoteKind.TOO_LONG_FOR_ONE_SITTING,
    NoteKind.FIXED_DAY_NOT_KEPT,
    NoteKind.TWO_HANDS_WITHOUT_HELPER,
    NoteKind.TIGHT,
    NoteKind.CANNOT_BE_BOUGHT_AGAIN,
    NoteKind.NOTHING_TO_SPARE,
    NoteKind.NO_WAY_BACK,
    NoteKind.WAITS_TILL,
    NoteKind.NOT_WANTED,
    NoteKind.CAUTION,
)


def graver_first(notes: tuple[Note, ...]) -> list[Note]:
    """Notes, the gravest first."""
    return sorted(notes, key=lambda note: _GRAVITY.index(note.kind))


def spot_sentences(plan: Plan) -> list[str]:
    """The tight spot: its span, its arithmetic, its steps, and whether that proves it."""
    spot = plan.tight_spot
    if spot is None or not spot.steps:
        return []
    today = plan.now.date()
    span = f"from {_since(plan, spot.start)} to {named_moment(spot.end, today)}"
    if spot.short > 0:
        tried = "" if spot.proven else ", in the order tried"
        rest = f"{spoken(spot.short)} too much{tried}"
    else:
        rest = f"{spoken(-spot.short)} is left over" if spot.short else "nothing is left over"
    return [
        f"It is tightest {span}:",
        f"{spoken(spot.wanted)} of work for the {spoken(spot.available)} there are; {rest}.",
        _longest(plan, spot.steps),
    ]


CHAINED = 3
"""So many steps of a long chain are named."""
NAMED = 3
"""So many steps of a tight spot are named."""


def _longest(plan: Plan, steps: Sequence[SpotStep]) -> str:
    """The steps that ask most of a tight spot, and how many more there are."""
    by_length = sorted(steps, key=lambda step: -step.minutes)
    first = [one.id for one in by_length[:NAMED]]
    garments = {garment_of(plan, ident) for ident in first}
    if len(garments) == 1:
        names = f"{listed([quoted(plan, ident) for ident in first])} ({garments.pop()})"
    else:
        names = listed([step_with_garment(plan, ident) for ident in first])
    more = len(by_length) - NAMED
    if more > 0:
        return f"Longest are {names}; then {count(more, 'step')} more."
    return f"It is all {names}."


def _since(plan: Plan, moment: datetime) -> str:
    """The beginning of a span: now, or a moment."""
    if moment <= plan.now:
        return "now"
    if moment.time() == time():
        return named_date(moment.date(), plan.now.date())
    return named_moment(moment, plan.now.date())


def unplaced_sentence(plan: Plan, one: Unplaced) -> str:
    """A step for which there is no time, and why."""
    reason = clean(one.reason).rstrip(".")
    return f"{step_with_garment(plan, one.step)}, {spoken(one.minutes)}: {reason}."


def warning_line(warned: Warned) -> str:
    """A warning with its file and place."""
    where = ", ".join(part for part in (clean(warned.file), clean(warned.place)) if part)
    return f"{where}: {clean(warned.text)}" if where else clean(warned.text)


def in_short(plan: Plan, step: PlannedStep) -> str:
    """The one thing to know of a step on its day: the gravest note, what is to spare, or why."""
    over = minutes_over(plan, step.id)
    for note in graver_first(step.notes):
        if note.kind in _SHORT and not (over and note.kind is NoteKind.NOTHING_TO_SPARE):
            return _SHORT[note.kind](plan, note)
    if step.during:
        return "with two pairs of hands" if step.hands > 1 else ""
    return spare_told(plan, step) or _because(plan, step)


def spare_told(plan: Plan, step: PlannedStep) -> str:
    """ "1 h 30 to spare", "at least 20 min to spare"; empty where it would mislead.

    It does where any hours hold more than they have, for then it is counted as if all hours were
    stretched; and where it is more than what the work leaves of the hours told beside it.
    """
    spare, there = step.to_spare, step.reason.minutes
    stretched = plan.peak_load is not None and plan.peak_load > 1
    if not spare or stretched or any(one.over for one in plan.sittings):
        return ""
    if there is not None and spare > there - step.left:
        return ""
    return f"{'' if step.to_spare_exact else 'at least '}{spoken(spare)} to spare"


def minutes_over(plan: Plan, step: str) -> int:
    """Minutes of a step that lie beyond the hours there are."""
    return sum(one.over for one in plan.sittings if one.step == step)


def note_sentence(plan: Plan, note: Note) -> str:
    """A note as a whole sentence."""
    return _LONG[note.kind](plan, note)


def _because(plan: Plan, step: PlannedStep) -> str:
    """The nearest cause in few words."""
    reason = step.reason
    named = reason.names[0] if reason.names else None
    if reason.because is Because.FOLLOWER and named:
        near = garment_of(plan, named) == garment_of(plan, step.id)
        return f"before {quoted(plan, named) if near else step_with_garment(plan, named)}"
    if reason.because is Because.OCCASION:
        return f"for {the_occasion(plan, named or step.due_for)}"
    if reason.because is Because.RELEASE and named:
        return f"not before {_released(plan, named)}"
    if reason.because is Because.AT_OCCASION:
        return f"at {the_occasion(plan, named or step.during)}"
    if reason.because is Because.FULL:
        return "later hours go to others"
    return reason.because.value


def reason_sentences(plan: Plan, step: PlannedStep) -> list[str]:
    """Why a step is when it is: cause, hours there are, to spare, waits, notes, chain.

    The chain comes last, for it may be long. Cautions are not among them (see ``cautions``).
    """
    found = [_cause_sentence(plan, step)]
    if not step.done and step.wanted and step.left:
        found += _numbers(plan, step)
        found += [text for text in [estimate_sentence(plan, step)] if text]
    if step.wait:
        found.append(_wait_sentence(step))
    unsaid = {NoteKind.CAUTION}
    if minutes_over(plan, step.id):
        unsaid.add(NoteKind.NOTHING_TO_SPARE)
    said = [note for note in step.notes if note.kind not in unsaid]
    found += [note_sentence(plan, note) for note in graver_first(tuple(said))]
    return [*found, *([_chain_sentence(plan, step)] if step.reason.chain else [])]


def cautions(step: PlannedStep) -> list[str]:
    """What hurts or burns, to be said once at the step."""
    return [clean(note.text) for note in step.notes if note.kind is NoteKind.CAUTION]


def caution_in_a_line(caution: str, room: int) -> str:
    """A caution for where there is little room: as much as makes sense by itself, never cut within
    a clause; "…" says that there is more."""
    if cells(caution) <= room:
        return caution
    ends = [at for at, letter in enumerate(caution[:-1]) if letter in ",;:."]
    whole = [at for at in ends if caution[at + 1] == " " and cells(caution[:at]) + 2 <= room]
    return f"{caution[: whole[-1]]} …" if whole else caution


def _cause_sentence(plan: Plan, step: PlannedStep) -> str:
    """The nearest cause as a sentence."""
    reason, today = step.reason, plan.now.date()
    named = reason.names[0] if reason.names else ""
    day = step.last_day
    at = f" {on_date(day, today)}" if day else ""
    done = f"{'It' if step.first_day == day else 'Its last part'} is done{at}"
    if reason.because is Because.FOLLOWER:
        return f"{done}, for {step_with_garment(plan, named)} follows it{_then(plan, named)}."
    if reason.because is Because.OCCASION:
        return f"{done}: {the_occasion(plan, named or step.due_for)} wants it."
    if reason.because is Because.FULL:
        return f"{done}{_filled_by(plan, reason.names)}."
    if reason.because is Because.RELEASE:
        return f"It can't begin before {_released(plan, named)}."
    if reason.because is Because.AT_OCCASION:
        return f"It is done at {the_occasion(plan, named or step.during)}, in its time."
    return {
        Because.FIXED_DAY: f"You fixed its day{at}.",
        Because.DONE: "It is done.",
        Because.NOT_WANTED: _wanted_by_none(plan, step.id),
        Because.LEFT_OFF: "You left it off.",
        Because.UNPLACED: "There is no time for it between what it waits for and its occasion.",
    }[reason.because]


def _wanted_by_none(plan: Plan, step: str | None) -> str:
    """Why no occasion wants it, and what to do where that is known."""
    if of_aftercare(plan, step):
        return f"It is to be done before the next wearing: {HOW}, and it is planned."
    return "No occasion wants it, so it is not planned."


def _filled_by(plan: Plan, steps: Sequence[str]) -> str:
    """What later hours are given to: one step by name, and how many more. Some may yet be free,
    and not be enough."""
    if not steps:
        return ", for the hours after it don't hold it"
    more = f" and {count(len(steps) - 1, 'step')} more" if len(steps) > 1 else ""
    return (
        f"; the hours after it are given to {step_with_garment(plan, steps[0])}{more},"
        " which would have to make room"
    )


def _then(plan: Plan, ident: str) -> str:
    """When a follower begins."""
    for step in plan.steps:
        if step.id == ident and step.first_day:
            return f" {on_date(step.first_day, plan.now.date())}"
    return ""


def _chain_sentence(plan: Plan, step: PlannedStep) -> str:
    """The chain to the occasion that fixes the step; of a long one the beginning and the end."""
    chain = step.reason.chain
    garment = garment_of(plan, step.id)
    names = []
    for ident in chain[: CHAINED if len(chain) > CHAINED + 1 else len(chain)]:
        if any(occasion.id == ident for occasion in plan.occasions):
            names.append(the_occasion(plan, ident))
            continue
        name = quoted(plan, ident)
        if ident.count("/") == 2 and garment_of(plan, ident) != garment:
            garment = garment_of(plan, ident)
            name = f"{name} ({garment})"
        names.append(name)
    told = f"After it: {', then '.join(names)}"
    if len(chain) <= CHAINED + 1:
        return f"{told}."
    last = chain[-1]
    if not any(occasion.id == last for occasion in plan.occasions):
        return f"{told}, and so on to {step_with_garment(plan, last)}."
    more = count(len(chain) - len(names) - 1, "step")
    return f"{told}, and so on, {more} more, to {the_occasion(plan, last)}."


def _numbers(plan: Plan, step: PlannedStep) -> list[str]:
    """Minutes of work, minutes there are, and what is to spare."""
    today = plan.now.date()
    found = []
    over = minutes_over(plan, step.id)
    work = f"{spoken(step.left)} of work"
    if step.left != step.minutes:
        work += f" left of {spoken(step.minutes)}"
    if over:
        part = "it has" if over >= step.left else f"{spoken(over)} of it have"
        found.append(f"{work}; {part} no hours, for other steps take those there are.")
    elif step.earliest and step.latest and step.reason.minutes is not None:
        found.append(
            f"{work} in {spoken(step.reason.minutes)} of hours,"
            f" from {_since(plan, step.earliest)} to {named_moment(step.latest, today)}."
        )
    else:
        found.append(f"{work}; it may take {spoken(step.low)} to {spoken(step.high)}.")
    spare = spare_told(plan, step)
    if spare:
        found.append(f"{spare[:1].upper()}{spare[1:]}.")
    return found


def _wait_sentence(step: PlannedStep) -> str:
    """What must pass after it."""
    wait = step.wait
    if wait.nights:
        return f"Done, it rests for {'a night' if wait.nights == 1 else f'{wait.nights} nights'}."
    return f"Done, it rests for {spoken(wait.minutes)}."


def _released(plan: Plan, named: str) -> str:
    """What a step waits for: an occasion, a wait, stock, the maker's own word, or a date."""
    if named in ("not_before", "on"):
        return "the day you named"
    if any(occasion.id == named for occasion in plan.occasions):
        return f"{the_occasion(plan, named)} is over"
    if any(step.id == named for step in plan.steps):
        return f"the wait after {step_with_garment(plan, named)} is over"
    if named in plan.names:
        return f"the {name_of(plan, named)} is there"
    try:
        return named_date(date.fromisoformat(named[:10]), plan.now.date())
    except ValueError:
        return clean(named)


def _till(plan: Plan, note: Note) -> str:
    if note.until is None:
        return "then"
    if note.until.time() == time():
        return named_date(note.until.date(), plan.now.date())
    return named_moment(note.until, plan.now.date())


def _subject(plan: Plan, note: Note) -> str:
    return name_of(plan, note.subject) if note.subject else ""


def _amount(note: Note) -> str:
    return f" ({clean(note.text)})" if note.text else ""


def _first(plan: Plan, note: Note) -> str:
    """What should come before a step with no way back."""
    if not note.subject:
        return ""
    step = any(one.id == note.subject for one in plan.steps)
    return f"; first {quoted(plan, note.subject) if step else the_occasion(plan, note.subject)}"


_Say = Callable[[Plan, Note], str]

_SHORT: dict[NoteKind, _Say] = {
    NoteKind.LATE: lambda plan, note: f"late for {the_occasion(plan, note.subject)}",
    NoteKind.STOCK_NOT_THERE: lambda plan, note: (
        f"{_subject(plan, note)} comes {_till(plan, note)}"
        if note.until
        else f"{_subject(plan, note)} is not there"
    ),
    NoteKind.STOCK_RUNS_OUT: lambda plan, note: f"{_subject(plan, note)} runs out{_amount(note)}",
    NoteKind.NO_WAY_BACK: lambda plan, note: f"no way back{_first(plan, note)}",
    NoteKind.TOO_LONG_FOR_ONE_SITTING: lambda plan, note: "longer than one sitting",
    NoteKind.FIXED_DAY_NOT_KEPT: lambda plan, note: "not on the day you fixed",
    NoteKind.TWO_HANDS_WITHOUT_HELPER: lambda plan, note: "needs a second pair of hands",
    NoteKind.NOTHING_TO_SPARE: lambda plan, note: "nothing to spare",
    NoteKind.WAITS_TILL: lambda plan, note: f"then rests till {_till(plan, note)}",
    NoteKind.NOT_WANTED: lambda plan, note: (
        "before the next wearing" if of_aftercare(plan, note.step) else "no occasion wants it"
    ),
}

_LONG: dict[NoteKind, _Say] = {
    NoteKind.OVER: lambda plan, note: f"{spoken(note.minutes or 0)} beyond the hours there are.",
    NoteKind.TIGHT: lambda plan, note: "Hardly an hour is left over.",
    NoteKind.LATE: lambda plan, note: f"It is late for {the_occasion(plan, note.subject)}.",
    NoteKind.NOTHING_TO_SPARE: lambda plan, note: (
        "Nothing to spare: every minute it slips is missing later."
    ),
    NoteKind.TOO_MUCH_HAND_SEWING: lambda plan, note: (
        f"{spoken(note.minutes or 0)} more hand sewing than you want in a day; rest your hands."
    ),
    NoteKind.TOO_LONG_FOR_ONE_SITTING: lambda plan, note: (
        "It wants one sitting, and no stretch of hours is as long; it is planned in parts."
    ),
    NoteKind.FIXED_DAY_NOT_KEPT: lambda plan, note: (
        f"{not_kept_sentence(plan, note.step)} It is planned on another."
    ),
    NoteKind.STOCK_NOT_THERE: lambda plan, note: (
        f"{_subject(plan, note)}{_amount(note)} comes {_till(plan, note)}."
        if note.until
        else f"{_subject(plan, note)}{_amount(note)} is not there, and none is coming."
    ),
    NoteKind.STOCK_RUNS_OUT: lambda plan, note: (
        f"{_subject(plan, note)} runs out at this step{_amount(note)}."
    ),
    NoteKind.CANNOT_BE_BOUGHT_AGAIN: lambda plan, note: (
        f"{_subject(plan, note)} can't be bought again."
    ),
    NoteKind.NO_WAY_BACK: lambda plan, note: f"No way back once it is done{_first(plan, note)}.",
    NoteKind.WAITS_TILL: lambda plan, note: f"Then it rests till {_till(plan, note)}.",
    NoteKind.TWO_HANDS_WITHOUT_HELPER: lambda plan, note: (
        "It needs a second pair of hands, and no helper hours are left for it."
    ),
    NoteKind.NOT_WANTED: lambda plan, note: _wanted_by_none(plan, note.step),
    NoteKind.UNPLACED: lambda plan, note: "There is no time for it.",
    NoteKind.CAUTION: lambda plan, note: clean(note.text),
}
