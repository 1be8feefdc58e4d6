"""Saying what is to be done after a wearing: offered for an ensemble whose event has come."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from textual.app import SystemCommand

from planner.aftercare import due_after_wearing
from planner.editing.after_wearing import last_event
from screens.aftercare_told import GIVE_IT_A_DATE
from screens.forms import lookups
from screens.state import State
from screens.wording import clean, count, spoken

if TYPE_CHECKING:
    from textual.app import App

TITLE = "Say what is to be done after wearing"


def after_wearing_commands(
    app: App[int], state: State, ensemble: str | None = None
) -> Iterable[SystemCommand]:
    """The palette's commands: of one ensemble, else of each that has an event.

    Before its first event it is offered too: one may know beforehand what a wearing will ask.
    """
    every = [one for one in state.project.ensembles if ensemble in (None, one.id)]
    several = len(state.project.ensembles) > 1
    for one in every:
        event = last_event(one, state.now)
        if event is None:
            continue
        full = f"{one.id}/{event.id}"
        name = lookups.name_of(state.project, full)
        of = f": {clean(one.name) or clean(one.id)}" if several else ""
        told = f"Air, clean, mend and put away, after {name}"
        yield SystemCommand(f"{TITLE}{of}", told, _asking(app, state, full))


def next_wearing_commands(app: App[int], state: State) -> Iterable[SystemCommand]:
    """The palette's command where aftercare waits for the next wearing's date."""
    due = due_after_wearing(state.plan)
    for one in due:
        of = f": {clean(state.plan.names[one.ensemble])}" if len(due) > 1 else ""
        told = f"{count(len(one.steps), 'step')}, {spoken(one.minutes)}, then planned before it"
        ask = _asking(app, state, one.event, date_only=True)
        yield SystemCommand(f"{GIVE_IT_A_DATE}{of}", told, ask)


def _asking(
    app: App[int], state: State, event: str, *, date_only: bool = False
) -> Callable[[], None]:
    """What the command does. (No partial: a state can't be compared by what it holds.)"""
    return lambda: ask_after_wearing(app, state, event, date_only=date_only)


def ask_after_wearing(
    app: App[int], state: State, event: str, *, date_only: bool = False
) -> None:
    """Open the form of what a wearing did, or only of when it is worn next."""
    from screens.forms.after_wearing import AfterWearingQuestions
    from screens.forms.form import Form

    app.push_screen(Form(AfterWearingQuestions(state, event, date_only=date_only)))
