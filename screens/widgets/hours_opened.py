"""What is under the cursor of the hours, opened: a day with its steps, a week, a change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.hours_ahead import WeekAhead
from planner.model import Project
from planner.plan import Plan
from screens.hours_told import (
    NAMES,
    SETTING_MEANS,
    change_sentences,
    how_to_give_hours,
    settings_rows,
    week_of,
    week_sentences,
)
from screens.which_days import days_told
from screens.widgets.hours_day import day_lines, step_of
from screens.widgets.hours_list import CHANGE, DAY, SETTING, WEEK
from screens.widgets.lines import Line, plain
from screens.widgets.marked import OpeningLines
from screens.wording import clean, wrapped


class HoursOpened(OpeningLines):
    """The day, week, change or setting under the cursor; a day's steps can be gone to."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "why",
            key_display="enter",
            id="hours-opened.enter",
            tooltip="Go to this step in the run-up, its reason told",
        ),
        Binding(
            "escape",
            "close",
            "back",
            key_display="esc",
            id="hours-opened.escape",
            tooltip="Go back to the days",
        ),
    ]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.project: Project | None = None
        self.plan: Plan | None = None
        self.weeks: tuple[WeekAhead, ...] = ()
        self.subject = ("", "")

    def show(
        self,
        project: Project,
        plan: Plan,
        weeks: tuple[WeekAhead, ...],
        subject: tuple[str, str],
    ) -> None:
        """Open what the other cursor stands on."""
        if subject != self.subject:
            self.scroll_to(y=0, animate=False)
        self.project, self.plan, self.weeks, self.subject = project, plan, weeks, subject
        self.renew()

    @property
    def step(self) -> str | None:
        """The step under the cursor."""
        return step_of(self.cursor) if self.cursor is not None else None

    def compose_lines(self, width: int) -> Sequence[Line]:
        """The day with its steps, or what the line says in sentences."""
        project, plan = self.project, self.plan
        if project is None or plan is None:
            return ()
        kind, which = self.subject
        if kind == DAY:
            day = next((d for w in self.weeks for d in w.days if d.day.isoformat() == which), None)
            if day is None:
                return ()
            mark = self.cursor if self.has_focus else None
            off = project.workroom.setting_up
            found = day_lines(plan, day, width, setting_up=off, cursor=mark)
            hint = how_to_give_hours(day, project.workroom)
            more = wrapped([hint], max(20, width - 2)) if hint else []
            return [*found, *(plain(f" {line}", "faint") for line in more)]
        return _told(self._heading(project, plan), self._sentences(project, plan), width)

    def _heading(self, project: Project, plan: Plan) -> str:
        """What stands under the cursor, by name."""
        kind, which = self.subject
        if kind == WEEK:
            return (
                "The usual hours on the way"
                if which == "take_along"
                else (f"The usual {NAMES[which]} hours")
            )
        if kind == CHANGE and int(which) < len(project.workroom.changes):
            change = project.workroom.changes[int(which)]
            told = days_told(change, plan.now.date())
            return (
                f"{told[:1].upper()}{told[1:]}{': ' if change.reason else ''}{clean(change.reason)}"
            )
        if kind == SETTING:
            name = {key: name for key, name, _ in settings_rows(project.workroom)}[which]
            return f"{name[:1].upper()}{name[1:]}"
        return "Days that differ from their week"

    def _sentences(self, project: Project, plan: Plan) -> list[str]:
        """What it says and does."""
        kind, which = self.subject
        days = [day.day for week in self.weeks for day in week.days]
        if kind == WEEK:
            return week_sentences(week_of(project.workroom, which), which)
        if kind == CHANGE and int(which) < len(project.workroom.changes):
            return change_sentences(project.workroom.changes[int(which)], days, plan.now.date())
        if kind == SETTING:
            return [SETTING_MEANS[which]]
        return [
            "Days away, evenings with guests, a choir every first Tuesday: the later one in this"
            " list wins, place by place."
        ]

    def action_close(self) -> None:
        """Leave."""
        self.screen.focus_previous()


def _told(heading: str, sentences: Sequence[str], width: int) -> list[Line]:
    """A heading, and sentences beneath it, each on lines of its own."""
    room = max(20, width - 2)
    found = [plain(f" {text}", "strong") for text in wrapped([heading], room)]
    for sentence in sentences:
        found += [plain(f" {text}") for text in wrapped([sentence], room)]
    return found
