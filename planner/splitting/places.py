"""At which of the fittings to come a body step belongs: innermost garments first, outermost last.

Of steps on the body that follow one another each needs a fitting of its own. Where there are
fewer fittings than such steps in a row, the trade keeps the fittings for the outer garments; the
innermost ones are tried on at home, with a helper.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Sequence
from datetime import datetime

from planner.splitting.order_of_work import OrderOfWork


def places(
    work: OrderOfWork,
    bodies: Collection[str],
    left_off: Collection[str],
    moments: Sequence[datetime],
) -> dict[str, tuple[int, int]]:
    """The place of each body step of one kind among the moments of its occasions, 1 the first,
    and the last place it may have where that one won't do.

    0 and less: it has none and is done at home. ``bodies`` are at no occasion in ``work``; what
    is at one counts as a bound. With r steps of ``bodies`` in the longest row up to a step, it
    included, and e in the longest row from it, its place is r, but at most n - e + 1 of n: those
    of a row longer than n move towards its end, and what follows is always later than what it
    follows. Steps among ``left_off`` need no place of their own in a row.
    """
    sequence = work.sequence()
    earliest = _earliest(work, sequence, bodies, left_off, moments)
    latest = _latest(work, sequence, bodies, left_off, moments)
    return {step: (min(earliest[step], latest[step]), latest[step]) for step in bodies}


def _earliest(
    work: OrderOfWork,
    sequence: Sequence[str],
    bodies: Collection[str],
    left_off: Collection[str],
    moments: Sequence[datetime],
) -> dict[str, int]:
    """By body step, the first place that leaves one to each step before it."""
    found: dict[str, int] = {}
    taken: dict[str, int] = {}
    """By step, how many places it and what it follows take."""
    for step in sequence:
        waits = [bisect_right(moments, work.occasions[o].at) for o in work.occasions_before(step)]
        before = max([taken[p] for p in work.steps_before(step)] + waits, default=0)
        if step in work.during:
            taken[step] = bisect_right(moments, work.occasions[work.during[step]].at)
        elif step in bodies:
            found[step] = before + 1
            taken[step] = before if step in left_off else before + 1
        else:
            taken[step] = before
    return found


def _latest(
    work: OrderOfWork,
    sequence: Sequence[str],
    bodies: Collection[str],
    left_off: Collection[str],
    moments: Sequence[datetime],
) -> dict[str, int]:
    """By body step, the last place that leaves one to each step behind it."""
    found: dict[str, int] = {}
    left: dict[str, int] = {}
    """By step, how many places are left to what comes before it."""
    for step in reversed(sequence):
        wanted = [work.occasions[o].at for o in work.wanted_by(step)]
        behind = min((left[f] for f in work.steps_behind(step)), default=len(moments))
        if step in work.during:
            behind = bisect_left(moments, work.occasions[work.during[step]].at)
        elif step in bodies:
            found[step] = min([behind, *(bisect_right(moments, at) for at in wanted)])
            behind = found[step] if step in left_off else found[step] - 1
        left[step] = min([behind, *(bisect_left(moments, at) for at in wanted)])
    return found
