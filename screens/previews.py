"""What an edit would make of the plan, worked out beside the screen while the maker types.

Only the newest question matters: while one is worked out later ones wait, and of those that
wait all but the last are dropped.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from threading import Lock

from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.then import then_sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """The plan as it would become."""

    number: int
    plan: Plan | None
    """None where there would be none."""
    sentence: str
    """ "then: fits, 94 % full, three steps move to Sunday"; empty without a plan."""
    problems: tuple[Problem, ...]
    """Why there would be none."""


Told = Callable[[Preview], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question for a preview."""

    number: int
    project: Project
    before: Plan | None
    """The plan as it is."""
    change: Callable[[Project], Project]
    now: datetime
    told: Told | None
    """Who is told, besides the screen on top."""


class Previews:
    """The newest question, between the screen that asks and the thread that answers."""

    def __init__(self) -> None:
        self.newest = 0
        """Number of the newest question; answers to others are dropped."""
        self._lock = Lock()
        self._waiting: Asked | None = None
        self._answering = False

    def forget(self) -> int:
        """No question so far is to be answered; the number of the next."""
        with self._lock:
            self._waiting = None
            self.newest += 1
            return self.newest

    def ask(self, asked: Asked) -> bool:
        """Put a question; whether a thread must be started to answer it."""
        with self._lock:
            self._waiting = asked
            start = not self._answering
            self._answering = True
            return start

    def next(self) -> Asked | None:
        """The question to answer now; None where the thread may end."""
        with self._lock:
            asked, self._waiting = self._waiting, None
            self._answering = asked is not None
            return asked


def preview_of(asked: Asked) -> Preview:
    """Make the change, plan, and say what would become of it; problems as values."""
    from planner.planning import plan_project

    plan, problems = None, tuple[Problem, ...]()
    try:
        plan = plan_project(asked.change(asked.project), asked.now, thorough=False)
    except InputError as error:
        problems = error.problems
    except Exception as error:
        text = f"wearby itself failed ({type(error).__name__}: {error}); please report it."
        problems = (Problem(file="", place="", text=text),)
    sentence = then_sentence(asked.before, plan) if plan is not None else ""
    return Preview(number=asked.number, plan=plan, sentence=sentence, problems=problems)
