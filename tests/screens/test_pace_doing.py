"""A pace as it is typed, and the edits of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.reading import read_project
from screens.pace_doing import forgotten, learning, ratio_from, set_by_hand

SMALL = Path("tests/screens/a_workroom")


@pytest.mark.parametrize(
    ("text", "ratio"), [("1.2", 1.2), ("1,2", 1.2), (" 0.8 ", 0.8), ("120%", 1.2), ("85 %", 0.85)]
)
def test_a_pace_as_typed(text: str, ratio: float) -> None:
    """With a point, a comma, or as a share."""
    assert ratio_from(text) == pytest.approx(ratio)


@pytest.mark.parametrize("text", ["", "fast", "1.2.3", "%"])
def test_what_is_none_is_told(text: str) -> None:
    """With what to write."""
    with pytest.raises(ValueError, match=r"1\.2 for a fifth slower"):
        ratio_from(text)


@pytest.mark.parametrize("text", ["0", "-1", "99", "nan", "inf"])
def test_nobody_has_such_a_pace(text: str) -> None:
    """Out of all bounds, or no number at all."""
    with pytest.raises(ValueError, match="A pace lies between"):
        set_by_hand(read_project(SMALL), "hand", "hand sewing", text)


def test_set_forgotten_and_learnt() -> None:
    """Each is a past fact, and changes the workroom alone."""
    project = read_project(SMALL)
    doing = set_by_hand(project, "hand", "hand sewing", "1.2")
    assert doing.label == "pace of hand sewing set by hand: 1.2, a fifth slower"
    after = doing.change(project)
    assert after.workroom.pace.by_hand == {"hand": 1.2}
    back = forgotten("hand", "hand sewing").change(after)
    assert back.workroom.pace.by_hand == {} and back.ensembles == project.ensembles
    # forgotten meanwhile elsewhere: nothing to do
    assert forgotten("hand", "hand sewing").change(back) is back
    assert not learning(False).change(project).workroom.pace.learn
