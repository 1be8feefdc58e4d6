"""What hurts or burns is said once: on a day, at an opened step, in every plain output."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import Work
from planner.plan import Plan
from planner.planning import plan_project
from screens.command import main
from screens.countdown import days_of
from screens.opened import step_lines
from screens.why import cautions
from tests.screens.driving import Driven, drive

FOLDER = Path("sample_projects/hallow_skerry")
NOW = datetime(2027, 9, 1, 8)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """The largest sample's plan."""
    return plan_project(read_project(FOLDER), NOW)


def printed(capsys: pytest.CaptureFixture[str], words: Sequence[str]) -> str:
    """What a command prints, on one line."""
    main([*words, "--now", NOW.isoformat(timespec="minutes")])
    return " ".join(capsys.readouterr().out.split())


def carried(plan: Plan, steps: Sequence[str]) -> set[str]:
    """The cautions of some steps."""
    return {text for step in plan.steps if step.id in steps for text in cautions(step)}


def once(text: str, told: set[str]) -> None:
    """Each of them stands in the text exactly once."""
    assert told
    for caution in told:
        assert text.count(" ".join(caution.split())) == 1, caution


def test_every_day_says_each_caution_once(plan: Plan) -> None:
    """At the first step of the day that carries it; the next day says it again."""
    days = 0
    for on_day in days_of(plan):
        lines = step_lines(plan, on_day)
        told = carried(plan, [sitting.step for sitting in on_day.sittings])
        text = " ".join(one for line in lines for one in line.cautions)
        for caution in told:
            assert text.count(caution) == 1
        days += bool(told)
    assert days > 3


def test_a_day_as_text_says_each_once(plan: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    """`wearby day` for the day with the most of them."""
    by_day = {
        on_day.day.date: carried(plan, [sitting.step for sitting in on_day.sittings])
        for on_day in days_of(plan)
    }
    day = max(by_day, key=lambda one: len(by_day[one]))
    once(printed(capsys, ["day", str(FOLDER), day.isoformat()]), by_day[day])


def test_the_plan_says_each_once(plan: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    """`wearby plan` lists them beneath, with the steps they are about."""
    planned = [sitting.step for sitting in plan.sittings]
    once(printed(capsys, ["plan", str(FOLDER)]), carried(plan, planned))


def test_hand_work_says_each_once(plan: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    """`wearby handwork` says them at the first hand step that carries each."""
    hand = {step.id for step in plan.steps if step.work is Work.HAND}
    planned = [sitting.step for sitting in plan.sittings if sitting.step in hand]
    once(printed(capsys, ["handwork", str(FOLDER)]), carried(plan, planned))


def test_before_an_occasion_says_each_once(plan: Plan, capsys: pytest.CaptureFixture[str]) -> None:
    """`wearby before` for every fitting and event to come."""
    for occasion in plan.occasions:
        told = carried(plan, [*occasion.wants, *occasion.during])
        if told:
            text = printed(capsys, ["before", str(FOLDER), occasion.id])
            for caution in told:
                assert text.count(" ".join(caution.split())) <= 1, caution


def test_an_opened_step_says_its_caution_once(plan: Plan) -> None:
    """On the Run-up, with the reason open or not, and alone where it has no day."""
    carrying = next(
        step for step in plan.steps if cautions(step) and step.first_day and not step.during
    )
    caution = cautions(carrying)[0].split(".")[0]

    async def body(driven: Driven) -> None:
        driven.run_up.go_to(carrying.id)
        await driven.settle()
        lines = driven.run_up.opened.compose_lines(200)
        text = " ".join("".join(run.text for run in line.runs) for line in lines)
        assert text.count(caution) == 1

    drive(body, size=(200, 60), path=FOLDER, now=NOW)


def test_cautions_certify_nothing() -> None:
    """No caution says that something is safe."""
    from planner.catalogue import techniques

    for technique in techniques().values():
        words = technique.caution.lower()
        assert not any(word in words for word in ("safe to", "guarantee", "harmless", "certif"))
