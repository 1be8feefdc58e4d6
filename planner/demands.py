"""What each occasion wants, and by when each step is wanted."""

from __future__ import annotations

from collections.abc import Mapping

from planner.model import OccasionKind
from planner.network import Network, wearable_steps
from planner.occasions import Dated


def _at_or_after(
    network: Network, occasion: Dated, occasions: Mapping[str, Dated]
) -> frozenset[str]:
    """Steps done at this or a later occasion, said to come after one, and all that follow."""
    later = {o.id for o in occasions.values() if o.at >= occasion.at}
    found: set[str] = set()
    for name in network.order:
        node = network.nodes[name]
        if (
            node.during in later
            or any(o in later for o in node.after_occasions)
            or any(p in found for p in node.after)
        ):
            found.add(name)
    return frozenset(found)


def _named(
    network: Network, occasion: Dated, waits_for: Mapping[str, tuple[str, ...]]
) -> list[str]:
    """What the occasion wants by its own word or by its kind, nothing brought along yet.

    What the steps done at it follow is always wanted: else they couldn't be done there.
    """
    followed = [
        p for s in occasion.during for p in (*network.nodes[s].after, *waits_for[s])
    ]
    if occasion.id in network.wants:
        return [*network.wants[occasion.id], *followed]
    kind = occasion.occasion.kind
    if kind is OccasionKind.FITTING:
        return followed
    if kind is OccasionKind.TRIAL_WEAR:
        return [*wearable_steps(network, occasion.ensemble), *followed]
    return [*(n for n in network.nodes if n.startswith(f"{occasion.ensemble}/")), *followed]


def wanted_by(
    network: Network, occasions: Mapping[str, Dated], waits_for: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """By occasion, the steps it wants (done or not), in order of work, with all they follow.

    ``waits_for``: by step, the open steps it waits for (``standing.predecessors``).
    """
    found: dict[str, tuple[str, ...]] = {}
    for occasion in occasions.values():
        barred = _at_or_after(network, occasion, occasions)
        wanted: set[str] = set()
        todo = [n for n in _named(network, occasion, waits_for) if n in network.nodes]
        while todo:
            name = todo.pop()
            if name in wanted or name in barred:
                continue
            wanted.add(name)
            todo += (*network.nodes[name].after, *waits_for[name])
        found[occasion.id] = tuple(n for n in network.order if n in wanted)
    return found
