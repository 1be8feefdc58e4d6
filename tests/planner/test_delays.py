"""What goes wrong in a week, as edits: each takes what it says, and refuses what can't be meant."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from planner.carrying import bare
from planner.durations import parse_duration
from planner.editing import day_spans
from planner.editing.delays import (
    afresh,
    away_until,
    delivery_comes,
    delivery_meant,
    evening,
    next_helper_day,
    no_helper,
    nothing_done,
    occasion_moves,
    passed,
)
from planner.files.clock import format_span
from planner.model import Change, Entry, Kept, OccasionKind, Project, Stock
from planner.planning import plan_project
from planner.problems import InputError
from planner.quantity import parse_quantity
from tests.planner.little import EVENINGS, ensemble, every, garment, project

MONDAY = datetime(2027, 5, 3)
HALF_PAST_SEVEN = datetime(2027, 5, 3, 19, 30)
HOURS = (
    EVENINGS
    + every("sofa", "21:30-01:00")
    + every("take_along", "12:00-12:30")
    + '[helper_hours]\nwednesday = ["19:00-20:00"]\nsaturday = ["14:00-17:00"]\n'
)
CLOTH = (
    '{ id = "wool", name = "red wool", counted = 2027-05-01, coming = ['
    '{ amount = "1 m", arrives = 2027-05-01 }, { amount = "2 m", arrives = 2027-05-08 }, '
    '{ amount = "3 m", arrives = 2027-05-04 }, { amount = "4 m" }] }, '
    '{ id = "tape" }, { id = "silk", coming = [{ amount = "4 m" }] }'
)
TWO = (
    '{ id = "fitting", kind = "fitting", at = 2027-05-05T18:00:00 }, '
    '{ id = "ball", kind = "event", at = 2027-05-08T11:00:00 }'
)
BODICE = garment("baste 60", 'fit 30 during="fitting", after=["baste"]', 'sew 60 after=["fit"]')


@pytest.fixture
def week(tmp_path: Path) -> Project:
    """A workroom with hours everywhere, a helper on Wednesdays, a fitting and a ball."""
    return project(tmp_path, ensemble(BODICE, TWO, CLOTH), HOURS)


def _hours(it: Project, day: date) -> list[list[str]]:
    """The hours of a day, place by place, as they are written."""
    spans = day_spans(it, day)
    places = (spans.workroom, spans.sofa, spans.take_along, spans.helper)
    return [[format_span(span) for span in place] for place in places]


def _change(it: Project) -> Change:
    (change,) = it.workroom.changes
    return change


def _refused(error: pytest.ExceptionInfo[InputError]) -> str:
    (problem,) = error.value.problems
    return problem.text


def test_what_is_left_of_today_is_lost(week: Project) -> None:
    """The hours on now end now, what is to come goes, what was stays; other days are as before."""
    after = nothing_done(week, HALF_PAST_SEVEN)
    assert _hours(after, date(2027, 5, 3)) == [["19:00-19:30"], [], ["12:00-12:30"], []]
    assert _hours(after, date(2027, 5, 4)) == _hours(week, date(2027, 5, 4))
    assert _change(after).reason == "nothing done"
    assert bare(replace(after, workroom=week.workroom)) == bare(week)


def test_after_midnight_it_is_still_last_night(week: Project) -> None:
    """Hours that go on past midnight belong to the evening before."""
    late = datetime(2027, 5, 4, 0, 15)
    assert evening(week, late) == date(2027, 5, 3)
    after = nothing_done(week, late)
    assert _hours(after, date(2027, 5, 3))[:2] == [["19:00-21:00"], ["21:30-00:15"]]
    assert _hours(after, date(2027, 5, 4)) == _hours(week, date(2027, 5, 4))


def test_an_evening_that_is_over_can_still_have_been_lost(tmp_path: Path) -> None:
    """Said after the hours, it is all of today's, unless something was logged today."""
    late = datetime(2027, 5, 3, 22)
    it = project(tmp_path, ensemble(BODICE, TWO))
    assert _hours(nothing_done(it, late), date(2027, 5, 3))[0] == []
    entry = Entry(at=datetime(2027, 5, 3, 20), step="e/g/baste", minutes=20)
    logged = replace(it, diary=replace(it.diary, entries=(entry,)))
    assert evening(logged, late) is None
    with pytest.raises(InputError) as error:
        nothing_done(logged, late)
    assert "no hours left" in _refused(error)


def test_the_reason_of_a_day_stays(week: Project) -> None:
    """A day that differs already keeps what was said of it."""
    own = Change(first=date(2027, 5, 3), last=date(2027, 5, 3), sofa=(), reason="choir")
    it = replace(week, workroom=replace(week.workroom, changes=(own,)))
    assert _change(nothing_done(it, MONDAY)).reason == "choir, nothing done"


def test_away_until_a_day_is_back_on_it(week: Project) -> None:
    """The days before it are away, from today or from the day that is said."""
    after = _change(away_until(week, date(2027, 5, 7), MONDAY, reason="ferry"))
    assert (after.first, after.last, after.reason) == (date(2027, 5, 3), date(2027, 5, 6), "ferry")
    later = _change(away_until(week, date(2027, 5, 7), MONDAY, date(2027, 5, 6)))
    assert (later.first, later.last) == (date(2027, 5, 6), date(2027, 5, 6))
    assert (later.workroom, later.sofa, later.take_along, later.helper) == ((), (), (), ())


def test_away_in_mid_evening_keeps_what_was(week: Project) -> None:
    """Today's hours that have begun stay as far as they have gone."""
    after = away_until(week, date(2027, 5, 5), HALF_PAST_SEVEN)
    assert _hours(after, date(2027, 5, 3)) == [["19:00-19:30"], [], ["12:00-12:30"], []]
    assert _hours(after, date(2027, 5, 4)) == [[], [], [], []]
    assert _hours(after, date(2027, 5, 5)) == _hours(week, date(2027, 5, 5))


@pytest.mark.parametrize(
    ("back", "first", "told"),
    [
        (date(2027, 5, 3), None, "is not after"),
        (date(2027, 5, 7), date(2027, 5, 2), "is past"),
        (date(2072, 5, 7), None, "check the year"),
    ],
)
def test_days_away_that_cannot_be(week: Project, back: date, first: date | None, told: str) -> None:
    """One is back after one has left, in days that are ahead."""
    with pytest.raises(InputError) as error:
        away_until(week, back, MONDAY, first)
    assert told in _refused(error)


def _arrivals(it: Project, stock: int = 0) -> list[date | None]:
    return [one.arrives for one in it.ensembles[0].stock[stock].coming]


def test_the_delivery_due_nearest_comes_later(week: Project) -> None:
    """What is in the count is none; of the others the one due nearest to today moves."""
    after = delivery_comes(week, "e/wool", date(2027, 5, 6), MONDAY.date())
    assert _arrivals(after) == [date(2027, 5, 1), date(2027, 5, 8), date(2027, 5, 6), None]
    other = delivery_comes(week, "e/wool", date(2027, 5, 12), MONDAY.date(), which=1)
    assert _arrivals(other) == [date(2027, 5, 1), date(2027, 5, 12), date(2027, 5, 4), None]
    dated = delivery_comes(week, "e/silk", date(2027, 5, 6), MONDAY.date())
    assert _arrivals(dated, 2) == [date(2027, 5, 6)]
    assert bare(replace(after, ensembles=week.ensembles)) == bare(week)


def test_a_delivery_that_is_overdue_is_meant(week: Project) -> None:
    """What was due yesterday and hasn't come is nearer than what is due in three days."""
    wool = week.ensembles[0].stock[0]
    assert delivery_meant(wool, date(2027, 5, 5)) == 2
    assert delivery_meant(Stock(id="tape"), date(2027, 5, 5)) is None


def test_what_was_not_coming_is_noted(week: Project) -> None:
    """Without a delivery one is written down, where it is said how much."""
    amount = parse_quantity("2 m")
    after = delivery_comes(week, "e/tape", date(2027, 5, 6), MONDAY.date(), amount=amount)
    (coming,) = after.ensembles[0].stock[1].coming
    assert (coming.amount, coming.arrives) == (amount, date(2027, 5, 6))
    with pytest.raises(InputError) as error:
        delivery_comes(week, "e/tape", date(2027, 5, 6), MONDAY.date())
    assert "tape is coming" in _refused(error)


@pytest.mark.parametrize(
    ("day", "told"), [(date(2027, 5, 2), "past"), (date(2027, 5, 4), "already")]
)
def test_deliveries_that_cannot_be(week: Project, day: date, told: str) -> None:
    """Nothing comes in the past, or later on the same day."""
    with pytest.raises(InputError) as error:
        delivery_comes(week, "e/wool", day, MONDAY.date())
    assert told in _refused(error)


def test_an_occasion_moves_with_its_time(week: Project) -> None:
    """Its time stays unless one is given; what is done at it stays there."""
    after = occasion_moves(week, "e/fitting", date(2027, 5, 6), MONDAY)
    assert after.ensembles[0].occasions[0].at == datetime(2027, 5, 6, 18)
    assert after.ensembles[0].garments == week.ensembles[0].garments
    timed = occasion_moves(week, "e/fitting", datetime(2027, 5, 6, 9), MONDAY)
    assert timed.ensembles[0].occasions[0].at == datetime(2027, 5, 6, 9)


def test_one_that_was_not_held_is_ahead_again(week: Project) -> None:
    """What was said of how it went goes with the day it was on; ahead, it is kept."""
    fitting = replace(week.ensembles[0].occasions[0], held=False)
    one = replace(week.ensembles[0], occasions=(fitting, *week.ensembles[0].occasions[1:]))
    it = replace(week, ensembles=(one,))
    thursday = datetime(2027, 5, 6)
    after = occasion_moves(it, "e/fitting", date(2027, 5, 7), thursday)
    assert after.ensembles[0].occasions[0].held is None
    assert plan_project(after, thursday).occasions[0].past is False


@pytest.mark.parametrize(
    ("to", "told"),
    [
        (date(2027, 5, 2), "past"),
        (datetime(2027, 5, 3, 18), "past"),
        (date(2027, 5, 5), "already"),
    ],
)
def test_moves_that_cannot_be(week: Project, to: date, told: str) -> None:
    """An occasion moves to another moment, that is ahead."""
    with pytest.raises(InputError) as error:
        occasion_moves(week, "e/fitting", to, HALF_PAST_SEVEN)
    assert told in _refused(error)


def test_what_an_occasion_passes(week: Project) -> None:
    """A fitting that moves behind the event that wants what follows it passes that; one that
    wants nothing of it, and one it stays before, it doesn't."""
    plan = plan_project(week, MONDAY)
    assert passed(plan, "e/fitting", datetime(2027, 5, 9)) == ("e/ball",)
    assert passed(plan, "e/fitting", datetime(2027, 5, 7)) == ()
    assert passed(plan, "e/ball", datetime(2027, 5, 4)) == ()


def test_the_helper_of_the_next_helper_day(week: Project) -> None:
    """Without a day it is the next on which helper hours count; all other hours stay."""
    # on Saturday there is a helper, but nobody is in the workroom then
    assert next_helper_day(week, datetime(2027, 5, 6)) is None
    assert next_helper_day(week, MONDAY) == date(2027, 5, 5)
    after = no_helper(week, MONDAY)
    was, becomes = _hours(week, date(2027, 5, 5)), _hours(after, date(2027, 5, 5))
    assert (becomes[:3], becomes[3]) == (was[:3], [])
    assert _change(after).reason == "the helper can't come"
    on_saturday = no_helper(week, MONDAY, date(2027, 5, 8))
    assert _hours(on_saturday, date(2027, 5, 8))[3] == []


def test_a_helper_who_leaves_early(week: Project) -> None:
    """Of today's helper hours those that were stay."""
    after = no_helper(week, datetime(2027, 5, 5, 19, 20))
    assert _hours(after, date(2027, 5, 5))[3] == ["19:00-19:20"]


@pytest.mark.parametrize(
    ("day", "told"), [(date(2027, 5, 4), "no helper hours"), (date(2027, 5, 1), "past")]
)
def test_a_helper_who_was_not_coming(week: Project, day: date, told: str) -> None:
    """Where nobody was coming nobody can't come."""
    with pytest.raises(InputError) as error:
        no_helper(week, MONDAY, day)
    assert told in _refused(error)


def test_afresh_lets_go_of_the_kept_plan(week: Project) -> None:
    """And of nothing else."""
    it = replace(week, kept=Kept(as_of=MONDAY))
    assert afresh(it).kept == replace(it.kept, let_go=True)


def test_two_hands_move_to_another_helper_day(tmp_path: Path) -> None:
    """A step for two is planned with the next helper when hers can't come."""
    hours = EVENINGS + '[helper_hours]\nwednesday = ["19:00-20:00"]\nfriday = ["19:00-20:00"]\n'
    it = project(tmp_path, ensemble(garment("level 30 hands=2", 'hem 90 after=["level"]')), hours)
    assert parse_duration("30m") == 30 and it.ensembles[0].occasions[0].kind is OccasionKind.EVENT
    wednesday = next(s for s in plan_project(it, MONDAY).steps if s.id == "e/g/level").first_day
    after = no_helper(it, MONDAY, wednesday)
    moved = next(s for s in plan_project(after, MONDAY).steps if s.id == "e/g/level").first_day
    assert {wednesday, moved} == {date(2027, 5, 5), date(2027, 5, 7)}
