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
from screens.pace_moved import pace_moved
from screens.pace_told import (
    WORKS,
    compared,
    estimate_sentence,
    longer,
    pace_rows,
    rests_told,
    sentences,
    techniques_of,
)
from screens.then import became_sentence
from screens.why import reason_sentences
from screens.wording import spoken

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
    assert (seams.name, seams.ratio, seams.steps) == ("sew straight seams", "1.25", "1 step")
    assert seams.sentence.startswith(
        "Sew straight seams: a quarter slower than the catalogue (1.25), by 1 step; four times in"
        " five the true pace lies from "
    )


def test_a_line_set_by_hand_tells_what_was_learnt(regatta: Project) -> None:
    """And a technique beneath it tells by what it is ruled."""
    rows = {row.key: row for row in pace_rows(planned(regatta, machine=0.9).pace)}
    kind, technique = rows["machine"], rows["straight-seam"]
    assert kind.by_hand and kind.between == "by hand"
    assert kind.learnt == "the diary says 1.15, by 4 steps"
    assert not technique.by_hand and technique.between == "as machine"
    assert technique.sentence.endswith("set by hand for machine sewing; the diary says 1.25, by"
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
    assert "waistcoat/fit (0:20, catalogue 1:15)" in far
    assert sentences(UNKNOWN)[0].startswith("Nothing is learnt yet")
    assert sentences(planned(regatta, learn=False).pace)[0].startswith("Learning is off")


def first(regatta: Project, steps: int) -> Project:
    """Only so many of the diary's steps."""
    teach = [one.step for one in pace_of(regatta).steps][:steps]
    entries = tuple(one for one in regatta.diary.entries if one.step in teach)
    return replace(regatta, diary=replace(regatta.diary, entries=entries))


def test_too_few_steps_are_told(regatta: Project) -> None:
    """How many there are of how many, or hours of hours; and every line says nothing changes."""
    few = pace_of(first(regatta, 3))
    assert sentences(few)[0].startswith("3 of 5 steps so far: too little yet")
    rows = pace_rows(few)
    assert all(row.ratio == "1.00" for row in rows)
    told = "All work: as the catalogue (1.00), by 3 steps, which change nothing so far."
    assert rows[0].sentence == told
    short = replace(few, steps=tuple(replace(one, estimate=20) for one in few.steps * 2))
    assert sentences(short)[0].startswith("2 h of 3 h timed so far, in 6 steps: too little yet")


def test_paces_by_hand_are_counted_in_plain_words(regatta: Project) -> None:
    """One, or more."""
    assert sentences(planned(regatta, hand=1.2).pace)[-1].startswith("One pace is set by hand, ")
    two = sentences(planned(regatta, hand=1.2, machine=0.9).pace)[-1]
    assert two == "2 paces are set by hand, and count instead of what is learnt."


def test_every_kind_and_technique_can_be_set(regatta: Project) -> None:
    """Each kind of work has its line, and every technique of the workroom where asked for, at the
    pace of what stands above it."""
    plan = planned(regatta)
    keys = [row.key for row in pace_rows(plan.pace)]
    assert set(keys) >= set(WORKS)
    techniques = {technique for _, technique in techniques_of(plan)}
    assert not techniques <= set(keys)
    rows = {row.key: row for row in pace_rows(plan.pace, regatta.techniques, techniques_of(plan))}
    assert techniques <= set(rows)
    for work, technique in techniques_of(plan):
        assert rows[technique].ratio == f"{plan.pace.ratio(work, technique):.2f}"


def test_another_pace_is_named_as_what_makes_more_to_do(regatta: Project) -> None:
    """With the kind of work, what it compares with, and by how much; nothing without another."""
    before, after = planned(regatta, learn=False), planned(regatta, learn=False, hand=1.2)
    told, more = pace_moved(before, after)
    left = (sum(s.left for s in plan.steps if s.wanted and not s.done) for plan in (before, after))
    was, becomes = left
    assert more == becomes - was > 0
    assert told == (
        "your pace at hand sewing is now a fifth slower than the catalogue: "
        f"{spoken(more)} more to do"
    )
    assert told[1:] in became_sentence(before, after)
    assert pace_moved(before, planned(regatta, learn=False)) == ("", 0)
    both = pace_moved(after, planned(regatta, learn=False, hand=1.3, machine=0.9))[0]
    assert both.startswith("your pace is another, most at ")


def test_logging_and_another_pace_are_told_apart(regatta: Project) -> None:
    """What is less to do because it is done stands beside what another pace makes."""
    before = planned(first(regatta, 3))
    after = planned(regatta)
    told, more = pace_moved(before, after)
    less = sum(s.left for s in after.steps if s.wanted and not s.done)
    less -= sum(s.left for s in before.steps if s.wanted and not s.done) + more
    assert more > 0 > less
    assert f"{told[1:]}; besides, {spoken(less)} less" in became_sentence(before, after)


def test_what_a_line_rests_on_is_told_newest_first(regatta: Project) -> None:
    """Each step with its day, what it took and what the catalogue says."""
    plan = planned(regatta)
    told = rests_told(plan, plan.pace.steps)
    assert len(told) == 18
    assert any("0:20 (catalogue 1:15)" in line and "waistcoat" in line for line in told)
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
