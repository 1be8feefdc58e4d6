"""What the owner of a form says: its fields, what they come to, and what to show beside them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planner.model import Project
from planner.plan import Plan
from planner.problems import InputError, Problem
from screens.forms.checked import at_fields, told_at, wrong_after
from screens.forms.fields import Field, Reading, Texts, Wrong
from screens.state import State
from screens.widgets.lines import Line

if TYPE_CHECKING:
    from screens.app import Wearby


class Questions:
    """The questions of one form; pure but for the state it is told.

    The form calls ``fields`` and ``read`` after every key, so both must be quick (a few
    milliseconds). Nothing here draws or saves.
    """

    title: str = ""
    """What the form is about: "A step of the Jacket bodice"."""
    kept: str = "keep"
    """What keeping is called at its key: "keep", "add"."""
    whole: bool = False
    """Whether a change is there without a key typed: a new garment can be kept at once."""
    doubting: bool = False
    """Whether it is kept only once the plan as it would become is known (``doubts``)."""

    def __init__(self, state: State | None) -> None:
        """``state`` is None where there are no files yet."""
        self.shown = state

    @property
    def state(self) -> State:
        """The state as it is; only where there are files."""
        assert self.shown is not None
        return self.shown

    def renew(self, state: State) -> None:
        """The files were read again while the form is open: fields say what they say now."""
        self.shown = state

    def fields(self, texts: Texts) -> Sequence[Field]:
        """The fields for what is typed; at first ``texts`` is empty.

        A field may come and go with what is typed elsewhere. Its ``value`` must not depend on
        what is typed in itself: it says whether the field was touched.
        """
        raise NotImplementedError

    def read(self, texts: Texts) -> Reading:
        """What the texts come to: an edit, or what is wrong at which field."""
        raise NotImplementedError

    def beside(self, texts: Texts, plan: Plan | None, width: int) -> Sequence[Line]:
        """Lines shown beside the fields (beneath them in a narrow terminal), live.

        ``plan`` is the plan as it would become, as soon as it is known. None at all: no region.
        """
        return ()

    def doubts(self, texts: Texts, plan: Plan) -> tuple[Wrong, ...]:
        """What speaks against keeping what is typed, at its field, in the plan as it would become.

        It can be kept all the same, when it is asked for again. Who has any sets ``doubting``.
        """
        return ()

    def check(self, reading: Reading) -> tuple[Wrong, ...]:
        """What is wrong that only planning finds: references that lead nowhere, circles."""
        if reading.change is None or self.shown is None:
            return ()
        state = self.shown
        where, ident = reading.where, reading.cursor or ""
        return wrong_after(state.project, reading.change, state.now, where, ident)

    def refused(self, problems: Sequence[Problem], reading: Reading) -> tuple[Wrong, ...]:
        """Why it could not be kept, at the fields."""
        if self.shown is None:
            return at_fields(problems, reading.where)
        return told_at(self.shown.project, problems, reading.where, reading.cursor or "")

    def keep(self, program: Wearby, reading: Reading) -> tuple[Problem, ...]:
        """Keep what was read; why it could not be kept.

        An edit is made and saved. Who keeps something else says so here and sets ``other``.
        """
        change = reading.change
        if change is None:
            return ()
        known = self.shown.project if self.shown is not None else None

        def kept(project: Project) -> Project:
            if known is not None and project is not known:
                text = "the files were changed in this very moment: keep it again"
                raise InputError([Problem(file="", place="", text=text)])
            return change(project)

        return program.edit(reading.label, kept, cursor=reading.cursor)
