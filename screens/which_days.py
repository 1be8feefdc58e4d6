"""Which days a change of hours is for: in words, and from what is typed.

A day, a span of days, or a recurrence: "2027-05-14", "14 May to 16 May", "every first Tuesday",
"every other Thursday from 6 May until 1 July". Recurrences are RFC 5545 RRULEs in the files; one
that has no words here is shown, and can be typed, as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Final

from planner.editing import check_days
from planner.files.clock import checked_rule
from planner.model import Change
from planner.week import weekday_of
from screens.forms.texts import moment_from
from screens.wording import WEEKDAYS, clean, short_date

ORDINALS: Final = {
    1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth", -1: "last",
}  # fmt: skip
EXAMPLE: Final = "14 May, 14 May to 16 May, or every first Tuesday"
_CODES: Final = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_SETS: Final = {"weekday": _CODES[:5], "weekend": _CODES[5:]}
_EVERY = re.compile(r"^(?:every|each)\b\s*(.*)$", re.IGNORECASE)
_RULE = re.compile(r"^(?:RRULE:)?\s*FREQ\s*=", re.IGNORECASE)
_TIMES = re.compile(r"^(.*\S),?\s+(\d{1,5})\s+times$", re.IGNORECASE)
_BOUND = re.compile(r"^(.*[^\s,]),?\s+(from|since|until|till)\s+(.+)$", re.IGNORECASE)
_TO = re.compile(r"\s+(?:to|till|until|-|–|—)\s+", re.IGNORECASE)
_NTH_DAY = re.compile(r"^([+-]?\d)([A-Z]{2})$")
_NUMBER = re.compile(r"^(\d{1,2})(?:st|nd|rd|th)?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """What a change says of its days."""

    first: date | None = None
    last: date | None = None
    rule: str | None = None

    def of(self, change: Change) -> Change:
        """A change for these days."""
        return replace(change, first=self.first, last=self.last, rule=self.rule)


# in words


def days_text(change: Change) -> str:
    """A change's days as ``days_from`` reads them."""
    return _said(change, date.isoformat)


def days_told(change: Change, today: date) -> str:
    """A change's days in a line: "Fri 14 May to Sun 16 May", "every first Tuesday"."""

    def told(day: date) -> str:
        year = f" {day.year}" if day.year != today.year else ""
        return f"{' '.join(short_date(day).split())}{year}"

    return _said(change, told)


def _said(change: Change, told: Callable[[date], str]) -> str:
    if change.rule is not None:
        start = f" from {told(change.first)}" if change.first else ""
        return _in_words(change.rule, start, told) or f"{clean(change.rule)}{start}"
    if change.first is None:
        return ""
    if change.last in (change.first, None):
        return told(change.first)
    assert change.last is not None
    return f"{told(change.first)} to {told(change.last)}"


def _in_words(rule: str, start: str, told: Callable[[date], str]) -> str:
    """A rule in words; empty where there are none that say the same."""
    parts = {
        name.strip(): value.strip()
        for name, _, value in (part.partition("=") for part in rule.upper().split(";"))
    }
    frequency, count, until = (parts.pop(name, "") for name in ("FREQ", "COUNT", "UNTIL"))
    every = int(parts.pop("INTERVAL", "1"))
    end = f" {count} times" if count else ""
    if until:
        if not re.fullmatch(r"\d{8}", until):
            return ""
        end = f" until {told(date.fromisoformat(until))}"
    said = _body(frequency, every, parts)
    return f"{said}{start}{end}" if said else ""


def _body(frequency: str, every: int, parts: dict[str, str]) -> str:
    """What recurs, without when it begins and ends."""
    other = {1: "", 2: "other "}.get(every)
    if frequency == "DAILY" and not parts:
        return f"every {other}day" if other is not None else f"every {every} days"
    if set(parts) == {"BYDAY"}:
        days = [day.strip() for day in parts["BYDAY"].split(",")]
        if frequency == "WEEKLY" and all(day in _CODES for day in days):
            named = _listed([WEEKDAYS[_CODES.index(day)] for day in days])
            return (
                f"every {other}{named}" if other is not None else f"every {every} weeks on {named}"
            )
        if frequency == "MONTHLY" and every == 1:
            return _of_the_month(days)
    if frequency == "MONTHLY" and every == 1 and set(parts) == {"BYMONTHDAY"}:
        days = [day.strip() for day in parts["BYMONTHDAY"].split(",")]
        if days == ["-1"]:
            return "every last day of the month"
        if all(day.isdigit() for day in days):
            return f"every {_listed([_nth(int(day)) for day in days])} of the month"
    return ""


def _of_the_month(days: Sequence[str]) -> str:
    """ "every first and third Tuesday", where all are of one weekday."""
    found = [_NTH_DAY.match(day) for day in days]
    numbers = [int(one[1]) for one in found if one is not None]
    codes = {one[2] for one in found if one is not None}
    if len(numbers) < len(days) or len(codes) != 1 or not all(n in ORDINALS for n in numbers):
        return ""
    (code,) = codes
    if code not in _CODES:
        return ""
    return f"every {_listed([ORDINALS[n] for n in numbers])} {WEEKDAYS[_CODES.index(code)]}"


def _listed(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def _nth(number: int) -> str:
    """1st, 2nd, 3rd, 11th."""
    teen = 10 <= number % 100 <= 20
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


# from what is typed


def days_from(text: str, today: date) -> Days:
    """Which days a text says; raises ValueError with a sentence for the maker."""
    text = " ".join(clean(text).split())
    if not text:
        raise ValueError(f"Say which days: {EXAMPLE}.")
    text = re.sub(r"^daily\b", "every day", text, flags=re.IGNORECASE)
    if _RULE.match(text) or _EVERY.match(text):
        return _recurrence(text, today)
    parts = _TO.split(text)
    if len(parts) > 2:
        raise ValueError(f"“{text}” has more than two ends: write {EXAMPLE}.")
    last = day_from(parts[-1], today)
    first = last if len(parts) == 1 else day_from(_with_month(parts[0], parts[1]), today)
    if first > last and not re.search(r"\b\d{4}\b", parts[-1]):
        # "28 December to 3 January": the next there is of each, the second after the first
        last = day_from(parts[-1], first)
    try:
        check_days(first, last)
    except ValueError as error:
        raise ValueError(f"{error}.") from None
    return Days(first=first, last=last)


def day_from(text: str, today: date) -> date:
    """A day that was typed, a weekday being the next there is; ValueError with a sentence."""
    found = moment_from(text, today)
    if isinstance(found, date) and not isinstance(found, datetime):
        return found
    if text.strip().isalpha():
        with suppress(ValueError):
            return today + timedelta(days=(weekday_of(text.strip().lower()) - today.weekday()) % 7)
    raise ValueError(f"“{clean(text)}” is no date: write 14 May, 14 May 2027 or 2027-05-14.")


def _with_month(text: str, other: str) -> str:
    """ "14" before "16 May" is 14 May."""
    month = re.search(r"[A-Za-z]{3,}(?:\s+\d{4})?\s*$", other)
    return f"{text} {month[0]}" if text.isdigit() and month else text


def _recurrence(text: str, today: date) -> Days:
    """A rule, and from when it counts."""
    body, first, end = _bounded(text, today)
    if _RULE.match(body):
        rule = body.removeprefix("RRULE:")
    else:
        found = _EVERY.match(body)
        rule = _rule_of(found[1] if found else "", body)
    if end:
        rule += end
    if first is None and re.search(r"\b(INTERVAL|COUNT)=", rule, re.IGNORECASE):
        raise ValueError(f"Say from which day it is counted: {body} from {_day_month(today)}.")
    try:
        anchor = None if first is None else datetime.combine(first, time())
        return Days(first=first, rule=checked_rule(rule, anchor))
    except ValueError as error:
        sentence = str(error).rstrip(".")
        raise ValueError(f"{sentence[:1].upper()}{sentence[1:]}.") from None


def _bounded(text: str, today: date) -> tuple[str, date | None, str]:
    """A recurrence without its ends: what recurs, from when, and UNTIL or COUNT."""
    first, end = None, ""
    while True:
        times, bound = _TIMES.match(text), _BOUND.match(text)
        if times is not None:
            text, end = times[1], f";COUNT={times[2]}"
        elif bound is not None:
            day = day_from(bound[3], today)
            text = bound[1]
            if bound[2].casefold() in ("from", "since"):
                first = day
            else:
                end = f";UNTIL={day:%Y%m%d}"
        else:
            return text.rstrip(" ,"), first, end


def _rule_of(recurs: str, text: str) -> str:
    """The rule of "other Tuesday", "first and third Tuesday", "15th of the month"."""
    bare = re.sub(r"\s+(?:of|in) (?:the|each|every|a) month$", "", recurs.casefold())
    words = [word for word in re.split(r"[\s,]+", bare) if word not in ("", "and", "&", "the")]
    every, words = _interval(words)
    step = f";INTERVAL={every}" if every > 1 else ""
    if words in (["day"], ["days"]):
        return f"FREQ=DAILY{step}"
    if words[:2] in (["week", "on"], ["weeks", "on"]):
        words = words[2:]
    numbers = [_ordinal(word) for word in words]
    if words and all(numbers) and not step:
        return f"FREQ=MONTHLY;BYMONTHDAY={','.join(str(n) for n in numbers)}"
    if words == ["last", "day"] and not step:
        return "FREQ=MONTHLY;BYMONTHDAY=-1"
    if len(words) > 1 and all(numbers[:-1]) and not step:
        code = _CODES[_weekday(words[-1], text)]
        return f"FREQ=MONTHLY;BYDAY={','.join(f'{n}{code}' for n in numbers[:-1])}"
    if not words:
        raise ValueError("Say what recurs: every Tuesday, every first Tuesday, every 15th.")
    codes = [code for word in words for code in _week_codes(word, text)]
    return f"FREQ=WEEKLY{step};BYDAY={','.join(dict.fromkeys(codes))}"


def _interval(words: list[str]) -> tuple[int, list[str]]:
    """ "other Tuesday" is every second; "3 weeks on Tuesday" every third."""
    if words[:1] == ["other"]:
        return 2, words[1:]
    if len(words) > 1 and words[0].isdigit() and words[1] in ("days", "weeks"):
        return max(1, int(words[0])), words[1:]
    return 1, words


def _ordinal(word: str) -> int:
    """first is 1, 3rd is 3, last is -1; 0 of what is none."""
    for number, name in ORDINALS.items():
        if word == name:
            return number
    found = _NUMBER.match(word)
    return int(found[1]) if found else 0


def _week_codes(word: str, text: str) -> Sequence[str]:
    for name, codes in _SETS.items():
        if word in (name, f"{name}s"):
            return codes
    return (_CODES[_weekday(word, text)],)


def _weekday(word: str, text: str) -> int:
    try:
        return weekday_of(word)
    except ValueError:
        raise ValueError(
            f"“{text}” is no recurrence known here: write every Tuesday, every other Tuesday"
            " from 4 May, every first Tuesday, every 15th, or an RFC 5545 rule."
        ) from None


def _day_month(day: date) -> str:
    return " ".join(short_date(day).split()[1:])
