"""Another way to do a step, laid over the step."""

from __future__ import annotations

from dataclasses import replace

from planner.model import Step, Way

_REPLACED = (
    "technique",
    "name",
    "amount",
    "hours",
    "low",
    "high",
    "work",
    "place",
    "hands",
    "one_sitting",
    "wait",
    "no_way_back",
    "caution",
    "uses",
)


def names(way: Way, key: str) -> bool:
    """Whether the way says something of its own for ``key``."""
    return getattr(way, key) is not None


def with_way(step: Step, way: Way) -> Step:
    """The step with all that the way names; the rest stays as it was.

    A technique takes the place of hours, with the work and place that were said of them; hours
    take the place of a technique.
    """
    named = {key: getattr(way, key) for key in _REPLACED if names(way, key)}
    if way.technique is not None:
        if step.hours is not None:
            step = replace(step, work=None, place=None)
        step = replace(step, hours=None, low=None, high=None)
    elif way.hours is not None:
        step = replace(step, technique=None, low=None, high=None)
    return replace(step, **named)
