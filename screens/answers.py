"""Each command's answer: read, plan, and hold what to print as text or as JSON."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol, cast

from planner.model import Project
from planner.plan import Plan
from planner.planned_behind import PlannedDay
from screens import state


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What was asked, with all there is to answer it."""

    given: argparse.Namespace
    project: Project
    plan: Plan
    planned: tuple[PlannedDay, ...] = ()
    """What was planned on the days behind, as far as that is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What to print, made only in the form that is printed, and the exit status."""

    status: int
    as_text: Callable[[], str]
    as_json: Callable[[], object]


class _Answering(Protocol):
    """A module of ``screens.plain``."""

    def status(self, question: Question) -> int: ...
    def lines(self, question: Question) -> list[str]: ...
    def as_json(self, question: Question) -> dict[str, Any]: ...


def answer(given: argparse.Namespace, path: Path, now: datetime) -> Answer:
    """Read and plan, and answer the command; raises InputError."""
    shows_spare = given.json or given.command in ("day", "before")
    found = state.read_and_plan(path, now, thorough=shows_spare)
    question = Question(
        given=given, project=found.project, plan=found.plan, planned=found.planned
    )
    name = "plan" if given.command == "open" else given.command
    module = cast(_Answering, import_module(f"screens.plain.{name}"))
    if hasattr(module, "answered"):
        # it does more than to look: the answer comes of what it did
        return cast(Answer, module.answered(question, path, now))
    status = module.status(question)
    return Answer(
        status=status,
        as_text=lambda: "\n".join(line.rstrip() for line in module.lines(question)),
        as_json=lambda: module.as_json(question),
    )


class _Saving(Protocol):
    """What a module of ``screens.plain`` saved, and says of it."""

    @property
    def status(self) -> int: ...
    def lines(self) -> list[str]: ...
    def as_json(self) -> object: ...


def saving(given: argparse.Namespace, path: Path, now: datetime) -> Answer:
    """Save what the command says, and answer; raises InputError, and then nothing was saved."""
    module = import_module(f"screens.plain.{given.command}")
    saved = cast(_Saving, module.Saved(given, path, now))
    return Answer(
        status=saved.status,
        as_text=lambda: "\n".join(line.rstrip() for line in saved.lines()),
        as_json=saved.as_json,
    )


class _Answered(Protocol):
    """What a module of ``screens.plain`` says of the catalogue."""

    def lines(self) -> list[str]: ...
    def as_json(self) -> object: ...


def of_the_catalogue(given: argparse.Namespace) -> Answer:
    """Answer a command that needs no plan; raises InputError."""
    module = import_module(f"screens.plain.{given.command}")
    answered = cast(_Answered, module.Answered(given))
    return Answer(
        status=0,
        as_text=lambda: "\n".join(line.rstrip() for line in answered.lines()),
        as_json=answered.as_json,
    )


def fits_status(fits: bool | None) -> int:
    """0: it fits. 1: it does not, or is undecided."""
    return 0 if fits else 1
