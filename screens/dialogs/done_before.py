"""Joining in the middle of a build: what was done before the diary began is ticked, garment by
garment."""

from __future__ import annotations

from collections.abc import Sequence

from planner.done_before import by_garment, garments_to_tick, tick, untick
from planner.plan import PlannedStep
from screens.dialogs.ticking import Row, Ticking
from screens.diary_doing import were_done_before
from screens.diary_told import brought_told
from screens.doing import Doing
from screens.wording import clean, column, count, name_of


class DoneBefore(Ticking):
    """All steps, in dressing order."""

    title_told = "What was done before the diary began"
    kept = "they were done"
    how = "Space ticks a step and all it follows, or a whole garment; or takes it back."

    @property
    def told_in_help(self) -> str:
        """What ticking does."""
        return (
            "Tick what was done already when you began with wearby: × ticked, · not. A step brings"
            " along what it follows, since that must have been done too; taken back, it goes"
            " alone. A garment's line ticks all of it. They count as done without a time, so they"
            " teach nothing of your pace. Nothing is kept before enter, and ^z takes all of it back"
            " at once."
        )

    def _steps(self) -> dict[str, PlannedStep]:
        return {one.id: one for one in self.state.plan.steps}

    def rows(self) -> Sequence[Row]:
        """Each garment with its steps."""
        project, plan = self.state.project, self.state.plan
        steps, garments = self._steps(), garments_to_tick(project, plan)
        ticked = by_garment(garments, self.ticked)
        found: list[Row] = []
        ensemble = ""
        for one in garments:
            if len(project.ensembles) > 1 and one.garment.split("/")[0] != ensemble:
                ensemble = one.garment.split("/")[0]
                found.append(Row(text=name_of(plan, ensemble), heading=True))
            still = [step for step in one.steps if not steps[step].done]
            done = len(one.steps) - len(still) + ticked[one.garment]
            found.append(
                Row(
                    text=name_of(plan, one.garment),
                    key=one.garment if still else None,
                    heading=bool(still),
                    ticked=done == len(one.steps),
                    right=f"{done} of {len(one.steps)} done",
                )
            )
            found += [self._row(steps[step]) for step in one.steps]
        return found

    def _row(self, step: PlannedStep) -> Row:
        return Row(
            text=clean(step.name),
            key=None if step.done else step.id,
            letter=step.work.letter,
            ticked=step.done or step.id in self.ticked,
            right="done" if step.done else column(step.left),
        )

    def toggle(self, key: str) -> str:
        """A step, or all of a garment."""
        plan, steps = self.state.plan, self._steps()
        mine = [key]
        if key.count("/") == 1:
            mine = [one for one in steps if one.startswith(f"{key}/") and not steps[one].done]
            mine = [one for one in mine if not steps[one].left_off]
        if all(one in self.ticked for one in mine):
            self.ticked = untick(self.ticked, mine).ticked
            return ""
        found = tick(plan, self.ticked, mine)
        self.ticked = found.ticked
        return brought_told(plan, found.brought)

    def summed(self) -> str:
        """How many, and how much work that is."""
        left = sum(one.left for one in self.state.plan.steps if one.id in self.ticked)
        return f"{count(len(self.ticked), 'step')}, {column(left)}" if self.ticked else ""

    def doing(self) -> Doing | None:
        """All of them as one edit."""
        mine = [one.id for one in self.state.plan.steps if one.id in self.ticked]
        return were_done_before(self.state.plan, mine) if mine else None
