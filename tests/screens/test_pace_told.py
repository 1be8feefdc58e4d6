"""The pace in words: ratios, the table's lines, and what an estimate rests on."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import PaceChoices, Project
from planner.pace import UNKNOWN
from planner.pacing import pace_of
from planner.plan import Plan
from planner.planning import plan_project
from screens.pace_told import (
    compared,
    estimate_sentence,
    longer,
    pace_rows,
    rests_told,
    sentences,
)
from screens.why import reason_sentences

NOW = datetime(2027, 6, 7)


@pytest.fixture(scope="module")
def regatta() -> Project:
    """A workroom whose diary has taught something."""
    return read_project(Path("sample_projects/oldmere_regatta"))


def planned(regatta: Project, learn: bool = True, **by_hand: float) -> Plan:
    """Its plan, with paces by hand."""
    choices = PaceChoices(learn=learn, by_hand=by_hand)
    return plan_project(
        replace(regatta, workroom=replace(regatta.workroom, pace=choices)), NOW, thorough=False
    )


@pytest.mark.parametrize(
    ("ratio", "told", "takes"),
    [
        (1.0, "as the catalogue", "as long"),
        (1.05, "a little slower", "a little longer"),
        (1.2, "a fifth slower", "a fifth longer"),
        (1.3, "nearly a third slower", "nearly a third longer"),
        (1.5, "half as long again", "half longer"),
        (1.75, "three quarters slower", "three quarters longer"),
        (2.0, "twice as long", "twice as long"),
        (4.0, "4 times as long", "4 times as long"),
        (0.9, "a tenth quicker", "a tenth less"),
        (0.75, "a quarter quicker", "a quarter less"),
        (0.5, "twice as quick", "half less"),
        (0.3, "more than twice as quick", "two thirds less"),
    ],
)
def test_ratios(ratio: float, told: str, takes: str) -> None:
    """Slower and quicker, longer and less, in everyday shares."""
    assert (compared(ratio), longer(ratio)) == (told, takes)


def test_every_line_has_its_texts(regatta: Project) -> None:
    """Key, name, ratio, words, range, steps, and all of it as a sentence."""
    rows = pace_rows(pace_of(regatta))
    assert [row.depth for row in rows[:3]] == [0, 1, 2]
    seams = next(row for row in rows if row.key == "straight-seam")
    assert (seams.name, seams.ratio, seams.steps) == ("sew straight seams", "1.30", "1 step")
    assert seams.sentence.startswith(
        "Sew straight seams: nearly a third slower than the catalogue (1.30), by 1 step; with a"
        " chance of 80 % between "
    )


def test_a_line_set_by_hand_tells_what_was_learnt(regatta: Project) -> None:
    """And a technique beneath it tells by what it is ruled."""
    rows = {row.key: row for row in pace_rows(planned(regatta, machine=0.9).pace)}
    kind, technique = rows["machine"], rows["straight-seam"]
    assert kind.by_hand and kind.between == "by hand"
    assert kind.learnt == "the diary says 1.15, by 4 steps"
    assert not technique.by_hand and technique.between == "as machine"
    assert technique.sentence.endswith("set by hand for machine sewing; the diary says 1.30, by"
                                       " 1 step.")  # fmt: skip


def test_a_pace_set_of_nothing_is_no_line(regatta: Project) -> None:
    """It isn't used, and the plan warns of it."""
    plan = planned(regatta, machin=2.0)
    assert "machin" not in {row.key for row in pace_rows(plan.pace)}
    assert any(one.place == "pace.machin" for one in plan.warnings)


def test_sentences_on_top(regatta: Project) -> None:
    """What was learnt and by how many steps; nothing yet; learning off."""
    (first, far, *_) = sentences(pace_of(regatta))
    assert first.startswith("By 18 steps you are a tenth slower than the catalogue; slowest at")
    assert "waistcoat/fit (0:20 for 1:15)" in far
    assert sentences(UNKNOWN)[0].startswith("Nothing is learnt yet")
    assert sentences(planned(regatta, learn=False).pace)[0].startswith("Learning is off")


def test_what_a_line_rests_on_is_told_newest_first(regatta: Project) -> None:
    """Each step with its day, what it took and what the catalogue says."""
    plan = planned(regatta)
    told = rests_told(plan, plan.pace.steps)
    assert len(told) == 18
    assert any("0:20 for  1:15" in line and "waistcoat" in line for line in told)
    assert told[0].startswith("Sun  6 Jun")


def test_what_an_estimate_rests_on_is_in_the_reason(regatta: Project) -> None:
    """The catalogue's minutes, how much longer by how many steps of what, and the result."""
    plan = planned(regatta)
    told = {
        step.technique: estimate_sentence(plan, step)
        for step in plan.steps
        if not step.done and step.wanted and step.by_catalogue
    }
    assert any("at this technique (" in text for text in told.values())
    assert any("at hand sewing (4 steps): " in text for text in told.values())
    step = next(one for one in plan.steps if one.wanted and estimate_sentence(plan, one))
    assert estimate_sentence(plan, step) in reason_sentences(plan, step)


def test_an_estimate_by_hand_says_so(regatta: Project) -> None:
    """And one that is the catalogue's says nothing."""
    plan = planned(regatta, learn=False, hand=1.5)
    hand = next(s for s in plan.steps if s.work.value == "hand" and s.technique and not s.done)
    assert "by the catalogue; at the pace you set for hand sewing: " in estimate_sentence(
        plan, hand
    )
    plain = next(s for s in plan.steps if s.work.value == "machine" and not s.done)
    assert estimate_sentence(plan, plain) == ""
