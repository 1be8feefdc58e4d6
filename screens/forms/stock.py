"""The form of a stock: cloth, trim or notions."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from planner.editing import add_stock, free_stock, replace_stock
from planner.model import Project, Stock
from screens.forms import lookups
from screens.forms.checked import GONE
from screens.forms.fields import Field, Reading, Texts, Wrong, typed
from screens.forms.making import Maker
from screens.forms.questions import Questions
from screens.forms.tables import (
    Plain,
    Typing,
    read_stock_table,
    stock_table,
    text_of,
    trimmed,
    yes_or_no,
)
from screens.forms.texts import coming_from, coming_text, moment_from, number_from
from screens.state import State
from screens.wording import clean, with_article


class StockQuestions(Questions):
    """A stock that is there, or a new one of an ensemble."""

    def __init__(self, state: State, ensemble: str, stock: str | None = None) -> None:
        """``stock`` is a full id, ``ensemble/stock``; None for a new one."""
        super().__init__(state)
        self.ensemble_id = ensemble
        self.stock_id = stock
        self.was = self._table() or {}
        name = clean(text_of(self.was.get("name")) or text_of(self.was.get("id")))
        self.title = f"About {with_article(name)}" if stock else "Something new in stock"
        today = state.now.date()
        self.typing = Typing(
            today=today,
            parse={
                **dict.fromkeys(("id", "lead"), trimmed),
                "have": number_from,
                "counted": partial(moment_from, today=today),
                "again": yes_or_no,
                "coming": lambda text: coming_from(text, today) or None,
            },
        )

    def renew(self, state: State) -> None:
        """The files were read again; where it has gone the fields stay as they were."""
        super().renew(state)
        if self.stock is not None:
            self.was = self._table() or self.was

    @property
    def stock(self) -> Stock | None:
        """The stock as it is now."""
        ident = self.stock_id
        return lookups.stock_of(self.state.project, ident) if ident else None

    def _table(self) -> Plain | None:
        stock = self.stock
        if stock is None:
            return None if self.stock_id else {}
        return stock_table(stock, self.state.project.workroom.units)

    def fields(self, texts: Texts) -> Sequence[Field]:
        """What, how much there is, and what is coming."""
        make = Maker(table={"again": True, **self.was}, as_text={"coming": coming_text})
        further = Maker(table=self.was, further=True)
        return [
            make.text("name", "Name", "What it is: bleached linen, 1.5 m wide."),
            make.text("have", "There is", "3.5 m, 40 in, or a number.", empty="nothing"),
            make.text(
                "counted",
                "Counted on",
                "The day of that count; what was used since is taken off. Write it as 22 May.",
                empty="before all work",
            ),
            make.text("lead", "Takes to arrive", "From order to arrival: 10 days."),
            make.flag("again", "Can be bought again", "Whether more of it can still be had."),
            make.text(
                "coming",
                "Coming",
                "Each delivery, and when it arrives. Write it as 3 m on 3 May, 2 m.",
                empty="nothing",
            ),
            further.text(
                "id",
                "Id",
                "Its name in the files; what uses it follows. Empty: made of its name.",
            ),
        ]

    def read(self, texts: Texts) -> Reading:
        """The stock as it would be."""
        base = self._table()
        if base is None:
            return Reading(wrong=(Wrong(key="", text=GONE),))
        table = self.typing.into(base, typed(self.fields(texts), texts))
        if table.get("again") is True:
            del table["again"]
        wrong: tuple[Wrong, ...] = ()
        if self.stock_id is None and not text_of(table.get("name")).strip():
            wrong = (Wrong(key="name", text="Say what it is."),)
        if not text_of(table.get("id")).strip():
            name = text_of(table.get("name")) or "stock"
            table["id"] = free_stock(self.state.project, self.ensemble_id, name)
        stock, more = read_stock_table(table)
        wrong += more
        return Reading(wrong=wrong) if wrong else self._reading(stock)

    def _reading(self, stock: Stock) -> Reading:
        """The edit, by ids."""
        ensemble, ident = self.ensemble_id, self.stock_id

        def change(project: Project) -> Project:
            if ident is None:
                return add_stock(project, ensemble, stock)
            return replace_stock(project, ident, stock)

        there = self.stock
        name = clean(stock.name) or stock.id
        return Reading(
            label=f"{name} {'changed' if ident else 'added'}",
            change=change,
            cursor=f"{ensemble}/{stock.id}",
            where=there.where if there else "",
        )
