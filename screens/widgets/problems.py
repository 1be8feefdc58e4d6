"""What is wrong in the files, in place; and where a step has moved to."""

from __future__ import annotations

from collections.abc import Sequence

from planner.problems import Problem
from screens.widgets.lines import Line, Lines, Run, plain
from screens.wording import clean, count, wrapped


class Problems(Lines, can_focus=True):
    """Every problem with its file and place; hidden where there is nothing to say."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.problems: tuple[Problem, ...] = ()
        self.kept = False
        self.moved = ""
        self.can_focus = False

    def show(self, problems: tuple[Problem, ...], kept: bool) -> None:
        """Say what is wrong; ``kept``: the last plan is still shown."""
        self.problems, self.kept, self.moved = problems, kept, ""
        self._say()

    def clear(self, moved: str = "") -> None:
        """Nothing is wrong; a step may have moved."""
        self.problems, self.moved = (), moved
        self._say()

    def forget_moved(self) -> None:
        """The maker has gone on."""
        if self.moved:
            self.clear()

    def _say(self) -> None:
        telling = bool(self.problems or self.moved)
        self.screen.set_class(telling, "-telling")
        if not self.problems:
            self.screen.remove_class("-broken")
        self.can_focus = bool(self.problems)
        self.renew()
        self.styles.height = None
        if telling and not self.screen.has_class("-broken"):
            width = max(20, self.screen.size.width)
            self.styles.height = len(self.compose_lines(width))

    def compose_lines(self, width: int) -> Sequence[Line]:
        """A heading, then the problems, each with file and place."""
        if self.moved:
            return [plain(f" {line}", "strong") for line in wrapped([self.moved], width - 2)]
        if not self.problems:
            return ()
        number = count(len(self.problems), "thing")
        told = f"{number} to mend in the files:"
        if self.kept:
            told = f"{number} to mend in the files; the plan below is from before:"
        found = [plain(f" {told}", "strong")]
        for index, problem in enumerate(self.problems):
            where = ", ".join(part for part in (clean(problem.file), clean(problem.place)) if part)
            head, *rest = wrapped([f"{where}: {clean(problem.text)}"], max(20, width - 5))
            found.append(Line(runs=(Run(text=f"   {head}"),), key=str(index)))
            found += [plain(f"     {line}") for line in rest]
        return found
