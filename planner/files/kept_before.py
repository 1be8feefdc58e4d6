"""The plan that stood before the last log: beside the diary, for when that is taken back.

``.wearby/kept-before.toml`` is a kept plan that also says to which log it belongs. Nothing here
ever disturbs: what can't be written isn't, what can't be read isn't there.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Final

from planner.files.findings import Findings
from planner.files.kept import kept_as_text, read_kept
from planner.files.loading import load
from planner.files.rendering import render_value
from planner.files.saving import save_atomically
from planner.kept import inputs_of
from planner.model import Diary, Kept, Project
from planner.problems import InputError

BEFORE: Final = Path(".wearby") / "kept-before.toml"
_FORMAT: Final = "format = 1\n"


def keep_before(folder: Path, kept: Kept, project: Project) -> None:
    """Keep the plan that stood before what the project's diary ends with was logged."""
    if kept.as_of is None or not project.diary.entries:
        return
    belongs = f"{_FORMAT}log = {render_value(_log(project.diary))}\n"
    text = kept_as_text(kept).replace(_FORMAT, belongs, 1)
    with contextlib.suppress(InputError, OSError):
        (folder / BEFORE).parent.mkdir(parents=True, exist_ok=True)
        save_atomically(folder / BEFORE, text)


def kept_before(folder: Path, project: Project) -> Kept | None:
    """The plan that stood before what the diary ends with; None where it isn't known, or hours
    or ensembles are no longer as they were when it was made."""
    path = folder / BEFORE
    if not path.is_file():
        return None
    document = load(path, Findings(str(path)))
    if document is None or document.get("log") != _log(project.diary):
        return None
    kept, findings = read_kept(path)
    if findings.problems or kept.as_of is None or kept.inputs != inputs_of(project):
        return None
    return kept


def _log(diary: Diary) -> str:
    """Stands for what was logged last: how many entries there are, and the last one's moment."""
    entries = diary.entries
    return f"{len(entries)} {entries[-1].at.isoformat()} {entries[-1].step}" if entries else ""
