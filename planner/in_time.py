"""What counts as done at a past occasion, because what it follows was done in time.

That an occasion was held may only be presumed. Then what is done at it counts as done where all it
follows was done by the occasion's end: finished only later, it can't have been done there. Where
the maker says that it was held, it is enough that all it follows is done.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Final

from planner.estimate import is_done_by_diary
from planner.model import Entry, OccasionKind, Step
from planner.network import Network, Node, wearable_steps
from planner.occasions import Dated

EVER: Final = datetime.min
"""Since when what was done before the diary began is done."""


def done_since(step: Step, entries: Sequence[Entry]) -> datetime | None:
    """Since when a step is done by the file or by ``entries``, the diary's of it; None where it
    isn't: of the entries that say that it is done, behind any that say ``left``, the earliest."""
    if step.done:
        return EVER
    if not is_done_by_diary(entries):
        return None
    said: list[datetime] = []
    for entry in reversed(entries):
        if entry.left is not None and not entry.done:
            break
        if entry.done:
            said.append(entry.at)
    return min(said)


def done_at_occasions(
    network: Network,
    occasions: Mapping[str, Dated],
    done: Mapping[str, datetime],
    reopened: Collection[str],
) -> dict[str, datetime]:
    """The steps that count as done at a past occasion, with its end.

    ``done``: since when the steps are done that are so without any occasion; ``reopened``: steps
    of which something is left since their occasion.
    """
    open_ones = [
        name
        for name in network.order
        if name not in done and name not in reopened and _is_held(network.nodes[name], occasions)
    ]
    asked = {name: _asked(network, occasions, name) for name in open_ones}
    since = dict(done)
    found: dict[str, datetime] = {}
    while newly := [
        name
        for name in open_ones
        if name not in found and _counts(network.nodes[name], occasions, asked[name], since)
    ]:
        for name in newly:
            at = network.nodes[name].during
            assert at is not None
            since[name] = found[name] = occasions[at].end
    return found


def _is_held(node: Node, occasions: Mapping[str, Dated]) -> bool:
    return node.during is not None and occasions[node.during].held


def _counts(
    node: Node,
    occasions: Mapping[str, Dated],
    asked: Collection[str],
    since: Mapping[str, datetime],
) -> bool:
    """Whether all that is asked of it is done, in time where nobody said that it was held."""
    assert node.during is not None
    at = occasions[node.during]
    if at.occasion.held:
        return all(one in since for one in asked)
    return all(one in since and _minute(since[one]) <= at.end for one in asked)


def _minute(moment: datetime) -> datetime:
    """Seconds only keep the entries of a minute apart."""
    return moment.replace(second=0, microsecond=0)


def _asked(network: Network, occasions: Mapping[str, Dated], name: str) -> Collection[str]:
    """What must be done for a step to count as done at its occasion: what it follows. A step of a
    trial wear that follows nothing: what makes it wearable, unless somebody said it was held."""
    node = network.nodes[name]
    assert node.during is not None
    at = occasions[node.during]
    free = not node.after and not node.after_occasions
    if free and at.occasion.kind is OccasionKind.TRIAL_WEAR and not at.occasion.held:
        return _worn(network, occasions, at)
    return _follows(node, occasions)


def _follows(node: Node, occasions: Mapping[str, Dated]) -> tuple[str, ...]:
    """What a step follows: also what is done at the past occasions it comes after."""
    past = [occasions[one] for one in node.after_occasions if occasions[one].past]
    return (*node.after, *(s for one in past for s in one.during if s != node.op.id))


def _worn(network: Network, occasions: Mapping[str, Dated], trial: Dated) -> frozenset[str]:
    """What a trial wear wants, with all that follows before it: what it says, else what makes its
    ensemble wearable; without what is done at it or later, or comes after that."""
    barred: set[str] = set()
    later = {one.id for one in occasions.values() if one.at >= trial.at}
    for name in network.order:
        node = network.nodes[name]
        if (
            node.during in later
            or any(one in later for one in node.after_occasions)
            or any(one in barred for one in _follows(node, occasions))
        ):
            barred.add(name)
    named = network.wants.get(trial.id)
    todo = list(wearable_steps(network, trial.ensemble) if named is None else named)
    found: set[str] = set()
    while todo:
        name = todo.pop()
        if name in network.nodes and name not in found and name not in barred:
            found.add(name)
            todo += _follows(network.nodes[name], occasions)
    return frozenset(found)
