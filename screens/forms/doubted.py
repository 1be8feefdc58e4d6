"""What speaks against what is typed, and can be kept all the same: it is asked for twice."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.plan import Plan
from screens.forms.fields import Texts, Wrong
from screens.forms.questions import Questions

AGAIN = "Enter again keeps it all the same."


@dataclass(slots=True)
class Doubted:
    """The doubts about what is typed; each is said before it is kept."""

    found: tuple[Wrong, ...] = ()
    """Of what stands there, as soon as its plan is known."""
    said: frozenset[Wrong] = frozenset()
    """Those the maker saw and was asked about."""
    is_known: bool = False
    """Whether the plan of what stands there is known."""
    is_awaited: bool = False
    """Whether it was to be kept before that was known."""

    def begin(self) -> None:
        """Something else is tried."""
        self.found, self.is_known, self.is_awaited = (), False, False

    def learn(self, questions: Questions, texts: Texts, plan: Plan | None) -> bool:
        """What it would become is known; whether it was to be kept and waits for that."""
        self.found = questions.doubts(texts, plan) if plan is not None else ()
        self.is_known = True
        awaited, self.is_awaited = self.is_awaited, False
        return awaited

    def unsaid(self) -> tuple[Wrong, ...]:
        """What the maker wasn't asked about yet; from now on it was."""
        new = tuple(one for one in self.found if one not in self.said)
        self.said = frozenset(self.found)
        return new

    def told(self) -> tuple[Wrong, ...]:
        """What there is to say, and of what was asked about how it is kept."""
        return tuple(
            replace(one, text=f"{one.text} {AGAIN}") if one in self.said else one
            for one in self.found
        )
