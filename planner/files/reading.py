"""Reading a workroom: a folder of TOML files, or one ensemble's file, as model values."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

from planner.files.broken_diary import load_diary
from planner.files.checks import Table, check_format, id_problem
from planner.files.diary import read_diary, warn_of_lost_steps, warn_of_lost_stock
from planner.files.ensemble import read_ensemble
from planner.files.findings import Findings
from planner.files.kept import read_kept
from planner.files.loading import load, os_problem
from planner.files.workroom import HOURS_TABLES, WORKROOM_KEYS, read_workroom
from planner.model import Diary, Ensemble, Kept, Project, Technique, Workroom
from planner.problems import InputError, Problem

if TYPE_CHECKING:
    from planner.catalogue.order import Order

T = TypeVar("T")

WORKROOM, DIARY, TECHNIQUES, KEPT = "workroom.toml", "diary.toml", "techniques.toml", "kept.toml"
ORDERS: Final = "orders"
"""The folder of the maker's own orders of construction."""
NOT_ENSEMBLES: Final = frozenset((WORKROOM, DIARY, TECHNIQUES, KEPT))
"""Files of a workroom's folder that are no ensembles."""


def read_project(path: Path) -> Project:
    """The whole workroom at ``path``.

    A folder: its workroom.toml, every other *.toml an ensemble (in order of their names)
    except diary.toml, techniques.toml and kept.toml, and the maker's own orders of
    construction in its folder orders; names that begin with a dot and other subfolders are
    passed over. Without a workroom.toml, a folder of one ensemble with hours of its own is
    read as that file.

    A file: this ensemble alone, with the hours it holds itself. Where it has none and lies
    beside a workroom.toml, the workroom's hours and settings are read too, yet no other
    ensemble. The diary, the techniques and the orders beside it are read either way; entries
    for other ensembles that are there stay in the diary and aren't warned about.

    Raises InputError with every problem of every file at once, in order of the files.
    """
    return _Reader(path).project()


def read_own(path: Path) -> Project:
    """What the workroom at ``path`` (its folder, or a file in it) adds to the catalogue: the
    maker's own techniques and orders of construction, with the workroom's settings.

    Ensembles and diary are left out, and not read: a mistake there is in nobody's way. Raises
    InputError with every problem of techniques and orders.
    """
    return _Reader(path).own()


def ensemble_files(folder: Path) -> list[Path]:
    """The ensembles' files of a workroom's folder, by name. Raises OSError."""
    return [path for path in _toml_files(folder) if path.name not in NOT_ENSEMBLES]


def _ids_beside(folder: Path, ensembles: list[Ensemble]) -> frozenset[str]:
    """Ids of the ensembles in a folder that aren't among these."""
    try:
        ids = {path.stem for path in ensemble_files(folder)}
    except OSError:
        ids = set()
    return frozenset(ids - {one.id for one in ensembles})


def _toml_files(folder: Path) -> list[Path]:
    return [
        folder / name
        for name in sorted(os.listdir(folder))
        if name.endswith(".toml") and not name.startswith(".")
    ]


class _Reader:
    """One reading of one path: files in turn, their findings kept in order."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.findings: list[Findings] = []

    def project(self) -> Project:
        try:
            is_folder = os.path.isdir(self.path)
            os.stat(self.path)
            files = ensemble_files(self.path) if is_folder else []
        except OSError as error:
            raise self._refused(os_problem(error)) from None
        except ValueError:
            raise self._refused("this is no path: check it") from None
        if not is_folder:
            return self._single(self.path)
        if not os.path.lexists(self.path / WORKROOM):
            return self._without_workroom(files)
        return self._whole(files)

    def own(self) -> Project:
        folder = self.path if os.path.isdir(self.path) else self.path.parent
        try:
            os.stat(self.path)
        except OSError as error:
            raise self._refused(os_problem(error)) from None
        except ValueError:
            raise self._refused("this is no path: check it") from None
        settings = Findings(str(folder / WORKROOM))
        document = load(folder / WORKROOM, settings)
        # what is wrong with the hours is for reading the whole workroom to say
        workroom = Workroom() if document is None else read_workroom(Table(settings, "", document))
        techniques, orders = self._own(folder)
        raise_all(self.findings)
        warnings = tuple(warned for f in self.findings for warned in f.warnings)
        return Project(
            workroom=workroom,
            ensembles=(),
            techniques=techniques,
            orders=orders,
            warnings=warnings,
        )

    def _refused(self, text: str) -> InputError:
        return InputError([Problem(file=str(self.path), place="", text=text)])

    def _without_workroom(self, files: list[Path]) -> Project:
        if not files:
            raise self._refused(
                f"there is no {WORKROOM} and no ensemble here: check the path, or begin with "
                '"wearby new"'
            )
        if len(files) == 1:
            return self._single(files[0])
        raise self._refused(
            f"there is no {WORKROOM} here: write one with the hours its ensembles share"
        )

    def _whole(self, files: list[Path]) -> Project:
        workroom = self._read(self.path / WORKROOM, self._workroom_file)
        if not files:
            raise_all(self.findings)
            raise self._refused("there is no ensemble here: write one, or begin with "
                                '"wearby new"')  # fmt: skip
        ensembles = [self._read(file, self._ensemble_file) for file in files]
        return self._assembled(self.path, workroom, [e for e in ensembles if e], whole=True)

    def _single(self, file: Path) -> Project:
        if file.name in NOT_ENSEMBLES:
            raise self._refused(f"this is no ensemble: give its folder, {file.parent}")
        found = self._read(file, self._alone_file)
        ensemble, workroom = found or (None, None)
        beside = file.parent / WORKROOM
        if ensemble is not None and workroom is None and os.path.lexists(beside):
            workroom = self._read(beside, self._workroom_file)
        return self._assembled(file.parent, workroom, [ensemble] if ensemble else [], whole=False)

    def _assembled(
        self, folder: Path, workroom: Workroom | None, ensembles: list[Ensemble], *, whole: bool
    ) -> Project:
        """The project of what was read, with the diary and techniques of the folder."""
        diary = Diary()
        if os.path.lexists(folder / DIARY):
            diary = self._diary(folder / DIARY) or diary
            if not any(f.problems for f in self.findings):
                others = frozenset() if whole else _ids_beside(folder, ensembles)
                warn_of_lost_steps(diary, ensembles, self.findings[-1], others)
                warn_of_lost_stock(diary, ensembles, self.findings[-1])
        techniques, orders = self._own(folder)
        kept = self._kept(folder / KEPT)
        raise_all(self.findings)
        return Project(
            workroom=workroom or Workroom(),
            ensembles=tuple(ensembles),
            diary=diary,
            techniques=techniques,
            orders=orders,
            warnings=tuple(warned for f in self.findings for warned in f.warnings),
            kept=kept,
        )

    def _kept(self, path: Path) -> Kept:
        """The plan that was kept; where it can't be read there is none, which is warned about."""
        if not os.path.lexists(path):
            return Kept()
        kept, findings = read_kept(path)
        if findings.problems:
            warned = Findings(str(path))
            first = findings.problems[0]
            warned.warn(first.place, f"the kept plan is passed over, for it can't be read: "
                        f"{first.text}")  # fmt: skip
            self.findings.append(warned)
        return kept

    def _own(self, folder: Path) -> tuple[tuple[Technique, ...], tuple[Order, ...]]:
        """The maker's own techniques and orders; their problems are in the findings."""
        techniques: tuple[Technique, ...] = ()
        if os.path.lexists(folder / TECHNIQUES):
            techniques = self._techniques(folder / TECHNIQUES)
        orders: tuple[Order, ...] = ()
        if os.path.isdir(folder / ORDERS):
            orders = self._orders(folder / ORDERS, techniques)
        return techniques, orders

    def _read(self, path: Path, reader: Callable[[Table, Path], T]) -> T | None:
        """One file read by ``reader``; None where it can't be."""
        findings = Findings(str(path))
        self.findings.append(findings)
        document = load(path, findings)
        return None if document is None else reader(Table(findings, "", document), path)

    def _techniques(self, path: Path) -> tuple[Technique, ...]:
        from planner.catalogue import parse_techniques  # costly, and most have none of their own

        findings = Findings(str(path))
        self.findings.append(findings)
        document = load(path, findings)
        if document is None:
            return ()
        check_format(Table(findings, "", document))
        techniques, problems, warnings = parse_techniques(document, str(path))
        findings.problems += problems
        findings.warnings += warnings
        return techniques

    def _orders(self, folder: Path, own: tuple[Technique, ...]) -> tuple[Order, ...]:
        """The maker's own orders of construction, by name."""
        from planner.catalogue import techniques_with  # costly, and most have none of their own
        from planner.catalogue.order_reading import parse_order

        broken = any(f.problems for f in self.findings if Path(f.file).name == TECHNIQUES)
        techniques = techniques_with(own)
        found = []
        for path in self._listed(folder):
            findings = Findings(str(path))
            self.findings.append(findings)
            document = load(path, findings)
            if document is None:
                continue
            order, problems, findings.warnings = parse_order(
                document, str(path), path.stem, techniques
            )
            # a technique that couldn't be read is told already, and not missing
            findings.problems += [
                p for p in problems if not (broken and p.place.endswith(".technique"))
            ]
            found += [order] if order is not None else []
        return tuple(found)

    def _listed(self, folder: Path) -> list[Path]:
        """The files of a folder of orders; none after noting why they can't be listed."""
        try:
            return _toml_files(folder)
        except OSError as error:
            findings = Findings(str(folder))
            findings.problem("", os_problem(error))
            self.findings.append(findings)
            return []

    @staticmethod
    def _workroom_file(table: Table, path: Path) -> Workroom:
        check_format(table)
        workroom = read_workroom(table)
        table.close()
        _warn_without_hours(table)
        return workroom

    @staticmethod
    def _ensemble_file(table: Table, path: Path) -> Ensemble:
        ensemble = _read_ensemble(table, path)
        table.know(WORKROOM_KEYS)
        for key in WORKROOM_KEYS:
            if table.has(key):
                table.warn(key, f"all ensembles share the hours of {WORKROOM}: move this there")
        table.close()
        return ensemble

    @staticmethod
    def _alone_file(table: Table, path: Path) -> tuple[Ensemble, Workroom | None]:
        """An ensemble and its own hours; None where the hours beside it are to be read."""
        ensemble = _read_ensemble(table, path)
        own = any(table.has(key) for key in (*HOURS_TABLES, "change"))
        if own or not os.path.lexists(path.parent / WORKROOM):
            workroom = read_workroom(table)
            _warn_without_hours(table)
            table.close()
            return ensemble, workroom
        return _Reader._ensemble_file(table, path), None

    def _diary(self, path: Path) -> Diary | None:
        """The diary, of which a part may be broken; None where it can't be read."""
        findings = Findings(str(path))
        self.findings.append(findings)
        document = load_diary(path, findings)
        if document is None:
            return None
        table = Table(findings, "", document)
        check_format(table)
        diary = read_diary(table)
        table.close()
        return diary


def _read_ensemble(table: Table, path: Path) -> Ensemble:
    check_format(table)
    wrong = id_problem(path.stem)
    if wrong:
        table.problem("", f"the file's name is the ensemble's id, and {wrong}")
    ensemble = read_ensemble(table, path.stem)
    if not ensemble.garments and not table.has("garment"):
        table.warn("garment", "there is no garment yet: add one, headed [[garment]]")
    if not ensemble.occasions and not table.has("occasion"):
        table.warn("occasion", "there is no occasion yet: add one, headed [[occasion]]")
    return ensemble


def _warn_without_hours(table: Table) -> None:
    if not any(table.has(key) for key in (*HOURS_TABLES, "change")):
        table.warn("workroom_hours", "there are no hours: add a table headed [workroom_hours]")


def raise_all(findings: list[Findings]) -> None:
    """Raise InputError with all problems of all files, if there are any."""
    problems = [problem for f in findings for problem in f.problems]
    if problems:
        raise InputError(problems)
