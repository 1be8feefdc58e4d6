"""The words of what can be done now: reasons, what keeps a step, what is said instead."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from planner.bag import pack
from planner.candidates import Candidate, Hindrance, Keeps
from planner.doable import Answer, Choices, asked_now, doable
from planner.model import Place, Project, Wait
from planner.plan import Plan
from planner.planning import plan_project
from screens import bag_told, doable_told
from tests.planner.little import EVENINGS, ensemble, every, garment, project

EVENING = datetime(2027, 5, 3, 19)
ROOM = Choices(minutes=60, place=Place.WORKROOM)
BALL = '{ id = "ball", name = "Lantern ball", kind = "event", at = 2027-05-08 }'
LATER = '{ id = "ball", name = "Lantern ball", kind = "event", at = 2027-05-20 }'
TRAIN = every("take_along", "07:30-08:00")


def asked(
    of: Project, choices: Choices = ROOM, now: datetime = EVENING
) -> tuple[Plan, Answer, dict[str, Candidate]]:
    """The plan, the answer, the candidates by the last part of their ids."""
    plan = plan_project(of, now)
    _, found = asked_now(of, plan)
    return plan, doable(found, choices, now), {one.id.rsplit("/", 1)[1]: one for one in found}


def a_coat(*steps: str) -> str:
    """A garment with a name."""
    return garment(*steps, keys='name = "Coat"')


def test_choices_are_said_in_one_phrase() -> None:
    """Minutes, place, helper, tired."""
    assert doable_told.chosen(Choices()) == "20 min on the sofa"
    whole = Choices(minutes=90, place=Place.WORKROOM, tired=True, helper=True)
    assert doable_told.chosen(whole) == "1 h 30 in the workroom with a helper, tired"


def test_how_much_of_a_step_fits(tmp_path: Path) -> None:
    """A part of its minutes, or its end."""
    of = project(tmp_path, ensemble(a_coat("a 20", "b 90"), BALL))
    _, answer, _ = asked(of, replace(ROOM, minutes=30))
    told = {one.step: doable_told.how_long(one) for one in answer.doable}
    assert told == {"e/g/a": "0:20 ends it", "e/g/b": "0:30 of 1:30"}


def test_why_says_by_when_and_what_waits(tmp_path: Path) -> None:
    """By when a step must have ended, and the work behind it; dates shorter where they must be."""
    of = project(tmp_path, ensemble(a_coat("a 20", 'b 90 after=["a"]'), BALL))
    plan, answer, by_name = asked(of)
    assert doable_told.why(plan, by_name["a"].use, answer.doable[0]) == (
        "by Friday 7 May; 1 h 30 waits for it",
        "by Fri 7 May; 1 h 30 waits for it",
        "by Fri 7 May",
    )


def test_why_says_what_is_late(tmp_path: Path) -> None:
    """Late itself, or holding up what is late."""
    soon = (
        '{ id = "try", name = "body fitting", kind = "fitting",'
        ' at = 2027-05-03T22:00:00, wants = ["g/c"] }'
    )
    chain = a_coat("b 10 name='press seams'", 'c 10 after=["b"], not_before=2027-05-05')
    plan, answer, by_name = asked(project(tmp_path, ensemble(chain, f"{soon}, {LATER}")))
    texts = doable_told.why(plan, by_name["b"].use, answer.doable[0])
    assert texts[0].startswith("holds up “c”, late for the body fitting")
    assert texts[-1] == "holds up what is late"


@pytest.mark.parametrize(
    ("by", "told"),
    [
        (Hindrance(keeps=Keeps.AFTER, names=("e/g/a",), minutes=15), "after “pin the hem”, 15 min"),
        (
            Hindrance(
                keeps=Keeps.AFTER, names=("e/g/a", "e/h/x"), minutes=75, wait=Wait(nights=1)
            ),
            "after “pin the hem” and “press” (Hat), 1 h 15, then a night's wait",
        ),
        (
            Hindrance(
                keeps=Keeps.AFTER, names=("e/g/a",), minutes=15, until=datetime(2027, 5, 5)
            ),
            "after “pin the hem”, 15 min, not before Wednesday 5 May",
        ),
        (
            Hindrance(keeps=Keeps.AFTER, names=("e/g/a",), minutes=15, stock_missing=True),
            "after “pin the hem”, 15 min, and its stock is not there",
        ),
        (
            Hindrance(keeps=Keeps.WAIT, names=("e/g/a",), until=datetime(2027, 5, 3, 21)),
            "the wait after “pin the hem” lasts till 21:00",
        ),
        (
            Hindrance(keeps=Keeps.WAIT, names=("e/g/a",), until=datetime(2027, 5, 4)),
            "the wait after “pin the hem” lasts till tomorrow",
        ),
        (
            Hindrance(
                keeps=Keeps.COMING, names=("e/braid",), until=datetime(2027, 5, 5), text="2 m"
            ),
            "it waits for 2 m of the narrow braid, due on Wednesday 5 May",
        ),
        (
            Hindrance(keeps=Keeps.LACKING, names=("e/braid",), text="0.6 m"),
            "not enough of the narrow braid: 0.6 m short",
        ),
        (
            Hindrance(keeps=Keeps.HANDS, until=datetime(2027, 5, 8, 14)),
            "it needs a second pair of hands, there Saturday 8 May, 14:00",
        ),
        (Hindrance(keeps=Keeps.HANDS), "it needs a second pair of hands"),
        (Hindrance(keeps=Keeps.MINUTES, minutes=70), "it wants one sitting of 1 h 10"),
        (Hindrance(keeps=Keeps.PLACE), "it needs the workroom"),
        (
            Hindrance(keeps=Keeps.NOT_BEFORE, until=datetime(2027, 5, 10)),
            "not before Monday 10 May, you said",
        ),
        (Hindrance(keeps=Keeps.NO_WAY_BACK), "no way back"),
    ],
)
def test_what_keeps_a_step(tmp_path: Path, by: Hindrance, told: str) -> None:
    """Each cause in few words, other garments named, days by name."""
    hat = garment('x 60 name="press"', id="h", keys='name = "Hat"')
    coat = a_coat('a 15 name="pin the hem"', "b 20")
    stock = '{ id = "braid", name = "narrow braid", have = "9 m" }'
    of = project(tmp_path, ensemble(coat + hat, BALL, stock))
    plan, _, _ = asked(of)
    assert doable_told.hindrance_told(plan, "e/g/b", by) == told


SCISSORS = 'work="cutting", no_way_back=true, name="cut the good cloth"'


def test_before_cutting_the_missing_corrections_are_told(tmp_path: Path) -> None:
    """Whose corrections are missing, and that the cloth is the last of its kind."""
    chain = a_coat(
        'fit 20 during="fitting", work="fitting"',
        'correct - technique="transfer-corrections", amount=[2], after=["fit"]',
        f'cut 30 {SCISSORS}, after=["correct"], uses=[{{stock="wool", amount=["2 m"]}}]',
    )
    fitting = '{ id = "fitting", kind = "fitting", at = 2027-05-01T14:00:00 }'
    wool = '{ id = "wool", name = "grey wool", have = "3 m", again = false }'
    of = project(tmp_path, ensemble(chain, f"{fitting}, {BALL}", wool))
    plan, answer, _ = asked(of)
    assert doable_told.not_yet(plan, answer) == (
        "Not yet “cut the good cloth” (Coat): Saturday's corrections are not on the pattern,"
        " and the grey wool can't be bought again."
    )


def test_before_the_fitting_the_fitting_is_told(tmp_path: Path) -> None:
    """Where it has not been, the fitting comes first."""
    chain = a_coat(
        'fit 20 during="fitting", work="fitting"',
        'correct - technique="transfer-corrections", amount=[2], after=["fit"]',
        f'cut 30 {SCISSORS}, after=["correct"]',
    )
    fitting = (
        '{ id = "fitting", name = "body fitting", kind = "fitting", at = 2027-05-05T14:00:00 }'
    )
    plan, answer, _ = asked(project(tmp_path, ensemble(chain, f"{fitting}, {BALL}")))
    assert doable_told.not_yet(plan, answer) == (
        "Not yet “cut the good cloth” (Coat): the body fitting, Wednesday 5 May, 14:00, and its"
        " corrections come first."
    )


def test_the_tired_are_told_what_is_left_out(tmp_path: Path) -> None:
    """By cause, with the steps."""
    of = project(
        tmp_path,
        ensemble(a_coat('cut 10 work="cutting"', "seam 20", "punch 10 no_way_back=true"), BALL),
    )
    plan, answer, _ = asked(of, replace(ROOM, tired=True))
    assert doable_told.left_out(plan, answer) == (
        "You are tired, so left out: cutting, “cut” (Coat); no way back, “punch” (Coat)."
    )
    plan, answer, _ = asked(of)
    assert doable_told.left_out(plan, answer) == ""


def test_where_nothing_can_be_done_the_next_thing_is_told(tmp_path: Path) -> None:
    """The nearest step, and what the workroom would allow."""
    steps = a_coat('press 15 name="press seams"', 'fell 40 place="sofa", after=["press"]')
    of = project(tmp_path, ensemble(steps, BALL))
    plan, answer, _ = asked(of, Choices())
    assert doable_told.nothing(plan, answer) == [
        "Nothing can be done on the sofa now: the nearest is “fell” (Coat), after “press seams”,"
        " 15 min.",
        "In the workroom: “press seams” (Coat), 15 min.",
    ]
    plan, answer, _ = asked(of)
    assert doable_told.nothing(plan, answer) == []


def test_where_nothing_suits_the_place_that_is_told(tmp_path: Path) -> None:
    """No step for the way is left; or nothing at all."""
    of = project(tmp_path, ensemble(a_coat("press 15"), BALL))
    plan, answer, _ = asked(of, Choices(place=Place.TAKE_ALONG))
    first, second = doable_told.nothing(plan, answer)
    assert first == "Nothing that is left to do can be done on the way."
    assert second == "In the workroom: “press” (Coat), 15 min."
    done = project(tmp_path / "done", ensemble(a_coat("press 15 done=true"), BALL))
    plan, answer, _ = asked(done)
    (sentence,) = doable_told.nothing(plan, answer)
    assert sentence.startswith("Nothing is left to do.")
    plan, answer, _ = asked(of, now=datetime(2027, 5, 20, 19))
    (sentence,) = doable_told.nothing(plan, answer)
    assert sentence.startswith("No coming occasion wants what is still open")


def test_why_one_stands_before_another(tmp_path: Path) -> None:
    """The first difference of the two is told."""
    of = project(tmp_path, ensemble(a_coat('a 30 stage="wearable"', "b 30 optional=true"), BALL))
    plan, _, by_name = asked(of)
    told = doable_told.why_before(plan, by_name["a"], by_name["b"], ROOM)
    assert told == "Before “b” (Coat), since nothing can be worn without it."
    fixed = project(tmp_path / "fixed", ensemble(a_coat("a 30", "b 30 on=2027-05-05"), BALL))
    plan, _, by_name = asked(fixed)
    told = doable_told.why_before(plan, by_name["a"], by_name["b"], ROOM)
    assert told == "Before “b” (Coat), since you fixed that for Wednesday 5 May."


# the bag


def bag_in_words(of: Project) -> tuple[str, list[str], list[str]]:
    """Heading, rows, sentences."""
    plan = plan_project(of, EVENING)
    ground, found = asked_now(of, plan)
    bag = pack(ground, plan, found)
    rows = [
        f"{row.what} {row.long} {row.letter} {row.name}; {row.garment}; {row.known}"
        for row in bag_told.rows(plan, bag)
    ]
    return bag_told.heading(plan, bag), rows, bag_told.sentences(plan, bag)


HAND = 'work="hand", place="take-along"'


def test_the_bag_says_what_to_take_and_what_comes_first(tmp_path: Path) -> None:
    """Hours, steps, stock, needle and thread; what is done before, when and where."""
    steps = a_coat(
        'press 20 work="pressing"',
        f'hem 50 {HAND}, after=["press"], uses=[{{stock="silk", amount=["2 m"]}}]',
    )
    silk = '{ id = "silk", name = "silk thread", have = "9 m" }'
    eve = '{ id = "ball", kind = "event", at = 2027-05-05 }'
    hours = TRAIN + '[workroom_hours]\nmonday = ["19:00-20:10"]\n'
    heading, rows, sentences = bag_in_words(project(tmp_path, ensemble(steps, eve, silk), hours))
    assert heading == "Tonight's bag, for tomorrow: 30 min on the way, 07:30-08:00"
    assert rows == [
        "take 0:30 h hem; Coat; with 2 m of silk thread",
        "first 0:20 p press; Coat; today, in the workroom",
    ]
    assert sentences == ["With it needle, thread, thimble and small scissors."]


def test_the_bag_says_what_would_fill_it(tmp_path: Path) -> None:
    """What a little work tonight would make possible, and what that leads on to."""
    steps = a_coat(
        'cut 20 work="cutting"', f'points 15 {HAND}, after=["cut"]', f'tie 9 {HAND}, after=["cut"]'
    )
    _, rows, sentences = bag_in_words(project(tmp_path, ensemble(steps, LATER), TRAIN + EVENINGS))
    assert rows == []
    assert sentences == [
        "By the plan there is nothing to take along.",
        "“points” (Coat) would fill 15 min if “cut”, 20 min in the workroom, came first.",
        "Then “tie” (Coat) would fill 9 min too.",
    ]


def test_without_hours_on_the_way_that_is_said(tmp_path: Path) -> None:
    """No bag this week."""
    heading, rows, _ = bag_in_words(project(tmp_path, ensemble(a_coat("press 15"), BALL)))
    assert heading == "Tonight's bag: there are no hours on the way in the week ahead."
    assert rows == []


def test_of_a_later_day_the_bag_says_its_name(tmp_path: Path) -> None:
    """Not tomorrow, but Friday."""
    hours = EVENINGS + '[take_along_hours]\nfriday = ["07:30-08:00", "17:00-17:20"]\n'
    text = ensemble(a_coat("press 15"), LATER)
    heading, _, sentences = bag_in_words(project(tmp_path, text, hours))
    assert heading == "The bag for Friday 7 May: 50 min on the way, 07:30-08:00 and 17:00-17:20"
    assert sentences[-1] == "Nothing that is left to do can be taken along."
