"""What every screen over the state looks like: verdict, what is wrong, its regions, its keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual import getters
from textual.app import ComposeResult
from textual.containers import Container

from planner.problems import Problem
from screens.showing import ShowsState
from screens.state import State
from screens.widgets.key_line import KeyLine
from screens.widgets.problems import Problems
from screens.widgets.stitching import Stitching
from screens.widgets.verdict_line import VerdictLine

if TYPE_CHECKING:
    from screens.app import Wearby


class Page(ShowsState):
    """One of the screens one goes between; what it shows stands in its regions.

    Two regions with ``Stitching(id="between")`` between them stand one beneath the other
    (``-beneath``) or, from 110 columns on, side by side (``-beside``). With ``-broken`` there is
    no plan to show.
    """

    CSS_PATH = ["page.tcss"]  # noqa: RUF012  # a list of our own follows it in every screen
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012  # so declared by Textual
        (0, "-beneath"),
        (110, "-beside"),
    ]

    verdict = getters.query_one(VerdictLine)
    problems = getters.query_one("#problems", Problems)

    def __init__(self) -> None:
        super().__init__()
        # made under the colours there are: without this all looks would be worked out twice more
        self._css_update_count = self.app._css_update_count

    def compose(self) -> ComposeResult:
        """Verdict, problems where there are any, the regions, keys."""
        yield VerdictLine()
        yield Problems(id="problems")
        yield Stitching(classes="across")
        with Container(id="regions"):
            yield from self.regions()
        yield Stitching(classes="across", id="above-keys")
        yield KeyLine()

    @property
    def program(self) -> Wearby:
        """The app."""
        return cast("Wearby", self.app)

    def regions(self) -> ComposeResult:
        """What the screen shows; what the subclasses say."""
        return ()

    def lay_out(self, state: State, *, refined: bool) -> None:
        """Draw a state; cursors stay on what they were on.

        ``refined``: the same plan as before with more of it exact. What the subclasses do.
        """

    def moved(self, state: State) -> str:
        """Where what was under the cursor has moved to by the new plan, in a sentence."""
        return ""

    def show(self, state: State, *, refined: bool = False) -> None:
        """Show a state: the verdict, nothing wrong, the regions."""
        moved = self.moved(state)
        self.verdict.plan = state.plan
        if not refined:
            self.problems.clear(moved)
        self.set_class(False, "-broken")
        self.lay_out(state, refined=refined)

    def show_problems(self, problems: tuple[Problem, ...], kept: State | None) -> None:
        """Say what is wrong in the files; the last plan stays where there is one."""
        if kept is None:
            self.verdict.plan = None
            self.verdict.waiting = "There is no plan yet."
            self.verdict.waiting_for = "The files must be mended first; this screen follows."
        self.set_class(kept is None, "-broken")
        self.problems.show(problems, kept is not None)
