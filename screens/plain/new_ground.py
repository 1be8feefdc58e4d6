"""Where something is begun: the folder, what is in it, and the plan as it would become."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from planner.files.beginning import id_from
from planner.files.reading import (
    NOT_ENSEMBLES,
    WORKROOM,
    ensemble_files,
    read_own,
    read_project,
)
from planner.model import Ensemble, Project, Workroom
from planner.plan import Plan
from screens.arguments import wrong
from screens.plain.catalogue import Shelves, shelves_of
from screens.plain.new_fields import Texts, ensemble_of, workroom_of
from screens.plain.new_garments import Piece, with_pieces


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

    def workroom(self, texts: Texts) -> Workroom:
        """The workroom that is there, or the new one. Raises ValueError."""
        return workroom_of(texts) if self.new else self.project.workroom

    def ensemble(self, texts: Texts, pieces: Sequence[Piece]) -> Ensemble:
        """The new ensemble. Raises ValueError, InputError."""
        # a file of any name in the folder is in the way, also one wearby doesn't read
        taken = {Path(name).stem for name in NOT_ENSEMBLES}
        if self.folder.is_dir():
            taken |= {path.stem for path in self.folder.glob("*.toml")}
        ident = id_from(texts["name"], taken, "ensemble")
        bare = replace(ensemble_of(texts, ident, self.now), file=str(self.folder / f"{ident}.toml"))
        return with_pieces(bare, pieces, self.shelves, self.now)

    def plan(self, ensemble: Ensemble, workroom: Workroom) -> Plan:
        """The plan with it. Raises InputError."""
        from screens.state import plan_of

        project = replace(
            self.project, workroom=workroom, ensembles=(*self.project.ensembles, ensemble)
        )
        return plan_of(project, self.now, thorough=False).plan


def ground(folder: Path, now: datetime) -> Ground:
    """What is in the folder. Raises InputError where nothing can be begun in it."""
    try:
        return _ground(folder, now)
    except (OSError, ValueError) as error:
        raise wrong("FOLDER", f"{folder} can't be looked into ({error}).") from None


def _ground(folder: Path, now: datetime) -> Ground:
    if not folder.is_dir():
        if folder.exists():
            raise wrong("FOLDER", f"{folder} is a file: name a folder, which is made if need be.")
        project, new = Project(workroom=Workroom(), ensembles=()), True
    else:
        new = not (folder / WORKROOM).exists()
        files = ensemble_files(folder)
        if new and files:
            raise wrong(
                "FOLDER",
                f"There are ensembles in {folder} and no {WORKROOM}: choose another folder.",
            )
        project = read_project(folder) if files else read_own(folder)
    return Ground(folder=folder, project=project, new=new, shelves=shelves_of(project), now=now)
