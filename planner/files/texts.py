"""What the text of one file of a workroom says, and one project with such a text in it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from planner.files.broken_diary import mended
from planner.files.checks import Table
from planner.files.diary import read_diary
from planner.files.ensemble import read_ensemble
from planner.files.findings import Findings
from planner.files.loading import parsed
from planner.files.reading import DIARY, WORKROOM
from planner.files.workroom import HOURS_TABLES, read_workroom
from planner.model import Diary, Ensemble, Project, Workroom
from planner.problems import InputError


def ensemble_in(text: str, file: Path) -> Ensemble:
    """The ensemble of a file's text. Raises InputError where it is none."""
    table = _table(text, file)
    found = read_ensemble(table, file.stem)
    _check(table)
    return replace(found, file=str(file))


def with_text(project: Project, file: Path, text: str | None) -> Project:
    """A project in which one file says ``text``; None: without that file.

    Raises InputError where the text can't be read.
    """
    if file.name == DIARY:
        return replace(project, diary=_diary(text, file))
    if file.name == WORKROOM:
        return replace(project, workroom=_workroom(text, file))
    others = [one for one in project.ensembles if Path(one.file).name != file.name]
    if text is None:
        return replace(project, ensembles=tuple(others))
    ensemble = ensemble_in(text, file)
    there = any(Path(one.file).name == file.name for one in project.ensembles)
    ensembles = (
        [ensemble if Path(one.file).name == file.name else one for one in project.ensembles]
        if there
        else [*others, ensemble]
    )
    project = replace(project, ensembles=tuple(ensembles))
    table = _table(text, file)
    if Path(project.workroom.file).name == file.name or (
        not project.workroom.file and any(table.has(key) for key in (*HOURS_TABLES, "change"))
    ):
        return replace(project, workroom=_workroom(text, file))
    return project


def _diary(text: str | None, file: Path) -> Diary:
    if text is None:
        return Diary()
    table = _table(mended(text), file)
    found = read_diary(table)
    _check(table)
    return found


def _workroom(text: str | None, file: Path) -> Workroom:
    if text is None:
        return Workroom()
    table = _table(text, file)
    found = read_workroom(table)
    _check(table)
    return found


def _table(text: str, file: Path) -> Table:
    findings = Findings(str(file))
    document = parsed(text.removeprefix("\ufeff"), findings)
    table = Table(findings, "", document or {})
    _check(table)
    return table


def _check(table: Table) -> None:
    if table.findings.problems:
        raise InputError(table.findings.problems)
