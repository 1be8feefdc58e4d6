"""Days that hold more than their hours, and steps beyond them: what is said agrees."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.glance import glance
from planner.looking_back import days_lost
from planner.model import Place, Project
from planner.plan import Because, NoteKind, Plan, Where
from planner.planning import plan_project
from screens.countdown import days_of
from screens.day_parts import day_parts
from screens.diary_told import planned_today
from screens.glance_today import today_told
from screens.opened import day_heading, day_notes, over_by_window, step_lines, why_over
from screens.strips import strips
from screens.why import caution_in_a_line, in_short, minutes_over, reason_sentences, spare_told
from screens.wording import cells, spoken
from tests.planner.little import ensemble, every, garment, project

NOW = datetime(2027, 6, 7, 7, 50)


@pytest.fixture(scope="module")
def behind() -> tuple[Project, Plan]:
    """The sample three evenings behind."""
    project = read_project(Path("sample_projects/oldmere_regatta"))
    return project, plan_project(project, NOW)


def test_a_step_beyond_the_hours_has_nothing_to_spare_told(behind: tuple[Project, Plan]) -> None:
    """Minutes to spare are counted as if hours were stretched: of such a step none are told."""
    _, plan = behind
    over = [step for step in plan.steps if minutes_over(plan, step.id)]
    assert any(step.to_spare for step in over)
    for step in over:
        told = " ".join([in_short(plan, step), *reason_sentences(plan, step)])
        assert "to spare" not in told
        assert " no hours, for other steps take those there are." in told
        assert "over" in [
            line.known.split(" ")[0]
            for day in days_of(plan)
            for line in step_lines(plan, day)
            if line.sitting.step == step.id
        ]


def test_where_hours_are_stretched_only_nothing_to_spare_is_told(
    behind: tuple[Project, Plan],
) -> None:
    """With a peak above 100 % no minutes to spare are told, of whatever step; that there are none
    is."""
    _, plan = behind
    assert plan.peak_load is not None and plan.peak_load > 1
    assert any(step.to_spare for step in plan.steps)
    for step in plan.steps:
        assert spare_told(plan, step) == ""
        told = " ".join([in_short(plan, step), *reason_sentences(plan, step)]).casefold()
        assert "to spare" not in told.replace("nothing to spare", "")


def test_no_more_is_to_spare_than_work_leaves_of_the_hours() -> None:
    """More than the hours told beside it, less its work, is not said; less is."""
    project = read_project(Path("sample_projects/copper_wood_masque"))
    plan = plan_project(project, datetime(2027, 3, 6))
    step = next(one for one in plan.steps if one.to_spare and one.reason.minutes)
    assert step.to_spare is not None and step.reason.minutes is not None
    assert spare_told(plan, step).endswith(f"{spoken(step.to_spare)} to spare")
    most = step.reason.minutes - step.left
    assert spare_told(plan, replace(step, to_spare=most)).endswith(f"{spoken(most)} to spare")
    assert spare_told(plan, replace(step, to_spare=most + 1)) == ""


def test_of_a_step_in_parts_the_last_is_told(behind: tuple[Project, Plan]) -> None:
    """Whose first part is under the cursor reads that it is its last that is done later."""
    _, plan = behind
    causes = (Because.FULL, Because.FOLLOWER, Because.OCCASION)
    there = [step for step in plan.steps if step.reason.because in causes and step.first_day]
    assert {step.first_day == step.last_day for step in there} == {True, False}
    for step in there:
        start = "It is done " if step.first_day == step.last_day else "Its last part is done "
        assert reason_sentences(plan, step)[0].startswith(start)


def test_the_sums_of_a_day_meet(behind: tuple[Project, Plan]) -> None:
    """What its hours are over by, less what others leave free, is what the day has too much; the
    strip shows as much beyond the marks."""
    _, plan = behind
    made = strips(plan, 60)
    split = 0
    for day in plan.days:
        there = [one for one in plan.windows if one.day == day.date]
        windows = [one for one in there if one.place is Place.WORKROOM]
        over = [one.planned - one.minutes for one in windows if one.planned > one.minutes]
        free = sum(max(0, one.minutes - one.planned) for one in windows)
        assert sum(over) - free == day.workroom_planned - day.workroom_available
        noted = sum(note.minutes or 0 for note in day.notes if note.kind is NoteKind.OVER)
        assert noted == sum(over)
        told = " ".join(over_by_window(plan, day.date))
        if len(windows) > 1 and over:
            split += 1
            assert all(f"{spoken(minutes)} more than" in told for minutes in over)
        else:
            assert not told
        beyond = sum(cell.over for cell in made.of(day.date))
        assert beyond == sum(max(1, round(minutes / made.slice)) for minutes in over)
    assert split


def test_why_is_told_once_with_what_took_the_hours(behind: tuple[Project, Plan]) -> None:
    """The first such day says why, what was lost and what would help; others say where."""
    project, plan = behind
    lost = days_lost(project, plan.now)
    first, *others = [
        one for one in days_of(plan) if any(sitting.over for sitting in one.sittings)
    ][:3]
    told = " ".join(day_notes(plan, first, lost))
    assert "8 h were lost since Tuesday 1 June (fever, in bed)." in told
    assert plan.tight_spot is not None
    more = spoken(plan.tight_spot.short)
    assert f"What would help: {more} more of hours before Saturday 12 June, 14:00" in told
    for one in others:
        assert why_over(plan, one.day.date, lost) == [
            f"Why: up to Saturday 12 June, 14:00 hours are {spoken(plan.tight_spot.short)} short,"
            " from tomorrow on; what would help stands there."
        ]
    assert not why_over(plan, date(2027, 6, 27))


def test_a_long_chain_is_told_by_its_ends(behind: tuple[Project, Plan]) -> None:
    """At most three steps by name, then the occasion at the end."""
    _, plan = behind
    long = [step for step in plan.steps if len(step.reason.chain) > 4]
    assert long
    for step in long:
        told = reason_sentences(plan, step)[-1]
        assert told.startswith("After it: ")
        assert told.count(", then ") == 2
        assert ", and so on" in told


def test_full_hours_are_told_with_one_step(behind: tuple[Project, Plan]) -> None:
    """What takes the later hours: one step by name, the others by number."""
    _, plan = behind
    full = [step for step in plan.steps if step.reason.because is Because.FULL]
    assert full
    for step in full:
        told = reason_sentences(plan, step)[0]
        assert "; the hours after it are given to “" in told
        assert told.endswith(", which would have to make room.")
        assert told.count("“") <= 1 + plan.names[step.reason.names[0]].count("“")


def test_a_caution_in_a_line_is_whole_clauses() -> None:
    """A short one stays; a long one ends at a clause, or stays whole where none fits."""
    said = "Rest your hands a few minutes in every half hour; stop at pain or numbness."
    assert caution_in_a_line(said, 200) == said
    brief = caution_in_a_line(said, 60)
    assert brief == "Rest your hands a few minutes in every half hour …"
    assert cells(brief) <= 60
    assert caution_in_a_line(said, 20) == said


def test_hours_of_a_day_are_the_same_in_headline_and_day(behind: tuple[Project, Plan]) -> None:
    """Where more is wanted than there are hours, the headline tells the day's hours, not what is
    wanted less what is over."""
    _, plan = behind
    split = 0
    for day in plan.days:
        at = replace(plan, now=datetime.combine(day.date, datetime.min.time()))
        today = glance(at).today
        if today is None or not today.over:
            continue
        assert dict(today.in_hours)[Where.WORKROOM] == day.workroom_available
        (first, *_) = today_told(at, glance(at)).texts
        if not day_parts(plan, day.date).free:
            assert f"{spoken(day.workroom_available)} in the workroom" in first
            assert f"and {spoken(today.minutes)} are wanted" in first
            split += 1
    assert split


def test_which_hours_of_a_day_are_over_is_said(tmp_path: Path) -> None:
    """A full afternoon beside a morning with room: by how much, of which, and what is free."""
    occasions = (
        '{ id = "fit", kind = "fitting", at = 2027-05-03T12:30:00, takes = "30m",'
        ' wants = ["g/a"] }, { id = "ball", kind = "event", at = 2027-05-03T18:00:00 }'
    )
    steps = ("a 30", 'b 150 after=["fit"]')
    hours = every("workroom", "10:00-12:00", "14:00-16:00")
    plan = plan_project(
        project(tmp_path, ensemble(garment(*steps), occasions), hours), datetime(2027, 5, 3)
    )
    (told, *_) = today_told(plan, glance(plan)).texts
    assert told.startswith(
        "3 h in the workroom from 10:00, 30 min more than the afternoon's hours; at 12:30 fit"
    )
    (day, *_) = days_of(plan)
    notes = day_notes(plan, day)
    assert notes[:2] == [
        "30 min more than the afternoon's hours: “b”.", "The morning has 1 h 30 free.",
    ]  # fmt: skip
    assert planned_today(plan) == 150
    more = garment("a 30", 'b 250 after=["fit"]')
    plan = plan_project(
        project(tmp_path / "more", ensemble(more, occasions), hours), datetime(2027, 5, 3)
    )
    (told, *_) = today_told(plan, glance(plan)).texts
    # neither 2 h 30 (wanted less over) nor all 4 h: the morning's free hours help nobody here
    assert told.startswith("4 h 40 in the workroom from 10:00, 2 h 10 more than the afternoon's")
    assert "workroom 4:40 of 4:00" in day_heading(plan, days_of(plan)[0])
