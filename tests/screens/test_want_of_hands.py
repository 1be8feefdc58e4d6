"""What is late only because nobody helps is said to be so: helper hours would mend it."""

from __future__ import annotations

from pathlib import Path

from screens.verdict import verdict_lines, verdict_sentences
from tests.planner.little import EVENINGS, ensemble, every, garment, plan

STEPS = garment("sew 60", 'level 30 hands=2, after=["sew"]')
WHY = ", for want of helper hours"


def test_two_hands_and_no_helper(tmp_path: Path) -> None:
    """The verdict says that helper hours are wanting, also where there is little room."""
    found = plan(tmp_path, ensemble(STEPS))
    assert any(WHY in sentence for sentence in verdict_sentences(found))
    assert WHY in verdict_lines(found, 120)[1]


def test_late_for_another_reason(tmp_path: Path) -> None:
    """With too little time at all nothing is said of helpers."""
    long = garment("sew 6000", 'level 30 after=["sew"], wait="9 nights"')
    found = plan(tmp_path, ensemble(long))
    told = verdict_sentences(found)
    assert told[0].startswith("Does not fit")
    assert not any(WHY in sentence for sentence in told)


def test_with_a_helper(tmp_path: Path) -> None:
    """With helper hours the same steps are not late."""
    hours = EVENINGS + every("helper", "19:00-21:00")
    found = plan(tmp_path, ensemble(STEPS), hours)
    assert verdict_sentences(found)[0].startswith("Fits")
