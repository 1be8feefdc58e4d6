"""Copying a sample: where it goes, and from which day it is looked at."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from planner.problems import InputError, Problem
from screens.entering import enter
from screens.forms.fields import Field, Option, Reading, Texts, Wrong
from screens.forms.questions import Questions
from screens.forms.telling import TellingForm
from screens.paths import shown_path
from screens.samples import Sample, copy_problem, copy_to, free_folder
from screens.wording import long_date

if TYPE_CHECKING:
    from screens.app import Wearby

FOLDER, AS_OF = "folder", "as_of"
ITS_DAY, TODAY = "its-day", "today"


class SampleQuestions(Questions):
    """A sample is copied, so that it stays as it is."""

    kept = "open"
    whole = True

    def __init__(self, sample: Sample, today: date) -> None:
        super().__init__(None)
        self.sample = sample
        self.today = today
        self.proposed = str(free_folder(sample, Path()))
        self.title = f"A copy of {sample.name}"
        self.copied: tuple[Path, date | None] | None = None
        """Where it went and from which day it is looked at, once it is there."""
        self._meant: tuple[Path, date | None] = Path(), None

    def fields(self, texts: Texts) -> Sequence[Field]:
        """Folder and day."""
        folder = Field(
            key=FOLDER,
            label="Copy into",
            value=self.proposed,
            help="A folder that is made for it: change in it whatever you like.",
        )
        day = Field(
            key=AS_OF,
            label="As of",
            value=ITS_DAY,
            options=(
                Option(key=ITS_DAY, name=long_date(self.sample.day, self.today)),
                Option(key=TODAY, name="today"),
            ),
            help=f"It was written for {long_date(self.sample.day, self.today)}: from that day it"
            " looks as meant.",
        )
        return [folder, day]

    def read(self, texts: Texts) -> Reading:
        """Where it is to go."""
        text = texts.get(FOLDER, self.proposed).strip()
        folder = Path(text).expanduser() if text else Path()
        why = copy_problem(folder) if text else "Name a folder: it is made if need be."
        if why:
            return Reading(wrong=(Wrong(key=FOLDER, text=why),))
        as_of = self.sample.day if texts.get(AS_OF, ITS_DAY) == ITS_DAY else None
        self._meant = folder, as_of
        return Reading(label=f"{self.sample.name} copied", other=True)

    def keep(self, program: Wearby, reading: Reading) -> tuple[Problem, ...]:
        """Copy it."""
        folder, as_of = self._meant
        try:
            copy_to(self.sample, folder)
        except InputError as error:
            return error.problems
        self.copied = folder, as_of
        return ()

    def refused(self, problems: Sequence[Problem], reading: Reading) -> tuple[Wrong, ...]:
        """Why it couldn't be copied is told of the folder."""
        return tuple(Wrong(key=FOLDER, text=one.text) for one in problems)


class CopySample(TellingForm):
    """The questions of a copy; it is opened as soon as it is there."""

    CSS = """
    CopySample {
        #then {
            display: none;
        }
    }
    """

    def __init__(self, questions: SampleQuestions) -> None:
        super().__init__(questions)
        self.sample = questions

    def _read(self) -> None:
        """In place of a verdict: which sample it is."""
        super()._read()
        told = self.sample.sample.told
        self.verdict.waiting = f"{self.sample.sample.name}: {told}"
        self.verdict.waiting_for = "The sample itself stays as it is."

    def _close(self) -> None:
        """Open the copy."""
        self.dismiss(None)
        if self.sample.copied is not None:
            folder, as_of = self.sample.copied
            told = f"A copy of {self.sample.sample.name}: {shown_path(folder.resolve())}."
            self.program.when_planned = partial(self.program.tell, told)
            self.app.call_later(enter, self.program, folder, as_of=as_of)
