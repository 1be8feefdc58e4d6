"""What the command palette offers, with every text drawn as it stands: a name is never markup."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content
from textual.fuzzy import FuzzySearch
from textual.style import Style

ASKED = "What shall be done? A few letters"
"""Stands where nothing is typed yet."""


class Offered(Provider):
    """The commands of the screen and of the program."""

    async def discover(self) -> Hits:
        """All of them, by the alphabet."""
        offered = self.app.get_system_commands(self.screen)
        for title, told, do, shown in sorted(offered, key=lambda one: one.title):
            if shown:
                yield DiscoveryHit(Content(title), do, text=title, help=_as_it_stands(told))

    async def search(self, query: str) -> Hits:
        """Those whose title has these letters, which are marked."""
        letters = FuzzySearch()
        for title, told, do, _ in self.app.get_system_commands(self.screen):
            score, places = letters.match(query, title)
            if score > 0:
                found = _marked(title, places, self.match_style or Style(bold=True))
                yield Hit(score, found, do, text=title, help=_as_it_stands(told))


def _marked(title: str, places: Sequence[int], style: Style) -> Content:
    """A title with the letters at some places marked."""
    content = Content(title)
    for place in places:
        if not title[place].isspace():
            content = content.stylize(style, place, place + 1)
    return content


def _as_it_stands(text: str) -> str:
    """A text that the palette is not to read as markup: it takes content for that as well."""
    return cast("str", Content(text))
