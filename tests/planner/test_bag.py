"""Tonight's bag: what goes into it, what must be done first, what stays empty."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from hypothesis import given, settings

from planner.bag import Bag, pack
from planner.candidates import Keeps
from planner.doable import asked_now
from planner.model import Place, Project, Span
from planner.plan import Where
from planner.planning import plan_project
from tests.planner.little import EVENINGS, ensemble, every, garment, project
from tests.planner.test_doable import projects
from tests.properties.test_planner_laws import week

NOON = datetime(2027, 5, 3, 12)
TRAIN = every("take_along", "07:30-08:00")
HAND = 'work="hand", place="take-along"'
BALL = '{ id = "ball", kind = "event", at = 2027-05-05 }'
TUESDAY = date(2027, 5, 4)


def bag_of(of: Project, now: datetime = NOON) -> Bag:
    """The bag."""
    plan = plan_project(of, now)
    ground, found = asked_now(of, plan)
    return pack(ground, plan, found)


def short(packed: object) -> list[tuple[str, int]]:
    """Ids' last parts with minutes."""
    assert isinstance(packed, tuple)
    return [(one.step.rsplit("/", 1)[1], one.minutes) for one in packed]


def test_what_the_plan_does_on_the_way_is_packed_with_what_comes_first(tmp_path: Path) -> None:
    """Tomorrow's half hour is planned; what it follows is pressed tonight, and stock goes along."""
    steps = garment(
        'press 20 work="pressing"',
        f'hem 30 {HAND}, after=["press"], uses=[{{stock="silk", amount=["2 m"]}}]',
    )
    stock = '{ id = "silk", name = "silk thread", have = "9 m" }'
    # no evening is left on the ball's eve: the train is needed
    hours = TRAIN + '[workroom_hours]\nmonday = ["19:00-19:30"]\n'
    bag = bag_of(project(tmp_path, ensemble(steps, BALL, stock), hours))
    assert (bag.day, bag.minutes, bag.idle) == (TUESDAY, 30, 0)
    assert short(bag.packed) == [("hem", 30)]
    assert [(use.stock, use.text) for use in bag.packed[0].uses] == [("e/silk", "2 m")]
    (first,) = bag.first
    assert (first.step, first.minutes, first.day) == ("e/g/press", 20, date(2027, 5, 3))
    assert first.where is Where.WORKROOM
    assert not bag.more and not bag.ahead and bag.next is None


def test_what_else_could_be_done_fills_the_hours(tmp_path: Path) -> None:
    """Where the plan leaves the train empty, the most useful steps for a lap fill it."""
    steps = garment(f"hem 20 {HAND}", f'fell 90 {HAND}, after=["hem"]', f"trim 50 {HAND}")
    later = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    bag = bag_of(project(tmp_path, ensemble(steps, later), TRAIN + EVENINGS))
    assert not bag.packed
    assert short(bag.more) == [("hem", 20), ("trim", 10)]
    assert bag.idle == 0


def test_nothing_is_packed_that_cannot_be_begun(tmp_path: Path) -> None:
    """What needs a table, two hands, or stock that isn't coming stays at home."""
    steps = garment(
        "table 20",
        f"two 20 {HAND}, hands=2",
        f'lacking 20 {HAND}, uses=[{{stock="silk", amount=["2 m"]}}]',
        f"whole 90 {HAND}, one_sitting=true",
    )
    stock = '{ id = "silk", have = "1 m" }'
    bag = bag_of(project(tmp_path, ensemble(steps, stock=stock), TRAIN + EVENINGS))
    assert not (bag.packed or bag.more or bag.ahead)
    assert bag.idle == 30
    assert bag.next is not None
    assert (bag.next.step, bag.next.by[0].keeps) == ("e/g/lacking", Keeps.LACKING)


def test_little_work_tonight_makes_the_way_useful(tmp_path: Path) -> None:
    """The plan cuts in a fortnight; cut tonight, the points could be sewn on the train."""
    steps = garment('cut 20 work="cutting"', f'points 25 {HAND}, after=["cut"]')
    later = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    bag = bag_of(project(tmp_path, ensemble(steps, later), TRAIN + EVENINGS))
    assert not (bag.packed or bag.more)
    (ahead,) = bag.ahead
    assert (ahead.packed.step, ahead.packed.minutes) == ("e/g/points", 25)
    assert [first.step for first in ahead.first] == ["e/g/cut"]
    assert bag.next is None


def test_no_hours_before_the_train_make_nothing_ready(tmp_path: Path) -> None:
    """Without an evening before it, nothing is promised; the nearest step is named."""
    steps = garment('cut 20 work="cutting"', f'points 25 {HAND}, after=["cut"]')
    later = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    hours = TRAIN + '[workroom_hours]\nfriday = ["19:00-21:00"]\n'
    bag = bag_of(project(tmp_path, ensemble(steps, later), hours))
    assert not bag.ahead
    assert bag.next is not None and bag.next.step == "e/g/points"


def test_the_next_day_with_hours_on_the_way_counts(tmp_path: Path) -> None:
    """Not today's, and none beyond a week."""
    friday = '[take_along_hours]\nfriday = ["07:30-08:00"]\nmonday = ["17:00-18:00"]\n'
    later = '{ id = "ball", kind = "event", at = 2027-06-20 }'
    text = ensemble(garment(f"hem 20 {HAND}"), later)
    bag = bag_of(project(tmp_path, text, friday + EVENINGS))
    assert bag.day == date(2027, 5, 7)
    far = '[[change]]\non = 2027-05-11\ntake_along = ["07:30-08:00"]\n'
    bag = bag_of(project(tmp_path, text, EVENINGS + far))
    assert bag.day is None and not bag.windows and bag.minutes == 0


@settings(max_examples=60, deadline=None)
@given(projects())
def test_a_bag_holds_no_more_than_its_hours(of: Project) -> None:
    """Only open steps for a lap and one pair of hands, each once besides, in the hours there are;
    what comes first is open and comes once."""
    train = replace(of.workroom, take_along_hours=week([Span(start=450, end=480)]))
    steps = {f"e/g/{one.id}": one for one in of.ensembles[0].garments[0].steps}
    bag = bag_of(replace(of, workroom=train))
    assert bag.day == TUESDAY and bag.minutes == 30
    ahead = [one.packed for one in bag.ahead]
    together = [*bag.packed, *bag.more, *ahead]
    assert sum(one.minutes for one in together) <= 30
    assert bag.idle == 30 - sum(one.minutes for one in (*bag.packed, *bag.more))
    for one in together:
        step = steps[one.step]
        assert step.place is Place.TAKE_ALONG and step.hands == 1 and not step.done
        assert 0 < one.minutes <= one.left
    first = [one.step for one in bag.first]
    assert len(set(first)) == len(first)
    assert not any(steps[name].done for name in first)
    assert (bag.next is not None) <= (not together)
