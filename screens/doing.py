"""Edits of what is under a cursor, without a screen: what they are called, and what they change."""

from __future__ import annotations

from dataclasses import dataclass

from planner.editing import (
    duplicate_garment,
    duplicate_step,
    free_name,
    free_step,
    leave_off_garment,
    leave_off_step,
    move_garment,
    move_step,
    remove_garment,
    remove_occasion,
    remove_step,
)
from planner.model import Project
from screens.forms import lookups
from screens.forms.fields import Change


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """An edit, ready to be made."""

    label: str
    """As a past fact: "Stays left off"."""
    change: Change
    cursor: str | None = None
    """Full id on which the cursor goes then; None: where it is."""


def left_off(project: Project, ident: str) -> Doing:
    """A step or a whole garment left off, or taken back where it was."""
    step = lookups.step_of(project, ident) if ident.count("/") == 2 else None
    if step is not None:
        on = not step.left_off
        leave_off = leave_off_step
    else:
        on = not all(one.left_off for one in lookups.garment_of(project, ident).steps)
        leave_off = leave_off_garment
    return Doing(
        label=f"{_called(project, ident)} {'left off' if on else 'taken back'}",
        change=lambda now: leave_off(now, ident, on),
    )


def removed(project: Project, ident: str, occasion: bool = False) -> Doing:
    """A step, a garment or an occasion taken out."""
    remove = remove_step if ident.count("/") == 2 else remove_garment
    if occasion:
        remove = remove_occasion
    return Doing(label=f"{_called(project, ident)} removed", change=lambda now: remove(now, ident))


def duplicated(project: Project, ident: str) -> Doing:
    """A step or a garment a second time, right below."""
    above, _, own = ident.rpartition("/")
    if ident.count("/") == 2:
        new = free_step(project, above, own)
        return Doing(
            label=f"{_called(project, ident)} duplicated",
            change=lambda now: duplicate_step(now, ident, new),
            cursor=f"{above}/{new}",
        )
    new = free_name(project, above, own)
    return Doing(
        label=f"{_called(project, ident)} duplicated",
        change=lambda now: duplicate_garment(now, ident, new),
        cursor=f"{above}/{new}",
    )


def moved(project: Project, ident: str, by: int) -> Doing:
    """A step or a garment moved earlier or later."""
    move = move_step if ident.count("/") == 2 else move_garment
    return Doing(
        label=f"{_called(project, ident)} moved {'earlier' if by < 0 else 'later'}",
        change=lambda now: move(now, ident, by),
        cursor=ident,
    )


def _called(project: Project, ident: str) -> str:
    """“hem” (Petticoat), or a garment's or occasion's name, as they are before the edit."""
    name = lookups.name_of(project, ident)
    if ident.count("/") == 2:
        return f"“{name}” ({lookups.name_of(project, ident.rpartition('/')[0])})"
    return name
