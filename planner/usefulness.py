"""How useful it is to do a step next, from what the plan knows of it; and the ranking.

Two parts: what is so whatever minutes there are (``Use``, worked out once a plan), and the order
for so many minutes (``rank``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from planner.deciding import LEAST_SITTING
from planner.ground import Ground, need
from planner.model import Wait
from planner.network import wearable_steps
from planner.plan import NoteKind, Plan, PlannedStep
from planner.timeline import to_clock

HOUR = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What makes an open step worth doing next."""

    late_for: str | None
    """The occasion for which it, or what waits for it, is late."""
    late_step: str | None
    """The late step: itself, or one that waits for it."""
    unplaced: bool
    """There is no time left for it, or for something that waits for it."""
    short: bool
    """It must lie in a span with fewer hours than work, or is planned beyond the hours."""
    latest: datetime | None
    """When it must have ended."""
    room: int | None
    """Minutes of hours that serve it, from now to ``latest``, less its own; None: no latest."""
    wearable: bool
    """The ensemble can't be worn before it is done."""
    optional: bool
    wanted: bool
    """Whether a coming occasion wants it; else it is to be done before a next wearing without a
    date."""
    behind: int
    """Minutes of work that wait for it."""
    followers: int
    """Steps that wait for it, directly or not."""
    wait: Wait
    """What begins with its end."""
    fixed: date | None
    """The other day the maker fixed for it."""
    first_day: date | None
    """The day on which the plan begins it."""
    least: int
    """Shorter than this a sitting on such work is hardly worth getting out for: half of what the
    plan gives it, for somebody who asks what to do in twenty minutes means to use them."""


def rank(use: Use, left: int, minutes: int) -> tuple[int, ...]:
    """The order of what can be done in ``minutes``, ``left`` being all of the step's.

    The smallest first; each key counts only among steps equal in those before it.

    1. What is worth getting out for in the minutes (half a sitting on its kind of work or more,
       unless it ends with it), and not fixed for another day.
    2. What is late or has no time left, or holds such a step up; then what must lie where the
       hours are too few.
    3. What has least room: minutes of hours till it must have ended, less its own, by doubling
       (none, up to an hour, 2, 4, 8, ...), so that minutes decide nothing.
    4. What the ensemble can't be worn without, then what is required, then extras.
    5. What most work waits for, by halving.
    6. What would start a wait now.
    7. What ends within the minutes.
    8. What the plan begins first. (Then the order of work.)
    """
    ends = left <= minutes
    worth = ends or min(left, minutes) >= use.least
    return (
        0 if worth and use.fixed is None else 1,
        0 if use.late_for is not None or use.unplaced else 1 if use.short else 2,
        _doublings(use.room),
        0 if use.wearable else 2 if use.optional else 1,
        -(use.behind // HOUR).bit_length(),
        0 if use.wait and ends else 1,
        0 if ends else 1,
        use.first_day.toordinal() if use.first_day is not None else date.max.toordinal(),
    )


def _doublings(room: int | None) -> int:
    """How often an hour must be doubled to hold so many minutes."""
    if room is None:
        return 99
    return 0 if room <= 0 else 1 + ((room - 1) // HOUR).bit_length()


def uses(ground: Ground, plan: Plan, names: Sequence[str] | None = None) -> dict[str, Use]:
    """The use of every planned step (or of those named), by id, in order of work."""
    by_id = {step.id: step for step in plan.steps}
    behind = _behind(ground)
    late = _late(ground, by_id)
    hopeless = {one.step for one in plan.unplaced}
    short = _short(plan)
    needed = _to_be_worn(ground)
    found: dict[str, Use] = {}
    for name in ground.planned if names is None else names:
        step = by_id[name]
        late_for, late_step = late.get(name, (None, None))
        found[name] = Use(
            late_for=late_for,
            late_step=late_step,
            unplaced=name in hopeless or not hopeless.isdisjoint(behind[name]),
            short=name in short,
            latest=step.latest,
            room=_room(ground, step),
            wearable=name in needed,
            optional=step.optional,
            wanted=step.wanted,
            behind=sum(ground.stand[one].left for one in behind[name]),
            followers=len(behind[name]),
            wait=step.wait,
            fixed=step.on if step.on != ground.now.date() else None,
            first_day=step.first_day,
            least=LEAST_SITTING.get(step.work, 2) // 2,
        )
    return found


def _behind(ground: Ground) -> dict[str, frozenset[str]]:
    """By step, the open steps that wait for it, directly or not."""
    found: dict[str, frozenset[str]] = {}
    for name in reversed(ground.network.order):
        near = [f for f in ground.network.followers[name] if not ground.stand[f].done]
        found[name] = frozenset(near).union(*(found[f] for f in near))
    return found


def _late(
    ground: Ground, steps: Mapping[str, PlannedStep]
) -> dict[str, tuple[str | None, str | None]]:
    """By step, for what it or what waits for it is late, and which step that is."""
    found: dict[str, tuple[str | None, str | None]] = {}
    for name in reversed(ground.network.order):
        if ground.stand[name].done:
            continue
        own = [n.subject for n in steps[name].notes if n.kind is NoteKind.LATE]
        held = [found[f] for f in ground.network.followers[name] if f in found]
        if own:
            found[name] = (own[0], name)
        elif held:
            found[name] = held[0]
    return found


def _short(plan: Plan) -> frozenset[str]:
    """Steps in a tight spot that is short of hours, and those planned beyond the hours."""
    spot = plan.tight_spot
    inside = {one.id for one in spot.steps} if spot is not None and spot.short > 0 else set()
    return frozenset(inside | {one.step for one in plan.sittings if one.over})


def _to_be_worn(ground: Ground) -> frozenset[str]:
    """Steps without which an ensemble can't be worn."""
    todo = [
        step
        for ensemble in ground.project.ensembles
        for step in wearable_steps(ground.network, ensemble.id)
    ]
    found: set[str] = set()
    while todo:
        name = todo.pop()
        if name not in found and not ground.stand[name].done:
            found.add(name)
            todo += ground.network.nodes[name].after
    return frozenset(found)


def _room(ground: Ground, step: PlannedStep) -> int | None:
    """Minutes of hours that serve a step till it must have ended, less its own."""
    if step.latest is None:
        return None
    line = ground.lines[need(step.id, ground.network, ground.occasions)]
    return line.gone_by(to_clock(step.latest)) - step.left
