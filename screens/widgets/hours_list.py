"""Days with their hours in columns, week by week; below them what gives them their hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widget import Widget

from planner.editing import PLACES
from planner.hours_ahead import WeekAhead, weeks_ahead
from planner.model import Project
from planner.plan import Plan, PlannedOccasion
from screens.hours_told import (
    NAMES,
    DayRow,
    Full,
    day_row,
    gives,
    is_past,
    settings_rows,
    week_full,
    week_minutes,
    week_of,
    week_row,
    week_told,
)
from screens.which_days import days_told
from screens.widgets.lines import CURSOR, Line, Lines, Run, plain
from screens.widgets.marked import MarkedLines, marked
from screens.wording import cells, clean, column, fitted, occasion_name, padded, wrapped
from screens.wording import when as hours_of

DAY, WEEK, CHANGE, SETTING, NO_CHANGE = "day", "week", "change", "setting", "no-change"
"""What the cursor can stand on: the first word of a line's key; the rest says which."""
CHANGES = "Change what is under the cursor"
"""What enter does, for help."""
BEFORE = 14
"""Columns of cursor and date."""
FULL = 11
"""Columns kept for how full a day is, at the right edge."""
GAP = 2
LEAST = 11
"""Columns a place keeps where there are too few: one span, or two of full hours."""
AS_ABOVE = "as above"
"""Why a day differs, where that was said of the day before."""
NAME = 20
"""Columns of a place's or setting's name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """How wide the hours of each place are; 0 of one that has none at all."""

    widths: tuple[int, ...] = ()

    def cells(self, texts: Sequence[str]) -> str:
        """Texts in their columns."""
        return "".join(
            f"{padded(text, width)}{' ' * GAP}"
            for text, width in zip(texts, self.widths, strict=True)
            if width
        )

    def lines(self, texts: Sequence[str]) -> list[str]:
        """Hours in their columns; of a place with more spans than fit the rest stands beneath."""
        columns = [
            wrapped([text], width) for text, width in zip(texts, self.widths, strict=True)
        ]
        deep = max((len(one) for one in columns), default=0)
        return [
            self.cells([one[k] if k < len(one) else "" for one in columns]).rstrip()
            for k in range(max(1, deep))
        ]


def columns_for(rows: Sequence[DayRow], width: int) -> Columns:
    """The columns at a width: as wide as they need, the last shortened first."""
    needed = [max((cells(row.cells[i]) for row in rows), default=0) for i in range(len(PLACES))]
    widths = [max(w, cells(NAMES[p])) if w else 0 for w, p in zip(needed, PLACES, strict=True)]
    room = width - BEFORE - FULL
    for i in reversed(range(len(widths))):
        too_wide = sum(w + GAP for w in widths if w) - room
        if too_wide > 0 and widths[i] > LEAST:
            widths[i] = max(LEAST, widths[i] - too_wide)
    return Columns(widths=tuple(widths))


class Headings(Widget):
    """What the columns of the hours are."""

    columns = Columns()
    over_days = True
    """Whether what stands beneath are days, and not what gives them their hours."""

    def stand_over(self, days: bool) -> None:
        """Follow what is beneath."""
        if days != self.over_days:
            self.over_days = days
            self.refresh()

    def say(self, columns: Columns) -> None:
        """Stand over these columns."""
        if columns != self.columns:
            self.columns = columns
            self.refresh()

    def render(self) -> Content:
        """The places by name, how full at the right edge; over the usual week what that sums."""
        width = max(1, self.content_size.width)
        if not self.over_days:
            return Content(f"{'':{width - 9}} a week ")
        if not self.columns.widths:
            return Content("")
        named = fitted(f"{'':{BEFORE}}{self.columns.cells(list(NAMES.values()))}", width - 5)
        # the last column is that of the scrollbar
        return Content(f"{padded(named, width - 6)} full ")


class HoursList(MarkedLines, can_focus=True):
    """Days by week, with what gives them their hours below."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "choose",
            "change",
            key_display="enter",
            id="hours.enter",
            tooltip=CHANGES,
        ),
    ]

    def __init__(self, headings: Headings, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.headings = headings
        self.project: Project | None = None
        self.plan: Plan | None = None
        self.weeks: tuple[WeekAhead, ...] = ()
        self.below = 0
        """The line that parts the days from what gives them their hours."""

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Other lines are seen: the headings follow."""
        super().watch_scroll_y(old_value, new_value)
        self.headings.stand_over(round(new_value) < self.below or not self.below)

    def show(self, project: Project, plan: Plan) -> None:
        """Show a project by its plan; the cursor stays where it is, at first on today."""
        self.project, self.plan = project, plan
        self.weeks = weeks_ahead(project, plan)
        if self.cursor is None:
            self.cursor = f"{DAY} {plan.now.date().isoformat()}"
        self.renew()

    def go(self, key: str, tell: bool = True) -> bool:
        """Put the cursor on a line, and its mark with it; the lines stay as they are."""
        moved = Lines.go(self, key, tell)
        self.lines = marked(self.lines, key) if moved else self.lines
        return moved

    @property
    def subject(self) -> tuple[str, str]:
        """What the cursor stands on, and which."""
        kind, _, which = (self.cursor or "").partition(" ")
        return kind, which

    @property
    def day(self) -> date | None:
        """The day under the cursor."""
        kind, which = self.subject
        return date.fromisoformat(which) if kind == DAY else None

    def to_the_week(self) -> None:
        """Put the cursor on the usual week, as much of what is below as there is room for."""
        self.go(f"{WEEK} {PLACES[0]}")
        index = self._index()
        if index is not None:
            self.scroll_to(y=index - 1, animate=False, force=True)

    def compose_lines(self, width: int) -> Sequence[Line]:
        """Weeks with their days, then what gives them their hours."""
        project, plan = self.project, self.plan
        if project is None or plan is None:
            return ()
        rows = {day.day: day_row(day) for week in self.weeks for day in week.days}
        columns = columns_for(list(rows.values()), width)
        self.headings.say(columns)
        found: list[Line] = []
        above = ""
        for week in self.weeks:
            found.append(_week(week))
            for day in week.days:
                row, today = rows[day.day], day.day == plan.now.date()
                same = bool(above) and row.note == above
                found += self._day(row, columns, width, today=today, same=same)
                above = row.note
                found += [_occasion(one, f"{DAY} {day.day}") for one in day.occasions]
        self.below = len(found)
        found.append(plain("╌" * width, "line"))
        return [*found, *self._below(project, plan)]

    def _marked(self, key: str, *runs: Run, right: Run | None = None) -> Line:
        here = CURSOR if key == self.cursor else " "
        return Line(runs=(Run(text=here, style="accent"), *runs), right=right, key=key)

    def _day(
        self, row: DayRow, columns: Columns, width: int, *, today: bool, same: bool
    ) -> list[Line]:
        """A day's hours in their columns, why they differ behind or beneath.

        ``same``: for the reason of the day above, which is not said twice where that takes a line.
        """
        key = f"{DAY} {row.day}"
        style = "strong" if today else ""
        there, *more = [row.instead] if row.instead else columns.lines(row.cells)
        if row.instead and row.note:
            there = f"{row.instead}, {row.note}"
        dated = Run(text=f" {row.dated}  ", style=style)
        usual = row.instead == "no hours" and not row.note
        hours = Run(text=there, style="faint" if usual else style)
        beneath = [
            Line(runs=(Run(text=f"{'':{BEFORE}}{text}", style=style),), click=key) for text in more
        ]
        right = full_run(row.full)
        note = "" if row.instead else row.note
        at = sum(w + GAP for w in columns.widths if w)
        room = width - BEFORE - cells(right.text) - 1
        if same and cells(there) + GAP + cells(note) > room:
            note = AS_ABOVE
        if at + cells(note) > room:
            at = cells(there) + GAP
        if at + cells(note) <= room or not note:
            beside = Run(text=f"{' ' * (at - cells(there))}{note}" if note else "", style="accent")
            return [self._marked(key, dated, hours, beside, right=right), *beneath]
        below = Run(text=f"{'':{BEFORE}}{fitted(note, width - BEFORE - 1)}", style="accent")
        lines = [self._marked(key, dated, hours, right=right), *beneath]
        return [*lines, Line(runs=(below,), click=key)]

    # what gives the days their hours

    def _below(self, project: Project, plan: Plan) -> list[Line]:
        """The usual week place by place, the days that differ, the settings."""
        workroom, today = project.workroom, plan.now.date()
        found = [plain(" The usual week", "strong")]
        for place in PLACES:
            minutes = week_minutes(week_of(workroom, place))
            right = Run(text=column(minutes) if minutes else "", style="faint")
            told = f" {NAMES[place]:<{NAME}}{week_row(workroom, place)}"
            found.append(self._marked(f"{WEEK} {place}", Run(text=told), right=right))
        found.append(plain(" Days that differ from it", "strong"))
        for index, change in enumerate(workroom.changes):
            reason = clean(change.reason)
            told = f" {days_told(change, today)}: {gives(change)}"
            past = is_past(change, today)
            why = Run(text=f"  {reason}" if reason else "", style="faint" if past else "accent")
            line = Run(text=told, style="faint" if past else "")
            found.append(self._marked(f"{CHANGE} {index}", line, why))
        if not workroom.changes:
            none = " None yet: a for days away, i for choir every first Tuesday and the like."
            found.append(self._marked(NO_CHANGE, Run(text=none, style="faint")))
        found.append(plain(" Besides", "strong"))
        for key, name, told in settings_rows(workroom):
            found.append(self._marked(f"{SETTING} {key}", Run(text=f" {name:<{NAME}}{told}")))
        return found


def full_run(full: Full) -> Run:
    """How full, at the right edge; over is reversed."""
    return Run(text=full.text, style="accent" if full.over else "", reverse=full.over)


def _week(week: WeekAhead) -> Line:
    """A week's sum."""
    full = week_full(week)
    style = "accent" if full.over else "strong"
    right = Run(text=full.text, style=style, reverse=full.over)
    return Line(runs=(Run(text=f" {week_told(week)}", style="strong"),), right=right)


def _occasion(occasion: PlannedOccasion, click: str) -> Line:
    """An occasion in its day."""
    told = f"{'':{BEFORE}}{hours_of(occasion)}  {occasion_name(occasion)}"
    return Line(runs=(Run(text=told, style="strong"),), click=click)
