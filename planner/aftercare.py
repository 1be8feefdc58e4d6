"""The aftercare: what is still to be done after a wearing, while nothing wants it yet.

Steps that come after an event are wanted by the ensemble's next event. Until that has a date they
are in no day, and yet they are work: what is worn is aired, cleaned and mended all the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from planner.model import OccasionKind
from planner.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Aftercare:
    """What is to be done of one ensemble before its next wearing, which has no date yet."""

    event: str
    """Full id of the event it comes after."""
    steps: tuple[str, ...]
    """Full ids, in order of work."""
    minutes: int
    """Left of them."""
    due: bool
    """Whether the event is over: it can be done now."""

    @property
    def ensemble(self) -> str:
        """Id of the ensemble that was worn."""
        return self.event.split("/", 1)[0]


class Following(Protocol):
    """A step with what it comes after."""

    @property
    def id(self) -> str:
        """Full id."""

    @property
    def after(self) -> tuple[str, ...]:
        """Full ids of steps and occasions."""


def events_before(steps: Sequence[Following], events: Sequence[str]) -> Mapping[str, str]:
    """By step that comes after an event, directly or not, the last of these.

    ``events``: full ids, in order of time.
    """
    place = {event: number for number, event in enumerate(events)}
    by_id = {step.id: step for step in steps}
    known: dict[str, int] = {}
    for start in by_id:
        todo = [start]
        while todo:
            name = todo[-1]
            open_ones = [p for p in by_id[name].after if p in by_id and p not in known]
            if open_ones:
                todo += open_ones
                continue
            before = [place.get(p, known.get(p, -1)) for p in by_id[name].after]
            known[name] = max(before, default=-1)
            todo.pop()
    return {name: events[number] for name, number in known.items() if number >= 0}


def aftercare(plan: Plan) -> tuple[Aftercare, ...]:
    """What is open after an event and wanted by none, ensemble by ensemble."""
    events = [one for one in plan.occasions if one.kind is OccasionKind.EVENT]
    after = events_before(plan.steps, [one.id for one in events])
    past = {one.id for one in events if one.past}
    found: dict[str, list[str]] = {}
    left: dict[str, int] = {}
    for step in plan.steps:
        event = after.get(step.id)
        # what an event of another ensemble lets begin is no aftercare of this one
        if event is None or event.split("/")[0] != step.id.split("/")[0]:
            continue
        if step.done or step.left_off or step.wanted or step.during is not None:
            continue
        found.setdefault(event, []).append(step.id)
        left[step.id] = step.left
    return tuple(
        Aftercare(
            event=event,
            steps=tuple(steps),
            minutes=sum(left[one] for one in steps),
            due=event in past,
        )
        for event, steps in found.items()
    )


def due_after_wearing(plan: Plan) -> tuple[Aftercare, ...]:
    """That of events that are over."""
    return tuple(one for one in aftercare(plan) if one.due)
