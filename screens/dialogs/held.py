"""What became of a past occasion: it was held and these steps done at it, or it wasn't held."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.held import PastOccasion, past_occasions, was_held, was_not_held
from planner.model import Project
from planner.plan import Plan, PlannedStep
from screens.dialogs.ticking import HELP, Row, Ticking
from screens.doing import Doing
from screens.held_told import taken_told
from screens.log_rows import minutes_from
from screens.state import State
from screens.widgets.ask_line import AskLine
from screens.widgets.key_line import Shown
from screens.wording import clean, column, count, garment_of, name_of, named_date, the_occasion

NOT_HELD = "not held"
"""Key of the line that says so."""


class HeldSheet(Ticking):
    """Steps of a past occasion, ticked as done at it."""

    kept = "keep"
    how = "Space: × done at it, · not done. Digits: minutes it took."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(digit, f"minutes({digit})", "minutes", show=False, id=f"held.{digit}",
                tooltip="Type how many minutes it took")
        for digit in "0123456789"
    ]  # fmt: skip

    def __init__(self, state: State, occasion: str) -> None:
        """``occasion``: full id of one that is over."""
        super().__init__(state)
        self.occasion = occasion
        self.minutes: dict[str, int] = {}
        """Minutes that were typed."""
        self.not_held = False
        self.at_first: tuple[frozenset[str], bool] = (frozenset(), False)

    @property
    def about(self) -> PastOccasion | None:
        """The occasion as it stands; None where it has gone."""
        found = past_occasions(self.state.project, self.state.plan)
        return next((one for one in found if one.id == self.occasion), None)

    @property
    def told_in_help(self) -> str:
        """What ticks mean, and what is kept."""
        return (
            "A fitting or trial wear that is over counts as held, and its steps as done, unless"
            " you say otherwise. × was done at it, · wasn't: enter writes that into the diary, with"
            " the minutes where you typed any; what wasn't done is open again with its whole time."
            " Where it wasn't held at all its steps are planned in your own hours. Of an event or a"
            " departure only its date is known. Nothing is kept before enter, and ^z takes it back."
        )

    def begin(self) -> None:
        """As it counts now."""
        one = self.about
        if one is not None:
            self.ticked = frozenset(one.taken)
            self.not_held = not one.held
            day = named_date(one.at.date(), self.state.now.date())
            asked = "what was done by then?" if one.by_date else "was it held?"
            name = the_occasion(self.state.plan, one.id)
            self.title_told = f"{name[:1].upper()}{name[1:]}, {day}: {asked}"
            first = [*self._asked(one), *([] if one.by_date else [NOT_HELD])]
            self.ticks.cursor = first[0] if first else None
        self.at_first = (self.ticked, self.not_held)

    @staticmethod
    def _asked(one: PastOccasion) -> list[str]:
        """The steps of which the diary says nothing yet."""
        return [step for step in one.steps if step in one.taken or step in one.open]

    def rows(self) -> Sequence[Row]:
        """Its steps, then that it wasn't held."""
        one = self.about
        if one is None:
            return [Row(text="It isn't in the files any more.", heading=True)]
        steps = {step.id: step for step in self.state.plan.steps}
        asked = self._asked(one)
        rows = [self._row(steps[step], one, step in asked) for step in one.steps]
        if not rows:
            rows.append(Row(text="Nothing was to be done at it.", heading=True))
        if not one.by_date:
            told = "its steps are planned in your hours" if one.steps else ""
            rows.append(
                Row(text="It wasn't held", key=NOT_HELD, ticked=self.not_held, right=told)
            )
        return rows

    def _row(self, step: PlannedStep, one: PastOccasion, asked: bool) -> Row:
        ticked = step.id in self.ticked
        if not asked:
            done = step.id in one.logged
            right = "logged" if done else f"open again, {column(step.left)} left"
        elif ticked:
            taken = taken_told(one) if self._is_as_it_was else "done"
            minutes = self.minutes.get(step.id)
            right = f"done, {column(minutes)}" if minutes else taken
        else:
            right = f"not done, {column(step.left or step.minutes)} left"
        return Row(
            text=f"{name_of(self.state.plan, step.id)}, {garment_of(self.state.plan, step.id)}",
            key=step.id if asked else None,
            letter=step.work.letter,
            ticked=ticked or (not asked and step.id in one.logged),
            right=right,
        )

    @property
    def _is_as_it_was(self) -> bool:
        return (self.ticked, self.not_held) == self.at_first and not self.minutes

    def toggle(self, key: str) -> str:
        """A step; or that it wasn't held, which takes all steps back."""
        one = self.about
        if one is None:
            return ""
        if key == NOT_HELD:
            self.not_held = not self.not_held
            asked = self._asked(one)
            kept = one.taken or tuple(asked)
            self.ticked = frozenset() if self.not_held else frozenset(kept)
        else:
            self.ticked = self.ticked ^ {key}
            self.not_held = self.not_held and not self.ticked
        return ""

    def summed(self) -> str:
        """How much of it was done."""
        one = self.about
        if one is None or not one.steps:
            return ""
        if self.not_held:
            return "not held"
        done = len(self.ticked) + len(one.logged)
        return f"{done} of {count(len(one.steps), 'step')} done"

    def doing(self) -> Doing | None:
        """What the diary, or the occasion, is to say; None where that stands there already."""
        one = self.about
        if one is None or (not self._asked(one) and not self._is_other(one)):
            return None
        plan = self.state.plan
        name = the_occasion(plan, one.id)
        if self.not_held:
            if not one.held:
                return None
            return Doing(label=f"{name} wasn't held", change=lambda it: was_not_held(it, one))
        asked = self._asked(one)
        done = {step: self.minutes.get(step, 0) for step in asked if step in self.ticked}
        whole = {step.id: step.minutes for step in plan.steps}
        # said to be held, what isn't ticked would count as done once all it follows is
        open_ones = one.taken if one.by_date else asked
        not_done = {step: whole[step] for step in open_ones if step not in self.ticked}
        return Doing(label=_label(plan, one, done, not_done), change=_held(one, done, not_done))

    def _is_other(self, one: PastOccasion) -> bool:
        """Whether something else is said of it than its file says."""
        return not one.by_date and (self.not_held is one.held or not one.said)

    def has_changed(self) -> bool:
        """Whether anything was ticked or typed."""
        return not self._is_as_it_was

    def shown_keys(self) -> list[Shown]:
        """Keeping first, also where nothing is ticked: that says something, too."""
        if self.line.asking:
            return super().shown_keys()
        keep = Shown(key="enter", sign="enter", told=self.kept, action="keep", own=True)
        tick = Shown(key="space", sign="space", told="tick", action="choose", own=True)
        drop = Shown(key="escape", sign="esc", told="drop", action="drop", own=True)
        return [*([keep] if self.doing() is not None else []), tick, drop, HELP]

    # typed

    def action_minutes(self, digit: int) -> None:
        """Type the minutes the step under the cursor took."""
        key = self.ticks.cursor
        if key is not None and key != NOT_HELD and not self.line.asking:
            self.line.ask(name_of(self.state.plan, key), "it took:", str(digit), "25 or 1:30")
            self.query_one("TickKeys").refresh()

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """What was wrong is being put right."""
        self.line.say("")

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Keep what is typed; empty: no time is known."""
        text, key = clean(event.text), self.ticks.cursor
        try:
            minutes = minutes_from(text) if text else 0
        except ValueError:
            self.line.say("Write minutes as 25, 1:30 or 1h30.")
            return
        if key is not None:
            self.minutes.pop(key, None)
            if minutes:
                self.minutes[key] = minutes
                self.ticked, self.not_held = self.ticked | {key}, False
        self._back()

    def on_ask_line_dropped(self) -> None:
        """Nothing is typed any more."""
        self._back()

    def _back(self) -> None:
        self.line.close()
        self.set_focus(self.ticks)
        self.read_again()


def _held(one: PastOccasion, done: dict[str, int], not_done: dict[str, int]) -> partial[Project]:
    return partial(was_held, occasion=one, done=done, not_done=not_done)


def _label(plan: Plan, one: PastOccasion, done: dict[str, int], not_done: dict[str, int]) -> str:
    """ "Armour fitting held, 2 steps done at it, 1 step not done"."""
    parts = [f"{the_occasion(plan, one.id)} {'over' if one.by_date else 'held'}"]
    if done:
        parts.append(f"{count(len(done), 'step')} done at it")
    if not_done:
        parts.append(f"{count(len(not_done), 'step')} not done")
    return ", ".join(parts)
