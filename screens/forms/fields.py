"""What a form asks, as values: fields of text, of choice, of yes or no."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.model import Project

Texts = Mapping[str, str]
"""What stands in the fields, by key: typed text, or the key of the chosen option."""

YES, NO = "yes", "no"
"""Keys of the options of a flag."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer of a choice."""

    key: str
    name: str
    """As shown; plain text, never markup."""
    told: str = ""
    """What looking up shows at its right edge: hours, a unit, a group."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One question of a form."""

    key: str
    label: str
    help: str = ""
    """One sentence: what to write, with an example."""
    value: str = ""
    """What stands in it at first: text, or the key of an option."""
    options: tuple[Option, ...] = ()
    """Its answers, where it is a choice; none: it is typed."""
    empty: str = ""
    """What an empty text stands for, shown faintly in its place."""
    further: bool = False
    """Not shown until the maker asks for further fields (or something is wrong with it)."""
    heading: str = ""
    """A quiet line above it, where a new part of the form begins."""
    found: Callable[[], Sequence[Option]] | None = None
    """What can be looked up for a text, worked out when asked; a choice looks up its options."""
    nothing: str = ""
    """Why there is nothing to look up, where there is nothing, and what to do."""
    sought: str = ""
    """What is looked up, as it is told at its key: "techniques"."""
    names: Callable[[str], str] = str
    """What is written in the field for the key of an option that was picked: its name."""
    several: bool = False
    """Looked-up texts are joined by commas; picking one that is there takes it out."""

    @property
    def chosen(self) -> bool:
        """Whether it is a choice."""
        return bool(self.options)


def flag(key: str, label: str, *, value: bool, help: str = "", further: bool = False) -> Field:
    """A question of yes or no."""
    return Field(
        key=key,
        label=label,
        help=help,
        value=YES if value else NO,
        options=(Option(key=YES, name="yes"), Option(key=NO, name="no")),
        further=further,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What is wrong with a field, with its remedy."""

    key: str
    """Key of the field; empty: of the whole form."""
    text: str


Change = Callable[["Project"], "Project"]
"""An edit: pure, by ids, so that it holds for files that were changed meanwhile."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the texts of a form come to."""

    label: str = ""
    """What keeping does, for undo: "hem changed"."""
    change: Change | None = None
    """The edit; None where something is wrong, or nothing was changed."""
    other: bool = False
    """Whether its owner keeps it otherwise than by an edit (``Questions.keep``)."""
    wrong: tuple[Wrong, ...] = ()
    told: str = ""
    """One line on what is typed, known at once: "1 h 45, from 1 h 10 to 2 h 40"."""
    cursor: str | None = None
    """Where the cursor goes when it is kept: a full id."""
    where: str = ""
    """Key path of what is edited as the files will have it, such as "garment[1].step[0]": what
    planning finds wrong there is said at its field."""


def started(fields: Sequence[Field]) -> dict[str, str]:
    """The texts of fresh fields."""
    return {field.key: field.value for field in fields}


def typed(fields: Sequence[Field], texts: Texts) -> dict[str, str]:
    """The texts that differ from what stood there at first."""
    return {
        field.key: texts[field.key]
        for field in fields
        if field.key in texts and texts[field.key] != field.value
    }
