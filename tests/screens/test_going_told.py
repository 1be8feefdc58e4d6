"""How it is going in sentences."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.going import Going, how_it_goes
from planner.model import PaceChoices
from planner.pace import pace_table
from planner.plan import Plan
from planner.planning import plan_project
from screens.command import main
from screens.going_told import about, against_the_plan, in_few, sentences, took
from screens.wording import cells
from tests.planner.little import BALL, NOW, ensemble, garment, project
from tests.planner.test_going import entry

TUESDAY = datetime(2027, 5, 4)


def said(folder: Path, *steps: str, took: int = 0, now: datetime = TUESDAY) -> list[str]:
    """What is said of three steps of an hour that took so long, and of others."""
    plan, going = asked(folder, *steps, took=took, now=now)
    return sentences(plan, going)


def asked(
    folder: Path, *steps: str, took: int = 0, now: datetime = TUESDAY
) -> tuple[Plan, Going]:
    """The same, before it is said."""
    ticked = ("a", "b", "c") if took else ()
    diary = "".join(
        entry(f"2027-05-03T{12 + n}:00:00", step, took) for n, step in enumerate(ticked)
    )
    fitting = (
        '{ id = "fit", name = "Fitting", kind = "fitting", at = 2027-05-06T12:00:00, '
        'wants = ["g/d"] }'
    )
    written = ensemble(garment("a 60", "b 60", "c 60", *steps), f"{fitting}, {BALL}")
    it = project(folder, written, diary=diary)
    it = replace(it, workroom=replace(it.workroom, pace=PaceChoices(learn=False)))
    plan = plan_project(it, now)
    return plan, how_it_goes(it, plan, now)


def test_slower_and_short_by_the_fitting(tmp_path: Path) -> None:
    """By how much slower, and how much that makes it short by the first occasion it hurts."""
    found = said(tmp_path, "d 220", took=72)
    slower, short = found[0].split("; ")
    assert slower == "A fifth slower than the plan so far"
    assert short == "at this pace 25 min short by the fitting."
    assert found[1] == "That rests on 3 finished steps: 3 h 36 for 3 h planned."


def test_quicker_and_in_hand(tmp_path: Path) -> None:
    """Quicker, with what is in hand by the event."""
    (first, *_) = said(tmp_path, "d 120", took=45)
    assert first == "A quarter quicker than the plan so far; at this pace still 6 h 30 in hand."


def test_on_the_plan(tmp_path: Path) -> None:
    """Within a twentieth it is as planned."""
    (first, *_) = said(tmp_path, "d 120", took=61)
    assert first == "As quick as planned so far; at this pace still 6 h in hand."


def test_nothing_logged_yet(tmp_path: Path) -> None:
    """Then there is what is in hand, and of what."""
    found = said(tmp_path, "d 120", now=NOW)
    assert found == [
        "Nothing is logged yet: 5 h in hand until the ball.",
        "There are 10 h for 5 h of work until the ball.",
    ]


def test_too_little_to_say(tmp_path: Path) -> None:
    """With one finished step it is said what would tell the pace."""
    it = project(
        tmp_path, ensemble(garment("a 60", "b 60")), diary=entry("2027-05-03T20:00:00", "a", 90)
    )
    plan = plan_project(it, TUESDAY)
    found = sentences(plan, how_it_goes(it, plan, TUESDAY))
    assert found[0] == "7 h in hand until the ball."
    assert found[1].startswith("1 finished step with its time yet: 3 or more")


def test_all_is_done(tmp_path: Path) -> None:
    """With nothing left, that is said first."""
    (first, *_) = said(tmp_path, "d 120 done=true", took=60)
    assert first == "All the work that the ball wants is done."


def test_after_the_event(tmp_path: Path) -> None:
    """Once the event is over, what comes next is said: care, and the next occasion."""
    found = said(tmp_path, "d 120", now=datetime(2027, 5, 10))
    assert found[0] == "The ball is over: air, clean and mend what was worn (^p: after wearing)."


def test_the_plans_own_shortfall_is_told_in_its_words() -> None:
    """Where estimates follow the pace, the plan's own shortfall is the one figure there is, and
    each ratio says what it compares."""
    it = read_project(Path("sample_projects/oldmere_regatta"))
    plan = plan_project(it, datetime(2027, 6, 7))
    going = how_it_goes(it, plan, plan.now)
    found = sentences(plan, going)[0]
    short = next(one.short for one in plan.occasions if one.short)
    pace = pace_table(plan.pace)[0].ratio
    assert going.so_far is not None
    assert found == (
        f"What was finished took {took(going.so_far.ratio)}; with your pace of {pace:.2f} already"
        f" in the plan it is {short // 60} h {short % 60:02} short by the fitting."
    )
    enough = replace(going, by=tuple(replace(one, in_hand=60) for one in going.by))
    assert "already in the plan there are " in sentences(plan, enough)[0]


@pytest.mark.parametrize(
    ("ratio", "told"),
    [
        (1.0, "as quick as planned so far"),
        (1.06, "a little slower than the plan so far"),
        (1.2, "a fifth slower than the plan so far"),
        (1.5, "half as long again as planned so far"),
        (1.7, "two thirds longer than planned so far"),
        (0.5, "in half the time planned so far"),
        (0.33, "in a third of the time planned so far"),
        (0.75, "a quarter quicker than the plan so far"),
        (2.1, "twice as long as planned so far"),
        (4.0, "more than three times as long as planned so far"),
    ],
)
def test_fractions(ratio: float, told: str) -> None:
    """The nearest fraction one would say; from twice on in times."""
    assert against_the_plan(ratio) == told


@pytest.mark.parametrize(
    ("ratio", "told"),
    [
        (1.0, "as long as planned"),
        (1.2, "a fifth longer than planned"),
        (1.5, "half as long again as planned"),
        (0.5, "half the time planned"),
        (0.33, "a third of the time planned"),
        (0.75, "a quarter less than planned"),
        (2.1, "twice as long as planned"),
    ],
)
def test_what_it_took(ratio: float, told: str) -> None:
    """The same shares, of the minutes of what is finished."""
    assert took(ratio) == told


@pytest.mark.parametrize(
    ("minutes", "told"),
    [(0, "0 min"), (23, "25 min"), (58, "1 h"), (130, "2 h 15"), (-400, "6 h 30"), (1234, "21 h")],
)
def test_what_isnt_known_to_the_minute(minutes: int, told: str) -> None:
    """The longer, the rounder."""
    assert about(minutes) == told


def test_a_line_has_whole_sentences(tmp_path: Path) -> None:
    """In one line stand as many whole sentences as it holds; the first is never cut."""
    plan, going = asked(tmp_path, "d 120", took=61)
    first = sentences(plan, going)[0]
    for width in range(30, 260, 10):
        lines = in_few(plan, going, width)
        assert all(cells(line) <= width for line in lines)
        assert lines[-1].endswith(".")
        assert " ".join(lines).startswith((first, first.replace(" so far;", ";")))
        assert len(lines) == 1 or cells(first) > width


def test_plan_and_check_say_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Both print the sentence once something was begun, and have all of it as data."""
    sample = "sample_projects/oldmere_regatta"
    for command in ("plan", "check"):
        main([command, sample, "--today", "2027-06-07"])
        assert "What was finished took" in capsys.readouterr().out
        main([command, sample, "--today", "2027-06-07", "--json"])
        going = json.loads(capsys.readouterr().out)["going"]
        assert going["occasion"] == "signal_master/regatta"
        assert going["first_day"] == "2027-05-18"
        assert going["behind"][-1] == going["ahead"][0]
        assert going["so_far"]["steps"] == 16
        assert going["sentences"][0].endswith(".")
    main(["check", "sample_projects/copper_wood_masque", "--today", "2027-03-06"])
    assert "logged" not in capsys.readouterr().out
