"""The plan at a glance in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.glance import Glance, glance
from planner.looking_back import DayLost, days_lost
from planner.model import Entry, Project
from planner.plan import Plan
from planner.planning import plan_project
from screens.glance_told import as_lines, in_few_lines, labelled
from screens.glance_words import late, told
from screens.wording import cells, spoken
from tests.screens.a_plan import E, a_fitting_plan, a_plan, an_empty_plan, at

CASES = {
    "behind": (Path("sample_projects/oldmere_regatta"), datetime(2027, 6, 7)),
    "two": (Path("sample_projects/hallow_skerry"), datetime(2027, 8, 30)),
    "fresh": (Path("sample_projects/copper_wood_masque"), datetime(2027, 3, 6)),
}


@pytest.fixture(scope="module")
def planned() -> dict[str, tuple[Project, Plan]]:
    """Each sample with its plan."""
    found = {}
    for name, (path, now) in CASES.items():
        project = read_project(path)
        found[name] = (project, plan_project(project, now, thorough=False))
    return found


def said(plan: Plan, width: int = 200) -> str:
    """All of it, as for print."""
    return " ".join(as_lines(plan, glance(plan), (), width))


@pytest.mark.parametrize("width", [38, 60, 78, 100, 118, 158])
def test_every_line_fits(planned: dict[str, tuple[Project, Plan]], width: int) -> None:
    """However narrow, no line is longer than the screen; few lines are two, or three where
    something is wrong."""
    for project, plan in planned.values():
        lost = days_lost(project, plan.now)
        for alone in (None, *plan.wearable_on):
            seen = glance(plan, alone)
            wrong = bool(seen.short or seen.late or seen.over)
            assert 1 <= len(in_few_lines(plan, seen, lost, width)) <= 2 + wrong
            for line in (
                *in_few_lines(plan, seen, lost, width),
                *labelled(plan, seen, lost, width),
                *as_lines(plan, seen, lost, width),
            ):
                assert cells(line) <= width
    for plan in (a_plan(), a_fitting_plan(), an_empty_plan()):
        assert all(cells(one) <= width for one in in_few_lines(plan, glance(plan), (), width))


def test_three_evenings_behind(planned: dict[str, tuple[Project, Plan]]) -> None:
    """What was lost and why, what is over, short and late, by name."""
    project, plan = planned["behind"]
    text = " ".join(as_lines(plan, glance(plan), days_lost(project, plan.now), 78))
    assert "You lost 8 h of hours since Tuesday 1 June (fever, in bed)." in text
    over, short = glance(plan).over, glance(plan).short
    tomorrow, thursday = (spoken(minutes) for _, minutes in over[:2])
    assert f"Overfull: tomorrow by {tomorrow}, Thursday 10 June by {thursday}," in text
    assert f"{spoken(short[0][1])} short before “Coat basted, over shirt and waistcoat”" in text
    assert "late for “Jory wears it to the lock and back”" in text
    narrow = in_few_lines(plan, glance(plan), days_lost(project, plan.now), 78)
    both = " ".join(narrow)
    for sentence in (
        " wanted: first ",
        "8 h lost since Tue 1 Jun",
        " short by Sun 20 Jun; 1 step late.",
        "8 days overfull",
        "By staying up: wearable",
    ):
        assert sentence in both


def test_the_hour_tells_evening_from_day() -> None:
    """What begins from five o'clock on is this evening's; earlier it is today's, with its hour."""
    plan = a_plan()
    plan = replace(plan, sittings=tuple(replace(one, over=0) for one in plan.sittings))
    assert said(plan).startswith("This evening: 2 h 15 in the workroom: “cut the layers” and")
    first, *rest = plan.sittings
    morning = replace(first, start=at(5, 9), end=at(5, 10))
    plan = replace(plan, sittings=(morning, *rest))
    assert said(plan).startswith("Today: 2 h 15 in the workroom from 09:00: ")


def test_where_more_is_wanted_than_there_are_hours_the_hours_and_what_comes_first() -> None:
    """What can't be done tonight isn't told as if it could; tomorrow's neither."""
    plan = a_plan()
    assert said(plan).startswith(
        "This evening: 1 h 45 in the workroom, and 2 h 15 are wanted: first “cut the layers” and"
    )
    texts = told(plan, glance(plan))[0].texts
    assert all(" wanted" in text for text in texts)
    assert texts[-3:] == (
        "1 h 45, 2 h 15 wanted: first “cut the layers” (Stays)",
        "1 h 45, 2 h 15 wanted: first Stays",
        "1 h 45, 2 h 15 wanted",
    )
    there = replace(glance(plan), occasions=(plan.occasions[0].id,))
    assert all("; at 14:00 Body fitting" in text for text in told(plan, there)[0].texts)
    before = replace(plan, now=at(4))
    assert said(before).startswith("Nothing today; tomorrow, 1 h 45 in the workroom, and 2 h 15")


def test_what_was_lost_says_when_however_short() -> None:
    """Beside what is to be done this evening it would be taken for this evening's."""
    lost = (DayLost(date=date(2027, 5, 1), minutes=90, reason="", planned=True),)
    for sentence in told(a_plan(), glance(a_plan()), lost)[1].sentences:
        assert "Sat" in sentence and "1 May" in sentence


def test_shortages_are_not_added_up() -> None:
    """What is short before one occasion is so before the next, too: the most is told, by when."""
    plan = a_plan()
    short = {one.id: minutes for one, minutes in zip(plan.occasions, (105, 240, 240), strict=False)}
    seen = replace(glance(plan), short=(*short.items(), (plan.occasions[-1].id, 60)), late=())
    one = late(plan, seen)
    assert one is not None and not any("5 h" in text for text in one.texts)


def test_wearable_only_beyond_the_hours_says_so() -> None:
    """Where it doesn't fit, days up to then are overfull: not as if all were well."""
    plan = replace(a_fitting_plan(), fits=False)
    assert "By staying up: wearable and finished Sunday 16 May." in said(plan)
    wide = {one.label: one.texts for one in told(plan, glance(plan))}["Wearable"]
    assert wide[0] == "by staying up Sunday 16 May, and finished then"


def test_after_the_last_occasion_only_what_was_is_told() -> None:
    """Nothing is lost, over or not wearable any more."""
    plan = a_plan()
    past = tuple(replace(one, past=True) for one in plan.occasions)
    plan = replace(plan, occasions=past, sittings=(), now=at(30))
    lost = (DayLost(date=date(2027, 5, 26), minutes=90, reason="", planned=True),)
    assert as_lines(plan, glance(plan), lost, 200) == ["The Regatta was on Saturday 22 May."]
    assert in_few_lines(plan, glance(plan), lost, 78) == ["The Regatta was on Saturday 22 May."]


def test_nothing_today_names_what_comes_next() -> None:
    """A free day: which day is next, and what is done then."""
    plan = a_plan()
    later = tuple(one for one in plan.sittings if one.date > date(2027, 5, 6))
    text = said(replace(plan, sittings=later))
    assert text.startswith(
        "Nothing today; next on Friday 7 May, 30 min on the way: “rolled hem” (Shift)."
    )
    assert said(replace(plan, sittings=())).startswith("Nothing is left to do.")


def test_an_occasion_today_is_told() -> None:
    """A fitting today stands beside today's work, or alone."""
    plan = replace(a_plan(), now=at(8))
    assert "at 14:00 Body fitting" in said(plan)
    alone = replace(plan, sittings=tuple(one for one in plan.sittings if one.window is None))
    assert said(alone).startswith("Today: at 14:00 Body fitting, and nothing before it.")


def test_a_single_day_over_is_named() -> None:
    """One day is named whole; none is said too."""
    plan = a_plan()
    one = tuple(replace(day, notes=()) if day.date.day != 5 else day for day in plan.days)
    assert "Today is overfull by 30 min." in said(replace(plan, days=one))
    none = tuple(replace(day, notes=()) for day in plan.days)
    assert "No day is overfull." in said(replace(plan, days=none))


def test_wearable_and_finished() -> None:
    """On two days, on one, never; and that some of it is never finished."""
    plan = a_fitting_plan()
    assert "Wearable and finished Sunday 16 May." in said(plan)
    later = replace(plan, finished_on={E: date(2027, 5, 20)})
    assert "Wearable Sunday 16 May, finished Thursday 20 May." in said(later)
    assert "By staying up: wearable Sunday 16 May, not all of it finished." in said(a_plan())
    never = replace(plan, wearable_on={E: None}, finished_on={E: None})
    assert "Not wearable by this plan." in said(never)


def test_stopped_now_it_could_be_worn() -> None:
    """Once only extras are left, that is said, with how much they are; computed from the diary."""
    project = read_project(Path("tests/screens/a_workroom"))
    now = datetime(2027, 5, 12)
    done = tuple(
        Entry(at=datetime(2027, 5, 9, 20), step=f"{E}/{g.id}/{s.id}", minutes=5, done=True)
        for e in project.ensembles
        for g in e.garments
        for s in g.steps
        if not s.optional
    )
    project = replace(project, diary=replace(project.diary, entries=done))
    plan = plan_project(project, now, thorough=False)
    assert "Stopped now, it could be worn. What is left is 2 h of extras." in said(plan)
    assert "could be worn" in " ".join(in_few_lines(plan, glance(plan), (), 78))


def test_two_ensembles_have_an_outlook_each(planned: dict[str, tuple[Project, Plan]]) -> None:
    """Both by name where there is room, together where there is little."""
    _, plan = planned["two"]
    wide = {one.label: one.texts for one in told(plan, glance(plan))}["Wearable"]
    assert all(name in wide[0] for name in ("Lamp-keeper", "Tide-reckoner"))
    assert wide[-1].startswith("all ")


def test_a_glance_of_one_alone_doesnt_name_it_twice(
    planned: dict[str, tuple[Project, Plan]],
) -> None:
    """Alone, an ensemble is "it"."""
    _, plan = planned["two"]
    seen: Glance = glance(plan, "tide_reckoner")
    text = " ".join(as_lines(plan, seen, (), 300))
    assert "Wearable and finished" in text and "Tide-reckoner" not in text
