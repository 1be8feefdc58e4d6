"""All that can be done at this moment, by name: a line an entry, looked for by a few letters."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.app import ComposeResult, SystemCommand
from textual.widgets import Input

from screens.dialogs.help import EVERYWHERE, HERE
from screens.dialogs.looking import ListKeys, Looking, Matches
from screens.finding import begin_in, holds
from screens.forms.parts import Told
from screens.offered import Offered
from screens.widgets.lines import CURSOR, Line, Run, plain
from screens.wording import cells, clean, fitted, padded

ASKED = "What shall be done? A few letters"
"""Stands where nothing is typed yet."""
NOTHING = "Nothing here has these letters."
MARGIN, BETWEEN = 2, 3
"""Columns before an entry, and at least between it and what it does."""
LEAST = 10
"""Columns below which what an entry does is only told beneath the list."""


class Entries(Matches, can_focus=False):
    """What can be done and has the letters; the number of an entry is its key."""

    def __init__(self, offered: Offered) -> None:
        super().__init__(id="entries")
        self.offered = offered
        self.commands = offered.all

    def matching(self) -> list[int]:
        """The entries with every word that is typed, in any order.

        They are looked for at the beginnings of words, of what the entries are called, and of
        what they do where none is called so; only where no word begins so, anywhere in them.
        """
        words = self.letters.casefold().split()
        for matches in (begin_in, holds):
            for text in (_title, _all_of):
                found = [
                    number
                    for number, one in enumerate(self.commands)
                    if matches(text(one), words)
                ]
                if found:
                    return found
        return []

    def compose_lines(self, width: int) -> Sequence[Line]:
        """What is done on this screen first, then what is done everywhere."""
        found = self.matching()
        if not found:
            self.cursor = None
            return [plain(f" {NOTHING}", "faint")]
        if self.cursor not in {str(number) for number in found}:
            self.cursor = str(found[0])
        own = len(self.offered.here)
        groups = (
            (HERE, [number for number in found if number < own]),
            (EVERYWHERE, [number for number in found if number >= own]),
        )
        behind = _column(map(_title, self.commands), width)
        lines: list[Line] = []
        for title, numbers in groups:
            if numbers:
                lines += [plain("")] if lines else []
                lines.append(plain(f" {title}", "faint"))
                lines += [self._line(number, behind, width) for number in numbers]
        return lines

    def _line(self, number: int, behind: int, width: int) -> Line:
        """The mark of the cursor, what is done, and behind it what that does, cut."""
        one, key = self.commands[number], str(number)
        mark = Run(text=f"{CURSOR if key == self.cursor else ' '} ", style="accent")
        told = _told_beside(one, behind, width)
        title = padded(_title(one), behind) if told else _title(one)
        return Line(runs=(mark, Run(text=title), Run(text=told, style="faint")), key=key)

    def renew(self) -> None:
        """Compose afresh, and tell what is under the cursor now."""
        super().renew()
        self.post_message(self.Moved(self, self.cursor or ""))

    def left_out(self) -> str:
        """What the line under the cursor has no room for, whole; empty where all is there."""
        if self.cursor is None:
            return ""
        one, width = self.commands[int(self.cursor)], self.scrollable_content_region.width
        if cells(_title(one)) > width - MARGIN:
            return f"{_title(one)}: {clean(one.help)}"
        beside = _told_beside(one, _column(map(_title, self.commands), width), width)
        return "" if beside == clean(one.help) else clean(one.help)


class WhatToDo(Looking):
    """Gives the key of the entry that is to be done."""

    CSS = """
    WhatToDo {
        align: center top;
        #looking {
            width: 100%;
            height: 85%;
            margin: 3 0 0 0;
            border: none;  /* it has the full width */
        }
        Told {
            height: 2;
            color: $foreground;
        }
    }
    """
    lists_what_is_beneath = True
    """Keys and commands are still those of the screen beneath."""

    def __init__(self, offered: Offered) -> None:
        self.entries = Entries(offered)
        super().__init__(ASKED, self.entries)

    def follow(self, offered: Offered) -> None:
        """List what can be done now, as after the first plan came; the cursor stays on its entry.

        Letters that nothing had are looked for anew.
        """
        entries = self.entries
        was = [(one.title, one.help) for one in entries.commands]
        becomes = [(one.title, one.help) for one in offered.all]
        if was == becomes:
            return
        under = was[int(entries.cursor)][0] if entries.cursor is not None else None
        titles = [title for title, _ in becomes]
        entries.offered, entries.commands = offered, offered.all
        entries.cursor = str(titles.index(under)) if under in titles else None
        entries.renew()
        self.query_one(ListKeys).refresh()

    def beneath(self) -> ComposeResult:
        """What the line under the cursor has no room for."""
        yield Told(id="whole")

    def on_input_changed(self, event: Input.Changed) -> None:
        """The first match is under the cursor."""
        self.entries.cursor = (
            None  # then matches are looked for, by the handler of all such screens
        )

    def on_lines_moved(self, event: Entries.Moved) -> None:
        """Tell what there was no room for."""
        for told in self.query("#whole").results(Told):
            told.text = self.entries.left_out()


def _title(one: SystemCommand) -> str:
    """What is done."""
    return clean(one.title)


def _all_of(one: SystemCommand) -> str:
    """What is done, and what that does."""
    return f"{one.title} {one.help}"


def _column(titles: Iterable[str], width: int) -> int:
    """Columns of the titles, with what parts them from the rest: no more than half."""
    return min(max(map(cells, titles), default=0) + BETWEEN, width // 2)


def _told_beside(one: SystemCommand, behind: int, width: int) -> str:
    """What an entry does, cut; nothing where the entry reaches into its column."""
    told = clean(one.help)
    room = width - MARGIN - behind
    fits = cells(_title(one)) + BETWEEN <= behind and room >= min(LEAST, cells(told))
    return fitted(told, room) if fits else ""
