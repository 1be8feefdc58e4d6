"""The sample workrooms: where they are, the day each was written for, and a copy of one's own."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.problems import InputError, Problem

FOLDER = Path(__file__).parent.parent / "sample_projects"
"""Beside the packages, in the source tree as where wearby was installed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """A workroom to look round in."""

    id: str
    """Name of its folder."""
    name: str
    told: str
    """What is made in it, and how that stands; it fits beside its name."""
    day: date
    """The day it was written for: from no other does it look as meant."""

    @property
    def folder(self) -> Path:
        """Where it is kept; it stays as it is."""
        return FOLDER / self.id


SAMPLES = (
    Sample(
        id="copper_wood_masque",
        name="Copper Wood masque",
        told="a beetle-knight in foam, two weeks to go",
        day=date(2027, 3, 6),
    ),
    Sample(
        id="oldmere_regatta",
        name="Oldmere regatta",
        told="coat, waistcoat and hat, three evenings lost",
        day=date(2027, 6, 7),
    ),
    Sample(
        id="hallow_skerry",
        name="Hallow Skerry ball",
        told="two ensembles for one ball, eleven weeks to go",
        day=date(2027, 8, 30),
    ),
)


def there() -> tuple[Sample, ...]:
    """The samples that came with this wearby."""
    return tuple(one for one in SAMPLES if (one.folder / "workroom.toml").is_file())


def copy_problem(folder: Path) -> str:
    """Why a sample can't be copied into a folder; empty where it can."""
    try:
        if not folder.exists():
            return ""
        if not folder.is_dir():
            return "This is a file: name a folder, which is made if need be."
        if any(folder.iterdir()):
            return "There is something in this folder already: name another."
    except (OSError, ValueError):
        return "This folder can't be looked into: name another."
    return ""


def free_folder(sample: Sample, within: Path) -> Path:
    """A folder that a copy can be made in, named after the sample."""
    number = 1
    while copy_problem(folder := within / (sample.id if number == 1 else f"{sample.id}-{number}")):
        number += 1
        if number > 99:
            break
    return folder


def copy_to(sample: Sample, folder: Path) -> None:
    """Copy a sample into a folder, which is made if need be. Raises InputError."""
    if why := copy_problem(folder):
        raise InputError([Problem(file=str(folder), place="", text=why)])
    try:
        shutil.copytree(
            sample.folder,
            folder,
            copy_function=shutil.copyfile,
            ignore=shutil.ignore_patterns("__pycache__", ".*"),
            dirs_exist_ok=True,
        )
    except (OSError, shutil.Error) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        text = f"The sample can't be copied there ({why}): name another folder."
        raise InputError([Problem(file=str(folder), place="", text=text)]) from None
