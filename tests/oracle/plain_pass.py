"""The plain pass: what one sweep from the last window to the first makes of a workroom.

Earliest due date mirrored in time: of the steps whose followers are done, the one with the
latest release goes first, wherever it could be done; the load is bisected. It is exact where
there is one kind of hours and no wait, and the measure of how much a better method is worth.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from tests.oracle.instance import Instance, Window

Fill = list[int]
"""Minutes planned in each window."""


def plain_peak(found: Instance) -> Fraction:
    """The least load at which the sweep places all, as the peak of its schedule."""
    low, high = Fraction(0), Fraction(2)
    best = sweep(found, high)
    while best is None and high < 1024:
        low, high = high, 2 * high
        best = sweep(found, high)
    if best is None:
        raise ValueError("the sweep places these steps at no load")
    for _ in range(40):
        middle = (low + min(high, _peak(found.windows, best))) / 2
        filled = sweep(found, middle)
        if filled is None:
            low = middle
        else:
            high, best = middle, filled
    return _peak(found.windows, best)


def sweep(found: Instance, load: Fraction) -> Fill | None:
    """Minutes planned in each window; None where a step finds no place."""
    usable = found.usable()
    left = [t.minutes for t in found.tasks]
    planned = [0] * len(found.windows)
    used: list[list[int]] = [[] for _ in left]
    for w in reversed(range(len(planned))):
        window = found.windows[w]
        room = int(load * window.minutes) if window.place == "workroom" else window.minutes
        second = window.minutes
        refused: set[int] = set()
        while room:
            open_now = [
                j
                for j, own in enumerate(usable)
                if left[j] and j not in refused and w in own and _free(found, j, w, left, used)
            ]
            if not open_now:
                break
            j = max(open_now, key=lambda j: (usable[j][0], j))
            task = found.tasks[j]
            given = min(room, left[j], second if task.hands == 2 else left[j])
            if not given or (task.one_sitting and given < left[j]):
                refused.add(j)
                continue
            second -= given if task.hands == 2 else 0
            room, left[j] = room - given, left[j] - given
            planned[w] += given
            used[j].append(w)
    return None if any(left) else planned


def _free(
    found: Instance, j: int, w: int, left: Sequence[int], used: Sequence[Sequence[int]]
) -> bool:
    """Whether all that follows the step is placed, late enough for the step to use the window."""
    followers = [(e.after, e.nights) for e in found.edges if e.before == j]
    return all(not left[k] and found.allowed(w, used[k][-1], n) for k, n in followers)


def _peak(windows: Sequence[Window], planned: Fill) -> Fraction:
    pairs = zip(windows, planned, strict=True)
    return max(Fraction(p, w.minutes) for w, p in pairs if w.place == "workroom")
