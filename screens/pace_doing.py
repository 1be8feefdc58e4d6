"""Edits of the maker's own pace, without a screen: what each is called, and what it changes."""

from __future__ import annotations

from planner.editing.pace import forget_pace, learn_pace, set_pace
from planner.model import Project
from screens.doing import Doing
from screens.pace_told import compared

HOW = "Write 1.2 for a fifth slower than the catalogue, 0.8 for a fifth quicker."


def ratio_from(text: str) -> float:
    """A pace as typed: "1.2", "1,2", "120%". Raises ValueError with a sentence."""
    plain = text.strip().replace(",", ".").removesuffix("%").strip()
    try:
        ratio = float(plain) / (100 if text.strip().endswith("%") else 1)
    except ValueError:
        raise ValueError(HOW) from None
    return ratio


def set_by_hand(project: Project, key: str, name: str, text: str) -> Doing:
    """A pace set by hand. Raises ValueError with a sentence where it can't be meant."""
    ratio = ratio_from(text)
    set_pace(project, key, ratio)
    label = f"pace of {name} set by hand: {ratio:g}, {compared(ratio)}"
    return Doing(label=label, change=lambda now: set_pace(now, key, ratio))


def forgotten(key: str, name: str) -> Doing:
    """A pace that was set by hand taken back."""

    def change(now: Project) -> Project:
        return forget_pace(now, key) if key in now.workroom.pace.by_hand else now

    return Doing(label=f"pace of {name} no longer set by hand", change=change)


def learning(learn: bool) -> Doing:
    """Whether the diary teaches."""
    label = "learning from the diary switched on" if learn else "learning switched off"
    return Doing(label=label, change=lambda now: learn_pace(now, learn))
