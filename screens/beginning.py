"""Beginning: a new workroom with its first ensemble, or a new ensemble in a workroom."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from planner.editing import add_ensemble
from planner.files.beginning import begin
from planner.files.reading import read_own
from planner.model import Ensemble, Project, Workroom
from planner.problems import InputError, Problem
from screens.forms.fields import Field, Option, Reading, Texts, Wrong, flag
from screens.forms.form import Form
from screens.forms.questions import Questions
from screens.forms.telling import TellingForm
from screens.new_ensemble import (
    ALONG,
    DATE,
    DEPARTURE,
    EVENT,
    FILL_TO,
    FITTINGS,
    FOLDER,
    HELPER,
    HOW,
    LIMIT,
    NAME,
    SETTING_UP,
    SOFA,
    TIME,
    TRIAL,
    UNITS,
    USUAL,
    WHOLE,
    WORKROOM_HOURS,
    Reader,
    can_begin,
    can_have_whole,
    ensemble_of,
    event_told,
    folder_problem,
    hours_until,
    workroom_of,
)
from screens.state import State
from screens.wording import clean

if TYPE_CHECKING:
    from screens.app import Wearby

NEW_FOLDER = "workroom"
"""Name of the folder that is proposed where none was named."""
HOURS = (WORKROOM_HOURS, SOFA, ALONG, HELPER)


def _field(key: str, label: str, empty: str = "", *, further: bool = False) -> Field:
    """A text, with what is said everywhere of how it is written."""
    return Field(
        key=key,
        label=label,
        empty=empty,
        help=HOW[key],
        value=USUAL.get(key, ""),
        further=further,
    )


def ensemble_fields(texts: Texts) -> list[Field]:
    """What is asked of any new ensemble."""
    return [
        _field(NAME, "Name"),
        _field(EVENT, "What it is for"),
        _field(DATE, "Date"),
        _field(TIME, "Time", "all day"),
        _field(FITTINGS, "Fittings", "none"),
        _field(TRIAL, "Trial wear", "none"),
        _field(DEPARTURE, "Departure", "none"),
        *_whole(texts),
    ]


def _whole(texts: Texts) -> list[Field]:
    """Whether the whole is worn, mended, checked and packed."""
    if not can_have_whole(texts):
        return []
    help = "Steps for all of it together: dress trial, mending, checking, packing."
    return [flag(WHOLE, "The whole together", value=True, help=help)]


def workroom_fields() -> list[Field]:
    """What is asked of a new workroom; the last of it is mostly as usual."""
    return [
        _field(WORKROOM_HOURS, "Workroom hours", "none"),
        _field(SOFA, "Sofa hours", "none"),
        _field(ALONG, "Hours on the way", "none"),
        _field(HELPER, "Helper hours", "none"),
        replace(_field(UNITS, "Units"), options=_SYSTEMS),
        _field(SETTING_UP, "Setting up", further=True),
        _field(FILL_TO, "How full days are", further=True),
        _field(LIMIT, "Hand sewing a day", "no limit", further=True),
    ]


_SYSTEMS = (Option(key="metric", name="metric"), Option(key="imperial", name="imperial"))


class BeginQuestions(Questions):
    """A workroom that isn't there yet, or has no ensemble yet."""

    def __init__(self, now: datetime, folder: Path | None, there: Workroom | None = None) -> None:
        """``folder``: None where it is to be asked; ``there``: the workroom, if there is one."""
        super().__init__(None)
        self.now = now
        self.folder = folder
        self.there = there
        where = f" in {clean(str(folder))}" if folder is not None else ""
        self.title = f"A new ensemble{where}" if there is not None else f"A new workroom{where}"
        self.ensemble: Ensemble | None = None
        """As typed, as far as it can be read."""
        self.told = ("", "")
        """What is for when, and how many hours there are until then."""
        self._begin: Callable[[], None] = lambda: None
        self._path = folder or Path()
        self.begun: tuple[Path, str] | None = None
        """Where it was written, and what was, once it is."""

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Folder, ensemble, hours."""
        asked = ensemble_fields(texts)
        if self.there is not None:
            return asked
        folder = Field(
            key=FOLDER,
            label="Folder",
            value=NEW_FOLDER if self.folder is None else str(self.folder),
            help="Where the workroom is kept; the folder is made if need be.",
            further=self.folder is not None,
        )
        fields = [folder, *asked, *workroom_fields()]
        return sorted(fields, key=lambda one: one.further)

    def read(self, texts: Texts) -> Reading:
        """The workroom and its ensemble."""
        reader = Reader(texts, self.now)
        path = self.folder or Path()
        workroom = self.there
        if workroom is None:
            path = self._folder(reader)
            workroom = workroom_of(reader)
        ensemble = ensemble_of(reader, ())
        until = self.told[1]
        # half-typed hours leave the last figures
        if not any(one.key in HOURS for one in reader.wrong):
            hours = hours_until(workroom, ensemble, self.now) if ensemble.occasions else None
            until = f"Until then: {hours.told}." if hours is not None else ""
        self.told = event_told(ensemble, self.now), until
        if reader.wrong:
            return Reading(wrong=tuple(reader.wrong))
        new = workroom if self.there is None else None
        self._path = path
        self._begin = lambda: begin(path, ensemble, new)
        return Reading(label=f"{clean(ensemble.name)} begun", other=True)

    def _folder(self, reader: Reader) -> Path:
        text = reader.text(FOLDER)
        folder = Path(text).expanduser() if text else Path()
        problem = folder_problem(folder) if text else "Name a folder: it is made if need be."
        if problem:
            reader.refuse(FOLDER, problem)
        return folder

    def keep(self, program: Wearby, reading: Reading) -> tuple[Problem, ...]:
        """Write it, and open it."""
        try:
            self._begin()
        except InputError as error:
            return error.problems
        self.begun = self._path, reading.label
        return ()


class Beginning(TellingForm):
    """The questions of a workroom; leaving them where nothing is open leaves wearby."""

    # a form's own, and more
    CSS_PATH = ["forms/form.tcss", "beginning.tcss"]  # type: ignore[assignment]  # noqa: RUF012

    def __init__(self, questions: BeginQuestions) -> None:
        super().__init__(questions)
        self.begin = questions

    def _read(self) -> None:
        """In place of a verdict: for when it is, and what hours there are until then."""
        super()._read()
        self.verdict.waiting = self.begin.told[0] or "Nothing is written before it is kept."
        self.verdict.waiting_for = self.begin.told[1]

    def _close(self) -> None:
        """Open what was begun; where nothing was, go back, or leave if there is nothing to show."""
        self.dismiss(None)
        if self.begin.begun is not None:
            self.program.begun(*self.begin.begun)
        elif self.program.beginning is self:
            self.program.exit(0)


class NewEnsembleQuestions(Questions):
    """A new ensemble in the workroom that is open."""

    title = "A new ensemble"

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Name and dates."""
        return ensemble_fields(texts)

    def read(self, texts: Texts) -> Reading:
        """The edit that adds it."""
        now, project = self.state.now, self.state.project
        reader = Reader(texts, now)
        ensemble = ensemble_of(reader, [one.id for one in project.ensembles])
        hours = hours_until(project.workroom, ensemble, now) if ensemble.occasions else None
        told = f"until then {hours.told}" if hours is not None else ""
        if reader.wrong:
            return Reading(wrong=tuple(reader.wrong), told=told)
        event = ensemble.occasions[-1].id

        def change(there: Project) -> Project:
            return add_ensemble(there, replace(ensemble, file=""))

        return Reading(
            label=f"{clean(ensemble.name)} begun",
            change=change,
            told=told,
            cursor=f"{ensemble.id}/{event}",
        )

    def check(self, reading: Reading) -> tuple[Wrong, ...]:
        """A new ensemble refers to nothing but itself."""
        return ()


def new_ensemble(state: State) -> Form:
    """The form of a new ensemble in the workroom that is open."""
    return TellingForm(NewEnsembleQuestions(state))


def beginning_at(path: Path | None, now: datetime) -> Beginning | None:
    """The form that begins a workroom, or the first ensemble of one; None where there is one.

    ``path`` is what was typed, None where nothing was.
    """
    if path is None:
        return Beginning(BeginQuestions(now, None))
    if not can_begin(path):
        return None
    if not folder_problem(path):
        return Beginning(BeginQuestions(now, path))
    try:
        return Beginning(BeginQuestions(now, path, read_own(path).workroom))
    except InputError:
        return None  # opening it says what is wrong
