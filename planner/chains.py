"""Earliest and latest of every step from its own chain: orders, waits, minutes, hours.

Minutes count at 100 % of hours; what else there is to do is ignored here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.model import Wait
from planner.timeline import DAY, EPOCH_ORDINAL, Line


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


def midnight(ordinal: int) -> int:
    """Clock moment at which a date begins."""
    return (ordinal - EPOCH_ORDINAL) * DAY


def after_wait(end: int, wait: Wait, line: Line | None = None) -> int:
    """When a follower may begin, of work that ended at ``end``; ``line``: its own hours."""
    if wait.nights:
        # work that ends at midnight was done on the day before
        day = line.day_at(end - 1) if line is not None else (end - 1) // DAY + EPOCH_ORDINAL
        return midnight(day + wait.nights) + wait.minutes
    return end + wait.minutes


def before_wait(begin: int, wait: Wait, follower: Line | None, line: Line) -> int:
    """By when work must have ended, for a follower (or an occasion) that begins at ``begin``.

    ``follower``: the follower's hours, None of an occasion; ``line``: those of the work.
    """
    if wait.nights:
        day = (
            follower.day_at(begin) if follower is not None else begin // DAY + EPOCH_ORDINAL
        )
        return line.last_of(day - wait.nights) - wait.minutes
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
                moment = max(moment, after_wait(ends[p], links[p].wait, lines[links[p].need]))
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
        line = lines[link.need]
        moment = None if link.due is None else before_wait(link.due, link.wait, None, line)
        for f in followers[name]:
            if f in begins:
                by = before_wait(begins[f], link.wait, lines[links[f].need], line)
                moment = by if moment is None else min(moment, by)
        if moment is None:
            ends[name] = None
            continue
        end = line.finish(moment)
        ends[name] = end
        begins[name] = line.before(end, link.minutes)
    return ends
