"""Workrooms that tests may change: copies, with what a test needs of their state."""

from __future__ import annotations

import shutil
from atexit import register
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from planner.files.reading import read_project
from planner.model import Garment, Project, Step
from planner.planning import plan_project
from screens.forms.fields import Reading, Texts, started
from screens.forms.questions import Questions
from screens.state import State

MONDAY = datetime(2027, 5, 3)
"""From when the small workroom is planned."""
SMALL = Path("tests/screens/a_workroom")
SAMPLE = Path("sample_projects/hallow_skerry")


def a_copy(folder: Path, of: Path = SMALL) -> Path:
    """A workroom of its own, in a folder of a test."""
    path = folder / "workroom"
    shutil.copytree(of, path)
    return path


@cache
def by_the_catalogue(of: Path) -> Path:
    """A copy of a sample, not to be changed, whose estimates don't follow its diary."""
    folder = TemporaryDirectory()
    register(folder.cleanup)
    path = Path(folder.name) / of.name
    shutil.copytree(of, path)
    file = path / "workroom.toml"
    file.write_text(f"{file.read_text()}\n[pace]\nlearn = false\n")
    return path


def state_of(path: Path, now: datetime = MONDAY) -> State:
    """The state of a workroom."""
    project = read_project(path)
    return State(project=project, plan=plan_project(project, now), now=now)


def garment_in(project: Project, ident: str) -> Garment:
    """A garment by its id, whatever its ensemble."""
    return next(one for e in project.ensembles for one in e.garments if one.id == ident)


def step_in(project: Project, garment: str, ident: str) -> Step:
    """A step by its garment's and its own id."""
    return next(one for one in garment_in(project, garment).steps if one.id == ident)


def typed_into(questions: Questions, **typed: str) -> Reading:
    """What a form reads with some fields typed in; ``__`` in a key stands for a dot."""
    new = {key.replace("__", "."): text for key, text in typed.items()}
    texts: Texts = dict(new)
    # fields may bring others: as a form does, ask until none is new
    for _ in range(3):
        texts = {**started(tuple(questions.fields(texts))), **texts}
    return questions.read(texts)
