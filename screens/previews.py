"""What an edit would make of the plan, worked out beside the screen while the maker types.

Only the newest question matters: while one is worked out later ones wait, and of those that
wait all but the last are dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Lock

from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.state import State
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
    final: bool = True
    """Else another follows, with what isn't certain yet."""
    before: Plan | None = None
    """The plan as it is, from the moment for which the other was planned."""
    made: State | None = None
    """What the program would show once the edit is made: of a whole plan, where that was asked
    for. The edit can be handed it, so that nothing is planned twice."""


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
    told: Told
    """Who is told."""
    entire: bool = False
    """Whether the plan is to be all that the program would show, minutes to spare too."""
    again: Callable[[datetime], Plan | None] | None = None
    """Gives what is shown as of ``now``, where the clock has gone on since ``before``: what it
    did isn't the edit's doing."""


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

    def is_old(self, asked: Asked) -> bool:
        """Whether the answer is no longer wanted."""
        return asked.number != self.newest

    def next(self) -> Asked | None:
        """The question to answer now; None where the thread may end."""
        with self._lock:
            asked, self._waiting = self._waiting, None
            self._answering = asked is not None
            return asked


def previews_of(asked: Asked, stop: Callable[[], bool]) -> Iterator[Preview]:
    """Make the change, plan, and say what would become of it; problems as values.

    What is certain comes first where the whole plan takes longer; nothing more once ``stop``
    says that it is no longer wanted.
    """
    from planner.judging import Stopped, judge, whole

    try:
        project = asked.change(asked.project)
        if asked.again is not None and (again := asked.again(asked.now)) is not None:
            asked = replace(asked, before=again)
        judged = judge(project, asked.now, stop=stop, spare=asked.entire)
        yield _preview(asked, project, judged.plan, judged.final)
        if not judged.final:
            plan = whole(project, asked.now, stop=stop, spare=asked.entire)
            yield _preview(asked, project, plan, True)
    except Stopped:
        pass
    except InputError as error:
        yield _failed(asked, error.problems)
    except Exception as error:
        text = f"wearby itself failed ({type(error).__name__}: {error}); please report it."
        yield _failed(asked, (Problem(file="", place="", text=text),))


def _preview(asked: Asked, project: Project, plan: Plan, final: bool) -> Preview:
    sentence = then_sentence(asked.before, plan, final=final)
    made = State(project=project, plan=plan, now=asked.now) if final and asked.entire else None
    return Preview(
        number=asked.number, plan=plan, sentence=sentence, problems=(), final=final,
        before=asked.before, made=made,
    )  # fmt: skip


def _failed(asked: Asked, problems: tuple[Problem, ...]) -> Preview:
    return Preview(number=asked.number, plan=None, sentence="", problems=problems)
