"""The marks of what has come to another day: there while it has, gone once that is taken back."""

from __future__ import annotations

from planner.came import Marks
from tests.screens.a_plan import a_fitting_plan
from tests.screens.test_then import moved, on_a_day


def marked(marks: Marks) -> set[str]:
    """The steps that are marked."""
    return {step for steps in marks.came.values() for step in steps}


def test_marks_go_once_an_undo_brings_the_plan_back() -> None:
    """They stay through an edit that moves nothing; two edits taken back leave none, and what is
    done again is marked again."""
    plan = a_fitting_plan()
    one, other = on_a_day(plan)[:2]
    later = moved(plan, {one: 3})
    both = moved(later, {other: 2})
    marks = Marks()
    marks = marks.changed(plan, later)
    assert marked(marks) == {one}
    marks = marks.changed(later, later)
    assert marks.came
    marks = marks.changed(later, both)
    assert marked(marks) == {other}
    marks = marks.changed(both, later)
    assert not marks.came
    marks = marks.changed(later, plan)
    assert not marks.came
    marks = marks.changed(plan, later)
    assert marked(marks) == {one}
