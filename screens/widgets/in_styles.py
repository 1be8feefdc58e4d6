"""Sentences as one paragraph, each in a style of its own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from textual.content import Content

from screens.wording import wrapped


def in_styles(sentences: Sequence[tuple[str, str]], width: int) -> Content:
    """Sentences with their styles, wrapped to a width."""
    styles = [style for text, style in sentences for _ in text.split()]
    parts: list[str | tuple[str, str]] = []
    place = 0
    for number, line in enumerate(wrapped([text for text, _ in sentences], width)):
        words = line.split()
        styled = list(zip(words, styles[place : place + len(words)], strict=True))
        place += len(words)
        parts.append("\n" if number else "")
        for nth, (style, group) in enumerate(groupby(styled, key=lambda pair: pair[1])):
            text = " ".join(word for word, _ in group)
            parts.append((f" {text}" if nth else text, style))
    return Content.assemble(*parts)
