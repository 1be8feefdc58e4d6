"""What the plain answers share: their width, paragraphs, and the common JSON keys."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planner.plan import Plan
from screens.verdict import verdict_lines
from screens.wording import cells, wrapped

WIDTH = 80
"""Columns of plain output, where names allow."""


def said(sentences: Iterable[str]) -> list[str]:
    """A paragraph with an empty line before it; nothing where there is nothing to say."""
    found = wrapped(sentences, WIDTH)
    return ["", *found] if found else []


def beside(head: str, text: str, indent: int) -> list[str]:
    """A text beside its head where there is room, else beneath it."""
    if cells(head) + cells(text) <= WIDTH:
        return [head + text]
    return [head, *(" " * indent + line for line in wrapped([text], WIDTH - indent))]


def common(plan: Plan) -> dict[str, Any]:
    """The keys every command's JSON begins with."""
    return {
        "now": plan.now.isoformat(),
        "fits": plan.fits,
        "verdict": plan.verdict.value,
        "sentences": list(verdict_lines(plan, 10_000)),
    }
