"""A lower bound of the peak: heads, tails and a transport of minutes into windows.

At given caps each step has an earliest and a latest window with all that stands before and
after it counted (``core.heads``, mirrored for tails). If its minutes, taken together with all
others', can't be carried into the windows between, no schedule exists at these caps. By Hall's
theorem the transport says the same as the densities of nested intervals.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ortools.graph.python.max_flow import SimpleMaxFlow

from tests.oracle.core import Core, heads


@dataclass(frozen=True, kw_only=True)
class Spans:
    """For each step: earliest first and last window, latest first and last window."""

    begin: tuple[int, ...]
    end: tuple[int, ...]
    begin_by: tuple[int, ...]
    end_by: tuple[int, ...]


def spans(core: Core, caps: Sequence[int]) -> Spans | None:
    """The spans at these caps; None where one is empty."""
    forward = heads(core, caps)
    backward = heads(core.mirrored(), caps[::-1])
    if forward is None or backward is None:
        return None
    last = len(core.minutes) - 1
    begin_by = tuple(last - w for w in backward.end[::-1])
    end_by = tuple(last - w for w in backward.begin[::-1])
    late = zip(forward.begin, begin_by, forward.end, end_by, strict=True)
    if any(a > b or c > d for a, b, c, d in late):
        return None
    return Spans(begin=forward.begin, end=forward.end, begin_by=begin_by, end_by=end_by)


def may_fit(core: Core, caps: Sequence[int]) -> bool:
    """False where it is proven that no schedule exists at these caps."""
    found = spans(core, caps)
    return found is not None and _carried(core, caps, found)


def _carried(core: Core, caps: Sequence[int], found: Spans) -> bool:
    """Whether all minutes can be carried into windows within their spans."""
    flow = SimpleMaxFlow()
    steps, count = len(core.need), len(core.minutes)
    source, sink, first, helped = 0, 1, 2 + steps, 2 + steps + count
    for j, minutes in enumerate(core.need):
        flow.add_arc_with_capacity(source, 2 + j, minutes)
        target = helped if core.two[j] else first
        for w in core.use[j]:
            if found.begin[j] <= w <= found.end_by[j]:
                flow.add_arc_with_capacity(2 + j, target + w, minutes)
    for w, cap in enumerate(caps):
        flow.add_arc_with_capacity(first + w, sink, cap)
        if core.helper[w]:
            flow.add_arc_with_capacity(helped + w, first + w, core.minutes[w])
    flow.solve(source, sink)
    return bool(flow.optimal_flow() == sum(core.need))


def lower_bound(core: Core) -> Fraction:
    """The least load at which the bound does not forbid a schedule."""
    low, high = Fraction(0), Fraction(2)
    if may_fit(core, core.caps(low)):
        return low
    while not may_fit(core, core.caps(high)):
        low, high = high, high * 2
    while True:
        high = _largest_held(core, core.caps(high))
        if core.step_up(core.caps(low)) >= high:
            return high
        middle = (low + high) / 2
        if may_fit(core, core.caps(middle)):
            high = middle
        else:
            low = middle


def _largest_held(core: Core, caps: Sequence[int]) -> Fraction:
    """The least load at which the windows hold these caps."""
    pairs = zip(caps, core.minutes, core.place, strict=True)
    return max((Fraction(c, m) for c, m, p in pairs if p == 0), default=Fraction(0))
