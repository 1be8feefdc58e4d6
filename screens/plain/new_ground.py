"""Where something is begun: the folder, what is in it, and the plan as it would become."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from planner.files.reading import WORKROOM, ensemble_files, read_own, read_project
from planner.model import Ensemble, Project, Workroom
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.arguments import COMMAND_LINE, wrong
from screens.new_ensemble import Reader, bare_ensemble_of, folder_problem, workroom_of
from screens.plain.catalogue import Shelves, shelves_of
from screens.plain.new_garments import Piece, with_pieces

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A folder in which an ensemble is begun."""

    folder: Path
    project: Project
    """What is there."""
    new: bool
    """There is no workroom in it yet."""
    shelves: Shelves
    now: datetime

    def workroom(self, texts: Mapping[str, str]) -> Workroom:
        """The workroom that is there, or the new one. Raises InputError."""
        if not self.new:
            return self.project.workroom
        reader = Reader(texts, self.now)
        return _right(reader, workroom_of(reader))

    def units(self, texts: Mapping[str, str]) -> str:
        """Those of the workroom as it is, or will be."""
        return workroom_of(Reader(texts, self.now)).units if self.new else self.shelves.units

    def ensemble(self, texts: Mapping[str, str], pieces: Sequence[Piece]) -> Ensemble:
        """The new ensemble. Raises InputError."""
        # a file of any name in the folder is in the way, also one wearby doesn't read
        there = self.folder.glob("*.toml") if self.folder.is_dir() else ()
        reader = Reader(texts, self.now)
        bare = _right(reader, bare_ensemble_of(reader, {path.stem for path in there}))
        bare = replace(bare, file=str(self.folder / f"{bare.id}.toml"))
        return with_pieces(bare, pieces, self.shelves, self.now)

    def plan(self, ensemble: Ensemble, workroom: Workroom) -> Plan:
        """The plan with it. Raises InputError."""
        from screens.state import plan_of

        project = replace(
            self.project, workroom=workroom, ensembles=(*self.project.ensembles, ensemble)
        )
        return plan_of(project, self.now, thorough=False).plan


def _right(reader: Reader, made: T) -> T:
    """What was read. Raises InputError where something was wrong with it."""
    if reader.wrong:
        raise InputError(
            [Problem(file=COMMAND_LINE, place="", text=one.text) for one in reader.wrong]
        )
    return made


def ground(folder: Path, now: datetime) -> Ground:
    """What is in the folder. Raises InputError where nothing can be begun in it."""
    try:
        return _ground(folder, now)
    except (OSError, ValueError) as error:
        raise wrong("FOLDER", f"{folder} can't be looked into ({error}).") from None


def _ground(folder: Path, now: datetime) -> Ground:
    new = not (folder / WORKROOM).exists()
    problem = folder_problem(folder) if new else ""
    if problem:
        raise wrong("FOLDER", problem)
    if not folder.is_dir():
        project = Project(workroom=Workroom(), ensembles=())
    else:
        project = read_project(folder) if ensemble_files(folder) else read_own(folder)
    return Ground(folder=folder, project=project, new=new, shelves=shelves_of(project), now=now)
