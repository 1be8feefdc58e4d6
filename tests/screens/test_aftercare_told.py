"""What is to be done after a wearing leads somewhere: told, offered, planned once it has a date."""

from __future__ import annotations

from datetime import date, datetime
from functools import cache
from pathlib import Path

import pytest

from planner.aftercare import aftercare, due_after_wearing
from planner.doable import Choices, asked_now, doable
from planner.editing.after_wearing import after_wearing, worn_again
from planner.files.reading import read_project
from planner.files.writing import write_ensemble
from planner.going import how_it_goes
from planner.model import OccasionKind, Place, Project
from planner.plan import Plan
from planner.planning import plan_project
from screens.after_wearing import ask_after_wearing
from screens.aftercare_told import GIVE_IT_A_DATE, undated
from screens.command import main
from screens.doable_told import nothing, why
from screens.dressing import step_state
from screens.forms.after_wearing import NEXT, AfterWearingQuestions
from screens.going_told import sentences
from screens.then import became_sentence
from screens.verdict import verdict_lines, verdict_sentences
from screens.why import in_short, reason_sentences
from tests.screens.driving import Driven, drive
from tests.screens.workrooms import a_copy, state_of, typed_into

SAMPLE = Path("sample_projects/oldmere_regatta")
EVENT = "signal_master/regatta"
AFTER = datetime(2027, 6, 28)


@cache
def cared() -> tuple[Project, Plan]:
    """After the event, with what is to be done."""
    project = after_wearing(read_project(SAMPLE), EVENT)
    return project, plan_project(project, AFTER)


def test_it_is_told_as_work_with_what_to_do() -> None:
    """The verdict, the diary and what became of it say how much it is, and what gives it a date;
    nothing says that nothing is left to do, or that it isn't wanted."""
    project, plan = cared()
    (it,) = due_after_wearing(plan)
    assert (it.event, len(it.steps)) == (EVENT, 13)
    said = undated(plan)
    assert said.startswith("13 steps, ")
    assert "give it a date" in said
    assert "next" in GIVE_IT_A_DATE
    assert verdict_lines(plan, 78)[1].startswith(f"{said}.")
    assert said in verdict_sentences(plan)[0]
    assert any(said in one for one in sentences(plan, how_it_goes(project, plan, AFTER)))
    before = plan_project(read_project(SAMPLE), AFTER)
    assert said in became_sentence(before, plan)
    assert "Nothing else changes" not in became_sentence(before, plan)
    step = next(one for one in plan.steps if one.id == it.steps[0])
    assert step_state(plan, step) == "worn next"
    assert in_short(plan, step) == "before the next wearing"
    assert "give it a date" in " ".join(reason_sentences(plan, step))


def test_now_offers_it() -> None:
    """It can be done this minute; what must come first is kept by that."""
    project, plan = cared()
    _, found = asked_now(project, plan)
    answer = doable(found, Choices(minutes=60, place=Place.WORKROOM), AFTER)
    (it,) = due_after_wearing(plan)
    able = [one for one in answer.doable if one.step in it.steps]
    assert able
    assert {one.id for one in found} == set(it.steps)
    assert nothing(plan, answer) == []
    uses = {one.id: one.use for one in found}
    assert "before the next wearing" in " ".join(why(plan, uses[able[0].step], able[0]))


def test_before_the_event_nobody_is_nagged() -> None:
    """What is said beforehand isn't due, and can't be done yet."""
    project = after_wearing(read_project(SAMPLE), EVENT)
    now = datetime(2027, 6, 7)
    plan = plan_project(project, now)
    assert len(aftercare(plan)) == 1
    assert due_after_wearing(plan) == ()
    assert undated(plan) == ""
    _, found = asked_now(project, plan)
    assert not {one.id for one in found} & set(aftercare(plan)[0].steps)


def test_with_a_date_it_is_planned() -> None:
    """An event of that day wants it, in days before it."""
    project, _ = cared()
    again = worn_again(project, "signal_master", datetime(2027, 9, 4))
    plan = plan_project(again, AFTER)
    assert due_after_wearing(plan) == ()
    assert undated(plan) == ""
    event = next(one for one in plan.occasions if one.name == "Next wearing")
    assert event.kind is OccasionKind.EVENT
    steps = [one for one in plan.steps if one.id.endswith("-after-regatta")]
    assert len(steps) == 13
    assert all(one.wanted and one.last_day and one.last_day < date(2027, 9, 4) for one in steps)


def test_the_form_asks_when_it_is_worn_next() -> None:
    """With a date it adds the event; not before what was worn, and no year but a near one."""
    questions = AfterWearingQuestions(state_of(SAMPLE, AFTER), EVENT)
    reading = typed_into(questions, **{NEXT: "4 September"})
    assert reading.wrong == ()
    assert reading.change is not None
    made = reading.change(read_project(SAMPLE))
    (last,) = made.ensembles[0].occasions[-1:]
    assert (last.at, last.name) == (datetime(2027, 9, 4), "Next wearing")
    assert "worn next on Saturday 4 September" in reading.told
    for text in ("1 June 2027", "soon", "2080-01-01", "2027-06-28"):
        wrong = typed_into(questions, **{NEXT: text}).wrong
        assert [one.key for one in wrong] == [NEXT], text


def test_the_plain_answers_have_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not one for every step and what else was left behind."""
    path = a_copy(tmp_path, SAMPLE)
    before = read_project(path)
    (it,) = after_wearing(before, EVENT).ensembles
    write_ensemble(path / "signal_master.toml", before.ensembles[0], it)
    main(["check", str(path), "--today", "2027-06-28"])
    out = capsys.readouterr().out
    assert out.count("to be done before the next wearing: add an event") == 1
    assert "no coming occasion wants" not in out
    assert len(out.splitlines()) < 20


def test_the_palette_gives_it_a_date(tmp_path: Path) -> None:
    """From any screen: one field, then it is planned."""
    path = a_copy(tmp_path, SAMPLE)

    async def body(driven: Driven) -> None:
        await driven.press("g")
        ask_after_wearing(driven.app, driven.app.screen.showing, EVENT)  # type: ignore[attr-defined]
        await driven.settle()
        await driven.press("2", "space", "h", "o", "o", "k", "s", "ctrl+s")
        assert driven.shows("to do before the next wearing: give it a date (^p: next)")
        titles = {one.title: one for one in driven.app.get_system_commands(driven.app.screen)}
        titles[GIVE_IT_A_DATE].callback()
        await driven.settle()
        await driven.press(*"2027-09-04", "ctrl+s")
        occasions = read_project(path).ensembles[0].occasions
        assert occasions[-1].at == datetime(2027, 9, 4)
        assert GIVE_IT_A_DATE not in {
            one.title for one in driven.app.get_system_commands(driven.app.screen)
        }

    drive(body, path=path, now=AFTER)
