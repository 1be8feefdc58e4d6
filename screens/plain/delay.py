"""`wearby delay`: what went wrong, and what that moves; with --keep it is taken into the plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from itertools import zip_longest
from pathlib import Path
from typing import Any

from planner.editing.delays import delivery_meant
from planner.exports.account import stock_reports_of
from planner.files.clock_running import read_clock
from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError
from planner.sitting_down import SatDown
from screens import state
from screens.answers import Answer, Question, fits_status
from screens.arguments import wrong
from screens.delay_asking import short_amount
from screens.delays_doing import (
    WHATS,
    Delay,
    away,
    day_typed,
    delivery,
    helper,
    moment_typed,
    occasion,
    sentence,
    spread,
    tonight,
)
from screens.delays_told import Effect, Move, effect_of, moves, told
from screens.finding import find_occasion, find_stock
from screens.forms import lookups
from screens.plain.lines import WIDTH, common
from screens.session import Session
from screens.verdict import heading as of_what
from screens.verdict import verdict_sentences
from screens.wording import cells, clean, padded, wrapped

LABEL = 13
"""Columns of a label."""
WANTS = {
    "away": ("DATE", "the day you are back: wearby delay PATH away Friday"),
    "delivery": ("STOCK DATE", "what comes, and when: wearby delay PATH delivery wool 6 May"),
    "occasion": ("OCCASION DATE", "which, and when: wearby delay PATH occasion fitting Sunday"),
}
"""What must be typed behind what happened."""


def answered(question: Question, path: Path, now: datetime) -> Answer:
    """Make the change, plan, and say what moves; with --keep it is saved. Raises InputError."""
    given = question.given
    session = Session(path, lambda: now)
    project = session.current()
    # later plans hold on to the one there is, as they do in the program
    session.keep(question.plan)
    sat = _sat_down(session)
    delay = _understood(project, question.plan, given.what, given.words, now, sat)
    if given.keep and delay.warning:
        told = "Nothing was written: what comes after it is to be moved first."
        raise wrong("DATE", f"{delay.warning} {told}")
    if not given.keep:
        changed = delay.doing.change(session.project)
    elif delay.what == "afresh":
        session.spread_afresh(delay.doing.label)
        changed = session.project
    else:
        changed = session.apply(delay.doing.label, delay.doing.change)
    after = state.plan_of(changed, now, thorough=given.json).plan
    if given.keep:
        session.keep(after)
        session.save_kept()
    effect = effect_of(project, question.plan, changed, after, only_loses=delay.only_loses)
    return Answer(
        status=fits_status(after.fits),
        as_text=lambda: "\n".join(line.rstrip() for line in _lines(delay, effect, given.keep)),
        as_json=lambda: _as_json(delay, effect, given.keep),
    )


# what was typed


def _sat_down(session: Session) -> SatDown | None:
    """What somebody sits at by the clock; a clock that can't be read tells nothing."""
    try:
        return read_clock(session.folder)
    except InputError:
        return None


def _understood(
    project: Project, plan: Plan, what: str | None, words: Sequence[str], now: datetime,
    sat: SatDown | None,
) -> Delay:  # fmt: skip
    """What happened, from the words behind PATH. Raises InputError with a sentence."""
    known = [one.key for one in WHATS]
    if what not in known:
        words_known = f"{', '.join(known[:-1])} or {known[-1]}"
        asked = f"“{clean(what)}” is nothing that is known to happen: write" if what else "Write"
        raise wrong("WHAT", f"{asked} {words_known}.")
    if what in ("tonight", "afresh") and words:
        raise wrong("WHAT", f"Nothing is written behind {what}.")
    least = {"away": 1, "delivery": 2, "occasion": 2}.get(what, 0)
    if len(words) < least:
        raise wrong(WANTS[what][0], f"Say {WANTS[what][1]}.")
    try:
        if what == "tonight":
            return tonight(project, now, sat)
        return _delay(project, plan, what, words, now)
    except ValueError as error:
        raise wrong("WHAT", sentence(error, now.date())) from None


def _delay(project: Project, plan: Plan, what: str, words: Sequence[str], now: datetime) -> Delay:
    """The same, of words that are enough. Raises ValueError or InputError with a sentence."""
    today = now.date()
    if what == "away":
        return away(project, day_typed(" ".join(words), today, ahead=True), now)
    if what == "delivery":
        return _delivery(project, plan, *_name_and_day(project, words, today), now)
    if what == "occasion":
        found = find_occasion(plan, words[0])
        if isinstance(found, str):
            raise wrong("OCCASION", found)
        return occasion(project, plan, found.id, moment_typed(" ".join(words[1:]), today), now)
    if what == "helper":
        return helper(project, now, day_typed(" ".join(words), today) if words else None)
    return spread(project)


def _name_and_day(project: Project, words: Sequence[str], today: date) -> tuple[str, str]:
    """What comes and on what day, of words where a name of several needs no quotes."""
    splits = [(" ".join(words[:n]), " ".join(words[n:])) for n in reversed(range(1, len(words)))]
    dated = [(name, day) for name, day in splits if _is_day(day, today)]
    known = (one for one in dated if find_stock(project, one[0])[0] is not None)
    found = next(known, None)
    # of what isn't known, as many words as leave a day; of no day, the first is the name
    return found or (dated[0] if dated else splits[-1])


def _is_day(text: str, today: date) -> bool:
    try:
        day_typed(text, today)
    except ValueError:
        return False
    return True


def _delivery(project: Project, plan: Plan, name: str, typed: str, now: datetime) -> Delay:
    """The delivery of a stock that is most likely meant; where none is coming, what is short."""
    ident, why = find_stock(project, name)
    if ident is None:
        raise wrong("STOCK", why)
    day = day_typed(typed, now.date())
    stock = lookups.stock_of(project, ident)
    index = delivery_meant(stock, now.date()) if stock is not None else None
    if stock is not None and index is not None:
        return delivery(project, ident, stock.coming[index], day, now)
    report = next(one for one in stock_reports_of(project, plan) if one.id == ident)
    amount = short_amount(plan, report)
    if amount is None:
        name = lookups.name_of(project, ident)
        raise wrong("STOCK", f"Nothing of {name} is coming, and there is enough of it.")
    return delivery(project, ident, None, day, now, amount=amount)


# what is printed


def _lines(delay: Delay, effect: Effect, keep: bool) -> list[str]:
    """What happened, the verdict now and then, what to do next, and which steps move."""
    label = delay.doing.label
    said = f"{label[:1].upper()}{label[1:]}. {delay.told} {delay.warning}"
    found = [of_what(effect.after, WIDTH), *wrapped([said], WIDTH), ""]
    found += _labelled("Now", " ".join(verdict_sentences(effect.before)[:2]))
    for one in told(effect, WIDTH - LABEL):
        found += _labelled(one.label, one.text)
    rows = moves(effect)
    found += [""] if rows else []
    for move in rows:
        found += _row(move)
    end = "This is kept." if keep else "Nothing was written; with --keep it is."
    return [*found, "", end]


def _row(move: Move) -> list[str]:
    """A step, from which days to which; beneath it why."""
    room = WIDTH - 5 - max(map(cells, move.days)) - 2
    head = f"  {move.letter}  "
    found = [
        f"{head if number == 0 else '     '}{padded(name, room)}  {days}"
        for number, (name, days) in enumerate(
            zip_longest(wrapped([move.name], room), move.days, fillvalue="")
        )
    ]
    return [*found, *(f"     {line}" for line in wrapped([move.why], WIDTH - 5))]


def _labelled(label: str, text: str) -> list[str]:
    first, *rest = wrapped([text], WIDTH - LABEL) or [""]
    return [f"{padded(label, LABEL)}{first}", *(f"{'':{LABEL}}{line}" for line in rest)]


def _as_json(delay: Delay, effect: Effect, keep: bool) -> dict[str, Any]:
    """The plan after in short, the plan before in short, and what moved."""
    from planner.exports.moved_as_json import moved_as_json

    return {
        **common(effect.after),
        "before": common(effect.before),
        "what": delay.what,
        "done": delay.doing.label,
        "told": delay.told,
        "warning": delay.warning,
        "kept": keep,
        "moved": moved_as_json(effect.moved),
    }
