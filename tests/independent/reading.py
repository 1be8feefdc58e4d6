"""What a workroom's files mean, worked out a second time and without any of planner's code.

Everything is done in the plainest way: moments are whole minutes counted from ``ORIGIN``, hours
are sets of minutes, orders are walked again for each question. Slow and meant to be so. Only
the TOML files are read: the workroom's and, as data, the catalogue of techniques.
"""

from __future__ import annotations

import itertools
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from dateutil.rrule import rrulestr

ORIGIN = datetime(2000, 1, 1)
DAY = 24 * 60
PLACES = ("workroom", "sofa", "take-along")
CATALOGUE = Path(__file__).parents[2] / "planner" / "catalogue" / "techniques.toml"
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048, "yd": 0.9144}


# ---------------------------------------------------------------- moments and small texts


def minute_of(moment: datetime) -> int:
    """Whole minutes from ``ORIGIN``."""
    return int((moment - ORIGIN).total_seconds() // 60)


def moment_of(minute: int) -> datetime:
    """The date-time of a minute."""
    return ORIGIN + timedelta(minutes=minute)


def day_of(minute: int) -> int:
    """Days from ``ORIGIN`` of the calendar date a minute lies on."""
    return minute // DAY


def said(minute: int) -> str:
    """A minute as a fault names it."""
    return moment_of(minute).isoformat(" ", "minutes")


def _as_minute(value: date | datetime) -> int:
    """A TOML date (its midnight) or date-time as a minute."""
    if isinstance(value, datetime):
        return minute_of(value)
    return minute_of(datetime.combine(value, time()))


def duration(text: str) -> int:
    """Minutes of "1h30", "2h" or "45m"."""
    found = re.fullmatch(r"\s*(?:(\d+)\s*h)?\s*(?:(\d+)\s*m?)?\s*", text)
    if found is None:
        raise ValueError(text)
    return 60 * int(found[1] or 0) + int(found[2] or 0)


def wait_of(text: str) -> tuple[int, int]:
    """(nights, minutes) of "2 nights" or "3h"."""
    found = re.fullmatch(r"\s*(\d+)\s*nights?\s*", text)
    return (int(found[1]), 0) if found else (0, duration(text))


def share(text: str) -> float:
    """0.05 of "5%"."""
    return float(text.strip().rstrip("%")) / 100


def quantity(value: str | int | float) -> tuple[float, int]:
    """(value in metres, square metres or pieces; dimension 0 count, 1 length, 2 area)."""
    if not isinstance(value, str):
        return float(value), 0
    found = re.fullmatch(r"\s*([\d.]+)\s*([a-z]+)?(2|²)?\s*", value)
    if found is None:
        raise ValueError(value)
    if found[2] is None:
        return float(found[1]), 0
    scale = METRES[found[2]]
    return (float(found[1]) * scale**2, 2) if found[3] else (float(found[1]) * scale, 1)


# ---------------------------------------------------------------- what is read


@dataclass(frozen=True)
class Window:
    """A cut window: minutes from ``start`` to ``end``, of the day on which its hours begin."""

    start: int
    end: int
    day: int
    place: str
    helper: bool

    @property
    def minutes(self) -> int:
        """Minutes there are."""
        return self.end - self.start


@dataclass
class Step:
    """A step with what the files say of it, a chosen way already taken."""

    id: str
    garment: str
    ensemble: str
    raw: Mapping[str, Any]
    work: str
    place: str
    hands: int
    one_sitting: bool
    wait: tuple[int, int]
    technique: str | None
    during: str | None
    stage: str | None
    optional: bool
    left_off: bool
    on: int | None
    not_before: int | None
    estimates: tuple[float, ...] = ()
    """Exact minutes before rounding; several where the rules leave a choice."""
    minutes: int = 0
    left: int = 0
    done: bool = False
    done_at: int | None = None
    """The moment a done step's wait runs from; None where it was done before the diary."""
    again: bool = False
    """The diary says last that minutes are left."""
    since: int | None = None
    """The minute of the entry that did it; None where none did."""
    afters: list[str] = field(default_factory=list)
    """Steps and occasions it names, resolved, steps left off still among them."""
    before: set[str] = field(default_factory=set)
    """Steps it follows, those left off looked through, done ones still among them."""
    occasions: set[str] = field(default_factory=set)
    """Occasions it must come after."""
    uses: dict[str, float] = field(default_factory=dict)
    """Amount it takes of each stock, by full id of the stock."""

    @property
    def required(self) -> bool:
        """Not optional, or carrying a stage."""
        return not self.optional or self.stage is not None


@dataclass
class Occasion:
    """An occasion with its times worked out."""

    id: str
    ensemble: str
    kind: str
    at: int
    raw: Mapping[str, Any]
    takes: int = 0
    end: int = 0
    ready_by: int = 0
    wanted_by: int = 0
    """Its ready-by, or its beginning once the ready-by is past."""
    past: bool = False
    held: bool = False
    steps: list[str] = field(default_factory=list)
    """Steps during it, not left off."""
    wants: set[str] = field(default_factory=set)
    """Open steps it wants; of a past one, those it lacked."""
    also: set[str] = field(default_factory=set)
    """What it may want too: open steps that those done at it, or ticked ones, follow."""


@dataclass
class Stock:
    """What there is of a stock at work's beginning, and what is coming."""

    id: str
    there: float
    coming: list[tuple[int, float]]
    users: dict[str, float] = field(default_factory=dict)
    """Amount by open step."""

    def by(self, minute: int) -> float:
        """What has come by a moment."""
        return self.there + sum(amount for at, amount in self.coming if at <= minute)


@dataclass
class Room:
    """A workroom as the rules understand it at ``now``."""

    now: int
    setting_up: int
    fill_to: float
    hand_limit: int | None
    steps: dict[str, Step]
    occasions: dict[str, Occasion]
    stock: dict[str, Stock]
    windows: list[Window]
    """Cut where the rules say so."""
    garments: dict[str, list[str]]
    """Step ids by ``ensemble/garment``, in file order."""

    def open(self, step: str) -> bool:
        """To be done yet: neither done nor left off."""
        return not self.steps[step].done and not self.steps[step].left_off

    def at_occasion(self, step: str) -> Occasion | None:
        """The future occasion at which it is done, in its time."""
        during = self.steps[step].during
        if during is None or not self.open(step) or self.occasions[during].past:
            return None
        return self.occasions[during]

    def wanted(self, step: str) -> bool:
        """Whether a future occasion wants it, or it is done at one."""
        if not self.open(step):
            return False
        return self.at_occasion(step) is not None or any(
            step in o.wants for o in self.occasions.values() if not o.past
        )

    def usable(self, step: str, window: Window) -> bool:
        """Whether a step may be worked on in a window, dates apart."""
        it = self.steps[step]
        if it.hands == 2 and not window.helper:
            return False
        if it.during is not None or it.hands == 2:
            return window.place == "workroom"
        return PLACES.index(window.place) <= PLACES.index(it.place)


# ---------------------------------------------------------------- reading, in order


def read_room(folder: Path, now: datetime) -> Room:
    """Read a folder and work out everything the rules say of it at ``now``."""
    ensembles: dict[str, dict[str, Any]] = {}
    hours: dict[str, Any] = {}
    diary: list[dict[str, Any]] = []
    own: list[dict[str, Any]] = []
    for path in sorted(folder.glob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        if path.stem == "workroom":
            hours = data
        elif path.stem == "diary":
            diary = data.get("entry", [])
        elif path.stem == "techniques":
            own = data.get("technique", [])
        else:
            ensembles[path.stem] = data
    techniques = {t["id"]: t for t in _catalogue() + own}
    steps, garments = _steps(ensembles, techniques, hours.get("pace", {}))
    occasions = {
        f"{e}/{raw['id']}": Occasion(
            id=f"{e}/{raw['id']}",
            ensemble=e,
            kind=raw["kind"],
            at=_as_minute(raw["at"]),
            raw=raw,
        )
        for e, data in ensembles.items()
        for raw in data.get("occasion", [])
    }
    room = Room(
        now=minute_of(now),
        setting_up=duration(hours.get("setting_up", "0m")),
        fill_to=share(hours.get("fill_to", "70%")),
        hand_limit=(duration(hours["hand_sewing_limit"]) if "hand_sewing_limit" in hours else None),
        steps=steps,
        occasions=occasions,
        stock={},
        windows=[],
        garments=garments,
    )
    in_order = [
        f"{e}/{garment['id']}"
        for e, data in ensembles.items()
        for garment in data.get("garment", [])
        if garment.get("in_order")
    ]
    _resolve_orders(room, in_order)
    _read_diary(room, sorted(diary, key=lambda entry: entry["at"]))
    _date_occasions(room)
    _hold_past_occasions(room)
    _work_out_wants(room)
    _read_stock(room, ensembles)
    room.windows = _cut(room, _hours(room, hours))
    return room


def _catalogue() -> list[dict[str, Any]]:
    """The techniques of the catalogue, as data."""
    if not CATALOGUE.exists():
        return []
    data = tomllib.loads(CATALOGUE.read_text(encoding="utf-8"))
    return list(data.get("technique", []))


def _steps(
    ensembles: Mapping[str, Mapping[str, Any]],
    techniques: Mapping[str, Mapping[str, Any]],
    pace: Mapping[str, Any],
) -> tuple[dict[str, Step], dict[str, list[str]]]:
    """Every step of every garment, with its estimate."""
    steps: dict[str, Step] = {}
    garments: dict[str, list[str]] = {}
    for e, data in ensembles.items():
        for garment in data.get("garment", []):
            name = f"{e}/{garment['id']}"
            garments[name] = []
            for raw in garment.get("step", []):
                step = _step(e, name, raw, techniques)
                steps[step.id] = step
                garments[name].append(step.id)
            _estimate(garment, [steps[i] for i in garments[name]], techniques)
            _at_pace([steps[i] for i in garments[name]], pace)
    return steps, garments


WAY_KEYS = (
    "technique", "name", "amount", "hours", "low", "high", "work", "place", "hands",
    "one_sitting", "wait", "no_way_back", "caution", "uses",
)  # fmt: skip


def _chosen(raw: Mapping[str, Any]) -> dict[str, Any]:
    """The step's keys with those of the chosen way over them."""
    merged = dict(raw)
    for way in raw.get("instead", []):
        if way.get("chosen"):
            if "technique" in way:
                # Silent: kind and place of the step itself, where the way brings a technique
                # that has its own. Taken from the technique.
                for key in ("hours", "work", "place"):
                    merged.pop(key, None)
            elif "hours" in way:
                merged["_technique_for_work"] = merged.get("technique")
                merged.pop("technique", None)
            merged |= {key: way[key] for key in WAY_KEYS if key in way}
            break
    return merged


def _step(
    ensemble: str,
    garment: str,
    raw: Mapping[str, Any],
    techniques: Mapping[str, Mapping[str, Any]],
) -> Step:
    """One step, without estimate and order."""
    keys = _chosen(raw)
    named = keys.get("technique") or keys.get("_technique_for_work")
    technique: Mapping[str, Any] = techniques[named] if named else {}
    wait = keys.get("wait", technique.get("wait") or "0m")
    return Step(
        id=f"{garment}/{raw['id']}",
        garment=garment,
        ensemble=ensemble,
        raw=keys,
        work=keys.get("work") or technique.get("work") or "hand",
        place=keys.get("place") or technique.get("place") or "workroom",
        hands=keys.get("hands") or technique.get("hands") or 1,
        one_sitting=bool(keys.get("one_sitting") or technique.get("one_sitting")),
        wait=wait_of(wait),
        technique=keys.get("technique"),
        during=keys.get("during"),
        stage=keys.get("stage"),
        optional=bool(keys.get("optional")),
        left_off=bool(keys.get("left_off")),
        on=day_of(_as_minute(keys["on"])) if "on" in keys else None,
        not_before=_as_minute(keys["not_before"]) if "not_before" in keys else None,
    )


def _factors(
    garment: Mapping[str, Any], factors: Iterable[str | int | float]
) -> list[tuple[float, int]]:
    """The quantities of a product, measurements looked up."""
    measures = garment.get("measurements", {})
    return [quantity(measures.get(f, f) if isinstance(f, str) else f) for f in factors]


def _product(factors: Iterable[tuple[float, int]]) -> tuple[float, int]:
    """Values multiply, dimensions add."""
    value, dimension = 1.0, 0
    for each, of in factors:
        value, dimension = value * each, dimension + of
    return value, dimension


def _rate(technique: Mapping[str, Any], key: str) -> float:
    """Typical minutes of a technique's ``rate`` or ``each`` entry."""
    found = technique.get(key, 0)
    return float(found["typical"]) if isinstance(found, Mapping) else float(found)


def _estimate(
    garment: Mapping[str, Any], steps: list[Step], techniques: Mapping[str, Mapping[str, Any]]
) -> None:
    """Give each step of a garment its estimate: set-up with a technique's first step."""
    begun: set[str] = set()
    begun_by_kept: set[str] = set()
    for step in steps:
        if step.technique is None:
            step.estimates = (float(step.raw.get("effort", 1)) * duration(step.raw["hours"]),)
        else:
            technique = techniques[step.technique]
            factors = _factors(garment, step.raw.get("amount", []))
            size = quantity(technique.get("unit_size", 1))[0]
            minutes = _rate(technique, "typical") * _product(factors)[0] / size
            seams = _product(f for f in factors if f[1] == 0)[0]
            minutes += _rate(technique, "each") * seams
            minutes *= step.raw.get("effort", 1)
            set_up = technique.get("set_up", 0)
            set_up = duration(set_up) if isinstance(set_up, str) else set_up
            first = step.technique not in begun
            # Silent: whether a step left off takes the set-up with it. Both are accepted.
            first_kept = not step.left_off and step.technique not in begun_by_kept
            step.estimates = tuple(
                sorted({minutes + set_up * first, minutes + set_up * first_kept})
            )
            begun.add(step.technique)
            if not step.left_off:
                begun_by_kept.add(step.technique)
        step.minutes = max(1, int(step.estimates[-1] + 0.5))


def _at_pace(steps: Iterable[Step], pace: Mapping[str, Any]) -> None:
    """Estimates at the pace set by hand; what a diary teaches isn't read here."""
    for step in steps:
        if step.technique is None:
            continue
        ratio = pace.get(step.technique, pace.get(step.work, pace.get("all")))
        if ratio is not None:
            whole = [max(1, int(one + 0.5)) for one in step.estimates]
            step.estimates = tuple(round(ratio * one, 6) for one in whole)
            step.minutes = max(1, int(step.estimates[-1] + 0.5))


# ---------------------------------------------------------------- the order


def _resolve_orders(room: Room, in_order: Iterable[str]) -> None:
    """Resolve ``after``, ``in_order`` and ``during``; look through what is left off."""
    for step in room.steps.values():
        if step.during is not None:
            step.during = _occasion_ref(room, step.ensemble, step.during)
        for reference in step.raw.get("after", []):
            step.afters += resolve(room, step.ensemble, step.garment, reference)
    for garment in in_order:
        for above, below in itertools.pairwise(room.garments[garment]):
            room.steps[below].afters.append(above)
    for step in room.steps.values():
        _look_through(room, step, step.afters, set())


def _look_through(room: Room, step: Step, afters: Iterable[str], seen: set[str]) -> None:
    """Add what a step follows; a step left off is replaced by what it follows itself."""
    for reference in afters:
        if reference in room.occasions:
            step.occasions.add(reference)
        elif not room.steps[reference].left_off:
            step.before.add(reference)
        elif reference not in seen:
            seen.add(reference)
            _look_through(room, step, room.steps[reference].afters, seen)


def _occasion_ref(room: Room, ensemble: str, reference: str) -> str:
    """Full id of an occasion."""
    return reference if reference in room.occasions else f"{ensemble}/{reference}"


def resolve(room: Room, ensemble: str, garment: str | None, reference: str) -> list[str]:
    """Full ids of the steps or the occasion a reference of ``after`` or ``wants`` names."""
    name, colon, stage = reference.partition(":")
    if colon:
        full = name if name in room.garments else f"{ensemble}/{name}"
        return stage_steps(room, full, stage)
    for full in (f"{garment}/{name}", f"{ensemble}/{name}", name):
        if full in room.steps or full in room.occasions:
            return [full]
        if full in room.garments:
            return required_steps(room, full)
    raise KeyError(reference)


def required_steps(room: Room, garment: str) -> list[str]:
    """The steps without which a garment isn't finished."""
    steps = (room.steps[i] for i in room.garments[garment])
    return [s.id for s in steps if s.required and not s.left_off]


def stage_steps(room: Room, garment: str, stage: str) -> list[str]:
    """The steps that carry a stage; where none does, the required ones."""
    steps = [room.steps[i] for i in room.garments[garment]]
    carriers = [s.id for s in steps if s.stage == stage and not s.left_off]
    return carriers or required_steps(room, garment)


def ancestors(room: Room, step: str) -> set[str]:
    """Everything open a step must come after, however far back. Done steps ask nothing."""
    return _all_before(room, step, through_done=False)


def _all_before(room: Room, step: str, through_done: bool) -> set[str]:
    """Open steps before a step; with ``through_done`` also those before done ones."""
    seen: set[str] = set()
    ahead = [step]
    while ahead:
        for earlier in room.steps[ahead.pop()].before - seen:
            if through_done or room.open(earlier):
                seen.add(earlier)
                ahead.append(earlier)
    return {i for i in seen if room.open(i)}


# ---------------------------------------------------------------- the diary


def _read_diary(room: Room, entries: list[dict[str, Any]]) -> None:
    """Done steps and minutes left."""
    by_step: dict[str, list[dict[str, Any]]] = {}
    for entry in entries:
        by_step.setdefault(entry["step"], []).append(entry)
    for step in room.steps.values():
        step.done = bool(step.raw.get("done"))
        logged = by_step.get(step.id, [])
        if logged:
            step.done_at = _as_minute(logged[-1]["at"])
        saying = [entry for entry in logged if entry.get("done") or "left" in entry]
        if saying:
            step.done = step.done or bool(saying[-1].get("done"))
            step.again = not saying[-1].get("done")
        for entry in saying:
            if not entry.get("done"):
                step.since = None
            elif step.since is None:
                step.since = _as_minute(entry["at"])
        if step.raw.get("done"):
            step.since = None
        step.left = _left(step, logged)


def _left(step: Step, logged: list[dict[str, Any]]) -> int:
    """Minutes left by the diary."""
    if step.done or step.left_off:
        return 0
    if not logged:
        return step.minutes
    left = step.minutes
    for entry in logged:
        left = entry["left"] if "left" in entry else left - entry.get("minutes", 0)
    return max(left, min(5, step.minutes))


# ---------------------------------------------------------------- occasions


def _date_occasions(room: Room) -> None:
    """How long each takes, by when all must be ready, and whether it is past."""
    for step in room.steps.values():
        if step.during is not None and not step.left_off:
            room.occasions[step.during].steps.append(step.id)
    for it in room.occasions.values():
        own = sum(room.steps[i].minutes for i in it.steps) + 10
        if "takes" in it.raw:
            it.takes = duration(it.raw["takes"])
        elif it.kind == "fitting":
            it.takes = own
        elif it.kind == "trial wear":
            it.takes = max(own, 90)
        else:
            it.takes = (day_of(it.at) + 1) * DAY - it.at
        it.end = it.at + it.takes
        it.past = it.end <= room.now
        it.held = it.past and it.raw.get("held", True)
        it.ready_by = _ready_by(it)
        it.wanted_by = it.ready_by if it.ready_by > room.now else it.at


def _ready_by(it: Occasion) -> int:
    """The moment by which all an occasion wants must be there."""
    margin = it.raw.get("margin", "0m")
    found = re.fullmatch(r"\s*(\d+)\s*days?\s*", margin)
    if found:
        return (day_of(it.at) - int(found[1])) * DAY
    return it.at - duration(margin)


def _hold_past_occasions(room: Room) -> None:
    """Steps during a held occasion are done, except those that follow a step still open, and
    those of which the diary says that minutes are left. Where nobody wrote that it was held, what
    they follow must have been done by its end."""
    for step in room.steps.values():
        for occasion in step.occasions:
            it = room.occasions[occasion]
            # what followed a past occasion follows the steps that were not held at it
            if it.past:
                step.before |= {i for i in it.steps if i != step.id}
    changed = True
    while changed:
        changed = False
        for it in room.occasions.values():
            for step in (room.steps[i] for i in it.steps if it.held):
                if step.done or step.again or not _was_ready(room, it, step):
                    continue
                step.done, step.left, changed = True, 0, True
                step.since = it.end
                if step.done_at is None:
                    step.done_at = it.end
    for it in room.occasions.values():
        for i in it.steps:
            step = room.steps[i]
            if it.past and not step.done:
                step.done_at = None


def _was_ready(room: Room, it: Occasion, step: Step) -> bool:
    """Whether a step could be done at a held occasion: by all it follows, and, at a trial wear
    where it follows nothing, by all that is put on."""
    if it.raw.get("held"):
        return not any(room.open(i) for i in step.before)
    asked = set(step.before)
    if it.kind == "trial wear" and not step.before and not step.occasions:
        asked = _put_on(room, it)

    def in_time(since: int | None) -> bool:
        return since is None or since <= it.end

    return all(not room.open(i) and in_time(room.steps[i].since) for i in asked)


def _put_on(room: Room, it: Occasion) -> set[str]:
    """What a trial wear wants and all before it, but for what comes at it or later."""
    later = {o.id for o in room.occasions.values() if o.at >= it.at}
    out = {s.id for s in room.steps.values() if s.during in later or s.occasions & later}
    while more := {s.id for s in room.steps.values() if s.before & out} - out:
        out |= more
    found = {i for i in _named_wants(room, it) if not room.steps[i].left_off} - out
    while more := {j for i in found for j in room.steps[i].before} - out - found:
        found |= more
    return found


def followers(room: Room, starts: Iterable[str], occasion: str | None = None) -> set[str]:
    """The given steps and all that follow them, or the occasion, however far on."""
    found = set(starts)
    changed = True
    while changed:
        changed = False
        for step in room.steps.values():
            if step.id in found or step.done:
                continue
            if occasion in step.occasions or step.before & found:
                found.add(step.id)
                changed = True
    return found


def _work_out_wants(room: Room) -> None:
    """What each occasion wants, brought along what it follows, without what it can't want."""
    for it in room.occasions.values():
        at_or_later = {
            i
            for other in room.occasions.values()
            if other.at >= it.at and not other.past
            for i in other.steps
            if room.open(i)
        }
        not_wanted = followers(room, at_or_later, it.id)
        for other in room.occasions.values():
            if other.at >= it.at and not other.past:
                not_wanted |= followers(room, (), other.id)
        # Silent: what follows a later occasion without being done at it. It can't be ready
        # before, so no occasion is taken to want it.
        all_named = set(_named_wants(room, it))
        named = {i for i in all_named if room.open(i)}
        it.wants = _brought_along(room, named - not_wanted) - not_wanted
        at_it = all_named | {i for i in it.steps if room.open(i)}
        behind = at_it.union(*(_all_before(room, i, through_done=True) for i in at_it))
        it.also = {i for i in behind if room.open(i)} - not_wanted - it.wants
    _hand_on_past_wants(room)


def _brought_along(room: Room, steps: set[str]) -> set[str]:
    """Steps with all the open ones they follow."""
    return steps.union(*(ancestors(room, i) for i in steps))


def _named_wants(room: Room, it: Occasion) -> list[str]:
    """What an occasion wants itself, without what that follows."""
    if "wants" in it.raw:
        return [
            found
            for reference in it.raw["wants"]
            for found in resolve(room, it.ensemble, None, reference)
            if found in room.steps
        ]
    if it.kind == "fitting":
        return [j for i in it.steps for j in room.steps[i].before]
    garments = [g for g in room.garments if g.startswith(f"{it.ensemble}/")]
    if it.kind == "trial wear":
        return [i for g in garments for i in stage_steps(room, g, "wearable")]
    return [i for g in garments for i in room.garments[g] if not room.steps[i].left_off]


def _hand_on_past_wants(room: Room) -> None:
    """A past departure or event ends its demands; what a past fitting lacked stays wanted."""
    for it in room.occasions.values():
        if it.past and it.kind in ("departure", "event"):
            it.wants = set()


# ---------------------------------------------------------------- stock


def _read_stock(room: Room, ensembles: Mapping[str, Mapping[str, Any]]) -> None:
    """What there is, what is coming, and who takes how much."""
    raw_stock: dict[str, Mapping[str, Any]] = {}
    for e, data in ensembles.items():
        for raw in data.get("stock", []):
            raw_stock[f"{e}/{raw['id']}"] = raw
            room.stock[f"{e}/{raw['id']}"] = Stock(
                id=f"{e}/{raw['id']}",
                there=quantity(raw.get("have", 0))[0],
                coming=[
                    (_as_minute(c["arrives"]), quantity(c["amount"])[0])
                    for c in raw.get("coming", [])
                    if "arrives" in c
                ],
            )
        for garment in data.get("garment", []):
            for raw in garment.get("step", []):
                _read_uses(room, e, garment, room.steps[f"{e}/{garment['id']}/{raw['id']}"])
    for step in room.steps.values():
        for stock, amount in step.uses.items():
            if room.wanted(step.id):
                room.stock[stock].users[step.id] = amount
            elif step.done and _taken_since(room, step, raw_stock[stock].get("counted")):
                room.stock[stock].there -= amount


def _read_uses(room: Room, ensemble: str, garment: Mapping[str, Any], step: Step) -> None:
    """A step's own amount plus extra, or the amount of the ``uses`` entry."""
    for use in step.raw.get("uses", []):
        own = use.get("amount", step.raw.get("amount"))
        if own is None:
            continue
        factors = own if isinstance(own, list) else [own]
        amount = _product(_factors(garment, factors))[0]
        key = f"{ensemble}/{use['stock']}"
        amount *= 1 + share(use.get("extra", "0%"))
        step.uses[key] = step.uses.get(key, 0.0) + amount


def _taken_since(room: Room, step: Step, counted: date | None) -> bool:
    """Whether a done step took its stock after it was counted."""
    if counted is None:
        return True
    return step.done_at is not None and day_of(step.done_at) > day_of(_as_minute(counted))


# ---------------------------------------------------------------- hours


def _spans(texts: Iterable[str], day: int) -> list[tuple[int, int]]:
    """Spans of a day such as "19:30-21:30" as minutes, over midnight too."""
    found = []
    for text in texts:
        start, end = (
            int(h) * 60 + int(m) for h, m in (t.split(":") for t in text.strip().split("-"))
        )
        if end <= start:
            end += DAY
        found.append((day * DAY + start, day * DAY + end))
    return found


def _days_of(change: Mapping[str, Any], last: int) -> set[int]:
    """The days a change names, up to the last occasion."""
    if "on" in change:
        return {day_of(_as_minute(change["on"]))}
    if "rule" in change:
        anchor = change.get("from", date(2000, 1, 1))
        rule = rrulestr(change["rule"], dtstart=datetime.combine(anchor, time()))
        end = moment_of((last + 1) * DAY)
        return {day_of(minute_of(d)) for d in rule.between(ORIGIN, end, inc=True)}
    first = day_of(_as_minute(change["from"]))
    return set(range(first, day_of(_as_minute(change.get("to", change["from"]))) + 1))


TABLES = {
    "workroom": "workroom_hours",
    "sofa": "sofa_hours",
    "take_along": "take_along_hours",
    "helper": "helper_hours",
}


def _away(room: Room) -> set[int]:
    """Minutes from each departure to the end of its ensemble's next event."""
    away: set[int] = set()
    for it in room.occasions.values():
        if it.kind == "departure":
            events = [
                o
                for o in room.occasions.values()
                if o.kind == "event" and o.ensemble == it.ensemble and o.at >= it.at
            ]
            end = min(events, key=lambda o: o.at).end if events else (day_of(it.at) + 1) * DAY
            away |= set(range(it.at, end))
    return away


def _hours(room: Room, hours: Mapping[str, Any]) -> dict[str, dict[int, int]]:
    """By place (and "helper"), each minute there is and the day its hours begin on."""
    last = day_of(max((o.end for o in room.occasions.values()), default=room.now + 1) - 1)
    changes = [(c, _days_of(c, last)) for c in hours.get("change", [])]
    away = _away(room)
    minutes: dict[str, dict[int, int]] = {key: {} for key in TABLES}
    for key, table in TABLES.items():
        spans: list[tuple[int, int, bool]] = []
        for day in range(day_of(room.now) - 2, last + 1):
            texts = hours.get(table, {}).get(WEEKDAYS[moment_of(day * DAY).weekday()], [])
            named = False
            for change, days in changes:
                if day in days and key in change:
                    texts, named = change[key], True
            spans += [(start, end, named) for start, end in _spans(texts, day)]
        kept = {
            minute
            for start, end, named in spans
            for minute in range(start, end)
            if named or minute not in away or key in ("take_along", "helper")
        }
        minutes[key] = _owned(kept, [(start, end) for start, end, _ in spans])
    for minute in minutes["workroom"]:
        minutes["sofa"].pop(minute, None)
        minutes["take_along"].pop(minute, None)
    for minute in minutes["sofa"]:
        minutes["take_along"].pop(minute, None)
    taken = {m for o in room.occasions.values() for m in range(o.at, o.end)}
    for key in ("workroom", "sofa", "take_along"):
        minutes[key] = {m: d for m, d in minutes[key].items() if m not in taken}
    for run in _runs(minutes["workroom"]):
        for minute in run[: room.setting_up]:
            del minutes["workroom"][minute]
    for key in minutes:
        minutes[key] = {m: d for m, d in minutes[key].items() if m >= room.now}
    return minutes


def _owned(kept: set[int], spans: list[tuple[int, int]]) -> dict[int, int]:
    """Each kept minute with the day on which its merged window begins."""
    owned: dict[int, int] = {}
    day_at: dict[int, int] = {}
    for start, end in sorted(spans, reverse=True):
        for minute in range(start, end):
            day_at[minute] = day_of(start)
    for run in _runs(dict.fromkeys(kept, 0)):
        for minute in run:
            owned[minute] = day_at[run[0]]
    return owned


def _runs(minutes: Mapping[int, int]) -> list[list[int]]:
    """Minutes as stretches without a break."""
    runs: list[list[int]] = []
    for minute in sorted(minutes):
        if runs and runs[-1][-1] == minute - 1:
            runs[-1].append(minute)
        else:
            runs.append([minute])
    return runs


def release_moments(room: Room, step: str) -> list[int]:
    """Moments before which a step can't begin, stock and open steps apart."""
    it = room.steps[step]
    found = [it.not_before] if it.not_before is not None else []
    found += [room.occasions[o].end for o in it.occasions]
    for earlier in (room.steps[i] for i in it.before):
        occasion = room.at_occasion(earlier.id)
        if occasion is not None:
            found += [occasion.end, _after_wait(earlier.wait, occasion.end, occasion.at)]
        elif earlier.done and earlier.done_at is not None:
            found.append(_after_wait(earlier.wait, earlier.done_at, earlier.done_at))
    return found


def _after_wait(wait: tuple[int, int], end: int, counted_from: int) -> int:
    """The moment a wait ends: nights from a date, minutes from an end."""
    nights, minutes = wait
    return (day_of(counted_from) + nights) * DAY if nights else end + minutes


def _cut(room: Room, minutes: Mapping[str, Mapping[int, int]]) -> list[Window]:
    """The hours cut at ready-bys, occasions, releases and the ends of helper hours."""
    cuts: set[int] = set()
    for o in room.occasions.values():
        cuts |= {o.at, o.end, o.ready_by, o.wanted_by}
    for step in room.steps.values():
        if step.not_before is not None and not step.left_off:
            cuts.add(step.not_before)
        # Silent: waits that nothing to be planned follows. They release nothing and don't cut.
        if room.wanted(step.id):
            cuts |= set(release_moments(room, step.id))
    for stock in room.stock.values():
        cuts |= {at for at, _ in stock.coming}
    windows = []
    for place in PLACES:
        key = place.replace("-", "_")
        for run in _runs(minutes[key]):
            start = run[0]
            for minute in [*run[1:], run[-1] + 1]:
                # helper hours count, and cut, only where workroom hours are
                comes_or_goes = place == "workroom" and (
                    (minute in minutes["helper"]) != (minute - 1 in minutes["helper"])
                )
                if minute in cuts or minute == run[-1] + 1 or comes_or_goes:
                    windows.append(
                        Window(
                            start=start,
                            end=minute,
                            day=minutes[key][start],
                            place=place,
                            helper=place == "workroom" and start in minutes["helper"],
                        )
                    )
                    start = minute
    return sorted(windows, key=lambda w: w.start)
