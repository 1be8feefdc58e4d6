"""Folders as they are shown, and as they are typed."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from planner.files.reading import NOT_ENSEMBLES, WORKROOM
from screens.wording import cells, clean

MOST_LOOKED_AT = 2000
"""Names of a folder that are looked at."""


def shown_path(path: Path, width: int = 1000) -> str:
    """A path with "~" for the home folder; its beginning is cut where it is too long."""
    text = str(path)
    home = os.path.expanduser("~")
    if home not in ("", "/", "~") and (text == home or text.startswith(home + os.sep)):
        text = "~" + text[len(home) :]
    text = clean(text)
    if cells(text) <= width:
        return text
    while text and cells(text) > width - 1:
        text = text[1:]
    return f"…{text}" if width > 0 else ""


def path_told_apart(path: Path, others: Sequence[Path], width: int) -> str:
    """A path in about so many columns, never without what tells it from the others.

    The whole where there is room, else its end from the folder on that differs; what lies between
    that and the last name gives way too. The last name is always whole.
    """
    whole = shown_path(path)
    if cells(whole) <= width:
        return whole
    parts = path.parts
    depth = 1
    while depth < len(parts) and any(
        other != path and other.parts[-depth:] == parts[-depth:] for other in others
    ):
        depth += 1
    for more in range(len(parts) - 1, depth - 1, -1):
        longer = "…/" + "/".join(map(clean, parts[-more:]))
        if cells(longer) <= width:
            return longer
    between = "/…/" if depth > 2 else "/"
    head = f"{clean(parts[-depth])}{between}" if depth > 1 else ""
    return f"…/{head.lstrip('/')}{clean(parts[-1])}"


def cut_within(text: str, width: int) -> str:
    """A text in at most so many columns: its middle is cut, both its ends stay."""
    if cells(text) <= width:
        return text
    # text that is wide takes two columns a letter
    half = (len(text) * max(width - 1, 0)) // (2 * max(cells(text), 1))
    while half > 0 and cells(text[:half] + text[-half:]) > width - 1:
        half -= 1
    return f"{text[:half]}…{text[len(text) - half :]}" if width > 0 else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A folder or file that what is typed may mean."""

    typed: str
    """What would be typed for it."""
    path: Path
    name: str
    """As listed."""
    opens: str = ""
    """What can be opened there: "workroom", "ensemble"; empty: a folder to look further in."""


def typed_path(text: str) -> Path:
    """The path that is meant by a text; "~" is the home folder."""
    return Path(os.path.expanduser(text.strip() or "."))


def places(text: str) -> tuple[Place, ...]:
    """What a text may be the beginning of: what can be opened first, then other folders.

    Raises OSError where there is no such folder, or it can't be looked into.
    """
    head, tail = os.path.split(text.lstrip())
    folder = typed_path(head)
    stem = head if not head or head.endswith(os.sep) else head + os.sep
    found = [
        place
        for name in sorted(os.listdir(folder), key=str.casefold)[:MOST_LOOKED_AT]
        if name.casefold().startswith(tail.casefold()) and (tail or not name.startswith("."))
        if (place := _place(folder / name, stem + name)) is not None
    ]
    found.sort(key=lambda one: not one.opens)
    if not tail and opens(folder):
        here = Place(typed=stem or ".", path=folder, name="this folder", opens=opens(folder))
        return (here, *found)
    return tuple(found)


def _place(path: Path, typed: str) -> Place | None:
    """A folder, or an ensemble's file; None for whatever else."""
    try:
        if path.is_dir():
            return Place(
                typed=typed + os.sep, path=path, name=clean(path.name) + os.sep, opens=opens(path)
            )
    except OSError:
        return None
    if opens(path):
        return Place(typed=typed, path=path, name=clean(path.name), opens=opens(path))
    return None


def opens(path: Path) -> str:
    """What can be opened at a path; empty for nothing."""
    try:
        if (path / WORKROOM).is_file():
            return "workroom"
        if path.suffix != ".toml" or path.name in NOT_ENSEMBLES or not path.is_file():
            return ""
        # beside a workroom.toml it is opened with the rest
        alone = not (path.parent / WORKROOM).is_file()
        return "ensemble" if alone and _says_format(path) else ""
    except (OSError, ValueError):
        return ""


def _says_format(file: Path) -> bool:
    """Whether a file begins as ours do. Raises OSError, and ValueError where it is no text."""
    with file.open(encoding="utf-8") as text:
        return any(line.split("=")[0].strip() == "format" for line in islice(text, 60))


def completed(text: str, found: tuple[Place, ...]) -> str:
    """A text with all that every place it may mean begins with."""
    typed = [one.typed for one in found if one.name != "this folder"]
    if not typed:
        return text
    least, most = min(typed, key=str.casefold), max(typed, key=str.casefold)
    same = next(
        (
            at
            for at, (one, other) in enumerate(zip(least, most, strict=False))
            if one.casefold() != other.casefold()
        ),
        len(least),
    )
    return least[:same] if same > len(text) else text
