"""Edits that couldn't be saved: kept elsewhere, and made again once saving works.

A full disk, a folder that can only be read or is gone must cost nobody an evening's words. Of
each file such an edit touches, the text before and after is kept; made again, it changes what it
changed and nothing else, so what was written meanwhile stays.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from planner.carrying import Conflict, bare, carried_over
from planner.files.identity import identity_of
from planner.files.plain import Plain, plain_diary, plain_ensemble, plain_workroom
from planner.files.reading import DIARY, WORKROOM
from planner.files.rendering import render_document, render_value
from planner.files.saving import discard, save_atomically
from planner.files.texts import with_text
from planner.model import Project
from planner.problems import InputError, Problem

_HEAD: Final = (
    "# An edit that wearby couldn't save. It is offered when the workroom is opened again, and\n"
    "# this file goes when it was kept or thrown away.\n"
)
_HALF: Final = re.compile("[\ud800-\udfff]")
_CONTROL: Final = re.compile("[\x00-\x1f\x7f]")


@dataclass(frozen=True, slots=True, kw_only=True)
class UnsavedFile:
    """One file of an edit, with its texts."""

    name: str
    """Its path within the workroom's folder."""
    before: str | None
    """None: there was no file."""
    after: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaved:
    """An edit that couldn't be saved."""

    label: str
    """What was done, as a past fact."""
    at: datetime
    workroom: Path
    """The workroom's folder."""
    files: tuple[UnsavedFile, ...]
    file: Path | None = None
    """Where it is kept; None: in this run of the program alone."""
    known_as: str = ""
    """The workroom's own word, by which it is found again where its folder was moved."""
    garments: tuple[str, ...] = ()
    """The workroom's garments by full id: what it is known by where it has no word."""


def edit_of(
    label: str,
    at: datetime,
    folder: Path,
    touched: Sequence[tuple[Path, str | None, str | None]],
    before: Project,
    after: Project,
    known_as: str = "",
) -> Unsaved:
    """An edit to be kept: what it was to write, where that was worked out, else its values."""
    files = [
        UnsavedFile(name=os.path.relpath(file, folder), before=old, after=new)
        for file, old, new in touched
    ]
    if not files:
        old_texts, new_texts = _texts(before), _texts(after)
        files = [
            UnsavedFile(name=name, before=old_texts.get(name), after=new_texts.get(name))
            for name in dict.fromkeys((*old_texts, *new_texts))
            if old_texts.get(name) != new_texts.get(name)
        ]
    return Unsaved(
        label=label,
        at=at.replace(tzinfo=None, microsecond=0),
        workroom=Path(os.path.abspath(folder)),
        files=tuple(files),
        known_as=known_as,
        garments=garments_of(before),
    )


def garments_of(project: Project) -> tuple[str, ...]:
    """The garments of a workroom by full id."""
    return tuple(f"{one.id}/{garment.id}" for one in project.ensembles for garment in one.garments)


def _texts(project: Project) -> dict[str, str]:
    """The files of a project as they would be written anew, by their names."""
    units = project.workroom.units
    plain: dict[str, Plain] = {}
    for ensemble in project.ensembles:
        plain[Path(ensemble.file or f"{ensemble.id}.toml").name] = plain_ensemble(ensemble, units)
    name = Path(project.workroom.file or WORKROOM).name
    plain[name] = {**plain_workroom(project.workroom), **plain.get(name, {})}
    if bare(project.diary.entries):
        plain[Path(project.diary.file or DIARY).name] = plain_diary(project.diary)
    return {name: render_document({"format": 1, **one}, "\n") for name, one in plain.items()}


def recovered(project: Project, edit: Unsaved, folder: Path) -> Project:
    """A project with an edit made that couldn't be saved.

    Raises InputError where what it changed was itself changed since.
    """
    base = to = project
    for one in edit.files:
        base = with_text(base, folder / one.name, one.before)
        to = with_text(to, folder / one.name, one.after)
    try:
        return carried_over(project, base, to)
    except Conflict as conflict:
        where = f"; its words are in {edit.file}" if edit.file is not None else ""
        text = f"{conflict.what} has been changed since: make this edit by hand{where}"
        problem = Problem(file=conflict.file or str(folder), place="", text=text)
        raise InputError([problem]) from None


def keep_aside(aside: Path, edit: Unsaved) -> Unsaved:
    """Keep an edit in the folder ``aside``; where that fails too, in memory alone."""
    file = aside / f"{edit.at:%Y-%m-%d_%H%M%S}-{os.urandom(3).hex()}.toml"
    try:
        aside.mkdir(parents=True, exist_ok=True)
        save_atomically(file, _as_text(edit))
    except (OSError, InputError):
        return edit
    return replace(edit, file=file)


def _as_text(edit: Unsaved) -> str:
    lines = [
        f"{_HEAD}format = 1",
        f"workroom = {_shown(str(edit.workroom))}",
        f"known_as = {_shown(edit.known_as)}",
        f"garments = [{', '.join(map(_shown, edit.garments))}]",
        f"label = {_shown(edit.label)}",
        f"at = {render_value(edit.at)}",
    ]
    for one in edit.files:
        lines += ["", "[[file]]", f"name = {_shown(one.name)}"]
        lines += [
            f"{key} = {_shown(text)}"
            for key, text in (("before", one.before), ("after", one.after))
            if text is not None
        ]
    return "\n".join(lines) + "\n"


def _shown(text: str) -> str:
    """A text on one line; bytes that are no letters are spelled out."""
    text = _HALF.sub(lambda found: f"\\x{ord(found[0]) - 0xDC00:02x}", text)
    text = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + _CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + '"'


def kept_aside(aside: Path, workroom: Path, garments: Sequence[str] = ()) -> list[Unsaved]:
    """The edits of a workroom that are kept there, the oldest first; what can't be read isn't.

    Also those that were made where its folder was before it was moved.
    """
    known_as = identity_of(workroom)
    return [one for one in all_kept(aside) if _is_of(one, workroom, known_as, garments)]


def all_kept(aside: Path) -> list[Unsaved]:
    """The edits that are kept there, of whatever workroom, the oldest first."""
    try:
        files = sorted(file for file in aside.iterdir() if file.suffix == ".toml")
    except OSError:
        return []
    return [one for one in map(_read, files) if one is not None]


def _is_of(edit: Unsaved, workroom: Path, known_as: str, garments: Sequence[str]) -> bool:
    """Whether an edit is a workroom's: by its path, else by its word, else by its garments.

    Where the workroom still is at the path it was made at, this one is a copy at best.
    """
    same_word = bool(known_as) and edit.known_as == known_as
    if _same_place(edit.workroom, workroom):
        return same_word or not (known_as and edit.known_as)
    if is_still_there(edit):
        return False
    ours, theirs = set(garments), set(edit.garments)
    return same_word or len(ours & theirs) * 2 > len(ours | theirs)


def _same_place(one: Path, other: Path) -> bool:
    if str(one) == os.path.abspath(other):
        return True
    try:
        return os.path.samefile(one, other)
    except OSError:
        return False


def is_still_there(edit: Unsaved) -> bool:
    """Whether the workroom of an edit is where it was."""
    if edit.known_as and (known_as := identity_of(edit.workroom)):
        return known_as == edit.known_as
    try:
        return any(name.endswith(".toml") for name in os.listdir(edit.workroom))
    except OSError:
        return False


def _read(file: Path) -> Unsaved | None:
    try:
        found = tomllib.loads(file.read_text(encoding="utf-8"))
        return Unsaved(
            label=str(found["label"]),
            at=_moment(found["at"]),
            workroom=Path(str(found["workroom"])),
            files=tuple(_file(one) for one in found["file"]),
            file=file,
            known_as=str(found.get("known_as", "")),
            garments=tuple(str(one) for one in found.get("garments", ())),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _moment(value: object) -> datetime:
    if not isinstance(value, datetime):
        raise ValueError("no moment")
    return value


def _file(table: Mapping[str, object]) -> UnsavedFile:
    before, after = (
        value if isinstance(value := table.get(key), str) else None for key in ("before", "after")
    )
    return UnsavedFile(name=str(table["name"]), before=before, after=after)


def forget(edit: Unsaved) -> None:
    """Keep an edit no longer."""
    if edit.file is not None:
        discard(edit.file)


def out_of_reach(path: Path) -> bool:
    """Whether a workroom's files can't be got at, whatever they say."""
    try:
        if path.is_dir():
            os.listdir(path)
        else:
            with open(path, "rb"):
                pass
    except OSError:
        return True
    return False
