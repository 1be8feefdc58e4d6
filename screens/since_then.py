"""What has moved since the plan one set out with last, where days have gone by since."""

from __future__ import annotations

from screens.moved_since import since_last
from screens.moved_told import summary, then_and_now
from screens.state import State


def since_sentences(state: State) -> str:
    """ "Since Tuesday 4 May: 3 steps moved later, 2 h planned and not done."; what is newly short
    or late behind it. Empty on the day of the plan before, and where nothing moved.

    It is what the list of what moved tells too: the same plan is compared with, and the same
    minutes count as not done.
    """
    found = since_last(state.project, state.plan)
    if found is None or found.moved.empty:
        return ""
    newly = [one for one in then_and_now(found.moved, state.plan) if one.startswith("Newly")]
    return " ".join([summary(found, state.plan), *newly])
