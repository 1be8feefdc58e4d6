"""What has moved since the plan that was held on to, where days have gone by since."""

from __future__ import annotations

from planner.replan import what_moves
from screens.moved_told import summary, then_and_now
from screens.state import State


def since_sentences(state: State) -> str:
    """ "Since Tuesday 4 May: 3 steps moved later, 2 h planned and not done."; what is newly short
    or late behind it. Empty on the day of the plan before, and where nothing moved."""
    kept, plan = state.project.kept, state.plan
    if kept.as_of is None or kept.as_of.date() >= state.now.date():
        return ""
    moved = what_moves(kept, plan, state.project)
    if moved.empty:
        return ""
    newly = [one for one in then_and_now(moved, plan) if one.startswith("Newly")]
    return " ".join([summary(moved, plan, kept.as_of.date()), *newly])
