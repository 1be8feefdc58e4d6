"""The least peak of a tiny instance by trying everything, to check the oracle itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache
from itertools import product
from random import Random

from tests.oracle.core import Core


def exists(core: Core, caps: Sequence[int]) -> bool:
    """Whether any schedule exists at these caps: window after window, every way to fill it."""
    steps = range(len(core.need))

    @cache
    def go(w: int, left: tuple[int, ...], ends: tuple[int, ...], carried: int) -> bool:
        if w == len(caps):
            return not any(left)
        for given in _fillings(core, caps[w], w, left, carried):
            rest = tuple(left[j] - given[j] for j in steps)
            now = tuple(w if given[j] and not rest[j] else ends[j] for j in steps)
            if not all(_in_order(core, j, w, rest, now) for j in steps if given[j]):
                continue
            parted = [j for j in steps if core.one[j] and given[j] and rest[j]]
            if len(parted) > 1 or (parted and not core.touch[w]):
                continue
            if go(w + 1, rest, now, parted[0] if parted else -1):
                return True
        return False

    return go(0, core.need, (-1,) * len(core.need), -1)


def _fillings(
    core: Core, cap: int, w: int, left: tuple[int, ...], carried: int
) -> Iterator[tuple[int, ...]]:
    """Minutes for each step in a window; a one sitting parted by the last cut is ended."""
    ranges = [
        range(left[j], left[j] + 1)
        if j == carried
        else range(left[j] + 1)
        if w in core.use[j]
        else range(1)
        for j in range(len(left))
    ]
    if carried >= 0 and w not in core.use[carried]:
        return
    for given in product(*ranges):
        two = sum(p for j, p in enumerate(given) if core.two[j])
        if sum(given) <= cap and two <= core.minutes[w]:
            yield given


def _in_order(core: Core, j: int, w: int, left: Sequence[int], ends: Sequence[int]) -> bool:
    return all(not left[i] and core.day[w] - core.day[ends[i]] >= n for i, n in core.before[j])


def least_peak(core: Core, most: int = 12) -> Fraction | None:
    """The least load by trying every load at which a window holds a minute more."""
    rooms = [m for m, p in zip(core.minutes, core.place, strict=True) if p == 0]
    loads = sorted({Fraction(k, m) for m in rooms for k in range(most * m + 1)})
    return next((load for load in loads if exists(core, core.caps(load))), None)


def tiny(random: Random) -> Core:
    """A tiny instance with everything in it: places, helpers, nights, one sittings, cuts."""
    count = random.randint(2, 5)
    place = [random.choice((0, 0, 0, 1, 2)) for _ in range(count)]
    day = sorted(random.randint(0, 3) for _ in range(count))
    helper = [p == 0 and random.random() < 0.6 for p in place]
    touch = [
        w + 1 < count and place[w] == place[w + 1] and day[w] == day[w + 1] for w in range(count)
    ]
    steps = random.randint(1, 4)
    kind = [random.choice((0, 0, 1, 2)) for _ in range(steps)]
    share = random.random()
    two = [k == 0 and random.random() < 0.3 for k in kind]
    one = [not t and random.random() < 0.4 for t in two]
    first = [random.choice((0, 0, random.randint(0, count - 1))) for _ in kind]
    last = [random.choice((count - 1, count - 1, random.randint(f, count - 1))) for f in first]
    return Core(
        minutes=tuple(random.randint(1, 4) for _ in place),
        day=tuple(day),
        place=tuple(place),
        helper=tuple(helper),
        touch=tuple(touch),
        need=tuple(random.randint(1, 4) for _ in kind),
        kind=tuple(kind),
        two=tuple(two),
        one=tuple(one),
        use=tuple(
            tuple(
                w
                for w in range(first[j], last[j] + 1)
                if place[w] <= kind[j] and (helper[w] or not two[j])
            )
            for j in range(steps)
        ),
        before=tuple(
            tuple((i, random.choice((0, 0, 1, 2))) for i in range(j) if random.random() < share)
            for j in range(steps)
        ),
    )
