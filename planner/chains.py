"""Earliest and latest of every step from its own chain: orders, waits, minutes, hours.

Minutes count at 100 % of hours; what else there is to do is ignored here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.model import Wait
from planner.timeline import Line

DAY = 1440
#: days of the clock's epoch are counted from here in ordinals
EPOCH_ORDINAL = 719_163


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A step as its chain sees it."""

    need: int
    minutes: int
    wait: Wait
    release: int
    """Clock moment; 0 for none."""
    due: int | None
    """Clock moment by which it is wanted, without its wait."""


def day_of(moment: int) -> int:
    """Ordinal of a clock moment's date."""
    return moment // DAY + EPOCH_ORDINAL


def midnight(ordinal: int) -> int:
    """Clock moment at which a date begins."""
    return (ordinal - EPOCH_ORDINAL) * DAY


def after_wait(end: int, wait: Wait) -> int:
    """When a follower may begin, of work that ended at ``end``."""
    if wait.nights:
        # work that ends at midnight was done on the day before
        return midnight(day_of(end - 1) + wait.nights) + wait.minutes
    return end + wait.minutes


def before_wait(begin: int, wait: Wait) -> int:
    """By when work must have ended, for a follower that begins at ``begin``."""
    if wait.nights:
        return midnight(day_of(begin) - wait.nights + 1) - wait.minutes
    return begin - wait.minutes


def earliest(
    order: Sequence[str],
    links: Mapping[str, Link],
    after: Mapping[str, Sequence[str]],
    lines: Sequence[Line],
) -> dict[str, int | None]:
    """When each step could begin; None where there are no more hours for it."""
    begins: dict[str, int | None] = {}
    ends: dict[str, int] = {}
    for name in order:
        if name not in links:
            continue
        link = links[name]
        moment = link.release
        for p in after[name]:
            if p in ends:
                moment = max(moment, after_wait(ends[p], links[p].wait))
        line = lines[link.need]
        begin = line.begin(moment)
        begins[name] = begin
        end = line.after(begin, link.minutes) if begin is not None else None
        ends[name] = end if end is not None else max(moment, begin or 0)
    return begins


def latest(
    order: Sequence[str],
    links: Mapping[str, Link],
    followers: Mapping[str, Sequence[str]],
    lines: Sequence[Line],
) -> dict[str, int | None]:
    """When each step must have ended; None where nothing wants it. Releases are ignored."""
    ends: dict[str, int | None] = {}
    begins: dict[str, int] = {}
    for name in reversed(order):
        if name not in links:
            continue
        link = links[name]
        moment = None if link.due is None else before_wait(link.due, link.wait)
        for f in followers[name]:
            if f in begins:
                by = before_wait(begins[f], link.wait)
                moment = by if moment is None else min(moment, by)
        if moment is None:
            ends[name] = None
            continue
        line = lines[link.need]
        end = line.finish(moment)
        ends[name] = end
        begins[name] = line.before(end, link.minutes)
    return ends
