"""Checks a schedule against the instance, in few lines and trusting nobody."""

from __future__ import annotations

from collections.abc import Sequence

from tests.oracle.core import Amounts, Core


def faults(core: Core, amounts: Amounts, caps: Sequence[int]) -> list[str]:
    """All that is wrong with a schedule at these caps."""
    found = []
    planned = [0] * len(core.minutes)
    second = [0] * len(core.minutes)
    crossing: set[int] = set()
    for j, own in enumerate(amounts):
        if sum(own.values()) != core.need[j] or min(own.values()) <= 0:
            found.append(f"step {j} has other minutes than it needs")
        if not set(own) <= set(core.use[j]):
            found.append(f"step {j} is where it can't be")
        for w, minutes in own.items():
            planned[w] += minutes
            second[w] += minutes if core.two[j] else 0
        if core.one[j] and len(own) > 1:
            at = min(own)
            if set(own) != {at, at + 1} or not core.touch[at] or at in crossing:
                found.append(f"step {j} is not one sitting")
            crossing.add(at)
        for i, nights in core.before[j]:
            end, begin = max(amounts[i]), min(own)
            if end > begin or core.day[begin] - core.day[end] < nights:
                found.append(f"step {j} begins before step {i} is done")
    for w, cap in enumerate(caps):
        if planned[w] > cap or second[w] > core.minutes[w]:
            found.append(f"window {w} is too full")
    return found
