"""A step that was forgotten: which garment it belongs to, and the form that asks for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.app import App

from planner.glance import is_of
from planner.model import Project
from screens.forms import lookups
from screens.forms.fields import Option
from screens.forms.step import StepQuestions
from screens.state import State
from screens.wording import clean, count

NO_GARMENT = "There are no garments yet: in the garments, a adds one."


def step_below(state: State, garment: str, below: str | None = None) -> StepQuestions:
    """The questions of a new step, right below another; of none, behind the garment's last."""
    index = None
    if below is not None:
        steps = [f"{garment}/{one.id}" for one in lookups.garment_of(state.project, garment).steps]
        index = steps.index(below) + 1 if below in steps else None
    return StepQuestions(state, garment, index=index)


def choose_garment(
    app: App[Any], project: Project, alone: str | None, chosen: Callable[[str], None]
) -> None:
    """Ask to which garment a step is added, and tell ``chosen`` its full id."""
    from screens.dialogs.pick import Pick

    options = garments(project, alone)

    def picked(ident: str | None) -> None:
        if ident is not None:
            chosen(ident)

    app.push_screen(Pick("Which garment needs a step more", options, nothing=NO_GARMENT), picked)


def garments(project: Project, alone: str | None = None) -> list[Option]:
    """The garments in dressing order, of one ensemble or of all, each with how many steps."""
    several = len(project.ensembles) > 1 and alone is None
    found = []
    for ensemble in project.ensembles:
        if not is_of(ensemble.id, alone):
            continue
        name = clean(ensemble.name) or ensemble.id
        for garment in sorted(ensemble.garments, key=lambda one: one.layer or 0):
            steps = count(len(garment.steps), "step")
            found.append(
                Option(
                    key=f"{ensemble.id}/{garment.id}",
                    name=clean(garment.name) or garment.id,
                    told=f"{name}, {steps}" if several else steps,
                )
            )
    return found
