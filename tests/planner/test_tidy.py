"""Sittings too short to be worth while, joined in a plan that is held on to."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from planner.schedule.nearing import Near


class Bare(Near):
    """One step's sittings, with as much room in each window as a test says."""

    def __init__(self, sittings: dict[int, int], room: dict[int, int]) -> None:
        minutes = sum(sittings.values())
        problem = SimpleNamespace(steps=1, one_sitting=[False], minutes=[minutes])
        self.problem = cast(Any, problem)
        self.of_step = [dict(sittings)]
        self.wanted = [{}]
        self.room = room

    def _room(self, j: int, w: int) -> int:
        return self.room[w]

    def _move(self, j: int, v: int, w: int, minutes: int) -> int:
        mine = self.of_step[j]
        mine[v] -= minutes
        mine[w] = mine.get(w, 0) + minutes
        if not mine[v]:
            del mine[v]
        return minutes


def test_what_one_sitting_gave_isnt_taken_from_it_again() -> None:
    """The first is made longer by the second, which is then joined to it: with what it has by
    then, so that no window has less than nothing of a step."""
    bare = Bare({0: 6, 1: 8}, {0: 20, 1: 0})
    bare.tidy([10])
    assert bare.of_step == [{0: 14}]
