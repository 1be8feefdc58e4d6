"""The form of a change of hours: a day, a span of days, or a recurrence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from planner.editing import PLACES, add_change, check_change, replace_change
from planner.hours_ahead import days_changed
from planner.model import Change, Project, Span
from planner.plan import Plan
from planner.week import format_spans
from screens.forms.checked import GONE
from screens.forms.day_hours import HOURS_HELP, REASON, each_parsed, spans_from
from screens.forms.fields import Field, Reading, Texts, Wrong, typed
from screens.forms.questions import Questions
from screens.hours_told import NAMES, change_label, change_sentences, gives
from screens.state import State
from screens.which_days import EXAMPLE, days_from, days_text, days_told
from screens.widgets.lines import Line, plain
from screens.wording import clean, wrapped

DAYS = "days"
SHOWN_AHEAD = 366
"""Days looked through for those a change falls on, where it falls on none of the plan's."""


class ChangeQuestions(Questions):
    """A change that is there, or a new one."""

    def __init__(self, state: State, index: int | None = None, days: str = "") -> None:
        """``index`` is its place in the file; None for a new one, at first for ``days``."""
        super().__init__(state)
        changes = state.project.workroom.changes
        self.new = index is None
        self.was = Change() if index is None else replace(changes[index], where="")
        self.days = days
        self.title = "Days that differ from their week"
        self.whole = False

    def _index(self, project: Project) -> int | None:
        """Where the change that is edited stands; None where it no longer does."""
        for index, change in enumerate(project.workroom.changes):
            if replace(change, where="") == self.was:
                return index
        return None

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Which days, what hours there are on them, and why."""
        which = Field(
            key=DAYS,
            label="Days",
            help=f"Write it as {EXAMPLE}; every other Thursday from 6 May until 1 July, too.",
            value=self.days if self.new else clean(days_text(self.was)),
        )
        places = [
            Field(
                key=place,
                label=NAMES[place].capitalize(),
                help=HOURS_HELP[place],
                value=_text_of(getattr(self.was, place)),
                empty="as in the week",
            )
            for place in PLACES
        ]
        reason = Field(
            key=REASON,
            label="Reason",
            help="What you will read at those days: choir, on the night ferry.",
            value=clean(self.was.reason),
        )
        return [which, *places, reason]

    def read(self, texts: Texts) -> Reading:
        """The change as it would be."""
        if not self.new and self._index(self.state.project) is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        change, wrong = self._change(texts)
        if not wrong:
            try:
                check_change(change)
            except ValueError as error:
                # days and hours were read: what is left is that it names none
                wrong = (Wrong(key=PLACES[0], text=_sentence(error)),)
        if wrong:
            return Reading(wrong=wrong)
        today = self.state.now.date()

        def kept(project: Project) -> Project:
            index = self._index(project)
            if self.new or index is None:
                return add_change(project, change)
            return replace_change(project, index, change)

        changes = self.state.project.workroom.changes
        index = len(changes) if self.new else self._index(self.state.project)
        return Reading(
            label=change_label(change, today, "added" if self.new else "changed"),
            change=kept,
            told=f"{days_told(change, today)}: {gives(change)}",
            cursor=f"change {index}",
            where=f"change[{index}]",
        )

    def _change(self, texts: Texts) -> tuple[Change, tuple[Wrong, ...]]:
        """What is typed worked into what was there, and what is wrong where."""
        fields = self.fields(texts)
        new = typed(fields, texts)
        if self.new:
            new[DAYS] = texts.get(DAYS, self.days)
        change, wrong = self.was, []
        if REASON in new:
            change = replace(change, reason=new.pop(REASON).strip())
        if DAYS in new:
            try:
                change = days_from(new.pop(DAYS), self.state.now.date()).of(change)
            except ValueError as error:
                wrong.append(Wrong(key=DAYS, text=str(error)))
        spans, more = each_parsed(new, _spans_or_week)
        for place, there in spans.items():
            change = _with(change, place, there)
        return change, (*wrong, *more)

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """On which of the days ahead it falls, and what it gives there."""
        change, wrong = self._change(texts)
        if wrong:
            return ()
        first, days = self.state.now.date(), [day.date for day in self.state.plan.days]
        if not days_changed(change, days):
            days = [first + timedelta(days=n) for n in range(SHOWN_AHEAD)]
        said = change_sentences(change, days, first)
        return [plain(f" {line}") for one in said for line in wrapped([one], max(20, width - 2))]


def _text_of(spans: tuple[Span, ...] | None) -> str:
    """Hours as they stand in a field; nothing where the week's stay."""
    return "" if spans is None else format_spans(spans)


def _spans_or_week(text: str) -> tuple[Span, ...] | None:
    """Hours as typed; None where the week's stay."""
    return spans_from(text) if text.strip() else None


def _with(change: Change, place: str, spans: tuple[Span, ...] | None) -> Change:
    """A change with other hours of a place."""
    if place == "workroom":
        return replace(change, workroom=spans)
    if place == "sofa":
        return replace(change, sofa=spans)
    if place == "take_along":
        return replace(change, take_along=spans)
    return replace(change, helper=spans)


def _sentence(error: ValueError) -> str:
    text = str(error).rstrip(".")
    return f"{text[:1].upper()}{text[1:]}."
