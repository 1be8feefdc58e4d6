"""The form that gives a step a fixed day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from planner.fixed_day import why_not_kept
from planner.plan import Plan
from screens.countdown import days_of
from screens.days_doing import fixed
from screens.fixed_told import because
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.forms.texts import moment_from
from screens.opened import day_heading, day_notes
from screens.state import State
from screens.widgets.lines import Line, plain
from screens.wording import (
    long_date,
    named_date,
    on_date,
    short_date,
    step_with_garment,
    wrapped,
)

DAY = "on"
"""Key of the field."""


class FixedDayQuestions(Questions):
    """On which day a step is to be done; ``day`` stands there at first."""

    kept = "fix"
    whole = True  # the day that stands there can be kept as it is
    doubting = True

    def __init__(self, state: State, step: str, day: date) -> None:
        super().__init__(state)
        self.step_id = step
        self.first = day
        self.title = f"A fixed day for {step_with_garment(state.plan, step)}"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The day."""
        return [
            Field(
                key=DAY,
                label="To be done on",
                help=(
                    "The day on which it is to be done, all of it. Write it as 22 May, tomorrow"
                    " or 2027-05-22. Once it is fixed, f at the step frees it."
                ),
                value=" ".join(short_date(self.first).split()),
            )
        ]

    def day(self, texts: Texts) -> date | None:
        """The day that is typed; None where it is none."""
        found = moment_from(texts.get(DAY, ""), self.state.now.date())
        # a date-time is a date, too
        return None if isinstance(found, datetime) or not isinstance(found, date) else found

    def read(self, texts: Texts) -> Reading:
        """The edit, or what is wrong with the day."""
        plan, today = self.state.plan, self.state.now.date()
        day = self.day(texts)
        if day is None:
            return _wrong("Write a day as 22 May, tomorrow or 2027-05-22.")
        if day < today:
            return _wrong(f"{long_date(day, today)} is past: write today or a later day.")
        if all(one.id != self.step_id for one in plan.steps):
            return _wrong("This step has gone from the files.")
        doing = fixed(plan, self.step_id, day)
        return Reading(
            label=doing.label,
            change=doing.change,
            cursor=doing.cursor,
        )

    def _where_now(self) -> str:
        """Where the plan has it as it is."""
        plan = self.state.plan
        step = next((one for one in plan.steps if one.id == self.step_id), None)
        if step is None or step.first_day is None:
            return "So far it is planned on no day."
        first = named_date(step.first_day, plan.now.date())
        if step.last_day is None or step.last_day == step.first_day:
            return f"So far it is planned {on_date(step.first_day, plan.now.date())}."
        return f"So far it is planned from {first} to {named_date(step.last_day, plan.now.date())}."

    def doubts(self, texts: Texts, plan: Plan) -> tuple[Wrong, ...]:
        """Why the day can't be kept."""
        refused = why_not_kept(plan, self.step_id)
        if refused is None:
            return ()
        named = named_date(refused.day, plan.now.date())
        told = f"{named[:1].upper()}{named[1:]} can't be kept: {because(plan, refused)}."
        return (Wrong(key=DAY, text=told),)

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """What would become of the day, where it can be kept."""
        day = self.day(texts)
        room = max(20, width - 2)
        so_far = [plain(f" {line}", "faint") for line in wrapped([self._where_now()], room)]
        if plan is None or day is None:
            return so_far
        if why_not_kept(plan, self.step_id) is not None:
            return so_far
        on_day = next((one for one in days_of(plan) if one.day.date == day), None)
        if on_day is None:
            return so_far
        heading = wrapped([day_heading(plan, on_day)], room)
        notes = wrapped(day_notes(plan, on_day), room)
        return [
            *so_far,
            *(plain(f" {line}", "strong") for line in heading),
            *(plain(f" {line}", "accent") for line in notes),
        ]


def _wrong(text: str) -> Reading:
    return Reading(wrong=(Wrong(key=DAY, text=text),))
