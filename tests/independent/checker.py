"""Faults of a plan: what in its JSON breaks the rules, found from the TOML files alone.

``faults`` reads a folder anew (``reading``) and takes nothing of the plan on trust. Where the
rules are silent it is generous, and a comment beginning "Silent:" says how; where they speak
it is strict. Each fault is one sentence that begins with its kind and a colon.
"""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from tests.independent.reading import (
    DAY,
    PLACES,
    Occasion,
    Room,
    Window,
    ancestors,
    day_of,
    minute_of,
    read_room,
    release_moments,
    said,
)

Json = dict[str, Any]
CLOSE = 1e-6


@dataclass
class Sat:
    """A sitting as laid: its clock minutes, and the window it was found to lie in."""

    step: str
    where: str
    day: int
    start: int | None
    end: int | None
    minutes: int
    over: int
    window: Window | None
    index: int

    @property
    def ends(self) -> int:
        """The moment it ends for orders and waits: over minutes end with the window."""
        if self.end is not None:
            return self.end
        return self.window.end if self.window is not None else 0

    @property
    def begins(self) -> int:
        """The moment it begins for orders: one wholly over begins with the window's end."""
        return self.start if self.start is not None else self.ends


@dataclass
class Look:
    """A room and a plan, side by side."""

    room: Room
    plan: Json
    sats: list[Sat] = field(default_factory=list)
    by_step: dict[str, list[Sat]] = field(default_factory=dict)
    said: dict[str, Json] = field(default_factory=dict)
    unplaced: set[str] = field(default_factory=set)

    def notes(self, step: str, kind: str) -> list[Json]:
        """The step's notes of a kind."""
        return [n for n in self.said.get(step, {}).get("notes", []) if n["kind"] == kind]

    def late_for(self, step: str, occasion: str) -> bool:
        """Whether the plan says the step is late for an occasion."""
        # Silent: a late note without a subject is taken to speak of every occasion
        return any(n.get("subject") in (occasion, None) for n in self.notes(step, "late"))

    def sittings(self, step: str) -> list[Sat]:
        """The step's sittings in order."""
        return self.by_step.get(step, [])

    def begin(self, step: str) -> int | None:
        """When its first sitting begins."""
        return min((s.begins for s in self.sittings(step)), default=None)

    def end(self, step: str) -> int | None:
        """When its last sitting ends."""
        return max((s.ends for s in self.sittings(step)), default=None)

    def last_day(self, step: str) -> int | None:
        """The day of its last sitting."""
        return max((s.day for s in self.sittings(step)), default=None)


def faults(folder: Path, plan: Json) -> list[str]:
    """All faults of a plan of the workroom in ``folder``, one sentence each."""
    now = datetime.fromisoformat(plan["now"])
    look = _look(read_room(folder, now), plan)
    found: list[str] = []
    for check in (
        _estimate_faults,
        _network_faults,
        _occasion_faults,
        _window_faults,
        _sum_faults,
        _place_faults,
        _clock_faults,
        _order_faults,
        _release_faults,
        _due_faults,
        _unplaced_faults,
        _stock_faults,
        _one_sitting_faults,
        _fixed_day_faults,
        _day_faults,
        _verdict_faults,
        _moment_faults,
    ):
        found += check(look)
    found += tight_spot_faults(folder, plan)
    return found


def _minute(text: str | None) -> int | None:
    """A date-time or date of the JSON as a minute."""
    if text is None:
        return None
    if "T" in text:
        return minute_of(datetime.fromisoformat(text))
    return minute_of(datetime.combine(date.fromisoformat(text), time()))


def _must(text: str) -> int:
    """A date-time of the JSON that is there."""
    found = _minute(text)
    assert found is not None
    return found


def _look(room: Room, plan: Json) -> Look:
    """Find each sitting's window by its clock time."""
    look = Look(room=room, plan=plan)
    look.said = {step["id"]: step for step in plan["steps"]}
    look.unplaced = {one["step"] for one in plan["unplaced"]}
    before: Sat | None = None
    for index, sitting in enumerate(plan["sittings"]):
        sat = Sat(
            step=sitting["step"],
            where=sitting["where"].replace("_", "-"),
            day=day_of(_must(sitting["date"])),
            start=_minute(sitting["start"]),
            end=_minute(sitting["end"]),
            minutes=sitting["minutes"],
            over=sitting["over"],
            window=None,
            index=index,
        )
        during = room.at_occasion(sat.step) if sat.step in room.steps else None
        if sat.where == "occasion" and sat.end is None and during is not None:
            sat.start = sat.end = during.end
            sat.over = sat.minutes
        if sat.where in PLACES:
            sat.window = _window_of(look, sat, sitting, before)
            before = sat
        look.sats.append(sat)
        look.by_step.setdefault(sat.step, []).append(sat)
    return look


def _window_of(look: Look, sat: Sat, sitting: Json, before: Sat | None) -> Window | None:
    """The window a sitting lies in; one wholly over lies in that of the one laid before it."""
    if sat.start is not None:
        return next(
            (w for w in look.room.windows if w.place == sat.where and w.start <= sat.start < w.end),
            None,
        )
    named = look.plan.get("windows")
    if named is not None and sitting.get("window") is not None:
        start = _must(named[sitting["window"]]["start"])
        return next(
            (w for w in look.room.windows if w.place == sat.where and w.start == start), None
        )
    return before.window if before is not None else None


# ---------------------------------------------------------------- what is there


def _estimate_faults(look: Look) -> Iterator[str]:
    """Estimates, minutes left and what a step is."""
    room = look.room
    for missing in room.steps.keys() - look.said.keys():
        yield f"steps: {missing} is in the files but not in the plan."
    for i, step in room.steps.items():
        it = look.said.get(i)
        if it is None:
            continue
        if it["left_off"] and step.left_off:
            continue  # Silent: what is said of how a step left off would be done
        if not any(
            abs(it["minutes"] - e) <= 0.5 + CLOSE or it["minutes"] == 1 >= e for e in step.estimates
        ):
            yield f"estimate: {i} is given {it['minutes']} minutes and not {step.estimates}."
        if it["done"] != step.done:
            yield f"done: {i} is said to be done={it['done']}."
        if it["left_off"] != step.left_off:
            yield f"left off: {i} is said to be left_off={it['left_off']}."
        slack = abs(it["minutes"] - step.minutes)
        if abs(it["left"] - step.left) > slack:
            yield f"left: {i} has {it['left']} minutes left and not {step.left}."
        for key, mine in (
            ("work", step.work),
            ("place", step.place.replace("-", "_")),
            ("hands", step.hands),
            ("one_sitting", step.one_sitting),
            ("wait", {"nights": step.wait[0], "minutes": step.wait[1]}),
            ("during", step.during),
        ):
            if it[key] != mine:
                yield f"key: {i} has {key} {it[key]!r} and not {mine!r}."


def _network_faults(look: Look) -> Iterator[str]:
    """What follows what, and what is wanted."""
    room = look.room
    for i, step in room.steps.items():
        it = look.said.get(i)
        if it is None or not room.open(i):
            continue
        # Silent: whether `after` lists done steps too; only open ones are compared
        said_after = {a for a in it["after"] if a in room.occasions or room.open(a)}
        steps = {a for a in said_after if a in room.steps}
        # Silent: whether `after` names the steps a past occasion left open, or the occasion
        for o in (room.occasions[a] for a in said_after if a in room.occasions):
            steps |= {j for j in o.steps if o.past and room.open(j) and j in step.before}
        mine = {a for a in step.before if room.open(a)}
        if steps != mine and _closed(room, steps) != _closed(room, mine):
            odd = sorted(steps ^ mine)
            yield f"after: {i} is said to follow {sorted(steps)}; they differ in {odd}."
        occasions = said_after - steps
        # Silent: whether a past occasion is still listed
        if {o for o in step.occasions if not room.occasions[o].past} - occasions:
            yield f"after: {i} comes after {sorted(step.occasions)}, not {sorted(occasions)}."
        if it["wanted"] != room.wanted(i):
            yield f"wanted: {i} is said to be wanted={it['wanted']}."
        if not room.wanted(i) and not look.notes(i, "not wanted"):
            yield f"not wanted: {i} is wanted by nothing and carries no note of it."


def _closed(room: Room, steps: set[str]) -> set[str]:
    """Steps with everything they follow."""
    return steps.union(*(ancestors(room, i) for i in steps))


def _occasion_faults(look: Look) -> Iterator[str]:
    """Takes, ready-by and wants of every occasion."""
    room = look.room
    found = {o["id"]: o for o in look.plan["occasions"]}
    if found.keys() != room.occasions.keys():
        yield f"occasions: {sorted(found.keys() ^ room.occasions.keys())} differ."
    for o in room.occasions.values():
        it = found.get(o.id)
        if it is None:
            continue
        if it["kind"] != o.kind or _must(it["at"]) != o.at:
            yield f"occasion: {o.id} is not a {it['kind']} at {it['at']}."
        if it["takes"] != o.takes:
            yield f"takes: {o.id} takes {it['takes']} and not {o.takes} minutes."
        # Silent: whether ready_by shows the beginning once it is past
        if _must(it["ready_by"]) not in (o.ready_by, o.wanted_by):
            yield f"ready by: {o.id} is ready by {it['ready_by']} and not {said(o.ready_by)}."
        # Silent: what a past occasion still shows
        # Silent: whether what the steps done at it follow is wanted by a trial wear, or by one
        # that names its wants (orders are checked all the same), and whether what stands
        # unticked before a done step is wanted by what wants the done one
        if not o.past and not o.wants <= set(it["wants"]) <= o.wants | o.also:
            odd = sorted((set(it["wants"]) - o.also) ^ o.wants)
            yield f"wants: {o.id} is not read alike: {odd} differ."


def _window_faults(look: Look) -> Iterator[str]:
    """The windows the plan names are those of the files."""
    if "windows" not in look.plan:
        return
    mine = {(w.start, w.end, w.day, w.place, w.helper) for w in look.room.windows}
    theirs = {
        (
            _must(w["start"]),
            _must(w["end"]),
            day_of(_must(w["date"])),
            w["place"].replace("_", "-"),
            w["helper"],
        )
        for w in look.plan["windows"]
    }
    # Silent: whether the hours after the last occasion, which nothing can use, are still listed
    last = max((o.at for o in look.room.occasions.values()), default=0)
    mine, theirs = ({w for w in some if w[0] < last} for some in (mine, theirs))
    for start, end, _, place, helper in sorted(theirs - mine)[:3]:
        yield f"windows: no {place} window {said(start)} to {said(end)} (helper {helper})."
    for start, end, _, place, helper in sorted(mine - theirs)[:3]:
        yield f"windows: {place} window {said(start)} to {said(end)} ({helper}) is missing."
    for w in look.plan["windows"]:
        start, place = _must(w["start"]), w["place"].replace("_", "-")
        planned = sum(
            s.minutes
            for s in look.sats
            if s.window and s.window.start == start and s.where == place
        )
        if planned != w["planned"]:
            yield f"sum: window {w['start']} says {w['planned']} planned and holds {planned}."


# ---------------------------------------------------------------- minutes and places


def _sum_faults(look: Look) -> Iterator[str]:
    """No minute lost or invented, none given to what isn't to be done."""
    room = look.room
    for i in look.by_step.keys() - room.steps.keys():
        yield f"sum: {i} has sittings and is in no file."
    for i, step in room.steps.items():
        total = sum(s.minutes for s in look.sittings(i))
        # Silent: an estimate half a minute off is told of once, as an estimate
        left = look.said[i]["left"] if i in look.said and step.left else step.left
        if room.at_occasion(i) is not None:
            if any(s.where != "occasion" for s in look.sittings(i)):
                yield f"occasion: {i} is done at {step.during} and takes other hours."
            continue
        if i in look.unplaced or not room.wanted(i):
            if total:
                yield f"sum: {i} has {total} minutes and is not to be planned."
        elif total != left:
            yield f"sum: {i} has {total} minutes in sittings and {left} left."
    for s in look.sats:
        if s.minutes < 1:
            yield f"sum: a sitting of {s.step} has {s.minutes} minutes."
    for i in look.unplaced:
        if i not in room.steps or not room.wanted(i):
            yield f"unplaced: {i} is not wanted and still listed."


def _place_faults(look: Look) -> Iterator[str]:
    """Each sitting lies in a window its step may use; two hands only where two are."""
    room = look.room
    two_hands: dict[tuple[str, int], int] = {}
    filled: dict[tuple[str, int], int] = {}
    for s in look.sats:
        if s.step not in room.steps:
            continue
        step = room.steps[s.step]
        if s.where == "occasion":
            yield from _at_occasion_faults(room, s)
            continue
        if s.where not in PLACES:
            yield f"place: {s.step} sits at {s.where}, which is no place."
            continue
        if s.window is None:
            when = "over" if s.start is None else said(s.start)
            yield f"place: {s.step} sits in no {s.where} window ({when})."
            continue
        if s.end is not None and s.end > s.window.end:
            yield f"place: {s.step} ends {said(s.end)}, after its window {said(s.window.end)}."
        if s.day != s.window.day:
            yield f"place: {s.step} is dated {said(s.day * DAY)[:10]}, not its window's day."
        key = (s.window.place, s.window.start)
        filled[key] = filled.get(key, 0) + s.minutes
        if step.hands == 2:
            two_hands[key] = two_hands.get(key, 0) + s.minutes
            if not s.window.helper:
                yield f"two hands: {s.step} sits at {said(s.begins)} without a helper."
        if not room.usable(s.step, s.window) and not (
            step.hands == 2 and not s.window.helper and s.where == "workroom"
        ):
            yield f"place: {s.step} needs {step.place} and sits at {s.where}."
    for w in room.windows:
        key = (w.place, w.start)
        if two_hands.get(key, 0) > w.minutes:
            yield f"two hands: {said(w.start)} holds {two_hands[key]} of {w.minutes} minutes."
        if w.place != "workroom" and filled.get(key, 0) > w.minutes:
            yield f"place: the {w.place} window {said(w.start)} is over."


def _at_occasion_faults(room: Room, s: Sat) -> Iterator[str]:
    """A sitting at an occasion belongs to a step done there, in the occasion's time."""
    occasion = room.at_occasion(s.step)
    if occasion is None:
        yield f"occasion: {s.step} is done at no occasion to come."
    elif s.start is None or s.end is None or s.over:
        # Silent: the clock of what doesn't go into a `takes` that the maker named
        if "takes" not in occasion.raw:
            yield f"occasion: {s.step} has no clock time at {occasion.id}."
    elif not occasion.at <= s.start <= s.end:
        yield f"occasion: {s.step} is not in the time of {occasion.id}."
    # Silent: whether what doesn't go into a named `takes` is cut off at the occasion's end
    elif s.end > occasion.end and "takes" not in occasion.raw:
        yield f"occasion: {s.step} ends after {occasion.id}."


def _clock_faults(look: Look) -> Iterator[str]:
    """Sittings are laid from the window's beginning, without overlap, gap or hidden minutes."""
    clocked = sorted(
        (s for s in look.sats if s.start is not None and s.end is not None),
        key=lambda s: (s.begins, s.ends),
    )
    # Silent: whether steps of one occasion stand side by side or one after another there
    laid = [s for s in clocked if s.where != "occasion"]
    for a, b in itertools.pairwise(laid):
        if b.begins < a.ends:
            yield f"overlap: {b.step} begins {said(b.begins)} before {a.step} ends."
    for s in look.sats:
        if s.where == "occasion":
            continue
        if (s.start is None) != (s.end is None):
            yield f"over: {s.step} has half a clock time."
        elif s.start is not None and s.end is not None:
            if s.minutes - s.over != s.end - s.start or s.over < 0:
                yield f"over: {s.step} at {said(s.start)} has {s.minutes} with {s.over} over."
            if s.over and s.window and s.end != s.window.end:
                yield f"over: {s.step} at {said(s.start)} is over before the window's end."
        elif s.over != s.minutes:
            yield f"over: {s.step} is wholly over with {s.over} of {s.minutes}."
    for w in look.room.windows:
        yield from _gap_faults(look, w)


def _gap_faults(look: Look, w: Window) -> Iterator[str]:
    """Within a window: no gap but for a wait, and over only past its end."""
    inside = [s for s in look.sats if s.window == w]
    laid = sorted((s for s in inside if s.start is not None), key=lambda s: (s.begins, s.ends))
    clock = w.start
    for s in laid:
        # Silent: a one-sitting step too long for one window ends at the cut it crosses, and
        # may leave a gap before it
        crossing = look.room.steps[s.step].one_sitting and len(look.sittings(s.step)) == 2
        if s.begins > clock and not _waited(look, s) and not (crossing and s.ends == w.end):
            yield f"gap: {said(clock)} to {said(s.begins)} is empty before {s.step}."
        clock = max(clock, s.ends)
    wholly = [s for s in inside if s.start is None]
    # Silent: minutes kept behind the window's end by a wait that ends there or later
    if wholly and clock != w.end and not any(_waits_in_hours(look, s.step) for s in wholly):
        yield f"over: {said(w.start)} has sittings wholly over and isn't full."


def _waits_in_hours(look: Look, step: str) -> list[int]:
    """The moments at which waits in hours before a step end."""
    room = look.room
    found = []
    todo = [(earlier, 0) for earlier in room.steps[step].before]
    for earlier, more in todo:
        end = look.end(earlier)
        wait = room.steps[earlier].wait[1] + more
        if earlier in look.unplaced:
            # what is unplaced hands on its waits
            todo += [(j, wait) for j in room.steps[earlier].before]
        elif wait and end is not None:
            found.append(end + wait)
    return found


def _waited(look: Look, s: Sat) -> bool:
    """Whether a wait in hours ends just when a sitting begins."""
    return s.step in look.room.steps and s.begins in _waits_in_hours(look, s.step)


# ---------------------------------------------------------------- orders and dates


def _order_faults(look: Look) -> Iterator[str]:
    """What follows begins after the end, and the wait, of what it follows."""
    room = look.room
    for i in room.steps:
        begin = look.begin(i)
        if begin is None:
            continue
        first_day = min(s.day for s in look.sittings(i))
        occasion = room.at_occasion(i)
        for earlier in _real_predecessors(look, i):
            end, last = look.end(earlier), look.last_day(earlier)
            if end is None or last is None:
                if room.wanted(earlier) and earlier not in look.unplaced:
                    yield f"order: {i} is planned and {earlier} before it is not."
                continue
            if occasion is not None and _late_at_all(look, earlier, occasion):
                continue
            if begin < end:
                yield f"order: {i} begins {said(begin)} before {earlier} ends {said(end)}."
            other = room.at_occasion(earlier)
            if other is not None:
                continue  # its wait counts from the occasion: a release
            nights, minutes = room.steps[earlier].wait
            # Silent: a step done at an occasion is dated by the occasion
            if nights and first_day < last + nights:
                yield f"wait: {i} begins less than {nights} nights after {earlier}."
            if minutes and begin < end + minutes:
                yield f"wait: {i} begins {said(begin)}, {earlier} wants {minutes} minutes."


def _late_at_all(look: Look, step: str, occasion: Occasion) -> bool:
    """Whether a step, or one before it, is late for an occasion."""
    chain = {step} | ancestors(look.room, step)
    return any(look.late_for(i, occasion.id) for i in chain)


def _real_predecessors(look: Look, step: str) -> set[str]:
    """Open steps it follows; an unplaced one hands on what it follows itself."""
    found: set[str] = set()
    ahead = [step]
    seen: set[str] = set()
    while ahead:
        for earlier in look.room.steps[ahead.pop()].before:
            if earlier in seen or not look.room.open(earlier):
                continue
            seen.add(earlier)
            if earlier in look.unplaced:
                ahead.append(earlier)
            else:
                found.add(earlier)
    return found


def _release_faults(look: Look) -> Iterator[str]:
    """Nothing begins before its release."""
    room = look.room
    for i in room.steps:
        begin = look.begin(i)
        if begin is None or room.at_occasion(i) is not None:
            continue
        # unplaced steps hand on their releases
        for source in {i} | (ancestors(room, i) & look.unplaced):
            release = max(release_moments(room, source), default=0)
            if begin < release:
                yield f"release: {i} begins {said(begin)} before {said(release)}."
        if begin < room.now:
            yield f"release: {i} begins {said(begin)}, before now."


def _due_faults(look: Look) -> Iterator[str]:
    """Every wanted step is ready for each occasion that wants it, or noted late."""
    room = look.room
    for o in room.occasions.values():
        if o.past:
            continue
        for i in sorted(o.wants):
            end, last = look.end(i), look.last_day(i)
            if end is None or last is None or look.late_for(i, o.id):
                continue
            if room.at_occasion(i) is not None:
                continue
            nights, minutes = room.steps[i].wait
            if end + minutes > o.wanted_by:
                yield f"due: {i} ends {said(end)}, {o.id} is ready by {said(o.wanted_by)}."
            elif nights and last + nights > day_of(o.wanted_by):
                yield f"due: {i} waits {nights} nights into {o.id}."
    for i in room.steps:
        yield from _said_due_faults(look, i)


def _said_due_faults(look: Look, i: str) -> Iterator[str]:
    """The date a step is said to be due for is that of the first occasion that wants it."""
    it = look.said.get(i)
    if it is None or not look.room.wanted(i) or it.get("due") is None:
        return
    every = [o for o in look.room.occasions.values() if not o.past and i in o.wants]
    dates = [o for o in every if not look.late_for(i, o.id)]
    allowed = {moment for some in (dates, every) for moment in _first_dates(some)}
    # Silent: whether `due` of a late step names the date it missed or the next, and whether an
    # occasion wants what it is only perhaps taken to want
    for o in look.room.occasions.values():
        if not o.past and i in o.also:
            allowed |= {o.wanted_by, o.ready_by}
    if allowed and _must(it["due"]) not in allowed:
        yield f"due: {i} is said to be due {it['due']}, not {sorted(map(said, allowed))}."


def _first_dates(occasions: list[Occasion]) -> set[int]:
    """The earliest of the dates, as the ready-by and as once past."""
    if not occasions:
        return set()
    first = min(o.wanted_by for o in occasions)
    return {first, min(o.ready_by for o in occasions)}


def _waits_leave_no_room(look: Look, step: str, todo: list[str]) -> bool:
    """Whether minutes may be why a step is left without, though its span isn't empty.

    Silent: minutes over end with their window, so a wait in hours behind them can't be kept in
    it at any load. Then something gives way, which the plan says of hours and not of dates.
    """
    said_so = any(
        u["step"] == step and "can't be stretched" in u["reason"] for u in look.plan["unplaced"]
    )
    before = {j: look.room.steps[j].before & set(todo) for j in todo}
    after = {j: {k for k in todo if j in before[k]} for j in todo}
    chain = {step} | _all_before(step, before) | _all_before(step, after)
    return said_so and any(look.room.steps[j].wait[1] for j in chain)


def _unplaced_faults(look: Look) -> Iterator[str]:
    """Nothing is unplaced that has a span: releases, waits and ready-bys, minutes ignored."""
    room = look.room
    todo = [i for i in room.steps if room.wanted(i) and room.at_occasion(i) is None]
    heads = _span_heads(look, todo) if look.unplaced else {}
    for i in look.unplaced & heads.keys():
        nights, minutes = room.steps[i].wait
        last = max(
            (o.wanted_by for o in room.occasions.values() if not o.past and i in o.wants),
            default=0,
        )
        until = min(last - minutes, _end_of_days(room, day_of(last) - nights))
        placed = [j for j in todo if i in room.steps[j].before and j not in look.unplaced]
        begins = [begin for begin in map(look.begin, placed) if begin is not None]
        # Silent: waits between it and a follower that is placed; two nights are left free
        until = min([until, *(begin - 2 * DAY for begin in begins)])
        # helper hours don't stretch: two-hand work may be left without where they are full
        if room.steps[i].hands == 2 and _helper_left(look, heads[i], until) < room.steps[i].left:
            continue
        if heads[i] < until and not _waits_leave_no_room(look, i, todo):
            yield (
                f"unplaced: {i} could be done from {said(heads[i])} to {said(until)},"
                " minutes ignored, and is left without."
            )


def _helper_left(look: Look, since: int, until: int) -> int:
    """Two-hand minutes that whole helper windows of a span still have free."""
    windows = [w for w in look.room.windows if w.helper and since <= w.start and w.end <= until]
    taken = sum(
        s.minutes for s in look.sats if s.window in windows and look.room.steps[s.step].hands == 2
    )
    return sum(w.minutes for w in windows) - taken


def _span_heads(look: Look, todo: list[str]) -> dict[str, int]:
    """The first usable moment of each step after its releases and waits, minutes ignored."""
    room = look.room
    before = {i: room.steps[i].before & set(todo) for i in todo}
    heads: dict[str, int] = {}
    for i in _in_order(todo, before):
        # Silent: which stock is whose; the plan's own releases are taken
        head = max([room.now, *release_moments(room, i), _minute(look.said[i]["released"]) or 0])
        for j in before[i]:
            nights, minutes = room.steps[j].wait
            head = max(head, heads[j] + minutes)
            if nights:
                head = max(head, _begin_of_days(room, _day_after(room, heads[j]) + nights))
        usable = (w for w in room.windows if room.usable(i, w) and w.end > head)
        heads[i] = min((max(w.start, head) for w in usable), default=10**9)
    return heads


def _stock_faults(look: Look) -> Iterator[str]:
    """At each user's first sitting, what has come covers it and those that sat before it."""
    room = look.room
    for stock in room.stock.values():
        users = {i: amount for i, amount in stock.users.items() if look.begin(i) is not None}
        # Silent: which of the users go without when all that ever comes doesn't suffice
        if stock.by(10**9) + CLOSE < sum(stock.users.values()):
            continue
        for i in users:
            begin = look.begin(i)
            assert begin is not None
            if room.at_occasion(i) is not None:
                continue
            taken = sum(amount for j, amount in users.items() if (look.begin(j) or 0) <= begin)
            if taken > stock.by(begin) + CLOSE:
                yield (
                    f"stock: {i} begins {said(begin)} with {stock.by(begin):.3f} of"
                    f" {stock.id} come and {taken:.3f} taken."
                )


def _one_sitting_faults(look: Look) -> Iterator[str]:
    """A one-sitting step lies in one window, crosses one touching cut, or is noted."""
    room = look.room
    for i, step in room.steps.items():
        sats = look.sittings(i)
        if not step.one_sitting or len(sats) < 2 or room.at_occasion(i) is not None:
            continue
        if look.notes(i, "too long for one sitting"):
            continue
        first, second = sorted(sats, key=lambda s: s.begins)[:2]
        touching = (
            first.window is not None
            and second.window is not None
            # Silent: minutes over in the first window count as ending at the cut
            and first.window.end == second.window.start == first.ends == second.begins
            and first.window.place == second.window.place
        )
        if len(sats) != 2 or not touching:
            yield f"one sitting: {i} is split into {len(sats)} sittings."


def _fixed_day_faults(look: Look) -> Iterator[str]:
    """A day fixed by the maker is kept or noted as not kept."""
    for i, step in look.room.steps.items():
        if step.on is None or not look.room.wanted(i) or i in look.unplaced:
            continue
        days = {s.day for s in look.sittings(i)}
        kept = days == {step.on}
        if not kept and not look.notes(i, "fixed day not kept"):
            yield f"fixed day: {i} isn't on {said(step.on * DAY)[:10]} and nothing is noted."
        if kept and look.notes(i, "fixed day not kept"):
            yield f"fixed day: {i} is on its day and noted as not kept."


# ---------------------------------------------------------------- days and verdict


def _day_faults(look: Look) -> Iterator[str]:
    """Every day's sums, and no work on a day without hours."""
    room = look.room
    days = {day_of(_must(d["date"])): d for d in look.plan["days"]}
    for s in look.sats:
        if s.day not in days:
            yield f"days: {s.step} sits on a day that isn't listed."
    last = max((day_of(o.at) for o in room.occasions.values()), default=0)
    for day in set(range(day_of(room.now), last + 1)) - days.keys():
        yield f"days: {said(day * DAY)[:10]} is missing."
    for day, it in days.items():
        windows = [w for w in room.windows if w.day == day]
        sats = [s for s in look.sats if s.day == day and s.where != "occasion"]
        for place in PLACES:
            key = place.replace("-", "_")
            there = sum(w.minutes for w in windows if w.place == place)
            planned = sum(s.minutes for s in sats if s.where == place)
            if it[f"{key}_available"] != there:
                yield f"days: {it['date']} has {it[f'{key}_available']} {place}, not {there}."
            if it[f"{key}_planned"] != planned:
                yield f"days: {it['date']} plans {it[f'{key}_planned']} {place}, not {planned}."
            if planned and not there:
                yield f"days: {it['date']} has {place} work and no hours."
        hand = sum(
            s.minutes for s in sats if s.step in room.steps and room.steps[s.step].work == "hand"
        )
        at_occasions = sum(
            s.minutes
            for s in look.sats
            if s.day == day and s.where == "occasion" and room.steps[s.step].work == "hand"
        )
        # Silent: whether hand sewing at an occasion counts
        if it["hand_minutes"] not in (hand, hand + at_occasions):
            yield f"days: {it['date']} has {it['hand_minutes']} hand minutes, not {hand}."
        peak = max((_load(look, w) for w in windows if w.place == "workroom"), default=None)
        # Silent: rounding of shares
        if (peak is None) != (it["peak"] is None) or (
            peak is not None and abs(peak - it["peak"]) > 1e-4
        ):
            yield f"days: {it['date']} has peak {it['peak']}, not {peak}."


def _load(look: Look, w: Window) -> float:
    """Planned over available."""
    return sum(s.minutes for s in look.sats if s.window == w) / w.minutes


def _verdict_faults(look: Look) -> Iterator[str]:
    """Peak, verdict and `fits` say the same as the windows and notes."""
    plan, room = look.plan, look.room
    peak = max((_load(look, w) for w in room.windows if w.place == "workroom"), default=None)
    said_peak = plan["peak_load"]
    if (peak is None) != (said_peak is None) or (peak is not None and abs(peak - said_peak) > 1e-4):
        yield f"peak: the plan says {said_peak}; it is {peak}."
    over = peak is not None and peak > 1 + CLOSE
    late = [i for i in room.steps if look.notes(i, "late")]
    sure = bool(late or look.unplaced)
    verdict, fits = plan["verdict"], plan["fits"]
    if fits is True and (over or sure):
        yield f"verdict: it fits with a window over ({over}), late {late[:2]} or unplaced."
    beyond = [s.step for s in look.sats if s.over and s.where != "occasion"]
    if fits is True and beyond:
        yield f"clock: it fits and yet minutes lie beyond their window's end ({beyond[:2]})."
    if fits is not True and not (over or sure or beyond):
        yield f"verdict: fits is {fits} with nothing over, late or unplaced."
    if fits is None and sure:
        yield f"verdict: fits is null with something late or unplaced ({late[:2]})."
    if (verdict == "does not fit") != (over or sure):
        yield f"verdict: {verdict!r} with over={over}, late or unplaced={sure}."
    if verdict == "tight" and peak is not None and peak <= 0.85:
        yield f"verdict: tight at a peak of {peak}."
    bound = plan["lower_bound"]
    if bound is not None and peak is not None and not sure and bound > peak + 1e-4:
        yield f"bound: the plan's peak {peak} is below its own bound {bound}."
    if bound is not None and bound > 1 + CLOSE and fits is True:
        yield f"bound: it fits against a bound of {bound}."


def _moment_faults(look: Look) -> Iterator[str]:
    """Where it fits no step lies outside its own earliest and latest."""
    for i in look.room.steps:
        it = look.said.get(i)
        begin, end = look.begin(i), look.end(i)
        if it is None or begin is None or end is None or look.room.at_occasion(i) is not None:
            continue
        days = sorted(s.day for s in look.sittings(i))
        for key, day in (("first_day", days[0]), ("last_day", days[-1])):
            if it[key] is None or day_of(_must(it[key])) != day:
                yield f"moment: {i} has {key} {it[key]}, not {said(day * DAY)[:10]}."
        released = _minute(it["released"])
        if released is not None and begin < released:
            yield f"moment: {i} begins before its own release {it['released']}."
        if look.plan["fits"] is not True:
            continue
        earliest, latest = _minute(it["earliest"]), _minute(it["latest"])
        if earliest is not None and begin < earliest:
            yield f"moment: {i} begins {said(begin)} before its earliest {it['earliest']}."
        if latest is not None and end > latest:
            yield f"moment: {i} ends {said(end)} after its latest {it['latest']}."


# ---------------------------------------------------------------- the tight spot


def tight_spot_faults(folder: Path, plan: Json) -> list[str]:
    """Faults of a plan's tight spot: its sums, its hours, and its proof if it claims one."""
    spot = plan["tight_spot"]
    look = _look(read_room(folder, datetime.fromisoformat(plan["now"])), plan)
    room = look.room
    if spot is None:
        left = [
            i
            for i in room.steps
            if room.wanted(i) and room.at_occasion(i) is None and i not in look.unplaced
        ]
        # Silent: whether work that is all unplaced is "left to do"
        return ["tight spot: there is none with work left to do."] if left else []
    found = list(_spot_sum_faults(room, spot))
    if spot["proven"]:
        found += _proof_faults(look, spot)
    return found


def _spot_hours(spot: Json) -> list[tuple[int, int, str, int]]:
    """The hours a tight spot counts: from, to, place, minutes."""
    return [
        (_must(h["from"]), _must(h["to"]), h["place"].replace("_", "-"), h["minutes"])
        for h in spot["hours"]
    ]


def _spot_sum_faults(room: Room, spot: Json) -> Iterator[str]:
    """Sums add up, and the hours are hours of the files within the span."""
    hours = _spot_hours(spot)
    if sum(minutes for *_, minutes in hours) != spot["available"]:
        yield "tight spot: its hours don't sum to what is available."
    if sum(s["minutes"] for s in spot["steps"]) != spot["wanted"]:
        yield "tight spot: its steps don't sum to what is wanted."
    if spot["short"] != spot["wanted"] - spot["available"]:
        yield "tight spot: short isn't wanted less available."
    begin, end = _must(spot["from"]), _must(spot["to"])
    seen: set[tuple[str, int]] = set()
    for start, stop, place, minutes in hours:
        real = {
            m
            for w in room.windows
            if w.place == place
            for m in range(max(w.start, start), min(w.end, stop))
        }
        if minutes != len(real) or minutes != stop - start:
            yield f"tight spot: {place} {said(start)} to {said(stop)} isn't {minutes} minutes."
        if start < begin or stop > end:
            yield f"tight spot: {said(start)} lies outside its span."
        if any((place, m) in seen for m in real):
            yield f"tight spot: {said(start)} is counted twice."
        seen |= {(place, m) for m in real}
    if len({s["id"] for s in spot["steps"]}) != len(spot["steps"]):
        yield "tight spot: a step is counted twice."
    for s in spot["steps"]:
        if s["id"] not in room.steps:
            yield f"tight spot: {s['id']} is in no file."
        # Silent: whether a part of a step's minutes may be counted
        elif s["minutes"] > room.steps[s["id"]].left + 1 or not room.wanted(s["id"]):
            yield f"tight spot: {s['id']} hasn't {s['minutes']} minutes left."


def _proof_faults(look: Look, spot: Json) -> Iterator[str]:
    """The recount: every named step can only be worked on in the named hours."""
    if spot["short"] <= 0:
        yield f"proof: short is {spot['short']}."
    # Silent: the proof may speak of the plan as it stands, or of what was asked before any step
    # was called late or unplaced. One of the two must hold for all it names.
    views = [list(_loose_faults(look, spot, before_late=view)) for view in (False, True)]
    yield from min(views, key=len)


def _too_short(look: Look, i: str, w: Window) -> bool:
    """Whether hours that don't stretch are too few for a step that needs one sitting."""
    step = look.room.steps[i]
    if w.place == "workroom" or not step.one_sitting or look.notes(i, "too long for one sitting"):
        return False
    beside = [
        v.end - v.start
        for v in look.room.windows
        if v.place == w.place and (v.start == w.end or v.end == w.start)
    ]
    return w.end - w.start + max(beside, default=0) < step.left


def _loose_faults(look: Look, spot: Json, before_late: bool) -> Iterator[str]:
    """Named steps that could be worked on in hours that aren't named."""
    heads, tails = heads_and_tails(look, before_late)
    counted = {
        (place, m) for start, stop, place, _ in _spot_hours(spot) for m in range(start, stop)
    }
    for i in (s["id"] for s in spot["steps"]):
        if i not in heads:
            yield f"proof: {i} isn't to be planned."
            continue
        loose = [
            m
            for w in look.room.windows
            if look.room.usable(i, w) and not _too_short(look, i, w)
            for m in range(max(w.start, heads[i]), min(w.end, tails[i]))
            if (w.place, m) not in counted
        ]
        if loose:
            yield (
                f"proof: {i} could also be done {said(loose[0])}: from {_far(heads[i])}"
                f" to {_far(tails[i])} it has {len(loose)} minutes beside those named."
            )


def _far(minute: int) -> str:
    """A moment, or that there is none."""
    return "never" if abs(minute) >= 10**9 else said(minute)


def heads_and_tails(look: Look, before_late: bool = False) -> tuple[dict[str, int], dict[str, int]]:
    """When each step could begin and must end at 100 % of the hours, recomputed.

    A head is the latest of: releases, the ends and waits of what it follows, and the moment by
    which all that must precede it can have been done in the hours it could use. Tails mirror it;
    with ``before_late`` unplaced steps count, and the dates of occasions a step is late for.
    """
    room = look.room
    todo = [i for i in room.steps if room.wanted(i) and room.at_occasion(i) is None]
    # an unplaced step hands on releases and waits; its minutes hold nobody up
    before = {i: room.steps[i].before & set(todo) for i in todo}
    usable = {
        key: [m for w in room.windows if key in _usable_by(w) for m in range(w.start, w.end)]
        for key in ("helper", *PLACES)
    }
    heads: dict[str, int] = {}
    tails: dict[str, int] = {}
    order = _in_order(todo, before)
    work = {i: 0 if i in look.unplaced and not before_late else room.steps[i].left for i in todo}
    after = {i: {j for j in todo if i in before[j]} for i in todo}
    for i in reversed(order):
        tails[i] = _tail(look, i, after, tails, work, usable, before_late)
    stocked = _stock_releases(room, order, tails)
    for i in order:
        heads[i] = max(stocked.get(i, 0), _head(look, i, before, heads, work, usable))
    return heads, tails


def _usable_by(w: Window) -> set[str]:
    """The kinds of step that may use a window."""
    kinds = set(PLACES[PLACES.index(w.place) :])
    return kinds | {"helper"} if w.helper else kinds


def _kind(room: Room, step: str) -> str:
    """The windows a step needs: by place, or those with a helper."""
    it = room.steps[step]
    if it.hands == 2:
        return "helper"
    return "workroom" if it.during is not None else it.place


def _wider(kind: str) -> tuple[str, ...]:
    """Kinds whose hours a step of this kind shares: its own and each that holds more."""
    kinds = ("helper", *PLACES)
    return kinds[kinds.index(kind) :]


def _in_order(steps: list[str], before: dict[str, set[str]]) -> list[str]:
    """Steps so that each comes after what it follows."""
    ordered: list[str] = []
    placed: set[str] = set()
    while len(ordered) < len(steps):
        for i in steps:
            if i not in placed and before[i] <= placed:
                ordered.append(i)
                placed.add(i)
    return ordered


def _all_before(step: str, before: dict[str, set[str]]) -> set[str]:
    """Everything that must be done before a step (or, mirrored, after it)."""
    found: set[str] = set()
    ahead = [step]
    while ahead:
        new = before[ahead.pop()] - found
        found |= new
        ahead += new
    return found


def _head(
    look: Look,
    i: str,
    before: dict[str, set[str]],
    heads: dict[str, int],
    work: dict[str, int],
    usable: dict[str, list[int]],
) -> int:
    """The earliest a step could begin."""
    room = look.room
    head = max([room.now, *release_moments(room, i)])
    on = _kept_day(look, i)
    if on is not None:
        head = max(head, _begin_of_days(room, on))
    for j in before[i]:
        end = _forward(usable[_kind(room, j)], heads[j], work[j])
        nights, minutes = room.steps[j].wait
        head = max(head, end + minutes)
        if nights:
            head = max(head, _begin_of_days(room, _day_before(room, end) + nights))
    earlier = _all_before(i, before)
    for kind in usable:
        some = [j for j in earlier if kind in _wider(_kind(room, j))]
        for since in {heads[j] for j in some}:
            inside = sum(work[j] for j in some if heads[j] >= since)
            head = max(head, _forward(usable[kind], since, inside))
    return head


def _tail(
    look: Look,
    i: str,
    after: dict[str, set[str]],
    tails: dict[str, int],
    work: dict[str, int],
    usable: dict[str, list[int]],
    before_late: bool,
) -> int:
    """The latest a step must end."""
    room = look.room
    nights, minutes = room.steps[i].wait
    on = _kept_day(look, i)
    tail = 10**9 if on is None else _end_of_days(room, on)
    for o in room.occasions.values():
        wants = o.wants | o.also if before_late else o.wants
        # what a past occasion still lacked is late: its date is missed, whatever is done now
        gone = o.past and not (before_late and look.late_for(i, o.id))
        if gone or i not in wants or (look.late_for(i, o.id) and not before_late):
            continue
        tail = min(tail, o.wanted_by - minutes)
        if nights:
            tail = min(tail, _end_of_days(room, day_of(o.wanted_by) - nights))
    for j in after[i]:
        begin = _backward(usable[_kind(room, j)], tails[j], work[j])
        tail = min(tail, begin - minutes)
        if nights:
            tail = min(tail, _end_of_days(room, _day_after(room, begin) - nights))
    later = _all_before(i, after)
    for kind in usable:
        some = [j for j in later if kind in _wider(_kind(room, j))]
        for until in {tails[j] for j in some}:
            inside = sum(work[j] for j in some if tails[j] <= until)
            tail = min(tail, _backward(usable[kind], until, inside))
    return tail


def _kept_day(look: Look, step: str) -> int | None:
    """The day fixed by the maker, where the plan keeps it."""
    on = look.room.steps[step].on
    return None if look.notes(step, "fixed day not kept") else on


def _stock_releases(room: Room, order: list[str], tails: dict[str, int]) -> dict[str, int]:
    """When each user's stock is there: served in order of their latest, then of their order."""
    found: dict[str, int] = {}
    for stock in room.stock.values():
        served = 0.0
        for i in sorted((i for i in order if i in stock.users), key=lambda i: tails[i]):
            served += stock.users[i]
            moments = [room.now, *(at for at, _ in sorted(stock.coming))]
            there = [m for m in moments if stock.by(m) + CLOSE >= served]
            if there:  # a user for whom it never suffices goes without and waits for nothing
                found[i] = max(found.get(i, 0), there[0])
    return found


def _day_before(room: Room, minute: int) -> int:
    """The day of the window that ends at, or holds, a minute."""
    for w in room.windows:
        if w.start < minute <= w.end:
            return w.day
    return day_of(minute)


def _day_after(room: Room, minute: int) -> int:
    """The day of the window that begins at, or holds, a minute."""
    for w in room.windows:
        if w.start <= minute < w.end:
            return w.day
    return day_of(minute)


def _end_of_days(room: Room, day: int) -> int:
    """The end of the hours that belong to a day or one before it, past midnight too."""
    return max([w.end for w in room.windows if w.day <= day] + [room.now])


def _begin_of_days(room: Room, day: int) -> int:
    """The beginning of the hours that belong to a day or a later one."""
    return min((w.start for w in room.windows if w.day >= day), default=day * DAY)


def _forward(minutes: list[int], since: int, work: int) -> int:
    """The end of so much work in these minutes, begun no earlier than ``since``."""
    if not work:
        return since
    last = bisect_left(minutes, since) + work - 1
    return minutes[last] + 1 if last < len(minutes) else 10**9


def _backward(minutes: list[int], until: int, work: int) -> int:
    """The beginning of so much work in these minutes, ended no later than ``until``."""
    if not work:
        return until
    first = bisect_left(minutes, until) - work
    return minutes[first] if first >= 0 else -(10**9)
