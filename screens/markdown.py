"""Markdown as we write it: text that can't be taken for layout, headings, lists and tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from screens.wording import clean

_ANYWHERE = re.compile(r"[\\`*_\[\]<>|~&#$^{}]")
"""Characters that mean something wherever they stand, in CommonMark or in usual additions."""
_LEADING = re.compile(r"^([-+=:>]|\d{1,9}(?=[.)](?:\s|$)))")
"""What means something at the beginning of a line."""
_LINK = re.compile(r"(?i)\b(https?|ftp|mailto|xmpp|www)([:.])")
"""What some readers take for a link."""
_NAMED = re.compile(r":(?=[A-Za-z0-9_+-]+:)")
"""What some readers take for a small picture."""


def escaped(text: str) -> str:
    """A maker's text on one line, to be read as it was typed wherever it stands in a line."""
    found = _ANYWHERE.sub(lambda char: f"\\{char[0]}", clean(text))
    found = _LINK.sub(lambda link: f"{link[1]}\\{link[2]}", found)
    found = _NAMED.sub(r"\\:", found)
    leading = _LEADING.match(found)
    if leading is None:
        return found
    end = leading.end()
    # of a number, the point behind it makes the list
    return f"{found[:end]}\\{found[end:]}" if found[0].isdigit() else f"\\{found}"


def paragraph(text: str) -> str:
    """A maker's text of several lines, each of which stays one: for a list's item."""
    lines = [escaped(line) for line in text.splitlines()]
    return "\\\n  ".join(line for line in lines if line)


def heading(level: int, text: str) -> str:
    """A heading of text that is escaped already."""
    return f"{'#' * level} {text}"


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[int] = ()) -> str:
    """A table of texts that are escaped already; the columns ``right`` are set to the right."""
    at_right = set(right)
    rule = ["--:" if column in at_right else "---" for column in range(len(head))]
    lines = [head, rule, *rows]
    return "\n".join(f"| {' | '.join(cell or ' ' for cell in line)} |" for line in lines)


def bullets(items: Iterable[str]) -> str:
    """A list of texts that are escaped already."""
    return "\n".join(f"- {item}" for item in items)
