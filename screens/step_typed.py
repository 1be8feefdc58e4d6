"""The step that is meant by what was typed behind `wearby log`, or a sentence why there is none."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from planner.plan import Plan, PlannedStep
from screens.wording import clean, listed

LIKE = 0.75
"""How much a word must be like another one to be taken for a slip of it."""
MOST = 3
"""Steps that are named as what might be meant; where there are more, none is."""


def find_step(plan: Plan, wanted: str) -> PlannedStep | str:
    """The step of this full id, ``garment/step``, id or shown name, or a sentence why not.

    A name may have its garment's before it ("Stays: cut the layers"), and may stop after a word
    where only one goes on so.
    """
    found = steps_meant(plan, wanted)
    if len(found) == 1:
        return found[0]
    asked = clean(wanted)
    if found:
        ids = listed([clean(one.id) for one in found], 5)
        return f"“{asked}” could be {ids}: write the one you mean."
    if not plan.steps:
        return f"There is no step “{asked}”, nor any other yet."
    near = _near(plan.steps, _even(wanted))
    hint = f"; did you mean {' or '.join(near)}?" if near else "."
    return f"There is no step “{asked}”{hint}"


def steps_meant(plan: Plan, wanted: str) -> list[PlannedStep]:
    """All that may be meant, by the first way in which any is."""
    low = _even(wanted)
    ways: tuple[Callable[[PlannedStep], bool], ...] = (
        lambda one: one.id == wanted,
        lambda one: one.id.partition("/")[2] == wanted,
        lambda one: one.id.rpartition("/")[2] == wanted,
        lambda one: low in _names(one),
        lambda one: low in _ids(one),
        lambda one: any(_goes_on(name, low) for name in _names(one)),
    )
    every = ([one for one in plan.steps if way(one)] for way in ways)
    return next((steps for steps in every if steps), [])


def _near(steps: Sequence[PlannedStep], low: str) -> list[str]:
    """The shortest ids of what might be meant: in the garment that was named, if one was, steps
    with these words, else what reads almost the same; nothing rather than something far."""
    garment, slash, rest = low.rpartition("/")
    if slash:
        own = [one for one in steps if garment.rpartition("/")[2] in _garment(one)]
        steps, low = own or steps, rest
    found = [one for one in steps if _has_words(one, low)]
    if not found:
        found = _alike(steps, low)
    return [_short(one, steps if not slash else ()) for one in found] if len(found) <= MOST else []


def _has_words(step: PlannedStep, low: str) -> bool:
    """Whether every word typed is one of the step's id or name, or begins one."""
    words = re.findall(r"\w+", low)
    there = re.findall(r"\w+", f"{step.id.rpartition('/')[2]} {_names(step)[0]}".casefold())
    # a letter or two begin too many
    return bool(words) and all(
        any(one == word or (len(word) > 2 and one.startswith(word)) for one in there)
        for word in words
    )


def _alike(steps: Sequence[PlannedStep], low: str) -> list[PlannedStep]:
    """The step whose id or name is almost what was typed."""
    from difflib import SequenceMatcher

    best: list[tuple[float, PlannedStep]] = []
    for step in steps:
        for text in (*_names(step), step.id.rpartition("/")[2].casefold()):
            # letters in another order are a slip too, however short the word is
            like = 1.0 if sorted(text) == sorted(low) else SequenceMatcher(None, low, text).ratio()
            if like >= LIKE:
                best.append((like, step))
    most = max((like for like, _ in best), default=0.0)
    return list({step.id: step for like, step in best if like == most}.values())


def _short(step: PlannedStep, steps: Sequence[PlannedStep]) -> str:
    """The shortest id of a step among others."""
    own = step.id.partition("/")[2]
    short = own.rpartition("/")[2]
    alone = sum(one.id.rpartition("/")[2] == short for one in steps) == 1
    return clean(short if alone else own)


def _even(text: str) -> str:
    return " ".join(text.casefold().split())


def _names(step: PlannedStep) -> tuple[str, str]:
    """What a step may be called: its name, and that behind its garment's; casefolded."""
    name = _even(clean(step.name))
    return name, f"{_even(clean(step.garment))}: {name}"


def _ids(step: PlannedStep) -> tuple[str, ...]:
    """Its ids, casefolded, and its id and name behind its garment's name."""
    low = step.id.casefold()
    own, short = low.partition("/")[2], low.rpartition("/")[2]
    garment = _even(clean(step.garment))
    return low, own, short, f"{garment}/{short}", f"{garment}/{_names(step)[0]}"


def _garment(step: PlannedStep) -> tuple[str, str]:
    return step.id.split("/")[-2].casefold(), _even(clean(step.garment))


def _goes_on(name: str, low: str) -> bool:
    """Whether a name begins so, up to the end of a word."""
    return bool(low) and name.startswith(low) and not name[len(low) : len(low) + 1].isalnum()
