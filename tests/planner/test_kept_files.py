"""The kept plan as a file."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.kept import kept_as_text, read_kept, write_kept
from planner.files.reading import read_project
from planner.kept import kept_of
from planner.planning import plan_project

SAMPLES = Path(__file__).parents[2] / "sample_projects"


@pytest.mark.parametrize(
    ("sample", "now"),
    [
        ("copper_wood_masque", datetime(2027, 3, 6, 9)),
        ("oldmere_regatta", datetime(2027, 6, 7)),
    ],
)
def test_a_plan_is_kept_and_read_back(tmp_path: Path, sample: str, now: datetime) -> None:
    """What is kept of a plan reads back as it was, each minute at its window."""
    plan = plan_project(read_project(SAMPLES / sample), now)
    kept = kept_of(plan)
    write_kept(tmp_path / "kept.toml", kept)
    again, findings = read_kept(tmp_path / "kept.toml")
    assert not findings.problems and not findings.warnings
    fullest = None if kept.fullest is None else round(kept.fullest, 4)
    assert replace(again, file="") == replace(kept, fullest=fullest)
    minutes = sum(m for hours in again.hours for _, m in hours.planned)
    assert minutes == sum(s.minutes for s in plan.sittings if s.window is not None) > 0


def test_a_broken_kept_plan_is_passed_over(tmp_path: Path) -> None:
    """A kept plan that can't be read stops nothing: it is warned about, and there is none."""
    for file in (SAMPLES / "copper_wood_masque").glob("*.toml"):
        (tmp_path / file.name).write_text(file.read_text())
    whole = kept_as_text(kept_of(plan_project(read_project(tmp_path), datetime(2027, 3, 6))))
    other = whole.replace("from = ", "from = 3 #", 1)
    for broken in ("format = ", other, whole[: len(whole) // 2]):
        (tmp_path / "kept.toml").write_text(broken)
        project = read_project(tmp_path)
        assert project.kept.hours == ()
        assert any("kept plan is passed over" in one.text for one in project.warnings)
