"""`wearby moved`, and the words of what moved."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.kept import write_kept
from planner.files.plans_behind import PlanBehind, remember_plan
from planner.kept import kept_of
from planner.looking_back import DayLost
from planner.model import Project
from planner.plan import Plan
from planner.planning import plan_project
from planner.problems import InputError
from planner.replan import what_moves
from planner.replanning.values import Cause, Why
from screens.command import main
from screens.done_told import lost_sentence
from screens.moved_since import MovedSince, moved_since, since_date
from screens.moved_told import groups, moved_lines
from screens.moved_why import why_told
from tests.planner.little import EVENINGS, ensemble, garment, project

BALL = '{ id = "ball", name = "Lantern ball", kind = "event", at = 2027-05-08 }'
STEPS = (
    'cut 120 name="cut the velvet", work="cutting"',
    'sew 120 after=["cut"]',
    'hem 90 after=["sew"], work="hand"',
)
DONE = '[[entry]]\nat = 2027-05-05T20:55:00\nstep = "e/g/cut"\nminutes = 115\ndone = true\n'
EVENING = datetime(2027, 5, 3, 9)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A workroom with the plan of the 3rd; on the 5th the cutting was done, on the 6th nothing."""
    text = ensemble(garment(*STEPS, keys='name = "Cloak"'), BALL)
    read = project(tmp_path, text, EVENINGS)
    kept = kept_of(plan_project(read, EVENING))
    remember_plan(tmp_path, kept, EVENING)
    write_kept(tmp_path / "kept.toml", kept)
    (tmp_path / "diary.toml").write_text(f"format = 1\n{DONE}")
    return tmp_path


def _moved(folder: Path, since: str, today: str = "2027-05-07") -> int:
    return main(["moved", str(folder), "--since", since, "--today", today])


def test_what_moved_is_told_with_days_and_reasons(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A sentence on top, then and now, then each step: from when to when, and why.

    What was planned and not done is as much as the plan at a glance says: on Thursday 2 h, of
    which half an hour was done on Wednesday already.
    """
    assert _moved(folder, "2027-05-03") == 1
    told = capsys.readouterr().out
    counted = "1 step done, 1 moved later, 1 h 55 worked, 1 h 30 planned and not done."
    assert f"Since Monday 3 May: {counted}" in " ".join(told.split())
    assert "The plan of then: fits, 100 % full at the fullest. The plan" in " ".join(told.split())
    assert "Newly short before the Lantern ball: 1 h 30." in told
    assert "Later:\n  Thu  6 May → Fri  7 May   1:30  m  sew  Cloak;" in told
    assert "Cloak; not done\n" in told
    assert "Done since:\n   2:00  c  cut the velvet  Cloak" in told


def test_the_nearest_plan_before_is_compared_with_and_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of a day without a plan, that of the nearest day before it."""
    _moved(folder, "Wednesday")
    told = " ".join(capsys.readouterr().out.split())
    assert "No plan of Wednesday 5 May was kept; the nearest before it is that of Monday" in told
    assert "Since Monday 3 May: " in told


@pytest.mark.parametrize(
    ("since", "said"),
    [
        ("2027-05-02", "or before is known. There is that of Monday 3 May."),
        ("2027-05-09", "Sunday 9 May is still to come: give a day behind."),
        ("soon", "“soon” is no date"),
    ],
)
def test_a_day_that_cannot_be_told_of_is_wrong_input(
    folder: Path, since: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a sentence that says which days are known."""
    assert _moved(folder, since) == 2
    assert said in capsys.readouterr().err


def test_where_no_plan_was_kept_it_is_said_how_one_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without any plan of an earlier day."""
    project(tmp_path, ensemble(garment(*STEPS), BALL))
    assert _moved(tmp_path, "yesterday") == 2
    assert "One is kept each day on which the program is opened" in capsys.readouterr().err


def test_as_json(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same as data."""
    main(["moved", str(folder), "--since", "2027-05-04", "--today", "2027-05-07", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert (found["since"], found["plan_of"]) == ("2027-05-04", "2027-05-03")
    assert found["not_done"] == 90
    assert (found["minutes"], found["lost"], found["worked"]) == (90, 90, 115)
    (step,) = found["steps"]
    assert step["shifts"] == [
        {"from": "2027-05-06", "to": "2027-05-07", "minutes": 90, "lost": True}
    ]
    assert step["why"]["cause"] == "not done"
    assert found["gone"] == [{"step": "e/g/cut", "minutes": 120, "became": "done"}]
    assert found["short"] == {"e/ball": {"before": 0, "after": 90}}


def test_lost_is_what_was_planned_and_not_done(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The plan at a glance counts what was planned on days behind, less what was worked."""
    main(["plan", str(folder), "--today", "2027-05-07"])
    told = " ".join(capsys.readouterr().out.split())
    assert "You lost 1 h 30 yesterday: planned and not done." in told
    main(["plan", str(folder), "--today", "2027-05-07", "--json"])
    lost = json.loads(capsys.readouterr().out)["at_a_glance"]["lost"]
    assert lost == [{"date": "2027-05-06", "minutes": 90, "reason": "", "planned": True}]


def test_a_day_behind_says_what_was_lost_of_it() -> None:
    """Planned and not done, or hours of the week that a change took."""
    lost = DayLost(date=date(2027, 5, 6), minutes=90, reason="fever", planned=True)
    assert lost_sentence(lost) == "1 h 30 planned and not done: fever."
    assert lost_sentence(replace(lost, planned=False)) == "1 h 30 of hours lost: fever."


def test_days_as_they_are_typed() -> None:
    """A date, today and yesterday, and the last day of a name."""
    today = date(2027, 5, 6)  # a Thursday
    assert since_date(None, today) == since_date("today", today) == today
    assert since_date("yesterday", today) == date(2027, 5, 5)
    assert since_date("Monday", today) == date(2027, 5, 3)
    assert since_date("thursday", today) == date(2027, 4, 29)
    assert since_date("2027-04-01", today) == date(2027, 4, 1)
    with pytest.raises(InputError):
        since_date("tomorrow", today)


def test_the_plan_accepted_last_stands_in_for_one_of_its_day(folder: Path) -> None:
    """Without plans of days behind; but never the one that is made now."""
    for file in (folder / ".wearby" / "plans").iterdir():
        file.unlink()
    from planner.files.reading import read_project

    read = read_project(folder)
    plan = plan_project(read, datetime(2027, 5, 7))
    found = moved_since(read, plan, date(2027, 5, 4))
    assert found is not None and found.behind.day == date(2027, 5, 3)
    assert moved_since(read, plan, date(2027, 5, 2)) is None
    of_now = replace(read, kept=kept_of(plan))
    assert moved_since(of_now, plan, date(2027, 5, 7)) is None


@pytest.fixture
def cloak(folder: Path) -> tuple[Project, Plan]:
    """The cloak and its plan of the 3rd."""
    from planner.files.reading import read_project

    read = replace(read_project(folder), diary=replace(read_project(folder).diary, entries=()))
    return read, plan_project(read, EVENING)


@pytest.mark.parametrize("cause", list(Cause))
def test_every_cause_has_its_words(cause: Cause, cloak: tuple[Project, Plan]) -> None:
    """Each is a clause that names things by their names, and nothing by an id."""
    _, plan = cloak
    name = "e/ball" if "occasion" in cause.value or "due" in cause.value else "e/g/cut"
    names = ("e/ball",) if cause in (Cause.READY_BY, Cause.HOURS_GONE) else (name,)
    why = Why(cause=cause, names=names, day=date(2027, 5, 4), minutes=45, until=EVENING)
    told = why_told(plan, why)
    assert told and "/" not in told and not told.endswith(".") and "None" not in told


def test_words_of_some_causes(cloak: tuple[Project, Plan]) -> None:
    """As they stand at the end of a row."""
    _, plan = cloak
    day = date(2027, 5, 4)
    for why, told in (
        (
            Why(cause=Cause.FOLLOWS, names=("e/g/cut",), day=day),
            "it follows “cut the velvet” (Cloak), which is done by tomorrow",
        ),
        (
            Why(cause=Cause.HOURS_GONE, day=day, minutes=90, reason="choir"),
            "1 h 30 less tomorrow (choir)",
        ),
        (
            Why(cause=Cause.MAKES_ROOM, names=("e/g/cut", "e/g/sew", "e/g/hem"), day=day),
            "it makes room for “cut the velvet” (Cloak) and 2 more",
        ),
        (
            Why(cause=Cause.LONGER, minutes=30, guessed=True),
            "it takes 30 min more than was thought, by your guess",
        ),
    ):
        assert why_told(plan, why) == told


def test_nothing_moved_is_said(cloak: tuple[Project, Plan]) -> None:
    """A plan that is as it was."""
    read, plan = cloak
    kept = kept_of(plan)
    moved = what_moves(kept, plan, read)
    assert groups(moved, plan) == []
    for day, told in (
        (datetime(2027, 5, 1, 9), "Saturday 1 May"),
        (plan.now.replace(hour=9), "this morning"),
        (plan.now.replace(hour=19), "today, 19:00"),
    ):
        behind = PlanBehind(day=day.date(), kept=replace(kept, as_of=day))
        found = MovedSince(since=day.date(), behind=behind, moved=moved, not_done=0)
        assert moved_lines(found, plan)[0] == f"Since {told} no step has moved."
