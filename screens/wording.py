"""How durations, dates, fullness and names are said; used by screens and commands alike.

Durations are 1:45 in columns and "1 h 45" in sentences. Dates carry their weekday; today and
tomorrow are named. Everything is plain text: what files hold has its control characters taken
out by ``clean``.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta

from planner.model import OccasionKind
from planner.plan import Plan, PlannedOccasion, Where

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip

WHERES = {
    Where.WORKROOM: "in the workroom",
    Where.SOFA: "on the sofa",
    Where.TAKE_ALONG: "on the way",
    Where.OCCASION: "at the occasion",
}


MANY_WORDS = 5
"""A name of so many words is quoted in a sentence, for it may be a sentence itself."""


def clean(text: str) -> str:
    """Text without control characters, on one line."""
    if text.isascii() and text.isprintable():
        return text.strip()
    spaced = "".join(" " if char in "\t\n\r" else char for char in text)
    return "".join(char for char in spaced if _shown(char)).strip()


def _shown(char: str) -> bool:
    """Whether a character is neither a control nor a variation selector."""
    kind = unicodedata.category(char)
    return kind not in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") and not "\ufe00" <= char <= "\ufe0f"


def cells(text: str) -> int:
    """How many columns of a terminal a text takes."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1
        for char in text
    )


def fitted(text: str, width: int) -> str:
    """Text cut to ``width`` columns with an ellipsis."""
    if cells(text) <= width:
        return text
    # no column is narrower than half a letter: what is longer need not be measured
    text = text[: 2 * max(width, 1)]
    while text and cells(text) > width - 1:
        text = text[:-1]
    return text.rstrip(" ,:") + "…" if width > 0 else ""


def padded(text: str, width: int) -> str:
    """Text cut or filled to exactly ``width`` columns."""
    text = fitted(text, width)
    return text + " " * (width - cells(text))


def column(minutes: int) -> str:
    """A duration in a column: 1:45."""
    sign = "-" if minutes < 0 else ""
    return f"{sign}{abs(minutes) // 60}:{abs(minutes) % 60:02}"


def spoken(minutes: int) -> str:
    """A duration in a sentence: 1 h 45, 2 h, 40 min."""
    hours, rest = divmod(abs(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02}" if rest else f"{hours} h"


def share(load: float) -> str:
    """How full: 78 %. Rounded so that full and over are never blurred; above 200 %, where a
    percentage tells nothing any more, how many times: "2.4 times", "37 times"."""
    if load > 2.005:
        return f"{load:.1f} times" if load < 9.95 else f"{round(load)} times"
    if 1.0 < load < 1.005:
        return "just over 100 %"
    if 0.995 <= load < 1.0:
        return "just under 100 %"
    return f"{round(load * 100)} %"


def short_date(day: date) -> str:
    """A date in a column: "Sat  8 May"."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day:>2} {MONTHS[day.month - 1][:3]}"


def long_date(day: date, now: date | None = None) -> str:
    """A date in a sentence: "Saturday 8 May", with the year where it isn't this one's."""
    year = f" {day.year}" if now is not None and day.year != now.year else ""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}{year}"


def abbreviated(text: str) -> str:
    """A sentence with its dates in few letters: "Sat 8 May" for "Saturday 8 May"."""
    return _LONG_DATE.sub(lambda date: f"{date[1][:3]} {date[2]} {date[3][:3]}", text)


_LONG_DATE = re.compile(rf"\b({'|'.join(WEEKDAYS)}) (\d+) ({'|'.join(MONTHS)})\b")


def named_date(day: date, now: date) -> str:
    """A date in a sentence, today and tomorrow by name."""
    off = (day - now).days
    if off in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[off + 1]
    return long_date(day, now)


def on_date(day: date, now: date) -> str:
    """ "on Saturday 8 May", "today"."""
    named = named_date(day, now)
    return named if named in ("yesterday", "today", "tomorrow") else f"on {named}"


def clock(moment: datetime) -> str:
    """A time of day: 14:00."""
    return f"{moment:%H:%M}"


def hour(kind: OccasionKind, at: datetime) -> str:
    """From when an occasion is: 14:00; empty of an event that has its whole day."""
    return "" if kind is OccasionKind.EVENT and at.time() == time() else clock(at)


def named_moment(moment: datetime, now: date) -> str:
    """A date-time in a sentence; midnight is the beginning of its date."""
    if moment.time() == time():
        return f"the beginning of {named_date(moment.date(), now)}"
    return f"{named_date(moment.date(), now)}, {clock(moment)}"


def days_off(day: date, now: date) -> str:
    """How far: "in 17 days", "tomorrow", "3 days ago"."""
    off = (day - now).days
    if off in (-1, 0, 1):
        return named_date(day, now)
    return f"in {off} days" if off > 0 else f"{-off} days ago"


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun: "1 step", "3 steps"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(names: Sequence[str], most: int = 3) -> str:
    """Names in a sentence: "a, b and c", "a, b and 4 more"."""
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def name_of(plan: Plan, ident: str) -> str:
    """Shown name of an id: of a step alone, not with its garment."""
    return clean(plan.names.get(ident, "")) or clean(ident.rsplit("/", 1)[-1])


def garment_of(plan: Plan, step: str) -> str:
    """Shown name of the garment a step belongs to."""
    return name_of(plan, step.rsplit("/", 1)[0])


def quoted(plan: Plan, step: str) -> str:
    """A step in a sentence: “mock-up”; quoted, for its name may be a sentence itself."""
    return f"“{name_of(plan, step)}”"


def step_with_garment(plan: Plan, step: str) -> str:
    """A step in a sentence: “mock-up” (Jacket bodice)."""
    return f"{quoted(plan, step)} ({garment_of(plan, step)})"


def short_names(names: Iterable[str]) -> dict[str, str]:
    """Each name up to what describes it: "Shirt" of "Shirt with standing collar".

    A name stays whole where two would come to the same.
    """
    shorter = {name: _DESCRIBES.split(name, maxsplit=1)[0] for name in names}
    often = Counter(shorter.values())
    return {name: short if often[short] == 1 else name for name, short in shorter.items()}


_DESCRIBES = re.compile(r",? (?:with|without|of|for|in|and|over|to|under|from) |[,;:(] ?")


def occasion_name(occasion: PlannedOccasion) -> str:
    """Shown name of an occasion."""
    return clean(occasion.name) or clean(occasion.id.rsplit("/", 1)[-1]).replace("-", " ")


def the_occasion(plan: Plan, ident: str | None) -> str:
    """An occasion in a sentence: "the body fitting"; "it" where there is none."""
    for occasion in plan.occasions:
        if occasion.id == ident:
            return with_article(occasion_name(occasion))
    return with_article(name_of(plan, ident)) if ident else "it"


def with_article(name: str) -> str:
    """A name with "the" unless it brings its own or is someone's."""
    first = name.split(" ", 1)[0]
    if first.lower() in ("the", "a", "an", "my", "our") or first.endswith(("'s", "’s")):
        return name
    return f"the {name}" if len(name.split()) < MANY_WORDS else f"“{name}”"


def when(occasion: PlannedOccasion) -> str:
    """The hours of an occasion: "14:00-15:10", "from 11:00", "all day"."""
    if occasion.kind in (OccasionKind.DEPARTURE, OccasionKind.EVENT):
        return "all day" if occasion.at.time() == time() else f"from {clock(occasion.at)}"
    return f"{clock(occasion.at)}-{clock(occasion.end)}"


def end_of_day_before(moment: datetime) -> date:
    """The date a ready-by of 00:00 leaves as the last to work on."""
    return moment.date() - timedelta(days=moment.time() == time())


def wrapped(sentences: Iterable[str], width: int) -> list[str]:
    """Sentences as lines of at most ``width``; a longer word stays whole."""
    lines: list[list[str]] = []
    used = 0
    for word in " ".join(sentences).split():
        wide = cells(word)
        if lines and used + 1 + wide <= width:
            lines[-1].append(word)
            used += 1 + wide
        else:
            lines.append([word])
            used = wide
    return [" ".join(words) for words in lines]
