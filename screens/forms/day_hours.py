"""The forms of one day's hours, and of days away."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from typing import TypeVar

from planner.day_hours import hours_of_days
from planner.editing import PLACES, away, check_days, check_spans, day_spans, set_day
from planner.ground import YEARS_AHEAD
from planner.hours_ahead import DayAhead, weeks_ahead
from planner.model import Project, Span
from planner.occasions import away_times
from planner.plan import Plan
from planner.week import format_spans, parse_spans
from screens.forms.fields import Field, Reading, Texts, Wrong, typed
from screens.forms.questions import Questions
from screens.hours_told import (
    NAMES,
    away_label,
    day_full,
    day_heading,
    day_label,
    planned_there,
    spans_told,
)
from screens.state import State
from screens.which_days import day_from
from screens.widgets.hours_day import day_lines
from screens.widgets.lines import Line, Run, plain
from screens.wording import clean, count, long_date, named_date, spoken

T = TypeVar("T")
REASON, UNTIL = "reason", "until"
HOURS_HELP: Mapping[str, str] = {
    "workroom": "At table, machine and iron: 19:30-21:30, or 10-13 14-17; none where there are"
    " none.",
    "sofa": "With needle, lamp and lap: 20:30-22; none where there are none.",
    "take_along": "With a bag, on a train: 7:40-8:10 17:20-17:50; none where there are none.",
    "helper": "Workroom hours with a second pair of hands: 14-17; none where there are none.",
}
MOST_BESIDE = 8
"""Days shown beside the form of days away."""


def spans_from(text: str) -> tuple[Span, ...]:
    """Hours of a day as typed; raises ValueError with a sentence for the maker."""
    try:
        spans = parse_spans(text)
        check_spans(spans)
    except ValueError as error:
        sentence = str(error).rstrip(".")
        raise ValueError(f"{sentence[:1].upper()}{sentence[1:]}.") from None
    return spans


def each_parsed(
    texts: Mapping[str, str], parse: Callable[[str], T]
) -> tuple[dict[str, T], tuple[Wrong, ...]]:
    """Texts by a parser that raises ValueError: what they are, and what is wrong where."""
    found, wrong = {}, []
    for key, text in texts.items():
        try:
            found[key] = parse(text)
        except ValueError as error:
            wrong.append(Wrong(key=key, text=str(error)))
    return found, tuple(wrong)


def days_ahead(project: Project, plan: Plan, first: date, last: date) -> list[DayAhead]:
    """Days by a plan, also those behind or before it."""
    shown = {one.day: one for week in weeks_ahead(project, plan) for one in week.days}
    return [
        shown.get(hours.day) or DayAhead(hours=hours, windows=(), occasions=(), in_plan=False)
        for hours in hours_of_days(project.workroom, first, last, away_times(project.ensembles))
    ]


class DayHoursQuestions(Questions):
    """The hours of one day at every place, and why they differ from its week."""

    def __init__(self, state: State, day: date) -> None:
        super().__init__(state)
        self.day = day
        self.title = f"The hours of {long_date(day, state.now.date())}"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """A line of hours for each place, and the reason."""
        spans = day_spans(self.state.project, self.day)
        found = [
            Field(
                key=place,
                label=NAMES[place].capitalize(),
                help=HOURS_HELP[place],
                value=_text_of(getattr(spans, place)),
                empty="none",
            )
            for place in PLACES
        ]
        reason = Field(
            key=REASON,
            label="Reason",
            help="Why this day differs from its week: guests, a concert.",
            value=self._reason(),
        )
        return [*found, reason]

    def _reason(self) -> str:
        """What the day's own change says."""
        own = [
            change
            for change in self.state.project.workroom.changes
            if change.rule is None and change.first == self.day and change.last in (self.day, None)
        ]
        return clean(own[-1].reason) if own else ""

    def read(self, texts: Texts) -> Reading:
        """The day as it would be."""
        new = typed(self.fields(texts), texts)
        reason = new.pop(REASON, None)
        spans, wrong = each_parsed(new, spans_from)
        if wrong:
            return Reading(wrong=wrong)
        day = self.day

        def change(project: Project) -> Project:
            return set_day(
                project,
                day,
                workroom=spans.get("workroom"),
                sofa=spans.get("sofa"),
                take_along=spans.get("take_along"),
                helper=spans.get("helper"),
                reason=reason,
            )

        after = change(self.state.project)
        if reason and after.workroom == self.state.project.workroom:
            text = "This day is as its week has it: there is nothing to give a reason for."
            return Reading(wrong=(Wrong(key=REASON, text=text),))
        return Reading(
            label=day_label(day),
            change=change,
            told=spans_told(day_spans(after, day), after.workroom.setting_up),
            cursor=day.isoformat(),
        )

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """The day as planned, live."""
        project = self.state.project
        if plan is not None:
            reading = self.read(texts)
            project = reading.change(project) if reading.change else project
        shown = plan or self.state.plan
        (day,) = days_ahead(project, shown, self.day, self.day)
        off = project.workroom.setting_up
        return _without_keys(day_lines(shown, day, width, setting_up=off))


class AwayQuestions(Questions):
    """Days away from every place: until when, and why."""

    title = "Away"
    whole = True

    def __init__(self, state: State, day: date) -> None:
        super().__init__(state)
        self.day = day
        self.title = f"Away from {named_date(day, state.now.date())}"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Until when, and why."""
        return [
            Field(
                key=UNTIL,
                label="Until",
                help="The last day away. Write it as Sunday, 16 May or 2027-05-16. There are no"
                " hours at any place up to its end.",
                empty="that day alone",
            ),
            Field(key=REASON, label="Reason", help="What you will read there: on the night ferry."),
        ]

    def read(self, texts: Texts) -> Reading:
        """The days without hours."""
        until, wrong = each_parsed({UNTIL: texts.get(UNTIL, "")}, self._last)
        if wrong:
            return Reading(wrong=wrong)
        first, last = self.day, until[UNTIL]
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        planned = planned_there(self.state.plan, days)
        there = f"{spoken(planned)} planned there now" if planned else "nothing planned there now"
        alone = long_date(first, self.state.now.date())
        return Reading(
            label=away_label(first, last),
            change=partial(away, first=first, last=last, reason=texts.get(REASON, "")),
            told=f"{alone if first == last else count(len(days), 'day')}, {there}",
            cursor=first.isoformat(),
        )

    def _last(self, text: str) -> date:
        """The last day away. Raises ValueError with a sentence."""
        if not text.strip():
            return self.day
        near = text.strip().casefold() in ("today", "tomorrow")
        last = day_from(text, self.state.now.date() if near else self.day)
        try:
            check_days(self.day, last)
        except ValueError as error:
            raise ValueError(f"{error}.") from None
        if last.year > self.day.year + YEARS_AHEAD:
            raise ValueError(f"{last.year} is more than {YEARS_AHEAD} years ahead: check the year.")
        return last

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """What is planned on those days now, and must go elsewhere."""
        until, wrong = each_parsed({UNTIL: texts.get(UNTIL, "")}, self._last)
        if wrong:
            return ()
        state = self.state
        found = [plain(" As it is now", "strong")]
        days = (until[UNTIL] - self.day).days + 1
        end = min(until[UNTIL], self.day + timedelta(days=MOST_BESIDE - 1))
        for day in days_ahead(state.project, state.plan, self.day, end):
            full = day_full(day)
            right = Run(text=full.text, style="accent" if full.over else "faint", reverse=full.over)
            found.append(
                Line(runs=(Run(text=f" {day_heading(day, state.now.date())}"),), right=right)
            )
        if days > MOST_BESIDE:
            found.append(plain(f" and {count(days - MOST_BESIDE, 'day')} more", "faint"))
        return found


def _text_of(spans: tuple[Span, ...]) -> str:
    """Hours as they stand in a field; nothing where there are none."""
    return format_spans(spans) if spans else ""


def _without_keys(lines: Sequence[Line]) -> list[Line]:
    """Lines no cursor can stand on."""
    return [Line(runs=line.runs, right=line.right) for line in lines]
