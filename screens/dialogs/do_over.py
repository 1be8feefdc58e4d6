"""What must be done over: the step that failed, and by choice what was done after it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from planner.doing_over import DoOver, what_to_do_over
from screens.dialogs.ticking import Row, Ticking
from screens.diary_doing import opened_again
from screens.doing import Doing
from screens.log_rows import minutes_from
from screens.state import State
from screens.widgets.ask_line import AskLine
from screens.widgets.key_line import Shown
from screens.wording import clean, column, count, garment_of, name_of, quoted

LEFT, NOTE = "left", "note"


class DoOverSheet(Ticking):
    """Steps that are done, to be opened again."""

    kept = "do over"
    how = "Space: × again, · stays done. Digits: minutes left. n: why, for the record."
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(digit, f"left({digit})", "left", show=False, id=f"over.{digit}",
                    tooltip="Type how many minutes are left of it")
            for digit in "0123456789"
        ),
        Binding("n", "note", "why", id="over.note", tooltip="Say why: it goes into the record"),
    ]  # fmt: skip

    def __init__(self, state: State, about: Sequence[str], why: str = "") -> None:
        """``about``: what failed, by full id; ``why`` is proposed as the note."""
        super().__init__(state)
        self.about = tuple(about)
        self.left: dict[str, int] = {}
        """Minutes left where they were typed."""
        self.note = why
        self.typing = ""
        """What is typed beneath: what is left, or why."""

    @property
    def found(self) -> DoOver | None:
        """What can be opened again."""
        return what_to_do_over(self.state.plan, self.about)

    @property
    def told_in_help(self) -> str:
        """What is opened again, and what stays."""
        return (
            "× is opened again, · stays done. What failed is ticked; what was done after it is"
            " ticked by choice, and so is what was right before it. At the right stand the minutes"
            " it will have left: the whole estimate, unless you type others. What was logged stays"
            " in the diary and in the record. Nothing is kept before enter, and ^z takes it back."
        )

    def begin(self) -> None:
        """What failed is ticked, where that is known."""
        found = self.found
        self.ticked = self._at_first(found)
        if found is not None:
            name = quoted(self.state.plan, found.about[0])
            self.title_told = f"Do over {name}"
            if found.about[1:]:
                self.title_told = "Do over what failed at the occasion"
            self.ticks.cursor = found.about[0]

    @staticmethod
    def _at_first(found: DoOver | None) -> frozenset[str]:
        """The one step that failed; of several the maker says which."""
        one = found is not None and len(found.about) == 1
        return frozenset(found.about) if found is not None and one else frozenset()

    def rows(self) -> Sequence[Row]:
        """What failed, what follows it, what was right before it."""
        found = self.found
        if found is None:
            return [Row(text="It isn't done any more: there is nothing to do over.", heading=True)]
        failed = "That failed" if len(found.about) == 1 else "Which of these failed?"
        rows: list[Row] = []
        for heading, steps in (
            (failed, found.about),
            ("Done after it: which of these must be done over too?", found.follows),
            ("Done right before it", found.leads),
        ):
            if steps:
                rows.append(Row(text=heading, heading=True))
                rows += [self._row(one, found) for one in steps]
        return rows

    def _row(self, ident: str, found: DoOver) -> Row:
        plan = self.state.plan
        step = next(one for one in plan.steps if one.id == ident)
        ticked = ident in self.ticked
        left = column(self.left.get(ident, found.whole[ident]))
        return Row(
            text=f"{name_of(plan, ident)}, {garment_of(plan, ident)}",
            key=ident,
            letter=step.work.letter,
            ticked=ticked,
            right=f"{left} left" if ticked else "stays done",
        )

    def toggle(self, key: str) -> str:
        """One step."""
        self.ticked = self.ticked ^ {key}
        return ""

    def summed(self) -> str:
        """How much there would be to do again."""
        found = self.found
        if found is None:
            return ""
        if not self.ticked:
            return ""
        left = sum(self.left.get(one, found.whole[one]) for one in self._chosen(found))
        return f"{count(len(self._chosen(found)), 'step')}, {column(left)}"

    def _chosen(self, found: DoOver) -> list[str]:
        return [one for one in found.steps if one in self.ticked]

    def doing(self) -> Doing | None:
        """All of them opened as of now."""
        found = self.found
        chosen = self._chosen(found) if found is not None else []
        if not chosen or found is None:
            return None
        now = self.program.clock().replace(tzinfo=None)
        left = {one: self.left.get(one, found.whole[one]) for one in chosen}
        return opened_again(self.state.plan, chosen, now, left, self.note)

    def has_changed(self) -> bool:
        """Whether anything was ticked or typed besides what failed."""
        return self.ticked != self._at_first(self.found) or bool(self.left)

    def more_keys(self) -> list[Shown]:
        """What is left, and why."""
        return [
            Shown(key="n", sign="n", told="why", action="note", own=True),
        ]

    # typed

    def action_left(self, digit: int) -> None:
        """Type what is left of the step under the cursor."""
        key = self.ticks.cursor
        if key is not None and not self.line.asking:
            self.typing = LEFT
            self.line.ask(name_of(self.state.plan, key), "left:", str(digit), "25 or 1:30")
            self.query_one("TickKeys").refresh()

    def action_note(self) -> None:
        """Type why."""
        if not self.line.asking:
            self.typing = NOTE
            self.line.ask("Done over", "why:", self.note, "the fitting failed: too short in front")
            self.query_one("TickKeys").refresh()

    def on_ask_line_changed(self, event: AskLine.Changed) -> None:
        """What was wrong is being put right."""
        self.line.say("")

    def on_ask_line_kept(self, event: AskLine.Kept) -> None:
        """Keep what is typed."""
        if self.typing == NOTE:
            self.note = clean(event.text)
            self.said = f"Why: {self.note}" if self.note else ""
        else:
            try:
                minutes = minutes_from(event.text)
            except ValueError:
                minutes = 0
            if not minutes:
                self.line.say("Write minutes as 25, 1:30 or 1h30.")
                return
            if self.ticks.cursor is not None:
                self.left[self.ticks.cursor] = minutes
                self.ticked |= {self.ticks.cursor}
        self._back()

    def on_ask_line_dropped(self) -> None:
        """Nothing is typed any more."""
        self._back()

    def _back(self) -> None:
        self.line.close()
        self.set_focus(self.ticks)
        self.read_again()
