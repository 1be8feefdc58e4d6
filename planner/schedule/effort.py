"""How long the search for the least peak goes on: to its end, or only till it is clear."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


class Stopped(Exception):
    """The answer is no longer wanted."""


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What a search may spend."""

    hurried: bool = False
    """Look only for whether the work fits; how little over, or how flat, may stay open."""
    goes_on: bool = True
    """Go on where the bound isn't reached at once; else the peak stays open there."""
    stop: Callable[[], bool] = _never
    """Asked now and then; once true, Stopped is raised."""

    def go_on(self) -> None:
        """Raise Stopped where the answer is no longer wanted."""
        if self.stop():
            raise Stopped


WHOLE = Effort()
"""To the end."""
