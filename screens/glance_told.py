"""The plan at a glance as a few lines for the room there is: under the verdict, and in print."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.glance import Glance
from planner.plan import Plan
from screens.glance_words import SHORT, Lost, Told, told
from screens.wording import cells, fitted, wrapped

LABEL = 14
"""Columns of the labels."""
SHORTER = (("Lost", 1), ("By hand", 1), ("Wearable", 2), ("Over", 1), ("Wearable", 1))
"""What is made shorter first where there is little room, and how many of its last texts are left
then: when it is finished stays longest."""


def labelled(plan: Plan, seen: Glance, lost: Lost, width: int) -> list[str]:
    """Each with its label, in a line or two; for a screen with room."""
    found = []
    for one in told(plan, seen, lost):
        first, *more = _in_lines(one, max(20, width - LABEL))
        found += [f"{one.label:<{LABEL}}{first}", *(f"{'':{LABEL}}{line}" for line in more)]
    return found


def _in_lines(one: Told, width: int) -> list[str]:
    """The longest text that fits a line; of what is short or late all that fits two."""
    if one.label != SHORT:
        return [fitting(one.texts, width)]
    for text in one.texts:
        lines = wrapped([text], width)
        if len(lines) <= 2:
            return lines
    return [fitted(one.texts[-1], width)]


def in_two_lines(plan: Plan, seen: Glance, lost: Lost, width: int) -> tuple[str, str]:
    """Today's work, and beneath it all that fits of the rest; for a screen with little room.

    What is short or late the verdict says there.
    """
    first, *rest = [one for one in told(plan, seen, lost) if one.label != SHORT]
    return fitting(first.sentences, width), _joined(rest, width)


def as_lines(plan: Plan, seen: Glance, lost: Lost, width: int) -> list[str]:
    """All of it in sentences, wrapped; for print."""
    return wrapped([one.sentences[0] for one in told(plan, seen, lost)], width)


def fitting(texts: Sequence[str], width: int) -> str:
    """The longest of some texts that fits; else the shortest, cut."""
    return next((one for one in texts if cells(one) <= width), fitted(texts[-1], width))


def _joined(told: Sequence[Told], width: int) -> str:
    """Sentences in a line: made shorter in the order of ``SHORTER``, then left out from the end."""
    length = {one.label: 0 for one in told}
    said = {one.label: one.sentences for one in told}
    for label, least in SHORTER:
        while label in said and length[label] + least < len(said[label]):
            if cells(line := _line(said, length)) <= width:
                return line
            length[label] += 1
    while cells(line := _line(said, length)) > width and len(said) > 1:
        said.popitem()
    return fitted(line, width)


def _line(said: Mapping[str, Sequence[str]], length: Mapping[str, int]) -> str:
    return " ".join(sentences[length[label]] for label, sentences in said.items())
