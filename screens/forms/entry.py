"""The form of one entry of the diary: when, for how long, what is left, in the maker's words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial

from planner.diary_days import Logged
from planner.model import Entry, Used
from planner.problems import InputError
from planner.quantity import Quantity, parse_quantity, with_point
from screens.amounts_told import worded_amount
from screens.diary_doing import CHANGED, changed, place_of
from screens.diary_told import entry_told
from screens.forms import lookups
from screens.forms.fields import YES, Field, Option, Reading, Texts, Wrong, flag, typed
from screens.forms.names import Names
from screens.forms.questions import Questions
from screens.forms.texts import moment_from, moment_text, pairs_from, stock_written
from screens.log_rows import minutes_from
from screens.state import State
from screens.wording import clean, column, quoted

_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_YESTERDAY = re.compile(r"yesterday\b[, ]*(.*)", re.IGNORECASE)
WHEN = "Write the day and the time: 2027-05-04 21:30, 4 May 21:30, yesterday 21:30, or 21:30."
HOW_LONG = "Write minutes as 50, 0:50 or 1h30."
HOW_MUCH = "Write a stock and how much of it was taken: braid = 2.9 m, hooks = 6."


def at_from(text: str, was: datetime, today: date) -> datetime | None:
    """The moment of an entry as typed; None where it is none. A day without a year lies behind,
    a time alone keeps the day."""
    text = text.strip()
    time_alone = _CLOCK.fullmatch(text)
    if time_alone is not None:
        return _with_clock(was, int(time_alone[1]), int(time_alone[2]))
    yesterday = _YESTERDAY.fullmatch(text)
    if yesterday is not None:
        text = f"{today - timedelta(days=1)} {yesterday[1]}".strip()
    found = moment_from(text, today)
    if not isinstance(found, date):
        return None
    if not isinstance(found, datetime):
        found = datetime.combine(found, was.time())
    if found.date() > today and str(found.year) not in text:
        try:
            found = found.replace(year=found.year - 1)
        except ValueError:
            return None
    return found


def _with_clock(was: datetime, hour: int, minute: int) -> datetime | None:
    if hour > 23 or minute > 59:
        return None
    return was.replace(hour=hour, minute=minute, second=0)


class EntryQuestions(Questions):
    """An entry that is there."""

    def __init__(self, state: State, logged: Logged) -> None:
        super().__init__(state)
        self.logged = logged
        self.title = f"{quoted(state.plan, logged.entry.step)}, as it was logged"

    @property
    def entry(self) -> Entry | None:
        """The entry as it is now; None where it has gone."""
        try:
            return self.state.project.diary.entries[place_of(self.state.project, self.logged)]
        except InputError:
            return None

    def fields(self, texts: Texts) -> Sequence[Field]:
        """When, for how long, done or what is left, a note, what was used."""
        entry = self.logged.entry
        return [
            Field(key="at", label="When", help=WHEN, value=moment_text(entry.at)),
            Field(
                key="minutes",
                label="For how long",
                help=HOW_LONG,
                value=column(entry.minutes) if entry.minutes else "",
                empty="no time was taken",
            ),
            flag("done", "Done", value=entry.done, help="Whether the step was finished by it."),
            Field(
                key="left",
                label="Left, by guess",
                help=f"Minutes that were left then. {HOW_LONG}",
                value=column(entry.left) if entry.left is not None else "",
                empty="nothing said",
            ),
            Field(
                key="note",
                label="Note",
                help="In your own words; it goes into the record of how it was made.",
                value=clean(entry.note),
            ),
            Field(
                key="used",
                label="Really used",
                help=HOW_MUCH,
                value=self._used_text(entry.used),
                empty="as planned",
                found=self._stocks,
                nothing="No stock is written down for this ensemble yet.",
                sought="stock",
                names=lambda key: f"{stock_written(self._names().shown(key))} = ",
                several=True,
            ),
        ]

    def _stocks(self) -> Sequence[Option]:
        ensemble = self.logged.entry.step.split("/")[0]
        for one in self.state.project.ensembles:
            if one.id == ensemble:
                return lookups.stock(one)
        return ()

    def _names(self) -> Names:
        return Names((one.key, one.name) for one in self._stocks())

    def _used_text(self, used: Sequence[Used]) -> str:
        names, units = self._names(), self.state.project.workroom.units
        told = partial(_amount, units=units)
        return ", ".join(
            f"{stock_written(clean(names.shown(one.stock)))} = {told(one.amount)}" for one in used
        )

    def read(self, texts: Texts) -> Reading:
        """The entry as it would be."""
        if self.entry is None:
            return Reading(wrong=(Wrong(key="", text=f"{CHANGED[:1].upper()}{CHANGED[1:]}."),))
        wrong: list[Wrong] = []
        entry = self._typed_into(self.logged.entry, typed(self.fields(texts), texts), wrong)
        if entry.done and entry.left:
            text = "It was done: nothing was left then. Take one of the two out."
            wrong.append(Wrong(key="left", text=text))
        if wrong:
            return Reading(wrong=tuple(wrong))
        entry = replace(entry, left=None) if entry.done else entry
        doing = changed(self.state.plan, self.logged, entry)
        return Reading(
            label=doing.label,
            change=doing.change,
            told=entry_told(self.state.plan, entry),
            where=f"entry[{self.logged.index}]",
        )

    def _typed_into(self, entry: Entry, new: Texts, wrong: list[Wrong]) -> Entry:
        """The entry with what was typed; what can't be understood goes to ``wrong``."""
        if "at" in new:
            at = at_from(new["at"], entry.at, self.state.now.date())
            if at is None:
                wrong.append(Wrong(key="at", text=WHEN))
            entry = replace(entry, at=at or entry.at)
        for key in ("minutes", "left"):
            if key in new:
                try:
                    minutes = minutes_from(new[key]) if new[key].strip() else None
                except ValueError:
                    wrong.append(Wrong(key=key, text=HOW_LONG))
                    continue
                entry = (
                    replace(entry, minutes=minutes or 0)
                    if key == "minutes"
                    else replace(entry, left=minutes)
                )
        if "done" in new:
            entry = replace(entry, done=new["done"] == YES)
        if "note" in new:
            entry = replace(entry, note=clean(new["note"]))
        if "used" in new:
            entry = replace(entry, used=self._used_from(new["used"], wrong))
        return entry

    def _used_from(self, text: str, wrong: list[Wrong]) -> tuple[Used, ...]:
        names = self._names()
        found = []
        for name, amount in pairs_from(text).items():
            try:
                taken = parse_quantity(with_point(str(amount)))
            except ValueError as error:
                sentence = HOW_MUCH if not str(amount).strip() else f"{error}."
                wrong.append(Wrong(key="used", text=sentence))
                continue
            if not names.knows(name):
                text = f"There is no stock “{clean(name)}”: look it up, or add it at the Stock."
                wrong.append(Wrong(key="used", text=text))
                continue
            found.append(Used(stock=names.ident(name), amount=taken))
        return tuple(found)


def _amount(quantity: Quantity, units: str) -> str:
    return worded_amount(quantity.value, quantity.dimension, units)
