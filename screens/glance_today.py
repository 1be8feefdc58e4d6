"""What there is to do today, in words of several lengths; else what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time

from planner.glance import DaysWork, Glance
from planner.plan import Plan, Where
from screens.aftercare_told import undated_in_short
from screens.day_parts import day_parts, more_than, over_in
from screens.wording import (
    WHERES,
    abbreviated,
    clock,
    count,
    garment_of,
    listed,
    named_date,
    occasion_name,
    quoted,
    short_names,
    spoken,
    step_with_garment,
)

TODAY, TONIGHT = "Today", "This evening"
EVENING = time(17)
"""What begins from then on is done this evening."""
MOST_STEPS = 3
"""So many steps of several garments are named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing to be known at a glance."""

    label: str
    texts: tuple[str, ...]
    """What stands after the label, the longest first."""
    sentences: tuple[str, ...]
    """The same without the label, the longest first."""


def today_told(plan: Plan, seen: Glance) -> Told:
    """What there is to do today, else that nothing is and what comes next."""
    at = _occasions(plan, seen)
    today = seen.today
    if today is None and at:
        return one_told(TODAY, [f"{at}, and nothing before it"], ": ")
    if today is None:
        return _nothing(plan, seen.ahead)
    label = TONIGHT if today.start and today.start.time() >= EVENING else TODAY
    also = f"; {at}" if at else ""
    start = f" from {clock(today.start)}" if label == TODAY and today.start else ""
    texts = [f"{much}{what}" for much, what in _much_of_what(plan, today, start, also)]
    return one_told(label, texts if today.over else [*texts, _places(today)], ": ")


def _much_of_what(
    plan: Plan, work: DaysWork, start: str = "", also: str = ""
) -> list[tuple[str, str]]:
    """How much is to be done from its ``start``, what ``also`` takes place, and of what, in fewer
    and fewer words.

    Where more is wanted than there are hours: the hours, and what comes first in them. Where a
    part of the day is over, and another has room, which helps nobody there: by how much, and which.
    """
    at = f"{start}{also}"
    if not work.over:
        return [(f"{_places(work)}{at}", f": {what}") for what in _what(plan, work.steps)] + [
            (f"{_places(work)}{at}", ""),
            (f"{_places(work)}{also}", ""),
        ]
    several = len({garment_of(plan, step) for step in work.first}) > 1
    names = _what(plan, work.first)[: -1 if several else None]  # not how many: which come first
    wanted, hours = spoken(work.minutes), _hours(work)
    parts = day_parts(plan, work.day)
    first = step_with_garment(plan, work.first[0]) if work.first else ""
    garment = _what(plan, work.first[:1])[-1] if work.first else ""
    if parts.free:
        return [
            *(
                (f"{_places(work)}{start}, {more_than(parts)}{also}", f": first {name}")
                for name in names
            ),
            (f"{wanted}, {more_than(parts)}{also}", f": first {first}" if first else ""),
            (f"{wanted}, {more_than(parts)}{also}", f": first {garment}" if garment else ""),
            (f"{wanted}, {more_than(parts)}{also}", ""),
            (f"{wanted}, {over_in(parts)}{also}", ""),
            (f"{wanted}, over {spoken(work.over)}{also}", ""),
        ]
    return [
        *(
            (f"{much}{at}, and {wanted} are wanted", f": first {name}")
            for name in names
            for much in (listed(_by_places(work.in_hours)), hours)
        ),
        (f"{hours}, {wanted} wanted{also}", f": first {first}" if first else ""),
        (f"{hours}, {wanted} wanted{also}", f": first {garment}" if garment else ""),
        (f"{hours}, {wanted} wanted{also}", ""),
    ]


def _hours(work: DaysWork) -> str:
    """How much there are hours for, in few words."""
    return spoken(sum(minutes for _, minutes in work.in_hours)) if work.over else _places(work)


def _nothing(plan: Plan, ahead: DaysWork | None) -> Told:
    """Nothing is planned today."""
    if ahead is None and (later := undated_in_short(plan)):
        return Told(
            label=TODAY,
            texts=tuple(one.rstrip(".") for one in later),
            sentences=later,
        )
    if ahead is None and any(not (s.done or s.left_off or s.wanted) for s in plan.steps):
        return Told(
            label=TODAY,
            texts=("nothing that an occasion ahead wants",),
            sentences=("No occasion ahead wants what is still open.", "Nothing wanted is open."),
        )
    if ahead is None:
        return Told(
            label=TODAY,
            texts=("nothing to do, nor on any other day",),
            sentences=("Nothing is left to do.",),
        )
    day = named_date(ahead.day, plan.now.date())
    if day != "tomorrow":
        day = f"next on {day}"
    texts = [
        f"nothing; {named}, {much}{what}"
        for much, what in _much_of_what(plan, ahead)
        for named in dict.fromkeys((day, abbreviated(day)))
    ]
    return Told(
        label=TODAY,
        texts=tuple(texts),
        sentences=tuple(f"Nothing today{text.removeprefix('nothing')}." for text in texts),
    )


def _places(work: DaysWork) -> str:
    """ "2 h 52 in the workroom and 20 min on the sofa"."""
    return listed(_by_places(work.places))


def _by_places(places: Sequence[tuple[Where, int]]) -> list[str]:
    return [f"{spoken(minutes)} {WHERES[where]}" for where, minutes in places]


def _what(plan: Plan, steps: Sequence[str]) -> list[str]:
    """The steps with their garments, or the garments alone, in fewer and fewer words."""
    garments = list(dict.fromkeys(garment_of(plan, step) for step in steps))
    short = short_names(dict.fromkeys(garment_of(plan, step.id) for step in plan.steps))
    brief = [short[name] for name in garments]
    found = []
    if len(garments) == 1:
        found.append(f"{listed([quoted(plan, step) for step in steps], 4)} ({garments[0]})")
        found.append(f"{listed([quoted(plan, step) for step in steps], 2)} ({garments[0]})")
    elif len(steps) <= MOST_STEPS:
        found.append(listed([step_with_garment(plan, step) for step in steps]))
    found += [listed(garments, 4), listed(brief, 4), listed(brief, 2)]
    if len(brief) > 1:
        found += [f"{brief[0]} and {len(brief) - 1} more", count(len(garments), "garment")]
    return list(dict.fromkeys(found))


def _occasions(plan: Plan, seen: Glance) -> str:
    """ "at 14:00 Body fitting", of what takes place today."""
    there = [one for one in plan.occasions if one.id in seen.occasions]
    return listed([f"{_at(one.at)}{occasion_name(one)}" for one in there], 2)


def _at(moment: datetime) -> str:
    return f"at {clock(moment)} " if moment.time() != time() else ""


def one_told(label: str, texts: Sequence[str], colon: str) -> Told:
    """A label with its texts, and the same as sentences."""
    return Told(
        label=label,
        texts=tuple(dict.fromkeys(texts)),
        sentences=tuple(f"{label}{colon}{text}." for text in dict.fromkeys(texts)),
    )
