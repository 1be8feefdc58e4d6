"""Edits of what the maker says of their own pace.

What can't be meant is a ValueError with a sentence.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from planner.catalogue import techniques_with
from planner.files.workroom import LEAST_PACE, MOST_PACE
from planner.model import PaceChoices, Project, Work
from planner.nearest import is_meant
from planner.pace import ALL


def set_pace(project: Project, key: str, ratio: float) -> Project:
    """A pace by hand, as a ratio of the catalogue's minutes.

    ``key``: "all", a kind of work, or the id or name of a technique.
    """
    key = _known(project, key)
    if not LEAST_PACE <= ratio <= MOST_PACE:
        text = f"A pace lies between {LEAST_PACE} and {MOST_PACE:g}: 1.2 is a fifth slower"
        raise ValueError(f"{text} than the catalogue, 0.8 a fifth quicker.")
    choices = project.workroom.pace
    by_hand = {**choices.by_hand, key: round(ratio, 4)}
    return _with(project, replace(choices, by_hand=by_hand))


def forget_pace(project: Project, key: str) -> Project:
    """What was set by hand is taken back, and what the diary teaches counts again."""
    choices = project.workroom.pace
    if key not in choices.by_hand:
        with suppress(ValueError):
            key = _known(project, key)
    if key not in choices.by_hand:
        there = ", ".join(choices.by_hand)
        told = f"set are {there}" if there else "nothing is"
        raise ValueError(f'No pace of "{key}" is set by hand: {told}.')
    by_hand = {name: ratio for name, ratio in choices.by_hand.items() if name != key}
    return _with(project, replace(choices, by_hand=by_hand))


def learn_pace(project: Project, learn: bool) -> Project:
    """Whether estimates follow what the diary teaches."""
    return _with(project, replace(project.workroom.pace, learn=learn))


def _known(project: Project, key: str) -> str:
    """The key as it is written in the file."""
    techniques = techniques_with(project.techniques)
    known = (ALL, *(work.value for work in Work), *techniques)
    if key in known:
        return key
    named = [one.id for one in techniques.values() if one.name.casefold() == key.casefold()]
    if not named:
        text = f'"{key}" is neither "all", a kind of work nor a technique.'
        raise ValueError(text + is_meant(key, known))
    return named[0]


def _with(project: Project, choices: PaceChoices) -> Project:
    return replace(project, workroom=replace(project.workroom, pace=choices))
