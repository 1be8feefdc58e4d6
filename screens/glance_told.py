"""The plan at a glance as a few lines for the room there is: under the verdict, and in print."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.glance import Glance
from planner.plan import Plan
from screens.glance_today import TODAY, TONIGHT, Told
from screens.glance_words import LATE, OVER, SHORT, Lost, late, told
from screens.wording import cells, fitted, wrapped

LABEL = 14
"""Columns of the labels."""
SHORTER = (
    ("Lost", 2), ("By hand", 1), ("Wearable", 2), (TODAY, 3), (OVER, 2), (TODAY, 2), (LATE, 3),
    (LATE, 2), ("Lost", 1), (OVER, 1), ("Wearable", 1), (LATE, 1), (TODAY, 1),
)  # fmt: skip
"""What is made shorter first where there is little room, and how many of its last texts are left
then: when it is finished, and what there is to do today, stay longest."""


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


def in_few_lines(plan: Plan, seen: Glance, lost: Lost, width: int) -> list[str]:
    """All of it that fits two lines, today's work first; for a screen with little room.

    What is short first the verdict says. Where a day is overfull, hours are short or a step is
    late there is a third line, and hand sewing to come gives way to that.
    """
    said: dict[str, Sequence[str]] = {}
    for one in told(plan, seen, lost):
        shown = late(plan, seen) if one.label == SHORT else one
        if shown is not None:
            said[TODAY if shown.label == TONIGHT else shown.label] = shown.sentences
    if not (seen.short or seen.late or seen.over):
        return _in_few(said, width, 2)
    said.pop("By hand", None)
    if LATE in said:
        # the longest sentence of all is easier to place before what is overfull
        order = (TODAY, "Lost", LATE, OVER, "Wearable")
        said = {label: said[label] for label in order if label in said}
    return _in_few(said, width, 3)


def as_lines(plan: Plan, seen: Glance, lost: Lost, width: int) -> list[str]:
    """All of it in sentences, wrapped; for print."""
    return wrapped([one.sentences[0] for one in told(plan, seen, lost)], width)


def fitting(texts: Sequence[str], width: int) -> str:
    """The longest of some texts that fits; else the shortest, cut."""
    return next((one for one in texts if cells(one) <= width), fitted(texts[-1], width))


def _in_few(said: dict[str, Sequence[str]], width: int, most: int) -> list[str]:
    """Sentences in two or three lines: made shorter in the order of ``SHORTER``, then left out
    from the end; one that fits no line is cut."""
    length = dict.fromkeys(said, 0)
    for label, least in SHORTER:
        while label in said and length[label] + least < len(said[label]):
            if (lines := _packed(said, length, width, most)) is not None:
                return lines
            length[label] += 1
    while (lines := _packed(said, length, width, most)) is None and len(said) > 1:
        said.popitem()
    return lines or [fitted(next(iter(said.values()))[-1], width)]


def _packed(
    said: Mapping[str, Sequence[str]], length: Mapping[str, int], width: int, most: int
) -> list[str] | None:
    """Sentences in so many lines, none of them broken; None where they don't fit."""
    lines: list[str] = []
    for label, sentences in said.items():
        sentence = sentences[length[label]]
        if lines and cells(lines[-1]) + 1 + cells(sentence) <= width:
            lines[-1] += f" {sentence}"
        else:
            lines.append(sentence)
    return lines if len(lines) <= most and all(cells(line) <= width for line in lines) else None
