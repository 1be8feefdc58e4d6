"""The steps of a garment that was split, in the order they can be done in."""

from __future__ import annotations

from collections.abc import Mapping

from planner.estimate import Operation, operations
from planner.model import Technique
from planner.pace import Pace
from planner.splitting.split import Split, alone


def in_working_order(
    split: Split, techniques: Mapping[str, Technique], pace: Pace | None = None
) -> tuple[Operation, ...]:
    """The garment's steps with their minutes: each behind all it follows, else as in the order.

    Raises InputError where a technique isn't among ``techniques``.
    """
    waiting = list(operations(alone(split), techniques, pace))
    found: dict[str, Operation] = {}
    while waiting:
        # an order whose steps wait for each other in a circle was refused when it was read
        operation = next(one for one in waiting if all(name in found for name in one.step.after))
        waiting.remove(operation)
        found[operation.step.id] = operation
    return tuple(found.values())
