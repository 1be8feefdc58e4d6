"""The clock that runs while somebody sits at a step, in a file: it outlives the program."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from planner.files.checks import Table
from planner.files.findings import Findings
from planner.files.loading import load
from planner.files.rendering import render_value
from planner.files.saving import save_atomically
from planner.problems import InputError, Problem
from planner.sitting_down import SatDown

HIDDEN: Final = ".wearby"
"""The folder, inside the workroom's, of what is no maker's file."""
CLOCK: Final = "clock.toml"

_HEAD: Final = (
    "# Somebody sits at this step. wearby writes this file, and removes it when the step is put\n"
    "# down; to stop the clock by hand, remove it.\n"
    "format = 1\n"
)


def clock_file(folder: Path) -> Path:
    """Where the clock of a workroom's folder is."""
    return folder / HIDDEN / CLOCK


def read_clock(folder: Path) -> SatDown | None:
    """What somebody sits at in this workroom; None where nobody does.

    Raises InputError where the file can't be read. A program may read while another writes:
    what it finds is whole.
    """
    path = clock_file(folder)
    if not path.exists():
        return None
    findings = Findings(str(path))
    document = load(path, findings)
    found = None if document is None else _sat_down(Table(findings, "", document))
    if findings.problems and path.exists():
        raise InputError(findings.problems)
    return found


def _sat_down(table: Table) -> SatDown | None:
    table.get("format")
    step, since, logging = table.text("step"), table.moment("since"), table.moment("logging")
    if not step or since is None:
        table.problem("step", "step or since is missing: remove this file to stop the clock")
        return None
    return SatDown(step=step, since=since, logging=logging)


def write_clock(folder: Path, sat: SatDown) -> None:
    """Have the clock run, on the disk when this returns. Raises InputError where it can't."""
    path = clock_file(folder)
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        text = f"its folder can't be made ({error.strerror}): the clock doesn't run"
        raise InputError([Problem(file=str(path), place="", text=text)]) from None
    lines = [f"step = {render_value(sat.step)}", f"since = {render_value(sat.since)}"]
    if sat.logging is not None:
        lines.append(f"logging = {render_value(sat.logging)}")
    save_atomically(path, _HEAD + "\n".join(lines) + "\n")


def stop_clock(folder: Path) -> None:
    """Nobody sits at anything. Raises InputError where the file can't be removed."""
    path = clock_file(folder)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        text = f"it can't be removed ({error.strerror}): the clock would run on"
        raise InputError([Problem(file=str(path), place="", text=text)]) from None
