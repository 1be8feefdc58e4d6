"""What the plain answers share: their width, paragraphs, and the common JSON keys."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planner.plan import Plan
from screens.verdict import heading, verdict_lines
from screens.wording import cells, wrapped

NAMES = 30
"""Names up to this length stand in a column."""
WIDTH = 80
"""Columns of plain output, where names allow."""


def verdict(plan: Plan) -> list[str]:
    """The whole verdict: for what and when, and everything to be said of whether it fits."""
    first, second = verdict_lines(plan, 10_000)
    fitting = heading(plan, WIDTH)
    head = wrapped([first], WIDTH) if "…" in fitting else [fitting]
    return [*head, *wrapped([second], WIDTH)]


def said(sentences: Iterable[str]) -> list[str]:
    """A paragraph with an empty line before it; nothing where there is nothing to say."""
    found = wrapped(sentences, WIDTH)
    return ["", *found] if found else []


def named(head: str, name: str, text: str, column: int) -> list[str]:
    """A head, a whole name, and a text beside it where there is room, else beneath it.

    Names shorter than ``column`` are filled to it.
    """
    indent = cells(head)
    first, *rest = wrapped([name], WIDTH - indent) or [""]
    line = f"{head}{first}{' ' * max(0, column - cells(first))}  {text}"
    if not rest and cells(line) <= WIDTH:
        return [line]
    beneath = [*rest, *wrapped([text], WIDTH - indent)]
    return [head + first, *(" " * indent + more for more in beneath)]


def names_column(names: Iterable[str]) -> int:
    """Columns for names: as many as the longest of those that aren't long needs."""
    return max((cells(name) for name in names if cells(name) <= NAMES), default=0)


def common(plan: Plan) -> dict[str, Any]:
    """The keys every command's JSON begins with."""
    return {
        "now": plan.now.isoformat(),
        "fits": plan.fits,
        "verdict": plan.verdict.value,
        "sentences": list(verdict_lines(plan, 10_000)),
    }
