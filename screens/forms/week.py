"""The forms of a place's usual week, and of how days are made: one field each."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from planner.durations import parse_duration, parse_share
from planner.editing import replace_workroom, set_week
from planner.files.phrasing import write_duration, write_share
from planner.hours import DAY
from planner.model import Project, Workroom
from planner.plan import Plan
from planner.week import format_week, parse_week
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.hours_told import (
    FILL_TO,
    LIMIT,
    NAMES,
    SERVES,
    SETTING_MEANS,
    SETTING_UP,
    compact,
    settings_rows,
    week_minutes,
    week_of,
)
from screens.state import State
from screens.widgets.lines import Line, plain
from screens.wording import WEEKDAYS, spoken, wrapped

VALUE = "value"
"""Key of the one field."""
WEEK_HELP = (
    "Days and hours: tue thu 19:30-21:30, sat 10-13 14-17; daily, mon-fri too. none: no hours."
)
NOTHING = ("", "none", "-", "no", "no limit")


class WeekQuestions(Questions):
    """The usual week of one place."""

    def __init__(self, state: State, place: str) -> None:
        super().__init__(state)
        self.place = place
        self.title = f"The usual {NAMES[place]} hours"
        if place == "take_along":
            self.title = "The usual hours on the way"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The week as one line."""
        week = week_of(self.state.project.workroom, self.place)
        return [
            Field(key=VALUE, label="Week", help=WEEK_HELP, value=format_week(week), empty="none")
        ]

    def read(self, texts: Texts) -> Reading:
        """The week as it would be."""
        place = self.place
        try:
            week = parse_week(texts.get(VALUE, ""))
            set_week(self.state.project, place, week)
        except ValueError as error:
            return Reading(wrong=(_wrong(str(error)),))
        minutes = week_minutes(week)
        return Reading(
            label=f"the usual week changed: {NAMES[place]}",
            change=lambda project: set_week(project, place, week),
            told=f"{spoken(minutes)} a week" if minutes else "no hours",
            cursor=f"week {place}",
            where=f"{place}_hours",
        )

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """What these hours are for, and weekday by weekday what they are."""
        try:
            week = parse_week(texts.get(VALUE, ""))
        except ValueError:
            return ()
        found = [plain(f" {line}") for line in wrapped([SERVES[self.place]], max(20, width - 2))]
        for name, spans in zip(WEEKDAYS, week, strict=True):
            found.append(plain(f" {name:<12}{compact(spans)}", "" if spans else "faint"))
        return found


def _setting_up(workroom: Workroom, text: str) -> Workroom:
    minutes = 0 if text.casefold() in NOTHING else parse_duration(text)
    return replace(workroom, setting_up=_of_a_day(minutes))


def _fill_to(workroom: Workroom, text: str) -> Workroom:
    share = parse_share(text if text.endswith("%") else f"{text}%")
    if not 0 <= share <= 1:
        raise ValueError("days are filled to at most 100%: write a share such as 70%")
    return replace(workroom, fill_to=share)


def _limit(workroom: Workroom, text: str) -> Workroom:
    minutes = None if text.casefold() in NOTHING else _of_a_day(parse_duration(text))
    return replace(workroom, hand_sewing_limit=minutes)


def _of_a_day(minutes: int) -> int:
    if minutes > DAY:
        raise ValueError("a day has 24 hours: write 15m, or 2h30")
    return minutes


SETTINGS: Final[Mapping[str, Callable[[Workroom, str], Workroom]]] = {
    SETTING_UP: _setting_up, FILL_TO: _fill_to, LIMIT: _limit,
}  # fmt: skip
EXAMPLES: Final[Mapping[str, str]] = {
    SETTING_UP: "15m; none where nothing is got out.",
    FILL_TO: "A share, 70%; what is left is reserve.",
    LIMIT: "How long fingers last: 2h30; none for no limit.",
}


def setting_text(workroom: Workroom, key: str) -> str:
    """A setting as it is typed."""
    if key == SETTING_UP:
        return write_duration(workroom.setting_up) if workroom.setting_up else ""
    if key == FILL_TO:
        return write_share(workroom.fill_to)
    limit = workroom.hand_sewing_limit
    return "" if limit is None else write_duration(limit)


class SettingQuestions(Questions):
    """One setting: setting up, how full days are made, hand sewing a day."""

    def __init__(self, state: State, key: str) -> None:
        super().__init__(state)
        self.key = key
        self.name = {one: name for one, name, _ in settings_rows(state.project.workroom)}[key]
        self.title = f"{self.name[:1].upper()}{self.name[1:]}"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The setting, as the files write it."""
        return [
            Field(
                key=VALUE,
                label=self.title,
                help=f"{EXAMPLES[self.key]} {SETTING_MEANS[self.key]}",
                value=setting_text(self.state.project.workroom, self.key),
                empty="none",
            )
        ]

    def read(self, texts: Texts) -> Reading:
        """The setting as it would be."""
        text, put = texts.get(VALUE, "").strip(), SETTINGS[self.key]
        try:
            put(self.state.project.workroom, text)
        except ValueError as error:
            return Reading(wrong=(_wrong(str(error)),))

        def change(project: Project) -> Project:
            return replace_workroom(project, put(project.workroom, text))

        return Reading(
            label=f"{self.name} changed", change=change, cursor=f"setting {self.key}",
            where=self.key,
        )  # fmt: skip


def _wrong(text: str) -> Wrong:
    sentence = text.rstrip(".")
    return Wrong(key=VALUE, text=f"{sentence[:1].upper()}{sentence[1:]}.")
