"""What was typed behind `wearby log PATH`, understood: steps, each with what was done of it.

A step is named by its id, ``garment/step``, its full id or its shown name. Behind it stands, in
any order, what is said of it: minutes (45, 45m, 1h30, 1:30), the word ``done``, ``left=30m``,
``note=...``, and ``stock=amount`` for what was really used. Options say the same of all steps
(``--done``, ``--note``), or of the only one (``--left``, ``--used``).
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Final

from planner.files.phrasing import write_quantity
from planner.model import Entry, Project, Stock, Used
from planner.nearest import nearest
from planner.plan import Plan
from planner.problems import InputError, Problem
from planner.quantity import parse_quantity, with_point
from planner.when_logged import end_of_work
from screens.arguments import COMMAND_LINE
from screens.finding import stock_called, stock_words
from screens.log_rows import TooLong, minutes_from
from screens.step_typed import find_step, steps_meant
from screens.wording import clean, clock, listed, named_date

DONE, LEFT, NOTE = "done", "left", "note"
_ELSEWHERE: Final = {
    "at": "--at {value}",
    "when": "--at {value}",
    "minutes": "the minutes alone: {value}",
    "used": "what was used as stock=amount: {value}",
}
"""How to write what nothing is called that stands before an equals sign."""
NIGHT: Final = time(6)
"""Before it a time of day that is still to come is one of the evening before."""
_WORDS: Final = 12
"""Words that a name is looked for in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What was typed of one step."""

    step: str
    """As typed."""
    minutes: int | None = None
    done: bool = False
    left: int | None = None
    note: str = ""
    used: tuple[Used, ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether nothing is said of it."""
        return not (self.minutes or self.done or self.note or self.used) and self.left is None


class _Problems:
    """What is wrong with what was typed, all of it."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def say(self, place: str, text: str) -> None:
        """One thing more."""
        self.found.append(Problem(file=COMMAND_LINE, place=place, text=text))

    def minutes(self, place: str, text: str) -> int | None:
        """Minutes as typed; says what is wrong with them."""
        if text.strip().startswith("-"):
            self.say(place, f"“{clean(text)}”: minutes are more than 0.")
            return None
        try:
            return minutes_from(text)
        except TooLong as error:
            self.say(place, str(error))
            return None
        except ValueError:
            told = f"“{clean(text)}” is no time: write minutes as 45, or 1h30, or 1:30."
            self.say(place, told)
            return None


def typed_entries(
    given: argparse.Namespace, project: Project, plan: Plan, now: datetime
) -> list[Entry]:
    """The entries that were typed; raises InputError with all that is wrong with them."""
    problems = _Problems()
    at = _moment(given.at, project, now, problems, looked=given.today is not None)
    said = [_with_options(one, given) for one in _said(given.words, problems)]
    said = _in_one_name(said, plan, problems)
    if len(said) == 1:
        said = [_alone(said[0], given, problems)]
    elif given.left is not None or given.used:
        option, how = ("--left", "left=30m") if given.left is not None else ("--used", "braid=2 m")
        problems.say(option, f"With several steps write it behind the one you mean: {how}.")
    entries = [_entry(one, at, plan, project, problems) for one in said]
    if problems.found:
        raise InputError(problems.found)
    return entries


# word by word


def _said(words: Sequence[str], problems: _Problems) -> list[Said]:
    """Each step with what stands behind it."""
    found: list[Said] = []
    for word in words:
        name, equals, value = word.partition("=")
        if not found or not (_is_time(word) or word == DONE or equals):
            found.append(Said(step=word))
        elif _is_time(word):
            if found[-1].minutes is not None:
                told = f"“{clean(found[-1].step)}” has two times: give it one."
                problems.say("MINUTES", told)
            minutes = problems.minutes("MINUTES", word)
            found[-1] = replace(found[-1], minutes=minutes)
        elif word == DONE:
            found[-1] = replace(found[-1], done=True)
        else:
            found[-1] = _with_value(found[-1], name.strip(), value, problems)
    return found


def _in_one_name(said: Sequence[Said], plan: Plan, problems: _Problems) -> list[Said]:
    """The same, where words that make one name together are told to stand in quotes.

    They are told once, in place of each of them.
    """
    found: list[Said] = []
    first = 0
    while first < len(said):
        last = _end_of_name(said, first, plan)
        if last > first:
            name = clean(" ".join(one.step for one in said[first : last + 1]))
            problems.say("STEP", f'Write a name of several words in quotes: "{name}".')
        else:
            found.append(said[first])
        first = last + 1
    return found


def _end_of_name(said: Sequence[Said], first: int, plan: Plan) -> int:
    """Up to which of these one is a name, from ``first`` on; ``first`` where it stands alone.

    Nothing is said of the words of a name but behind its last.
    """
    bare = [one.step for one in said]
    for last in range(min(len(said), first + _WORDS) - 1, first, -1):
        words = bare[first : last + 1]
        alone = all(_is_step(plan, one) for one in words)
        bare_till_last = all(one.nothing for one in said[first:last])
        if bare_till_last and not alone and steps_meant(plan, " ".join(words)):
            return last
    return first


def _is_step(plan: Plan, words: str) -> bool:
    return not isinstance(find_step(plan, words), str)


def _in_quotes(text: str) -> str:
    return f'"{text}"' if " " in text else text


def _is_time(word: str) -> bool:
    """Whether a word is meant for minutes: it begins with a digit, as no name of a step should;
    or with a dash before one, which is a slip."""
    word = word.removeprefix("-")
    return word[:1].isdigit() and all(char in "0123456789hm: " for char in word)


def _with_value(said: Said, name: str, value: str, problems: _Problems) -> Said:
    """With what is written as ``name=value``."""
    if name == LEFT:
        left = problems.minutes(LEFT, value)
        return replace(said, left=left)
    if name == NOTE:
        return replace(said, note=clean(value))
    if name in _ELSEWHERE:
        how = _ELSEWHERE[name].format(value=_in_quotes(clean(value)))
        problems.say(name.upper(), f"Write {how}, not {name}={clean(value)}.")
        return said
    return replace(said, used=(*said.used, *_used(f"{name}={value}", problems)))


def _used(text: str, problems: _Problems) -> tuple[Used, ...]:
    """What was used, as ``stock=amount``; nothing where that says nothing."""
    name, equals, amount = text.partition("=")
    if not (name.strip() and equals):
        problems.say("--used", f"“{clean(text)}” names no stock: write braid=2.9m.")
        return ()
    try:
        return (Used(stock=name.strip(), amount=parse_quantity(with_point(amount))),)
    except ValueError as error:
        problems.say("--used", f"{clean(str(error))}.")
        return ()


def _with_options(said: Said, given: argparse.Namespace) -> Said:
    """With what is said of all; what is said of one wins."""
    done = said.done or (given.done and said.left is None)
    return replace(said, done=done, note=said.note or clean(given.note or ""))


def _alone(said: Said, given: argparse.Namespace, problems: _Problems) -> Said:
    """With what can be said by options of a single step."""
    if given.left is not None:
        said = replace(said, left=problems.minutes("--left", given.left))
    used = [one for text in given.used or () for one in _used(text, problems)]
    return replace(said, used=(*said.used, *used))


# what it means


def _entry(said: Said, at: datetime, plan: Plan, project: Project, problems: _Problems) -> Entry:
    """The entry; with problems told, of no use."""
    asked = clean(said.step)
    found = find_step(plan, said.step)
    step = found if isinstance(found, str) else found.id
    if isinstance(found, str):
        problems.say("STEP", found)
    elif said.nothing and not problems.found:
        told = f"Say what was done of “{asked}”: minutes, done, or left=30m."
        problems.say("STEP", told)
    if said.done and said.left:
        told = f"“{asked}” is done and has minutes left: keep one of the two."
        problems.say(LEFT, told)
    if not isinstance(found, str):
        said = replace(said, used=_taken(said, step, project, problems))
    return Entry(
        at=at,
        step=step,
        minutes=said.minutes or 0,
        done=said.done or said.left == 0,
        left=None if said.done or said.left == 0 else said.left,
        note=said.note,
        used=said.used,
    )


def _taken(said: Said, step: str, project: Project, problems: _Problems) -> tuple[Used, ...]:
    """What was used, each stock by its id; says which there isn't, and which isn't measured so."""
    ensemble = next(one for one in project.ensembles if one.id == step.split("/")[0])
    stocks = {one.id: one for one in ensemble.stock}
    taken = []
    for one in said.used:
        called = stock_called(stocks, one.stock)
        if len(called) != 1:
            problems.say("--used", _no_stock(one.stock, called, stocks))
            continue
        have = stocks[called[0]].have
        if have.value and have.dimension != one.amount.dimension:
            shown, name = write_quantity(have, project.workroom.units), clean(one.stock)
            problems.say("--used", f"“{name}” is measured otherwise: there is {shown} of it.")
        taken.append(replace(one, stock=called[0]))
    return tuple(taken)


def _no_stock(asked: str, called: Sequence[str], stocks: Mapping[str, Stock]) -> str:
    """Why nothing is meant by a name, and what there is."""
    if called:
        several = listed([f"{stock_words(stocks[one])} ({one})" for one in called], 5)
        return f"“{clean(asked)}” could be {several}: write the one you mean."
    near = nearest(asked, [*stocks, *map(stock_words, stocks.values())])
    names = listed(list(dict.fromkeys(map(stock_words, stocks.values()))), 8)
    hint = f"did you mean {near}?" if near else f"there is {names}." if names else "nothing is."
    return f"There is no stock “{clean(asked)}” here; {hint}"


def _moment(
    text: str | None, project: Project, now: datetime, problems: _Problems, *, looked: bool
) -> datetime:
    """The moment of it: what was typed, else now.

    ``looked``: a day is looked at as from its beginning; then all of it may be told.
    """
    if text is None:
        return now
    text = text.strip()
    found = _read_moment(text, project, now)
    alone = ":" in text and not set(text) & set("T -")
    if found is not None and alone and not looked and now < found and now.time() < NIGHT:
        found -= timedelta(days=1)
    if found is None:
        told = "write it as 21:30, yesterday, 2027-05-08 or 2027-05-08T21:30."
        problems.say("--at", f"“{clean(text)}” is no moment: {told}")
        return now
    last = now if not looked else datetime.combine(now.date(), time(23, 59))
    if found > last:
        when = f"{named_date(found.date(), now.date())}, {clock(found)}"
        before = f' For yesterday write --at "yesterday {text}".' if alone else ""
        problems.say("--at", f"That is still to come: {when}.{before}")
    return found


def _read_moment(text: str, project: Project, now: datetime) -> datetime | None:
    """A time of today, a day (when its hours end), or a day with its time; None for none."""
    named, _, clocked = text.partition(" ")
    if text in ("today", "yesterday"):
        day = now.date() - timedelta(days=text == "yesterday")
        return now if text == "today" else end_of_work(project, day)
    try:
        if clocked and named in ("today", "yesterday"):
            return _exact(clocked, now) - timedelta(days=named == "yesterday")
        return (
            end_of_work(project, date.fromisoformat(text)) if len(text) == 10 else _exact(text, now)
        )
    except ValueError:
        return None


def _exact(text: str, now: datetime) -> datetime:
    """A moment to the minute; raises ValueError."""
    if "T" not in text and " " not in text:
        hours, _, minutes = text.partition(":")
        return datetime.combine(now.date(), time(int(hours), int(minutes)))
    found = datetime.fromisoformat(text)
    if found.tzinfo is not None:
        raise ValueError(text)
    return found.replace(second=0, microsecond=0)
