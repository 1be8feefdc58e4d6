"""Random workrooms: valid TOML folders with every feature of the files, told by a seed.

The same seed always writes the same folder. Circles can't come about: every step may only follow
steps generated before it, and only what happens no later than the last occasion it waits for
(each step carries a ``share``, the place of that occasion in the run-up). Ids of garments, steps,
occasions and ensembles never collide. ``NOW`` is the same for all.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

NOW = datetime(2027, 3, 1, 9, 0)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
ENSEMBLES = ("lamplighters-daughter", "reed-cutter", "mossgate-herald")
GARMENTS = (
    "shift", "understays", "petticoat", "pocket-pair", "overskirt", "jacket", "cloak", "bonnet",
    "sash", "mantle", "breastplate", "gaiters", "coif", "apron", "hip-roll", "waistcoat", "hose",
    "neckerchief",
)  # fmt: skip
OPERATIONS = (
    "draft", "mock-up", "cut", "baste", "join", "press", "bone", "line", "bind", "gather", "hem",
    "close", "trim", "paint", "check",
)  # fmt: skip
PACED = ("all", "machine", "hand", "cutting", "straight-seam", "fell-lining", "make-bow")
"""Of these a pace may be set by hand."""


@dataclass(frozen=True)
class Way:
    """A technique the generator knows: what it is counted by, and about how long it takes."""

    id: str
    per: str
    minutes: float
    set_up: int = 0
    hands: int = 1


CATALOGUED = (
    Way("straight-seam", "length", 4, 3),
    Way("curved-seam", "length", 8, 5),
    Way("fell-lining", "length", 16, 3),
    Way("line-small-piece", "length", 16, 3),
    Way("hook-and-eye", "count", 5, 5),
    Way("eyelet-by-hand", "count", 10, 5),
    Way("make-bow", "count", 12, 3),
    Way("transfer-corrections", "count", 10, 10),
    Way("cut-bias-strips", "length", 4, 5),
    Way("turn-hem", "length", 5, 3),
    Way("paint-cloth", "area", 1200, 15),
    Way("glue-trim", "length", 5, 5),
    Way("dye-hot", "count", 75, 20),
    Way("bead-singly", "count", 0.55, 10),
)
OWN = (
    Way("our-seam", "length", 6, 4),
    Way("our-hand-hem", "length", 22, 2),
    Way("our-thread-button", "count", 14, 3),
    Way("our-quilting", "area", 2500, 8),
    Way("our-cutting", "count", 9, 12),
    Way("our-varnish", "count", 7, 10),
    Way("our-back-pinning", "count", 18, 5, 2),
)
OWN_TOML = """format = 1

[[technique]]
id = "our-seam"
name = "seam the way we do it"
work = "machine"
place = "workroom"
per = "length"
low = 4
typical = 6
high = 10
each = { low = 1, typical = 2, high = 3 }
set_up = 4

[[technique]]
id = "our-hand-hem"
name = "hem by hand, our way"
work = "hand"
place = "sofa"
per = "length"
low = 15
typical = 22
high = 30
set_up = 2

[[technique]]
id = "our-thread-button"
name = "thread button on a ring"
work = "hand"
place = "take-along"
per = "count"
low = 10
typical = 14
high = 20
set_up = 3

[[technique]]
id = "our-quilting"
name = "quilt by area"
work = "hand"
place = "sofa"
per = "area"
unit_size = "10 cm2"
low = 1.5
typical = 2.5
high = 4
set_up = 8

[[technique]]
id = "our-cutting"
name = "cut the good cloth"
work = "cutting"
place = "workroom"
per = "count"
low = 6
typical = 9
high = 14
set_up = 12
one_sitting = true
no_way_back = true
caution = "Sharp shears: cut away from the hand that holds."

[[technique]]
id = "our-varnish"
name = "varnish a piece"
work = "bench"
place = "workroom"
per = "count"
low = 5
typical = 7
high = 12
set_up = 10
wait = "3h"
caution = "Fumes: open the window and follow the label."

[[technique]]
id = "our-back-pinning"
name = "pin a back"
work = "fitting"
place = "workroom"
per = "count"
low = 10
typical = 18
high = 30
set_up = 5
hands = 2
"""
REPLACED = """
[[technique]]
id = "straight-seam"
name = "straight seam at our speed"
work = "machine"
place = "workroom"
per = "length"
low = 2
typical = 3
high = 6
set_up = 6
"""


@dataclass
class Made:
    """A step while it is made: its TOML keys and what must be known of it."""

    id: str
    garment: str
    ensemble: str
    keys: dict[str, Any]
    share: float
    minutes: int
    amount: tuple[float, int] | None = None
    followed: bool = False

    @property
    def required(self) -> bool:
        """Not optional, or carrying a stage."""
        return not self.keys.get("optional") or "stage" in self.keys


@dataclass
class Dated:
    """An occasion while it is made."""

    ensemble: str
    share: float
    keys: dict[str, Any]

    @property
    def past(self) -> bool:
        """Before now."""
        return self.share < 0


@dataclass
class Sewn:
    """An ensemble while it is made."""

    id: str
    occasions: list[Dated] = field(default_factory=list)
    garments: list[tuple[dict[str, Any], list[Made]]] = field(default_factory=list)
    stock: list[dict[str, Any]] = field(default_factory=list)

    def steps(self) -> list[Made]:
        """Its steps in file order."""
        return [step for _, steps in self.garments for step in steps]


def write_workroom(folder: Path, seed: int) -> None:
    """Write a random workroom of a seed into ``folder``."""
    Maker(random.Random(seed), seed).write(folder)


class Maker:
    """Makes one workroom."""

    def __init__(self, rng: random.Random, seed: int) -> None:
        """Draw what marks the whole of it."""
        self.rng = rng
        self.seed = seed
        self.own = rng.random() < 0.6
        self.replaced = self.own and rng.random() < 0.4
        self.helped = rng.random() < 0.6
        self.ensembles: list[Sewn] = []
        self.workroom: dict[str, Any] = {}
        self.entries: list[dict[str, Any]] = []
        self.horizon = 30

    def chance(self, share: float) -> bool:
        """True so often."""
        return self.rng.random() < share

    def write(self, folder: Path) -> None:
        """Make everything and write the files."""
        size = int(5 * (30 ** (self.rng.random() ** 1.2)))
        count = 1 if size < 12 else self.rng.choice((1, 1, 1, 2, 2, 3))
        self.week()
        used = list(GARMENTS)
        self.rng.shuffle(used)
        names = list(ENSEMBLES)
        self.rng.shuffle(names)
        for number in range(count):
            self.ensemble(names[number], max(3, size // count), used, number == count - 1)
        self.efforts()
        self.past_work()
        self.settle_horizon()
        self.date_occasions()
        self.date_steps()
        self.what_was_held()
        self.stock()
        self.changes()
        folder.mkdir(parents=True, exist_ok=True)
        self.write_files(folder)

    # ------------------------------------------------------------ hours

    def week(self) -> None:
        """The week's hours, of all places, with helper hours where there is one."""
        rng = self.rng
        room: dict[str, list[str]] = {}
        for day in rng.sample(WEEKDAYS[:5], rng.randint(1, 4)):
            room[day] = [rng.choice(("19:00-21:30", "19:30-22:00", "20:00-21:15", "18:40-21:00"))]
        if self.chance(0.85):
            room["saturday"] = rng.choice(
                (["10:00-13:00", "14:00-17:00"], ["09:30-16:00"], ["13:00-18:30"])
            )
        if self.chance(0.3):
            room["sunday"] = rng.choice((["14:00-16:00"], ["22:30-00:45"], ["10:00-11:00"]))
        sofa = {
            day: [rng.choice(("20:30-22:30", "21:00-22:00", "23:00-00:30"))]
            for day in rng.sample(WEEKDAYS, rng.choice((0, 1, 3, 5)))
        }
        take = {
            day: rng.choice((["12:30-13:00"], ["07:40-08:10", "17:20-17:50"], ["19:15-19:45"]))
            for day in rng.sample(WEEKDAYS[:5], rng.choice((0, 0, 2, 5)))
        }
        self.workroom = {"format": 1, "units": rng.choice(("metric", "imperial"))}
        if self.chance(0.5):
            self.workroom["fill_to"] = rng.choice(("70%", "60%", "85%", "100%"))
        if self.chance(0.6):
            self.workroom["setting_up"] = rng.choice(("5m", "10m", "15m", "20m"))
        if self.chance(0.5):
            self.workroom["hand_sewing_limit"] = rng.choice(("2h30", "1h", "3h"))
        # chance of its own, so that the workrooms stay those they were before there were paces
        own = random.Random(f"pace {room} {sofa}")
        self.workroom["pace"] = {"learn": False} | {
            key: own.choice((0.8, 0.9, 1.15, 1.5)) for key in PACED if own.random() < 0.2
        }
        self.workroom["workroom_hours"] = room
        if sofa:
            self.workroom["sofa_hours"] = sofa
        if take:
            self.workroom["take_along_hours"] = take
        if self.helped:
            day = "saturday" if "saturday" in room else next(iter(room))
            spans = ["14:00-17:00"] if day == "saturday" else ["19:30-23:00"]
            self.workroom["helper_hours"] = {day: spans}
            if self.chance(0.3):
                self.workroom["helper_hours"]["sunday"] = ["09:00-10:30"]

    def changes(self) -> None:
        """Days that differ from their week."""
        rng = self.rng
        found: list[dict[str, Any]] = []
        while self.chance(0.55) and len(found) < 4:
            first = self.day(rng.uniform(0.02, 0.95))
            change: dict[str, Any] = rng.choice(
                (
                    {"on": first},
                    {"from": first, "to": first + timedelta(days=rng.randint(0, 3))},
                    {"from": first},
                    {"rule": "FREQ=MONTHLY;BYDAY=1TU"},
                    {"from": first, "rule": "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE"},
                    {"from": first, "rule": "FREQ=DAILY;COUNT=2"},
                )
            ).copy()
            places = rng.sample(("workroom", "sofa", "take_along", "helper"), rng.randint(1, 2))
            spans: list[str]
            for place in places:
                spans = rng.choice(
                    ([], ["10:00-12:00"], ["19:00-23:30"], ["09:00-12:30", "13:00-15:00"])
                )
                change[place] = list(spans)
            change["reason"] = rng.choice(("choir", "night shift", "family"))
            found.append(change)
        departures = [
            o for e in self.ensembles for o in e.occasions if o.keys["kind"] == "departure"
        ]
        if departures and self.chance(0.6):
            first = departures[0].keys["at"].date()
            found.append(
                {
                    "from": first,
                    "to": first + timedelta(days=1),
                    "take_along": ["10:00-11:30"],
                    **({"sofa": ["20:00-21:00"]} if self.chance(0.4) else {}),
                    "reason": "on the way",
                }
            )
        if found:
            self.workroom["change"] = found

    # ------------------------------------------------------------ ensembles

    def ensemble(self, name: str, size: int, used: list[str], last: bool) -> None:
        """One ensemble: its occasions, then its garments' chains."""
        rng = self.rng
        it = Sewn(name)
        self.ensembles.append(it)
        if self.chance(0.25):
            past: dict[str, Any] = {"id": f"early-visit-{len(self.ensembles)}"}
            past["kind"] = rng.choice(("fitting", "fitting", "trial wear"))
            if self.chance(0.35):
                past["held"] = False
            it.occasions.append(Dated(name, -rng.uniform(0.1, 0.9), past))
        shares = sorted(rng.uniform(0.3, 0.75) for _ in range(rng.choice((0, 1, 1, 2, 3))))
        for number, share in enumerate(shares):
            keys = {"id": f"visit-{number + 1}", "kind": "fitting"}
            it.occasions.append(Dated(name, share, keys))
        end = 1.0 if last else rng.uniform(0.8, 0.99)
        if self.chance(0.4):
            keys = {"id": "dress-evening", "kind": "trial wear"}
            it.occasions.append(Dated(name, end * rng.uniform(0.8, 0.9), keys))
        if self.chance(0.3):
            keys = {"id": "setting-out", "kind": "departure"}
            it.occasions.append(Dated(name, end * rng.uniform(0.93, 0.97), keys))
        it.occasions.append(Dated(name, end, {"id": "great-day", "kind": "event"}))
        for occasion in it.occasions:
            self.occasion_keys(occasion)
        count = max(1, min(len(used), round(size / rng.uniform(4, 12)), 6))
        for number in range(count):
            self.garment(it, used.pop(), max(2, size // count), number)
            if not used:
                break
        self.occasion_wants(it)

    def occasion_keys(self, it: Dated) -> None:
        """A name, a margin, how long it takes."""
        rng = self.rng
        kind = it.keys["kind"]
        if self.chance(0.3):
            it.keys["name"] = f"the {it.keys['id'].replace('-', ' ')}"
        if not it.past and self.chance(0.3):
            it.keys["margin"] = rng.choice(("1 day", "2 days", "3h", "12h", "1h30"))
        if kind in ("trial wear", "departure", "event") and self.chance(0.25):
            it.keys["takes"] = rng.choice(("2h", "45m", "5h"))
        if kind == "fitting" and self.chance(0.1):
            it.keys["takes"] = "3h"

    def garment(self, it: Sewn, name: str, size: int, number: int) -> None:
        """One garment: a chain of steps with references to what was made before."""
        rng = self.rng
        keys: dict[str, Any] = {"id": name, "name": name.replace("-", " ").capitalize()}
        if self.chance(0.6):
            keys["layer"] = number + 1
        if self.chance(0.5):
            keys["source"] = rng.choice(("make", "make", "own", "alter", "borrow", "buy"))
        if self.chance(0.1):
            keys["wearer"] = "Ilse Varnhagen-Oss"
        in_order = self.chance(0.3)
        if in_order:
            keys["in_order"] = True
        keys["measurements"] = {
            "hem-round": rng.choice(("1.6 m", "240 cm", "96 in", "2.5 yd", "7 ft")),
            "depth": rng.choice(("20 cm", "7 in", "15 cm")),
            "panels": rng.randint(2, 9),
        }
        steps: list[Made] = []
        it.garments.append((keys, steps))
        shares = sorted(
            rng.choice([-1.0, -1.0, *(o.share for o in it.occasions if o.share < 0.93)])
            for _ in range(size)
        )
        if self.chance(0.3):
            shares = [-1.0] * size
        for place, share in enumerate(shares):
            self.step(it, name, steps, place, share, in_order)
        self.stages(steps)

    def stages(self, steps: list[Made]) -> None:
        """Mark stages, in their order along the chain."""
        rng = self.rng
        if len(steps) >= 3 and self.chance(0.8):
            picked = sorted(rng.sample(range(len(steps)), min(3, rng.randint(1, 3))))
            for place, stage in zip(
                picked,
                rng.choice((("fittable", "wearable", "finished"), ("wearable",))),
                strict=False,
            ):
                steps[place].keys["stage"] = stage
        if len(steps) >= 4 and self.chance(0.4):
            # two steps may carry the same stage
            twice = rng.choice(steps)
            if "stage" not in twice.keys:
                twice.keys["stage"] = rng.choice(("fittable", "wearable"))

    def step(
        self, it: Sewn, garment: str, steps: list[Made], place: int, share: float, in_order: bool
    ) -> None:
        """One step: how it is done, what it follows, and its rarer keys."""
        keys: dict[str, Any] = {"id": f"{OPERATIONS[place % len(OPERATIONS)]}-{place + 1}"}
        made = Made(keys["id"], garment, it.id, keys, share, 0)
        here = [o for o in it.occasions if o.share == share]
        self.work(keys, made)
        if here:
            occasion = here[0]
            can_hold = occasion.keys["kind"] in ("fitting", "trial wear")
            # in order, nothing that waits for the occasion may stand above what is done at it
            free = not in_order or all(s.share < share for s in steps)
            if can_hold and free and self.chance(0.5):
                self.during(it, steps, made, occasion)
                steps.append(made)
                return
        after = [o for o in it.occasions if o.share == share]
        references = self.references(it, steps, made)
        if after:
            prefix = f"{it.id}/" if self.chance(0.2) else ""
            references.append(prefix + after[0].keys["id"])
        if in_order and references and self.chance(0.5):
            references = [r for r in references if r not in {s.id for s in steps}]
        if references:
            keys["after"] = list(dict.fromkeys(references))
        self.rare_keys(keys, made)
        steps.append(made)

    def during(self, it: Sewn, steps: list[Made], made: Made, occasion: Dated) -> None:
        """Make it a step done at the occasion; what it follows must come before it."""
        keys = made.keys
        keys["during"] = occasion.keys["id"]
        if self.chance(0.2):
            keys["during"] = f"{it.id}/{occasion.keys['id']}"
        earlier = [s for s in steps if s.share < made.share and "during" not in s.keys]
        references = [s.id for s in earlier[-2:]]
        references += self.stage_references(it, made, strictly=True)
        if references:
            keys["after"] = list(dict.fromkeys(references))
        if self.chance(0.2):
            keys["wait"] = self.rng.choice(("1 night", "2h"))

    def references(self, it: Sewn, steps: list[Made], made: Made) -> list[str]:
        """What a step follows, in all the ways that can be written."""
        rng = self.rng
        found: list[str] = []
        if steps and self.chance(0.85):
            found.append(steps[-1].id)
        if len(steps) > 2 and self.chance(0.3):
            found.append(rng.choice(steps[:-1]).id)
        if self.chance(0.25):
            found += self.stage_references(it, made, strictly=False)
        others = [
            s
            for e in self.ensembles
            for s in e.steps()
            if s.share <= made.share and (s.ensemble, s.garment) != (made.ensemble, made.garment)
        ]
        if others and self.chance(0.15):
            other = rng.choice(others)
            reference = f"{other.garment}/{other.id}"
            if other.ensemble != it.id or self.chance(0.2):
                reference = f"{other.ensemble}/{reference}"
            found.append(reference)
        return found

    def stage_references(self, it: Sewn, made: Made, strictly: bool) -> list[str]:
        """A garment, or a stage of one, all of whose steps come early enough."""
        rng = self.rng
        found = []
        for ensemble in self.ensembles:
            for keys, steps in ensemble.garments:
                late = max((s.share for s in steps), default=-1.0)
                early = late < made.share if strictly else late <= made.share
                if keys["id"] == made.garment or not steps or not early:
                    continue
                stage = rng.choice(("", ":fittable", ":wearable", ":finished"))
                prefix = f"{ensemble.id}/" if ensemble is not it or self.chance(0.1) else ""
                found.append(f"{prefix}{keys['id']}{stage}")
        return rng.sample(found, 1) if found and self.chance(0.7) else []

    # ------------------------------------------------------------ a step's work

    def work(self, keys: dict[str, Any], made: Made) -> None:
        """A technique with its amount, or hours of its own."""
        rng = self.rng
        if self.chance(0.35):
            made.minutes = rng.choice((8, 15, 25, 40, 60, 90, 140, 200))
            keys["hours"] = _clock(made.minutes)
            if self.chance(0.5):
                keys["low"] = _clock(max(1, made.minutes * 2 // 3))
                keys["high"] = _clock(made.minutes * 3 // 2)
            keys["work"], keys["place"] = rng.choice(
                (
                    ("machine", "workroom"),
                    ("pressing", "workroom"),
                    ("cutting", "workroom"),
                    ("drafting", "workroom"),
                    ("bench", "workroom"),
                    ("checks", "workroom"),
                    ("hand", "sofa"),
                    ("hand", "take-along"),
                )
            )
            return
        ways = [w for w in CATALOGUED + OWN * self.own if self.helped or w.hands == 1]
        self.technique(keys, made, rng.choice(ways))
        if self.chance(0.05):
            keys["place"] = "workroom"
        if self.chance(0.05):
            keys["name"] = f"{keys['id'].replace('-', ' ')} [with care]"

    def technique(self, keys: dict[str, Any], made: Made, way: Way) -> None:
        """A technique and an amount it can be counted by."""
        rng = self.rng
        keys["technique"] = way.id
        amount: list[Any]
        size = 1.0
        if way.per == "length":
            length = rng.choice((0.4, 0.8, 1.6, 2.4))
            written = rng.choice((f"{length} m", f"{round(length * 100)} cm"))
            if self.chance(0.2):
                written, length = f"{round(length / 0.0254)} in", length
            if self.chance(0.3):
                written, length = "hem-round", 2.2
            amount = [written]
            size = length
            if self.chance(0.3):
                rows = rng.randint(2, 3)
                amount.append(rows)
                size *= rows
            made.amount = (size, 1)
        elif way.per == "area":
            amount = rng.choice((["20 cm", "15 cm"], ["300 cm2"], ["depth", "0.2 m"]))
            size = 0.03
            if self.chance(0.3):
                amount = [*amount, 2]
                size *= 2
        else:
            size = rng.randint(1, 3 if way.minutes > 50 else 9)
            if way.minutes < 1:
                size *= 40
            amount = ["panels"] if self.chance(0.2) and way.minutes < 50 else [int(size)]
            made.amount = (float(size), 0)
            if size == 1 and self.chance(0.5):
                amount = []
        if amount:
            keys["amount"] = amount
        made.minutes = max(1, round(way.minutes * size)) + way.set_up

    def rare_keys(self, keys: dict[str, Any], made: Made) -> None:
        """The keys that few steps carry."""
        rng = self.rng
        if self.chance(0.08):
            keys["wait"] = rng.choice(("1 night", "1 night", "2 nights", "2h", "45m", "6h"))
        if self.chance(0.12):
            keys["optional"] = True
        if self.chance(0.08):
            keys["missed"] = rng.randint(1, 5)
        if self.chance(0.06):
            keys["one_sitting"] = True
        if (self.helped and self.chance(0.04)) or self.chance(0.001):
            keys["hands"] = 2
        if self.chance(0.06):
            keys["left_off"] = True
            made.minutes = 0
        if self.chance(0.05):
            keys["no_way_back"] = True
        if self.chance(0.05):
            keys["caution"] = "Hot iron: mind the label."
        if self.chance(0.1):
            self.instead(keys, made)
        if self.chance(0.05):
            keys["not_before"] = rng.choice((0.1, 0.2, 0.4))  # dated later
        elif self.chance(0.05):
            keys["on"] = rng.uniform(0.1, 0.9)  # dated later

    def efforts(self) -> None:
        """Some steps of some workrooms take more or less work than their technique says.

        Drawn apart, so that everything else of a seed stays as it was.
        """
        rng = random.Random(f"effort {self.seed}")
        if rng.random() < 0.6:
            return
        for ensemble in self.ensembles:
            for step in ensemble.steps():
                if rng.random() < 0.15:
                    effort = rng.choice((0.8, 1, 1.2, 1.25, 1.5, 2))
                    step.keys["effort"] = effort
                    step.minutes = round(step.minutes * effort)

    def instead(self, keys: dict[str, Any], made: Made) -> None:
        """Another way, sometimes chosen."""
        rng = self.rng
        way: dict[str, Any] = rng.choice(
            (
                {"hours": "30m", "work": "machine", "place": "workroom"},
                {"hours": "20m", "work": "hand", "place": "take-along", "wait": "1 night"},
                {"technique": "glue-trim", "amount": ["1.2 m"], "missed": 2},
                {"technique": "hook-and-eye", "amount": [4], "place": "sofa"},
            )
        ).copy()
        if self.chance(0.5):
            way["chosen"] = True
            made.minutes = 30
        keys["instead"] = [way]

    # ------------------------------------------------------------ what was done

    def past_work(self) -> None:
        """A diary: done beginnings, minutes left, steps ticked out of order."""
        if self.chance(0.4):
            return
        rng = self.rng
        at = datetime(2027, 2, 1, 20, 0)
        for ensemble in self.ensembles:
            for _, steps in ensemble.garments:
                steps_past = [s for s in steps if s.share < 0 and "during" not in s.keys]
                for step in steps_past[: rng.choice((0, 0, 1, 2, 4))]:
                    if "left_off" in step.keys:
                        continue
                    at = min(at + timedelta(hours=rng.choice((2, 11, 24))), NOW)
                    self.log(step, at)
        self.entries = [e for e in self.entries if e["at"] < NOW]

    def log(self, step: Made, at: datetime) -> None:
        """One or two entries about a step, or its tick."""
        rng = self.rng
        full = f"{step.ensemble}/{step.garment}/{step.id}"
        kind = rng.choice(("done", "done", "done", "ticked", "left", "minutes", "again"))
        if kind == "ticked":
            step.keys["done"] = True
            step.minutes = 0
        elif kind == "done":
            self.entries.append({"at": at, "step": full, "minutes": 30, "done": True})
            step.minutes = 0
        elif kind == "left":
            self.entries.append({"at": at, "step": full, "minutes": 20, "left": 25})
            later = at + timedelta(minutes=50)
            if self.chance(0.4):
                self.entries.append({"at": later, "step": full, "minutes": 10, "note": "slow"})
        elif kind == "minutes":
            self.entries.append({"at": at, "step": full, "minutes": rng.choice((10, 45, 300))})
        else:
            self.entries.append({"at": at, "step": full, "minutes": 30, "done": True})
            later = at + timedelta(minutes=50)
            self.entries.append({"at": later, "step": full, "minutes": 5, "left": 15})

    # ------------------------------------------------------------ dates

    def settle_horizon(self) -> None:
        """So many days that the work is the share of the hours that was drawn."""
        week = 0.0
        setting = int(self.workroom.get("setting_up", "0m")[:-1])
        for table, share in (
            ("workroom_hours", 1.0),
            ("sofa_hours", 0.3),
            ("take_along_hours", 0.15),
        ):
            for spans in self.workroom.get(table, {}).values():
                for span in spans:
                    start, end = (int(t[:2]) * 60 + int(t[3:]) for t in span.split("-"))
                    week += share * ((end - start) % 1440 - setting * (share == 1.0))
        work = sum(s.minutes for e in self.ensembles for s in e.steps() if "during" not in s.keys)
        load = self.rng.uniform(0.15, 0.45) if self.chance(0.75) else self.rng.uniform(0.5, 1.4)
        days = int(7 * work / (max(week, 60.0) * load))
        least = 10 + 4 * sum(len(e.occasions) for e in self.ensembles)
        self.horizon = max(least, min(days, 380))

    def day(self, share: float) -> date:
        """The date so far into the run-up."""
        return NOW.date() + timedelta(days=max(1, round(share * self.horizon)))

    def date_occasions(self) -> None:
        """Give every occasion its own date, half of them inside a window."""
        future = sorted(
            (o for e in self.ensembles for o in e.occasions if not o.past),
            key=lambda o: o.share,
        )
        last = NOW.date()
        for occasion in future:
            last = max(last + timedelta(days=1), self.day(occasion.share))
            occasion.keys["at"] = datetime.combine(last, self.clock(last))
        day = NOW.date() - timedelta(days=3)
        for occasion in (o for e in self.ensembles for o in e.occasions if o.past):
            day -= timedelta(days=self.rng.randint(1, 4))
            occasion.keys["at"] = datetime.combine(day, self.clock(day))
        for ensemble in self.ensembles:
            ensemble.occasions.sort(key=lambda o: o.keys["at"])

    def what_was_held(self) -> None:
        """Past occasions: some were held by the maker's word, what is done at some follows
        nothing, and what it follows was done in time, later, or not at all.

        Drawn apart, so that all else of a seed's workroom stays as it is.
        """
        own = random.Random(f"held {self.seed}")
        for ensemble in self.ensembles:
            for occasion in (o for o in ensemble.occasions if o.past):
                at: datetime = occasion.keys["at"]
                if "held" not in occasion.keys and own.random() < 0.25:
                    occasion.keys["held"] = True
                before = [
                    s
                    for s in ensemble.steps()
                    if s.share < occasion.share and not {"during", "left_off"} & s.keys.keys()
                ]
                if own.random() < 0.4:
                    occasion.keys["kind"] = "trial wear"
                if occasion.keys["kind"] == "trial wear" and own.random() < 0.7:
                    wanted = own.sample(before, min(len(before), own.randint(1, 2)))
                    occasion.keys["wants"] = [f"{s.garment}/{s.id}" for s in wanted]
                for _, steps in ensemble.garments:
                    for step in steps:
                        at_it = str(step.keys.get("during", "")).endswith(occasion.keys["id"])
                        if at_it and own.random() < 0.4:
                            step.keys.pop("after", None)
                for step in before:
                    if own.random() < 0.75:
                        when = at + timedelta(hours=own.choice((-40, -2, 0, 1, 2, 30)))
                        full = f"{step.ensemble}/{step.garment}/{step.id}"
                        self.entries.append(
                            {"at": min(when, NOW), "step": full, "minutes": 20, "done": True}
                        )
        self.entries.sort(key=lambda entry: entry["at"])

    def clock(self, day: date) -> time:
        """A time of day: inside the day's first window, or at a common one."""
        spans = self.workroom["workroom_hours"].get(WEEKDAYS[day.weekday()])
        if spans and self.chance(0.6):
            start = int(spans[-1][:2]) * 60 + int(spans[-1][3:5]) + 60
            if start < 1440:
                return time(start // 60, start % 60)
        return self.rng.choice((time(11), time(14), time(18, 30), time(9, 30)))

    def date_steps(self) -> None:
        """Date ``on`` and ``not_before``, which were drawn as shares."""
        for step in (s for e in self.ensembles for s in e.steps()):
            if isinstance(step.keys.get("not_before"), float):
                day = self.day(step.keys["not_before"])
                moment = datetime.combine(day, time(20, 10))
                step.keys["not_before"] = moment if self.chance(0.3) else day
            if isinstance(step.keys.get("on"), float):
                step.keys["on"] = self.fixed_day(step.keys["on"])

    def fixed_day(self, share: float) -> date:
        """A day about there, mostly one with workroom hours."""
        day = self.day(share)
        if self.chance(0.9):
            while WEEKDAYS[day.weekday()] not in self.workroom["workroom_hours"]:
                day += timedelta(days=1)
        return day

    def occasion_wants(self, it: Sewn) -> None:
        """Some occasions say what they want, of what can come before them."""
        for occasion in it.occasions:
            if occasion.past or not self.chance(0.15):
                continue
            early = [
                s
                for s in it.steps()
                if s.share < occasion.share and "during" not in s.keys and "left_off" not in s.keys
            ]
            if not early or occasion.keys["kind"] in ("event", "departure"):
                continue
            some = self.rng.sample(early, min(len(early), self.rng.randint(1, 3)))
            occasion.keys["wants"] = [f"{s.garment}/{s.id}" for s in some]
            whole = [
                keys["id"]
                for keys, steps in it.garments
                if steps and max(s.share for s in steps) < occasion.share
            ]
            if whole and self.chance(0.5):
                occasion.keys["wants"].append(self.rng.choice(whole) + ":wearable")

    # ------------------------------------------------------------ stock

    def stock(self) -> None:
        """Stock by length or count, there or coming, enough or not."""
        rng = self.rng
        for it in self.ensembles:
            for number in range(rng.choice((0, 0, 1, 2, 3))):
                dimension = rng.choice((0, 1))
                unit = rng.choice((" m", " yd")) if dimension else ""
                name = f"{rng.choice(('braid', 'linen', 'rings', 'lace'))}-{number + 1}"
                users = [s for s in it.steps() if "during" not in s.keys and "uses" not in s.keys]
                rng.shuffle(users)
                total = 0.0
                for step in users[: rng.randint(1, 4)]:
                    total += self.use(step, name, dimension, unit)
                it.stock.append(self.stock_table(name, total, unit))

    def use(self, step: Made, name: str, dimension: int, unit: str) -> float:
        """Let a step use a stock; about how much."""
        use: dict[str, Any] = {"stock": name}
        taken = 2.0
        own = step.amount is not None and step.amount[1] == dimension
        if own and "instead" not in step.keys and self.chance(0.6) and "amount" in step.keys:
            assert step.amount is not None
            taken = step.amount[0]
        else:
            use["amount"] = f"2{unit}" if unit else 2
        if self.chance(0.4):
            use["extra"] = "10%"
        step.keys["uses"] = [use]
        return taken * 1.1 / (0.9144 if unit == " yd" else 1.0)

    def stock_table(self, name: str, total: float, unit: str) -> dict[str, Any]:
        """How much there is, and what comes when; now and then too little."""
        rng = self.rng
        total = total * rng.choice((1.3, 1.6, 2.0)) if self.chance(0.85) else total * 0.6
        split = rng.choice((0.0, 0.4, 1.0, 1.0))
        keys: dict[str, Any] = {"id": name, "have": _amount(total * split, unit)}
        if self.chance(0.5):
            keys["counted"] = date(2027, 2, 14)
        if self.chance(0.4):
            keys["lead"] = rng.choice(("10 days", "3 days"))
        if self.chance(0.3):
            keys["again"] = False
        rest = total * (1 - split)
        coming = []
        parts = 2 if self.chance(0.3) else 1
        for _ in range(parts if rest else 0):
            one: dict[str, Any] = {"amount": _amount(rest / parts + (not unit), unit)}
            late = rng.uniform(0.5, 0.9) if self.chance(0.08) else rng.uniform(0.05, 0.3)
            if self.chance(0.95):
                one["arrives"] = self.day(late)
            coming.append(one)
        if coming:
            keys["coming"] = coming
        return keys

    # ------------------------------------------------------------ writing

    def write_files(self, folder: Path) -> None:
        """Write every file as TOML."""
        (folder / "workroom.toml").write_text(_toml(self.workroom), encoding="utf-8")
        if self.own:
            text = OWN_TOML + (REPLACED if self.replaced else "")
            (folder / "techniques.toml").write_text(text, encoding="utf-8")
        if self.entries:
            entries = {"format": 1, "entry": self.entries}
            (folder / "diary.toml").write_text(_toml(entries), encoding="utf-8")
        for it in self.ensembles:
            data = {
                "format": 1,
                "name": it.id.replace("-", " ").capitalize(),
                "occasion": [o.keys for o in it.occasions],
                "stock": it.stock,
                "garment": [
                    {**keys, "step": [s.keys for s in steps]} for keys, steps in it.garments
                ],
            }
            (folder / f"{it.id}.toml").write_text(_toml(data), encoding="utf-8")


def _clock(minutes: int) -> str:
    """Minutes as the files write them."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest}m"
    return f"{hours}h{rest:02d}" if rest else f"{hours}h"


def _amount(value: float, unit: str) -> str | int:
    """An amount of a stock."""
    return f"{value:.2f}{unit}" if unit else int(value)


INLINE = ("uses", "instead")


def _toml(table: dict[str, Any], path: str = "") -> str:
    """A table as TOML text, its own keys first."""
    lines, below = [], []
    for key, value in table.items():
        inner = f"{path}.{key}" if path else key
        if isinstance(value, dict):
            below.append(f"\n[{inner}]\n" + _toml(value, inner))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            if key in INLINE:
                lines.append(f"{key} = {_value(value)}")
            else:
                below += [f"\n[[{inner}]]\n" + _toml(one, inner) for one in value]
        elif key != "garment" and not (key == "stock" and value == []):
            lines.append(f"{key} = {_value(value)}")
    return "".join(line + "\n" for line in lines) + "".join(below)


def _value(value: Any) -> str:
    """A value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    if isinstance(value, list):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    if isinstance(value, dict):
        inside = ", ".join(f"{key} = {_value(one)}" for key, one in value.items())
        return "{ " + inside + " }"
    return str(value)
