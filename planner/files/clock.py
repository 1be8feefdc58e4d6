"""Hours by the clock and rules of recurrence, as the maker writes them."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta
from typing import Final

from planner.model import Span

_SPAN = re.compile(r"^\s*([0-9]{1,2}):([0-9]{2})\s*[-–]\s*([0-9]{1,2}):([0-9]{2})\s*$")
_DAY = 24 * 60

_PARTS: Final = (
    "FREQ", "UNTIL", "COUNT", "INTERVAL", "BYDAY", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO",
    "BYMONTH", "BYSETPOS", "WKST",
)  # fmt: skip
_BY_THE_DAY: Final = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_NUMBERED_DAY = re.compile(r"^[+-]?[0-9]+[A-Z]{2}$")
_UNTIL = re.compile(r"^[0-9]{8}(T[0-9]{6})?$")


def parse_span(text: str) -> Span:
    """Read "19:30-21:30"; "22:00-01:00" ends on the next day, "00:00-24:00" is a whole day.

    Raises ValueError with a sentence for the maker when the text is no span, or of no length.
    """
    found = _SPAN.match(text)
    if found is None:
        raise ValueError(f'"{text}" is not a span of hours: write it as "19:30-21:30"')
    hour, minute, to_hour, to_minute = (int(n) for n in found.groups())
    start, end = 60 * hour + minute, 60 * to_hour + to_minute
    if start >= _DAY or end > _DAY or minute > 59 or to_minute > 59:
        raise ValueError(f'"{text}" names a time no clock shows: write 00:00 to 24:00')
    if start == end:
        raise ValueError(
            f'"{text}" ends when it begins: write its end, or "00:00-24:00" for a whole day'
        )
    return Span(start=start, end=end if end > start else end + _DAY)


def format_span(span: Span) -> str:
    """A span as it is written: "19:30-21:30"."""
    end = span.end if span.end <= _DAY else span.end - _DAY
    return f"{span.start // 60:02}:{span.start % 60:02}-{end // 60:02}:{end % 60:02}"


def checked_rule(text: str, anchor: datetime | None) -> str:
    """An RFC 5545 RRULE that names days, without its "RRULE:".

    ``anchor`` is the change's ``from``, if it has one. Raises ValueError with a sentence.
    """
    rule = text.strip().removeprefix("RRULE:").strip()
    parts = _rule_parts(rule, text)
    frequency = parts.get("FREQ", "")
    if frequency in ("HOURLY", "MINUTELY", "SECONDLY"):
        raise ValueError(
            f"FREQ={frequency} repeats within a day, and a change is of days: write "
            "FREQ=DAILY, WEEKLY, MONTHLY or YEARLY"
        )
    if frequency not in _BY_THE_DAY:
        raise ValueError(f'"{text}" has no FREQ: write FREQ=DAILY, WEEKLY, MONTHLY or YEARLY')
    _check_numbers(parts)
    if frequency in ("DAILY", "WEEKLY") and any(
        _NUMBERED_DAY.match(day) for day in parts.get("BYDAY", "").split(",")
    ):
        raise ValueError("a numbered day such as 1TU needs FREQ=MONTHLY or FREQ=YEARLY")
    if anchor is None and ("INTERVAL" in parts or "COUNT" in parts):
        raise ValueError(
            "INTERVAL and COUNT count from a first day: add from, such as from = 2027-01-05"
        )
    anchor = datetime.combine(anchor or datetime(2000, 1, 1), time())
    _try_rule(rule, anchor)
    if not _ever(parts, anchor):
        raise ValueError(f'no day ever matches "{rule}": check its days and months')
    return rule


def _rule_parts(rule: str, text: str) -> dict[str, str]:
    """The parts of a rule by name, in capitals."""
    parts: dict[str, str] = {}
    for part in rule.split(";"):
        name, equals, value = part.partition("=")
        name = name.strip().upper()
        if not equals or not value.strip() or any(c in part for c in "\r\n"):
            raise ValueError(
                f'"{text}" is not a rule: write an RFC 5545 RRULE such as "FREQ=WEEKLY;BYDAY=TU"'
            )
        if name not in _PARTS:
            raise ValueError(f'"{name}" is no part of a rule of days: use {", ".join(_PARTS)}')
        if name in parts:
            raise ValueError(f"{name} stands twice in the rule: keep one")
        parts[name] = value.strip().upper()
    return parts


def _check_numbers(parts: dict[str, str]) -> None:
    """Numbers the recurrence library would follow for ever, or misread."""
    for name in ("INTERVAL", "COUNT"):
        value = parts.get(name)
        if value is not None and not (re.fullmatch("[0-9]{1,5}", value) and int(value) > 0):
            raise ValueError(f"{name}={value} is no number of times: write 1 or more")
    if "COUNT" in parts and "UNTIL" in parts:
        raise ValueError("COUNT and UNTIL both end the rule: keep one")
    until = parts.get("UNTIL")
    if until is not None and not _UNTIL.match(until):
        raise ValueError(f"UNTIL={until} is no date: write it as UNTIL=20270630, without Z")


def _try_rule(rule: str, anchor: datetime) -> None:
    from dateutil.rrule import rrulestr  # costly to import, and few workrooms have rules

    try:
        rrulestr(rule.upper(), dtstart=anchor)
    except (ValueError, KeyError, IndexError, TypeError, AttributeError, OverflowError) as error:
        raise ValueError(
            f'"{rule}" is not a rule ({error}): write an RFC 5545 RRULE such as '
            '"FREQ=MONTHLY;BYDAY=1TU"'
        ) from None


def _ever(parts: dict[str, str], anchor: datetime) -> bool:
    """Whether any day matches a rule.

    The recurrence library looks for a first match up to the year 9999, which can take many
    seconds where there is none. So it is asked near that year, where looking ends soon: from
    an anchor so far ahead that intervals, weekdays and leap years fall as they do from the
    true one.
    """
    from dateutil.rrule import rrulestr

    interval = int(parts.get("INTERVAL", "1"))
    endless = ";".join(f"{k}={v}" for k, v in parts.items() if k not in ("COUNT", "UNTIL"))
    start = _late(anchor, interval, by_days=parts["FREQ"] in ("DAILY", "WEEKLY"))
    return next(iter(rrulestr(endless, dtstart=start)), None) is not None


def _late(anchor: datetime, interval: int, *, by_days: bool) -> datetime:
    if by_days:
        step = timedelta(days=7 * interval)
        return anchor + max(0, (datetime(9959, 1, 1) - anchor) // step) * step
    # 28 years bring back weekdays and leap years alike, but for those of full centuries
    years = 28 * interval
    for rounds in range(max(0, (9600 - anchor.year) // years), 0, -1):
        try:
            return anchor.replace(year=anchor.year + rounds * years)
        except ValueError:
            continue  # 29 February of a century that has none
    return anchor
