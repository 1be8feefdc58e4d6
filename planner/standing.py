"""How things stand: what is done, what is open, how much of it is left, what can begin when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from planner.estimate import minutes_left
from planner.in_time import done_at_occasions, done_since
from planner.model import Entry, Wait
from planner.network import Network
from planner.occasions import Dated


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """A moment before which a step can't begin, and what keeps it."""

    moment: datetime
    cause: str
    """Full id of a step, an occasion or a stock; "not_before" or "on" for the maker's own word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A step as it stands now."""

    done: bool
    left: int
    """Minutes left; 0 when done."""
    done_at: datetime | None
    """The moment its wait runs from, where it is done and the wait counts."""
    at_occasion: str | None
    """The coming occasion at which it is done."""


def _entries(diary: Sequence[Entry]) -> dict[str, list[Entry]]:
    found: dict[str, list[Entry]] = {}
    for entry in diary:
        found.setdefault(entry.step, []).append(entry)
    return found


def opened_since(entries: Sequence[Entry], moment: datetime) -> bool:
    """Whether the last entry that says ``done`` or ``left`` is of then or later and says ``left``.

    ``entries`` are the diary's of one step: what was done at an occasion and failed is to be done
    over.
    """
    saying = [one for one in entries if one.done or one.left is not None]
    return bool(saying) and not saying[-1].done and saying[-1].at >= moment


def standings(
    network: Network, occasions: Mapping[str, Dated], diary: Sequence[Entry]
) -> dict[str, Standing]:
    """Every step as it stands, in order of work."""
    logged = _entries(diary)
    since = {
        name: moment
        for name, node in network.nodes.items()
        if (moment := done_since(node.step, logged.get(name, []))) is not None
    }
    # the diary's word that something is left wins over what a held occasion lets presume
    reopened = {
        name
        for name, node in network.nodes.items()
        if node.during is not None
        and opened_since(logged.get(name, []), occasions[node.during].at)
    }
    taken = done_at_occasions(network, occasions, since, reopened)
    found: dict[str, Standing] = {}
    for name in network.order:
        node = network.nodes[name]
        entries = logged.get(name, [])
        at = occasions[node.during] if node.during is not None else None
        done = name in since or name in taken
        done_at = taken.get(name, entries[-1].at if done and entries else None)
        left = 0 if done else minutes_left(node.op, entries)
        found[name] = Standing(
            done=done,
            left=left,
            done_at=done_at,
            at_occasion=at.id if at is not None and not done and not at.past else None,
        )
    return found


def after_wait(moment: datetime, day: date, wait: Wait) -> datetime:
    """When a follower may begin, of work that ended at ``moment`` of ``day``."""
    if wait.nights:
        return datetime.combine(day + timedelta(days=wait.nights), time())
    return moment + timedelta(minutes=wait.minutes)


def releases(
    network: Network, occasions: Mapping[str, Dated], stand: Mapping[str, Standing]
) -> dict[str, tuple[Release, ...]]:
    """What keeps each open step from beginning, besides the order, stock and hours."""
    found: dict[str, tuple[Release, ...]] = {}
    for name, node in network.nodes.items():
        mine: list[Release] = []
        for p in node.after:
            s = stand[p]
            wait = network.nodes[p].op.wait
            if s.at_occasion is not None:
                o = occasions[s.at_occasion]
                mine.append(Release(moment=after_wait(o.end, o.at.date(), wait), cause=p))
            elif s.done_at is not None and wait:
                day = s.done_at.date()
                held_at = network.nodes[p].during
                if held_at is not None and s.done_at == occasions[held_at].end:
                    day = occasions[held_at].at.date()
                mine.append(Release(moment=after_wait(s.done_at, day, wait), cause=p))
        for o_id in node.after_occasions:
            if not occasions[o_id].past:
                mine.append(Release(moment=occasions[o_id].end, cause=o_id))
        word = node.step.not_before
        if word is not None:
            moment = word if isinstance(word, datetime) else datetime.combine(word, time())
            mine.append(Release(moment=moment, cause="not_before"))
        found[name] = tuple(mine)
    return found


def predecessors(
    network: Network, occasions: Mapping[str, Dated], stand: Mapping[str, Standing]
) -> dict[str, tuple[str, ...]]:
    """The open steps each open step waits for.

    What came after a past occasion waits for the steps it still owes.
    """
    owed = {
        o.id: tuple(s for s in o.during if not stand[s].done) for o in occasions.values() if o.past
    }
    found: dict[str, tuple[str, ...]] = {}
    for name, node in network.nodes.items():
        if stand[name].done:
            found[name] = ()
            continue
        mine = [p for p in node.after if not stand[p].done and stand[p].at_occasion is None]
        for o_id in node.after_occasions:
            mine += [s for s in owed.get(o_id, ()) if s != name]
        found[name] = tuple(dict.fromkeys(mine))
    return found
