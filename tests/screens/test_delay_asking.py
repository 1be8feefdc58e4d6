"""What is asked of a delay: which is likely meant, what stands there at first, what is typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.files.reading import read_project
from planner.model import Coming
from planner.planning import plan_project
from planner.quantity import parse_quantity
from screens.delay_asking import Asking, asking
from screens.delaying import Near
from screens.delays_doing import day_typed, moment_typed, sentence
from screens.state import State
from tests.planner.little import EVENINGS, ensemble, garment
from tests.planner.little import project as written
from tests.screens.workrooms import MONDAY, SMALL

REGATTA, FITTING, BRAID = (f"ferrywoman/{one}" for one in ("regatta", "body-fitting", "braid"))


def _state(now: datetime = MONDAY, *coming: Coming) -> State:
    """The small workroom, with deliveries of braid."""
    project = read_project(SMALL)
    one = project.ensembles[0]
    braid = replace(one.stock[0], coming=coming)
    project = replace(project, ensembles=(replace(one, stock=(braid,)),))
    return State(project=project, plan=plan_project(project, now), now=now)


def _asking(what: str, state: State, near: Near | None = None) -> Asking:
    return asking(what, state.project, state.plan, state.now, near or Near())


def _coming(arrives: date | None) -> Coming:
    return Coming(amount=parse_quantity("3 m"), arrives=arrives)


def test_away_is_until_the_day_under_the_cursor() -> None:
    """Where that is ahead; else a day with hours, so that one with hours is lost."""
    state = _state()
    assert _asking("away", state).proposed("") == "Wednesday 5 May"
    assert _asking("away", state, Near(day=date(2027, 5, 7))).proposed("") == "Friday 7 May"
    assert _asking("away", state, Near(day=MONDAY.date())).proposed("") == "Wednesday 5 May"


def test_what_is_proposed_can_be_read() -> None:
    """Each proposal, unchanged, comes to a delay that moves things."""
    state = _state(MONDAY, _coming(date(2027, 5, 6)))
    for what in ("tonight", "away", "delivery", "occasion", "helper", "afresh"):
        it = _asking(what, state)
        for key in [one.key for one in it.options] or [""]:
            delay = it.read(key, it.proposed(key) if it.label else "")
            assert delay.what == what and delay.doing.label
            after = replace(delay.doing.change(state.project), kept=state.project.kept)
            assert (after == state.project) is (what == "afresh")


def test_the_delivery_due_nearest_comes_first() -> None:
    """Overdue or not; then those of which nobody knows the day. It comes two days later, or
    tomorrow where it is due already, but not on a Sunday."""
    days = (date(2027, 5, 20), None, date(2027, 5, 7), date(2027, 5, 2))
    it = _asking("delivery", _state(MONDAY, *map(_coming, days)))
    assert [one.told for one in it.options] == [
        "due yesterday",
        "due Friday 7 May",
        "due Thursday 20 May",
        "nobody knows when",
    ]
    proposed = [it.proposed(one.key) for one in it.options]
    assert proposed == ["Tuesday 4 May", "Monday 10 May", "Saturday 22 May", "Thursday 6 May"]
    assert it.there == it.options[0].key


def test_what_runs_out_can_be_noted_as_coming() -> None:
    """Where nothing is coming, what is short is; rounded up to what is easily written."""
    state = _state()
    it = _asking("delivery", state)
    (one,) = it.options
    assert (one.name, one.told) == ("narrow wool braid, 0.6 m", "wanted, not yet coming")
    after = it.read(one.key, "6 May").doing.change(state.project)
    (coming,) = after.ensembles[0].stock[0].coming
    assert (str(coming.amount.value), coming.arrives) == ("0.6", date(2027, 5, 6))


def test_nothing_can_come_later(tmp_path: Path) -> None:
    """Without deliveries and shortages it is said what to do."""
    project = written(tmp_path, ensemble(garment("a 60")), EVENINGS)
    it = asking("delivery", project, plan_project(project, MONDAY), MONDAY, Near())
    assert not it.options and it.nothing.startswith("Nothing is coming")


def test_an_occasion_moves_to_the_next_day_with_hours() -> None:
    """An event a week; or to the day under the cursor, where that is another."""
    state = _state()
    it = _asking("occasion", state)
    assert [(one.key, one.told) for one in it.options] == [
        (FITTING, "Saturday 8 May, 14:00"),
        (REGATTA, "Saturday 22 May"),
    ]
    assert it.there == FITTING
    assert (it.proposed(FITTING), it.proposed(REGATTA)) == ("Sunday 9 May", "Saturday 29 May")
    on_regatta = _asking("occasion", state, Near(day=date(2027, 5, 22), occasion=REGATTA))
    assert on_regatta.there == REGATTA
    there = _asking("occasion", state, Near(day=date(2027, 5, 13)))
    assert there.proposed(FITTING) == "Thursday 13 May"


def test_a_fitting_that_was_not_held_can_move() -> None:
    """One that is just past is offered too, after it was; a week later no longer."""
    it = _asking("occasion", _state(datetime(2027, 5, 10)))
    assert [one.told for one in it.options] == ["was Saturday 8 May, 14:00", "Saturday 22 May"]
    assert it.there == REGATTA
    assert len(_asking("occasion", _state(datetime(2027, 5, 17))).options) == 1


def test_whom_an_occasion_passes() -> None:
    """A fitting that would be after the event it prepares is warned about."""
    state = _state()
    it = _asking("occasion", state)
    warned = it.read(FITTING, "23 May").warning
    assert warned == "It would be after the Regatta, which wants what comes after it."
    assert not it.read(FITTING, "Sunday").warning


def test_helper_hours_of_the_next_helper_day() -> None:
    """Or of the day under the cursor, where there are some; with none ahead it is refused."""
    state = _state()
    assert _asking("helper", state).proposed("") == "Saturday 8 May"
    near = Near(day=date(2027, 5, 15))
    assert _asking("helper", state, near).proposed("") == "Saturday 15 May"
    workroom = replace(state.project.workroom, helper_hours=((),) * 7)
    alone = replace(state.project, workroom=workroom)
    it = asking("helper", alone, plan_project(alone, MONDAY), MONDAY, Near())
    assert not it.label
    with pytest.raises(ValueError) as error:
        it.read("", "")
    assert sentence(error.value, MONDAY.date()).startswith("No helper hours are ahead")


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-05-08", date(2027, 5, 8)),
        ("tomorrow", date(2027, 5, 4)),
        ("Friday", date(2027, 5, 7)),
        ("6 May", date(2027, 5, 6)),
        ("Sunday 9 May", date(2027, 5, 9)),
        ("Sunday 16:00", datetime(2027, 5, 9, 16)),
        ("2027-05-09T16:00", datetime(2027, 5, 9, 16)),
        ("sundayT9:30", datetime(2027, 5, 9, 9, 30)),
        ("9 May at 16:00", datetime(2027, 5, 9, 16)),
    ],
)
def test_days_as_they_are_typed(text: str, day: date) -> None:
    """As everywhere, and with a time behind them."""
    assert moment_typed(text, MONDAY.date()) == day


def test_todays_own_weekday() -> None:
    """It is today; of the day one is back it is that of next week."""
    today = MONDAY.date()
    assert day_typed("Monday", today) == today
    assert day_typed("Monday", today, ahead=True) == date(2027, 5, 10)
    assert day_typed("today", today, ahead=True) == today
    for text in ("", "soon", "31 April"):
        with pytest.raises(ValueError):
            day_typed(text, today)


@pytest.mark.parametrize(
    ("text", "today", "told"),
    [
        ("5 March", date(2027, 3, 7), "5 March is past; for 2028 write 5 March 2028."),
        ("Fri 5 March", date(2027, 3, 7), "5 March is past; for 2028 write 5 March 2028."),
        ("5 March 16:00", date(2027, 3, 7), "5 March is past; for 2028 write 5 March 2028."),
        ("28 December", date(2028, 1, 3), "28 December is past; for 2028 write 28 December 2028."),
    ],
)
def test_a_day_just_past_is_not_that_of_next_year(text: str, today: date, told: str) -> None:
    """It is refused, with how the other is written, whatever asks for a day."""
    with pytest.raises(ValueError) as error:
        moment_typed(text, today)
    assert str(error.value) == told
    if ":" not in text:
        with pytest.raises(ValueError):
            day_typed(text, today, ahead=True)


def test_a_day_of_next_year_that_can_be_meant() -> None:
    """With its year, or where it was long ago and is near; today is no past day."""
    march = date(2027, 3, 7)
    assert day_typed("5 March 2028", march) == date(2028, 3, 5)
    assert day_typed("2028-03-05", march) == date(2028, 3, 5)
    assert day_typed("7 March", march) == march
    assert day_typed("5 January", date(2027, 10, 20)) == date(2028, 1, 5)
    assert day_typed("20 July", date(2027, 1, 4)) == date(2027, 7, 20)


def test_the_day_is_said_with_its_year_where_that_is_another() -> None:
    """What an occasion moves to, a delivery comes on, a helper can't come on."""
    state = _state(MONDAY, _coming(date(2027, 5, 6)))
    occasion = _asking("occasion", state).read(REGATTA, "22 May 2028")
    assert occasion.told == (
        "It goes to Monday 22 May 2028, 11:00; it was on Saturday 22 May, 11:00."
    )
    it = _asking("delivery", state)
    delivery = it.read(it.there, "6 May 2028")
    assert delivery.told.startswith("It comes on Saturday 6 May 2028; it was due")
    assert _asking("helper", state).read("", "8 May").told.startswith("No helper on Saturday 8 May")
