"""Random workrooms for the oracle: chains that merge, fittings, waits, late stock, thin hours.

A workroom is a function of its seed alone. Only ``Random.random`` is drawn from, whose stream
Python promises to keep.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from random import Random
from typing import TypeVar

from tests.oracle import drawn as drawing
from tests.oracle.drawn import NOW, Dated, Drawn, DrawnStep, Week
from tests.oracle.instance import Instance

T = TypeVar("T")

SEEDS = Path(__file__).with_name("seeds.txt")
SIZES = (10, 100)


@cache
def seeds() -> tuple[int, ...]:
    """The committed seeds."""
    lines = SEEDS.read_text(encoding="utf-8").splitlines()
    return tuple(int(line) for line in lines if line and not line.startswith("#"))


def workroom(seed: int) -> Drawn:
    """The workroom of a seed: the first attempt in which every step has its place."""
    dice = Dice(Random(seed))
    while True:
        found = _attempt(seed, dice)
        if _every_step_placed(drawing.abstract(found)):
            return found


def instance(seed: int) -> Instance:
    """The abstract instance of a seed."""
    return drawing.abstract(workroom(seed))


def write(folder: Path, seed: int) -> Path:
    """Write the workroom of a seed into a folder; the folder."""
    return drawing.write(workroom(seed), folder)


@dataclass(frozen=True, slots=True)
class Dice:
    """What is drawn."""

    random: Random

    def chance(self, share: float) -> bool:
        """True with this probability."""
        return self.random.random() < share

    def between(self, low: int, high: int, unit: int = 1) -> int:
        """A multiple of ``unit`` from low to high."""
        return low + unit * int(self.random.random() * ((high - low) // unit + 1))

    def real(self, low: float, high: float) -> float:
        """A number between."""
        return low + (high - low) * self.random.random()

    def some(self, items: Sequence[T], number: int) -> list[T]:
        """So many of the items, in their order."""
        left = list(range(len(items)))
        while len(left) > number:
            left.pop(int(self.random.random() * len(left)))
        return [items[i] for i in left]


def size(seed: int) -> int:
    """Steps of a seed's workroom, spread evenly from the least to the most."""
    low, high = SIZES
    return low + int((seed * 0.6180339887498949) % 1.0 * (high - low + 1))


def kind(seed: int) -> str:
    """Every third workroom is plain: workroom hours only, no waits, nothing special."""
    return "plain" if seed % 3 == 0 else "full"


def _attempt(seed: int, dice: Dice) -> Drawn:
    plain = kind(seed) == "plain"
    hours = _hours(dice, plain)
    weekly = sum(b - a for place in drawing.PLACE_HOURS for d in hours[place] for a, b in d)
    wanted = size(seed) * dice.real(30, 90) / dice.real(0.55, 1.15)
    horizon = max(13, min(90, round(7 * wanted / weekly)))
    share = dice.real(0.55, 1.15)
    fittings = dice.between(1, 3 if horizon >= 24 else 2 if horizon >= 18 else 1)
    steps = _Network(dice, size(seed), fittings, plain).steps
    steps = _weighed(steps, dice, round(share * weekly * horizon / 7), plain)
    dates = _dates(dice, steps, horizon, fittings, hours["workroom"])
    steps = _released(steps, dice, dates)
    return Drawn(
        seed=seed,
        kind=kind(seed),
        setting_up=10 if dice.chance(0.2) else 0,
        hours=hours,
        away=_away(dice, horizon, plain),
        fittings=tuple(dates[:-1]),
        event=dates[-1],
        steps=tuple(steps),
    )


def _hours(dice: Dice, plain: bool) -> Mapping[str, Week]:
    room: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    sofa: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    train: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    helper: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    start = dice.between(18 * 60 + 30, 20 * 60, 15)
    evenings = dice.some(range(5), dice.between(2, 4))
    for day in evenings:
        room[day].append((start, start + dice.between(90, 150, 5)))
    saturday = dice.between(9 * 60, 11 * 60, 30)
    room[5].append((saturday, saturday + dice.between(180, 360, 15)))
    if not plain:
        total = sum(b - a for day in room for a, b in day)
        rides = dice.some(range(5), dice.between(3, 5))
        for day in rides:
            train[day].append((12 * 60 + 15, 12 * 60 + 15 + round(0.2 * total / len(rides))))
        if dice.chance(0.4):
            for day in (d for d in (0, 1, 2, 3, 4, 6) if d not in evenings):
                if dice.chance(0.5):
                    sofa[day].append((20 * 60, 20 * 60 + dice.between(45, 90, 5)))
        if dice.chance(0.5):
            late = saturday + dice.between(30, 90, 30)
            helper[5].append((late, late + dice.between(60, 120, 15)))
            if dice.chance(0.5):
                day = evenings[-1]
                helper[day].append((start + 30, start + 30 + dice.between(30, 75, 5)))
    weeks = {"workroom": room, "sofa": sofa, "take-along": train, "helper": helper}
    return {name: tuple(tuple(day) for day in week) for name, week in weeks.items()}


def _away(dice: Dice, horizon: int, plain: bool) -> tuple[tuple[date, date], ...]:
    if plain or horizon < 28 or not dice.chance(0.4):
        return ()
    first = NOW.date() + timedelta(days=dice.between(7, horizon - 14))
    return ((first, first + timedelta(days=dice.between(1, 5))),)


class _Network:
    """Garments of chains that merge, with the fittings along their trunks."""

    def __init__(self, dice: Dice, number: int, fittings: int, plain: bool) -> None:
        self.dice = dice
        self.plain = plain
        self.steps: list[DrawnStep] = []
        self.phase: list[int] = []
        """How many fittings stand before each step."""
        garments = dice.between(2, min(6, max(2, number // 5)))
        shares = [dice.real(0.6, 1.4) for _ in range(garments)]
        self.portable = [dice.real(0.0, 0.66) for _ in range(garments)]
        left, weight = number, sum(shares)
        for g in range(garments):
            own = left if g == garments - 1 else max(3, round(number * shares[g] / weight))
            own = max(1, min(own, left - 3 * (garments - 1 - g)))
            left -= own
            # the first garment is at every fitting, so none is without steps
            at = [k for k in range(fittings) if g == 0 or dice.chance(0.6)]
            self._garment(g, own, at)

    def _garment(self, garment: int, number: int, fittings: list[int]) -> None:
        dice = self.dice
        chains = dice.between(1, 3) if number >= 8 else dice.between(1, 2) if number >= 5 else 1
        trunk = max(2, round(number * (1.0 if chains == 1 else dice.real(0.4, 0.65))))
        ends: list[int] = []
        late: list[int] = []
        for c in range(chains - 1):
            length = (number - trunk) // (chains - 1)
            length += (number - trunk) % (chains - 1) if c == 0 else 0
            if length:
                (ends if dice.chance(0.6) else late).append(self._chain(garment, length, ()))
        places = sorted(dice.some(range(1, trunk), min(len(fittings), trunk - 1)))
        at = dict(zip(places, fittings, strict=False))
        last: tuple[int, ...] = tuple(ends)
        for position in range(trunk):
            if position in at:
                last = (self._fitting(garment, at[position], last),)
            if late and dice.chance(0.5 if position else 0.0):
                last = (*last, late.pop())
            last = (self._add(garment, last),)
        if late:
            self._add_edges(last[0], late)

    def _chain(self, garment: int, length: int, last: tuple[int, ...]) -> int:
        for _ in range(length):
            last = (self._add(garment, last),)
        return last[0]

    def _add(self, garment: int, after: tuple[int, ...]) -> int:
        phase = max((self.phase[b] + (self.steps[b].during is not None) for b in after), default=0)
        phase = max([phase, *(1 + (self.steps[b].during or 0) for b in after if self._at(b))])
        others = [
            i
            for i, s in enumerate(self.steps)
            if s.garment < garment and s.during is None and self.phase[i] <= phase
        ]
        if others and self.dice.chance(0.06):
            after = (*after, self.dice.some(others, 1)[0])
        stay = after and self.steps[after[0]].during is None and self.dice.chance(0.6)
        place = self.steps[after[0]].place if stay else self._place(garment)
        self.steps.append(DrawnStep(garment=garment, minutes=0, place=place, after=after))
        self.phase.append(phase)
        return len(self.steps) - 1

    def _at(self, number: int) -> bool:
        return self.steps[number].during is not None

    def _place(self, garment: int) -> str:
        if not self.dice.chance(self.portable[garment]):
            return "workroom"
        return "sofa" if self.dice.chance(0.25) else "take-along"

    def _fitting(self, garment: int, fitting: int, after: tuple[int, ...]) -> int:
        inner = [
            i
            for i, s in enumerate(self.steps)
            if s.garment < garment and s.during is None and self.phase[i] <= fitting
        ]
        before = self.dice.some(inner[-12:], min(len(inner), self.dice.between(0, 2)))
        minutes = self.dice.between(10, 40, 5)
        self.steps.append(
            DrawnStep(garment=garment, minutes=minutes, after=(*after, *before), during=fitting)
        )
        self.phase.append(fitting)
        return len(self.steps) - 1

    def _add_edges(self, number: int, after: Sequence[int]) -> None:
        step = self.steps[number]
        self.steps[number] = replace(step, after=(*step.after, *after))


def _weighed(steps: Sequence[DrawnStep], dice: Dice, total: int, plain: bool) -> list[DrawnStep]:
    """Minutes, waits, one sittings and second hands."""
    two = not plain and dice.chance(0.8)
    single = not plain and dice.chance(0.5)
    weights = [dice.real(0.3, 1.0) ** 2 * (3.0 if dice.chance(0.1) else 1.0) for _ in steps]
    all_of = sum(w for w, s in zip(weights, steps, strict=True) if s.during is None)
    found = []
    for step, weight in zip(steps, weights, strict=True):
        if step.during is not None:
            found.append(step)
            continue
        minutes = max(5, round(total * weight / all_of))
        nights = 0
        if not plain and dice.chance(0.12):
            nights = 1 if dice.chance(0.7) else dice.between(2, 3)
        hands = 2 if two and step.place == "workroom" and minutes <= 45 and dice.chance(0.12) else 1
        one = single and hands == 1 and minutes <= 60 and dice.chance(0.2)
        found.append(replace(step, minutes=minutes, nights=nights, hands=hands, one_sitting=one))
    return found


def _dates(
    dice: Dice, steps: Sequence[DrawnStep], horizon: int, fittings: int, room: Week
) -> list[Dated]:
    """Fittings about when the work they want could be done, then the event."""
    total = sum(s.minutes for s in steps if s.during is None)
    inside = dice.chance(1 / 3)
    marked = dice.between(0, fittings - 1)
    found: list[Dated] = []
    day = 3
    for k in range(fittings):
        done = sum(steps[i].minutes for i in _wanted(steps, k))
        guess = round(horizon * done / total * dice.real(0.85, 1.25))
        day = max(day, min(guess, horizon - 3 * (fittings - k)))
        if inside and k == marked:
            while not room[day % 7]:
                day += 1
        found.append(_fitting_on(dice, day, room, inside and k == marked))
        day += 3
    midnight = NOW + timedelta(days=max(horizon, day))
    margin = "1 day" if dice.chance(0.25) else "3h" if dice.chance(0.15) else ""
    at = midnight + timedelta(hours=dice.between(10, 18))
    return [*found, Dated(at=at, margin=margin)]


def _fitting_on(dice: Dice, day: int, room: Week, inside: bool) -> Dated:
    midnight = NOW + timedelta(days=day)
    if inside:
        begin = room[day % 7][0][0] + dice.between(0, 60, 15)
        return Dated(at=midnight + timedelta(minutes=begin))
    at = midnight + timedelta(hours=dice.between(14, 17))
    return Dated(at=at, margin="1 day" if dice.chance(0.1) else "")


def _wanted(steps: Sequence[DrawnStep], fitting: int) -> set[int]:
    """The steps a fitting wants with all they follow."""
    found: set[int] = set()
    for i in reversed(range(len(steps))):
        if steps[i].during == fitting or i in found:
            found.update(steps[i].after)
    return {i for i in found if steps[i].during is None}


def _released(steps: Sequence[DrawnStep], dice: Dice, dates: Sequence[Dated]) -> list[DrawnStep]:
    """Late stock on a quarter of the chains' heads."""
    due = [len(dates) - 1] * len(steps)
    for k in reversed(range(len(dates) - 1)):
        for i in _wanted(steps, k):
            due[i] = k
    found = []
    for i, step in enumerate(steps):
        if step.during is None and not step.after and dice.chance(0.25):
            days = (dates[due[i]].at - NOW).days
            late = NOW + timedelta(days=round(days * dice.real(0.1, 0.5)))
            if dice.chance(0.5):
                step = replace(step, arrives=late.date())
            elif dice.chance(0.7):
                step = replace(step, not_before=late.date())
            else:
                step = replace(step, not_before=late + timedelta(hours=20))
        found.append(step)
    return found


def _every_step_placed(found: Instance) -> bool:
    """Whether every step has a span, one sittings a window, and two hands enough of a helper."""
    usable = found.usable()
    if not all(usable):
        return False
    for task, own in zip(found.tasks, usable, strict=True):
        if task.one_sitting and all(found.windows[w].minutes < task.minutes for w in own):
            return False
    return _some_load_suffices(found, usable)


def _some_load_suffices(found: Instance, usable: Sequence[Sequence[int]]) -> bool:
    """Whether a forward pass places all when workroom windows hold any number of minutes.

    Other places hold their own minutes, a helper half of theirs, so that some is left.
    """
    room = {w: win.minutes for w, win in enumerate(found.windows) if win.place != "workroom"}
    second = {w: win.minutes // 2 for w, win in enumerate(found.windows) if win.helper}
    end = [0] * len(found.tasks)
    before: dict[int, list[tuple[int, int]]] = {}
    for edge in found.edges:
        before.setdefault(edge.after, []).append((edge.before, edge.nights))
    for i, task in enumerate(found.tasks):
        wanted = task.minutes
        left = second if task.hands == 2 else room
        for w in usable[i]:
            if not all(found.allowed(end[b], w, n) for b, n in before.get(i, [])):
                continue
            given = min(wanted, left.get(w, wanted))
            if task.one_sitting and given < wanted:
                continue
            if w in left:
                left[w] -= given
            wanted -= given
            end[i] = w
            if not wanted:
                break
        if wanted:
            return False
    return True
