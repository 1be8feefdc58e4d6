"""From which steps of the diary a pace is learnt, so that estimates stay calm.

Nothing is applied before there is enough: ``ENOUGH_STEPS`` steps of ``ENOUGH_MINUTES`` together by
the catalogue (not by what was logged: a wild entry must not make up for hours that never were).
Tried on simulated makers (``python -m tests.bench.pace 150 --enough``): of makers with a median
pace of 0.8 or 1.3 the first pace applied made the coming estimates worse for 26 to 29 % after one
step, for 17 % after three, for 10 to 13 % after five and 9 % after eight; who is as quick as the
catalogue gains nothing by it after any of these, and is served by waiting. Five are the least
with which it is rarely wrong. The three hours, which five usual steps have, keep five steps of a
few minutes from counting as much. From then on paces may leave the catalogue by ``LEAP`` more
with each step, so that one wild step among the first can't move any by 30 %, whichever way.

A step that took what its estimate at the maker's pace said is explained by that pace: it teaches
no other one. Nothing is remembered between plans, so this is read from the diary alone: the pace
is learnt from the fewest steps, in the order in which they were finished, whose pace explains all
that were finished since. With a step that isn't explained all before it count anew. Hence who
does exactly what the plan says never sees an estimate change: the pace that explained the steps
so far explains this one too, and fewer steps explain no more than before.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.pace_observed import Observed

ENOUGH_STEPS = 5
ENOUGH_MINUTES = 180
LEAP = 0.13
"""Of the logarithm: twice as much, from one side to the other, is just less than 30 %."""
STEP = 0.05
"""The ratio that is applied is a multiple of this."""
NEAR = STEP / 2
"""A step as much longer or shorter than its estimate is explained by it: another pace would be
rounded to the same."""
A_MINUTE = 1
"""So is one that is a minute off."""
LEAST_LEFT = 5
"""Minutes that a step begun and not done is planned with at the least."""
MOST_BEYOND = 2 * LEAST_LEFT
"""Such minutes beyond an estimate are the plan's own only up to here."""
NEIGHBOURS = 4
"""A pace some steps of the diary ago is looked for so many steps of 5 % from today's."""

Ratio = Callable[["Observed"], float]
"""The ratio that is applied to the technique of a step."""


def enough(steps: Sequence[Observed]) -> int | None:
    """With how many of these steps there is enough; None: too little yet."""
    minutes = 0
    for number, step in enumerate(steps, 1):
        minutes += step.estimate
        if number >= ENOUGH_STEPS and minutes >= ENOUGH_MINUTES:
            return number
    return None


def explained(step: Observed, ratio: float) -> bool:
    """Whether a step took what was estimated at this ratio of the catalogue's minutes.

    So did one that was worked at as planned, sitting by sitting: once begun, it is planned with
    some minutes more than its estimate has left.
    """
    paced = max(1, int(step.estimate * ratio + 0.5))
    off = max(A_MINUTE, NEAR * paced)
    if abs(step.took - paced) <= off:
        return True
    if not paced < step.took <= paced + MOST_BEYOND:
        return False
    worked = 0
    for minutes in step.sittings:
        left = max(paced - worked, min(LEAST_LEFT, paced)) if worked else paced
        if minutes > left:
            return False
        worked += minutes
    return True


def heard(steps: Sequence[Observed], ratios_by: Callable[[int], Ratio]) -> int:
    """How many of the steps the pace is learnt from, the first ones; 0: it stays the catalogue's.

    ``ratios_by``: the ratios that are applied when so many of the first steps are learnt from.
    """
    begins = enough(steps)
    if begins is None or _explains(steps[begins - 1 :], ratios_by(0)):
        return 0
    now = ratios_by(len(steps))
    first = len(steps)
    while first > begins and _may_be_explained(steps[first - 1], now(steps[first - 1])):
        first -= 1
    for number in range(first, len(steps)):
        if _explains(steps[number:], ratios_by(number)):
            return number
    return len(steps)


def _explains(steps: Sequence[Observed], ratio: Ratio) -> bool:
    return all(explained(step, ratio(step)) for step in steps)


def _may_be_explained(step: Observed, now: float) -> bool:
    """Whether a pace near today's explains it."""
    return any(explained(step, now + k * STEP) for k in range(-NEIGHBOURS, NEIGHBOURS + 1))
