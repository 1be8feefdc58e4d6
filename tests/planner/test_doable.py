"""What can be done this minute: what keeps a step, which comes first, and the laws of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.candidates import TIRING, Candidate, Keeps
from planner.doable import Answer, Choices, Kept, asked_now, doable, usual_choices
from planner.files.reading import read_project
from planner.model import Diary, Entry, Place, Project, Step, Work
from planner.plan import Where
from planner.planning import plan_project
from planner.usefulness import rank
from tests.planner.little import NOW, ensemble, every, garment, project
from tests.properties.test_planner_laws import project as one_garment
from tests.properties.test_planner_laws import steps as some_steps
from tests.properties.test_planner_laws import workrooms

EVENING = datetime(2027, 5, 3, 19)
LONG = Choices(minutes=600, place=Place.WORKROOM)
SOFA = every("sofa", "17:00-18:00")
TABLE = every("workroom", "19:00-21:00")
SCISSORS = 'work="cutting", no_way_back=true'


def found_in(
    of: Project, choices: Choices = LONG, now: datetime = EVENING
) -> tuple[Answer, dict[str, Candidate]]:
    """The answer and the candidates by the last part of their ids."""
    _, candidates = asked_now(of, plan_project(of, now))
    by_name = {one.id.rsplit("/", 1)[1]: one for one in candidates}
    return doable(candidates, choices, now), by_name


def able(of: Project, choices: Choices = LONG, now: datetime = EVENING) -> list[str]:
    """What can be done, the most useful first, by the last part of its id."""
    return [one.step.rsplit("/", 1)[1] for one in found_in(of, choices, now)[0].doable]


def short(kept: tuple[Kept, ...]) -> dict[str, list[Keeps]]:
    """What keeps steps, by the last part of their ids."""
    return {one.step.rsplit("/", 1)[1]: [by.keeps for by in one.by] for one in kept}


# what keeps a step


def test_order_keeps_a_step_till_what_it_follows_is_done(tmp_path: Path) -> None:
    """A follower is kept by all open steps before it, with their minutes together."""
    chain = garment("a 30", 'b 20 after=["a"]', 'c 10 after=["b"]')
    of = project(tmp_path, ensemble(chain))
    assert able(of) == ["a"]
    _, by_name = found_in(of)
    (by,) = by_name["c"].held
    assert (by.keeps, by.names, by.minutes) == (Keeps.AFTER, ("e/g/a", "e/g/b"), 50)


def test_done_steps_and_steps_left_off_keep_nothing(tmp_path: Path) -> None:
    """Done, left off and unwanted steps are no candidates; what was left off is looked through."""
    chain = garment("a 30 done=true", 'b 20 after=["a"], left_off=true', 'c 10 after=["b"]')
    of = project(tmp_path, ensemble(chain))
    assert able(of) == ["c"]


def test_a_wait_by_the_clock_keeps_till_its_minute(tmp_path: Path) -> None:
    """Glue that was put on at 18:30 and dries two hours keeps what follows till 20:30."""
    chain = garment('glue 30 wait="2h"', 'paint 20 after=["glue"]')
    diary = '[[entry]]\nat = 2027-05-03T18:30:00\nstep = "e/g/glue"\nminutes = 30\ndone = true\n'
    of = project(tmp_path, ensemble(chain), diary=diary)
    answer, by_name = found_in(of)
    assert not answer.doable
    (by,) = by_name["paint"].held
    assert (by.keeps, by.until) == (Keeps.WAIT, datetime(2027, 5, 3, 20, 30))
    assert short(answer.nearly) == {"paint": [Keeps.WAIT]}
    assert able(of, now=datetime(2027, 5, 3, 20, 30)) == ["paint"]


def test_a_step_after_an_occasion_is_kept_till_it_is_over(tmp_path: Path) -> None:
    """What follows a step at a fitting waits for the fitting; the step itself is none to do."""
    chain = garment('fit 30 during="fitting", work="fitting"', 'mend 20 after=["fit"]')
    fitting = '{ id = "fitting", kind = "fitting", at = 2027-05-05T18:00:00, takes = "1h" }'
    ball = '{ id = "ball", kind = "event", at = 2027-05-08 }'
    of = project(tmp_path, ensemble(chain, f"{fitting}, {ball}"))
    answer, by_name = found_in(of)
    assert set(by_name) == {"mend"}
    (by,) = by_name["mend"].held
    assert (by.keeps, by.until) == (Keeps.OCCASION, datetime(2027, 5, 5, 19))
    assert by.names == ("e/fitting", "e/g/fit")
    assert not answer.doable


def test_not_before_keeps_till_then(tmp_path: Path) -> None:
    """The maker's own word is kept."""
    of = project(tmp_path, ensemble(garment("a 30 not_before=2027-05-04")))
    _, by_name = found_in(of)
    (by,) = by_name["a"].held
    assert (by.keeps, by.until) == (Keeps.NOT_BEFORE, datetime(2027, 5, 4))
    assert able(of, now=datetime(2027, 5, 4, 19)) == ["a"]


def test_stock_keeps_till_it_has_come(tmp_path: Path) -> None:
    """What waits for a delivery can't be done before it; what lacks stock for good, not at all."""
    braid = (
        '{ id = "braid", name = "braid", have = "1 m",'
        ' coming = [{ amount = "2 m", arrives = 2027-05-05 }] }'
    )
    uses = 'uses=[{stock="braid", amount=["%s"]}]'
    of = project(
        tmp_path,
        ensemble(
            garment(f"a 30 {uses % '1 m'}", f"b 30 {uses % '2 m'}", f"c 30 {uses % '9 m'}"),
            stock=braid,
        ),
    )
    _, by_name = found_in(of)
    assert able(of) == ["a"]
    assert [by.keeps for by in by_name["b"].held] == [Keeps.COMING]
    assert by_name["b"].held[0].until == datetime(2027, 5, 5)
    assert [by.keeps for by in by_name["c"].held] == [Keeps.LACKING]
    assert "b" in able(of, now=datetime(2027, 5, 5, 19))


def test_what_keeps_the_steps_before_is_told_too(tmp_path: Path) -> None:
    """A step behind one that waits till Wednesday is not near, however few its minutes."""
    chain = garment("a 10 not_before=2027-05-12", 'b 10 after=["a"]', "z 10")
    later = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    answer, by_name = found_in(project(tmp_path, ensemble(chain, later)))
    assert by_name["b"].held[0].until == datetime(2027, 5, 12)
    assert short(answer.nearly) == {"a": [Keeps.NOT_BEFORE]}


def test_places_serve_what_needs_no_more(tmp_path: Path) -> None:
    """The workroom serves all, the sofa sofa and take-along steps, the way only these."""
    of = project(
        tmp_path,
        ensemble(garment("w 10", 's 10 place="sofa"', 't 10 place="take-along"')),
    )
    served = {
        place: set(able(of, Choices(minutes=60, place=place))) for place in Place
    }
    assert served == {
        Place.WORKROOM: {"w", "s", "t"},
        Place.SOFA: {"s", "t"},
        Place.TAKE_ALONG: {"t"},
    }
    answer, _ = found_in(of, Choices(minutes=60, place=Place.SOFA))
    assert [one.step for one in answer.elsewhere] == ["e/g/w"]


def test_two_hands_want_a_helper(tmp_path: Path) -> None:
    """A step for two is kept till somebody is there, and told when that is."""
    helper = every("helper", "20:00-21:00")
    of = project(tmp_path, ensemble(garment("lace 10 hands=2")), TABLE + helper)
    answer, _ = found_in(of)
    assert short(answer.nearly) == {"lace": [Keeps.HANDS]}
    assert answer.nearly[0].by[0].until == datetime(2027, 5, 3, 20)
    assert able(of, replace(LONG, helper=True)) == ["lace"]


def test_one_sitting_wants_to_be_whole(tmp_path: Path) -> None:
    """A step in one sitting is there only where the minutes hold it whole."""
    of = project(tmp_path, ensemble(garment("dye 45 one_sitting=true", "sew 45")))
    few = replace(LONG, minutes=44)
    assert able(of, few) == ["sew"]
    answer, _ = found_in(of, few)
    assert short(answer.nearly) == {"dye": [Keeps.MINUTES]}
    assert set(able(of, replace(LONG, minutes=45))) == {"dye", "sew"}


@pytest.mark.parametrize(
    ("keys", "keeps"),
    [
        ('work="cutting"', Keeps.CUTTING),
        ('work="machine", no_way_back=true', Keeps.NO_WAY_BACK),
        ('work="bench", wait="2h"', Keeps.SETS),
    ],
)
def test_the_tired_are_spared(tmp_path: Path, keys: str, keeps: Keeps) -> None:
    """Cutting, points of no return and what sets are left out for the tired, with why."""
    of = project(tmp_path, ensemble(garment(f"risky 10 {keys}", "seam 10")))
    answer, _ = found_in(of, replace(LONG, tired=True))
    assert [one.step for one in answer.doable] == ["e/g/seam"]
    assert short(answer.left_out) == {"risky": [keeps]}
    assert not found_in(of)[0].left_out


def test_bench_work_named_cutting_is_cutting(tmp_path: Path) -> None:
    """Steel, foam and bones are cut at the bench: not for the tired either."""
    of = project(tmp_path, ensemble(garment('bone - technique="cut-steel-bone", amount=[4]')))
    _, by_name = found_in(of)
    assert by_name["bone"].tiring is Keeps.CUTTING


def test_before_the_corrections_nothing_is_cut(tmp_path: Path) -> None:
    """A cut that waits only for the corrections of a fitting is told with them."""
    chain = garment(
        'fit 20 during="fitting", work="fitting"',
        'correct - technique="transfer-corrections", amount=[2], after=["fit"]',
        f'cut 30 {SCISSORS}, after=["correct"]',
        f'late-cut 30 {SCISSORS}, after=["correct", "seam"]',
        "seam 10",
    )
    fitting = '{ id = "fitting", kind = "fitting", at = 2027-05-01T14:00:00 }'
    ball = '{ id = "ball", kind = "event", at = 2027-05-08 }'
    of = project(tmp_path, ensemble(chain, f"{fitting}, {ball}"))
    answer, _ = found_in(of)
    # what waits for a seam as well is not yet on the table
    assert answer.not_yet == (("e/g/cut", "e/g/correct"),)
    assert not found_in(of, replace(LONG, tired=True))[0].not_yet


# the most useful first


def order_of(tmp_path: Path, *steps: str, minutes: int = 600, occasions: str = "") -> list[str]:
    """The order of a garment's steps."""
    text = ensemble(garment(*steps), occasions) if occasions else ensemble(garment(*steps))
    return able(project(tmp_path, text), replace(LONG, minutes=minutes))


def test_least_room_comes_first(tmp_path: Path) -> None:
    """What a nearer occasion wants comes before what has all week."""
    soon = '{ id = "soon", kind = "event", at = 2027-05-04T23:00:00, wants = ["g/b"] }'
    ball = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    assert order_of(tmp_path, "a 60", "b 60", occasions=f"{soon}, {ball}") == ["b", "a"]


def test_what_is_late_or_holds_it_up_comes_first(tmp_path: Path) -> None:
    """A step whose follower can't be in time any more comes before all else."""
    soon = '{ id = "soon", kind = "fitting", at = 2027-05-03T22:00:00, wants = ["g/c"] }'
    ball = '{ id = "ball", kind = "event", at = 2027-05-20 }'
    chain = ("a 110", "b 10", 'c 10 after=["b"], not_before=2027-05-05')
    of = project(tmp_path, ensemble(garment(*chain), f"{soon}, {ball}"))
    assert able(of) == ["b", "a"]
    _, by_name = found_in(of)
    use = by_name["b"].use
    assert (use.late_for, use.late_step) == ("e/soon", "e/g/c")


def test_wearable_comes_before_extras(tmp_path: Path) -> None:
    """Of equals, what it can't be worn without, then what is required, then extras."""
    steps = ("extra 30 optional=true", "plain 30", 'hem 30 stage="wearable"')
    assert order_of(tmp_path, *steps) == ["hem", "plain", "extra"]


def test_more_waiting_work_comes_first(tmp_path: Path) -> None:
    """Of equals, what more work waits for."""
    steps = ("a 30", "b 30", 'x 180 after=["b"]')
    assert order_of(tmp_path, *steps) == ["b", "a"]


def test_what_starts_a_wait_comes_first_when_it_can_be_ended(tmp_path: Path) -> None:
    """Of equals, a wait begins as early as it can, but only at the end of its step."""
    steps = ("a 40", 'b 40 wait="2h"')
    assert order_of(tmp_path, *steps) == ["b", "a"]
    assert order_of(tmp_path, *steps, minutes=30) == ["a", "b"]


def test_what_is_hardly_begun_comes_last(tmp_path: Path) -> None:
    """Ten minutes aren't worth unpacking the pattern paper, unless they end the step."""
    steps = ('draft 90 work="drafting"', 'hand 90 work="hand"')
    assert order_of(tmp_path, *steps, minutes=10) == ["hand", "draft"]
    assert order_of(tmp_path, *steps, minutes=20) == ["draft", "hand"]
    ending = ('draft 10 work="drafting"', 'hand 90 work="hand"')
    assert order_of(tmp_path, *ending, minutes=10) == ["draft", "hand"]


def test_what_is_fixed_for_another_day_comes_last(tmp_path: Path) -> None:
    """It can be done, but the maker has a day for it."""
    assert order_of(tmp_path, "a 30 on=2027-05-05", "b 30") == ["b", "a"]


# what there is without a word


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        (NOW, Choices()),
        (datetime(2027, 5, 3, 17, 20), Choices(minutes=40)),
        (datetime(2027, 5, 3, 19, 30), Choices(minutes=90, place=Place.WORKROOM)),
        # the table is being got ready
        (datetime(2027, 5, 3, 19, 5), Choices(minutes=105, place=Place.WORKROOM)),
        (datetime(2027, 5, 3, 21), Choices()),
    ],
)
def test_the_hours_say_what_there_is(tmp_path: Path, now: datetime, expected: Choices) -> None:
    """The rest of the hours that are on; else twenty minutes on the sofa."""
    of = project(tmp_path, ensemble(garment("a 30")), SOFA + TABLE, keys='setting_up = "15m"')
    ground, _ = asked_now(of, plan_project(of, now))
    assert usual_choices(ground) == expected


def test_a_helper_is_there_in_helper_hours(tmp_path: Path) -> None:
    """Helper hours say that somebody is there; a window cut at their end is still one stretch."""
    hours = TABLE + every("helper", "19:00-20:00")
    of = project(tmp_path, ensemble(garment("a 30")), hours)
    ground, _ = asked_now(of, plan_project(of, EVENING))
    assert usual_choices(ground) == Choices(minutes=120, place=Place.WORKROOM, helper=True)


# laws


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """A random garment, some of it done, some lately, some of it for two or for later."""
    found: list[Step] = []
    entries: list[Entry] = []
    for step in draw(some_steps()):
        before = {one.id: one.done for one in found}
        ready = all(before[name] for name in step.after)
        done = ready and draw(st.booleans())
        if done and draw(st.booleans()):
            on = NOW - timedelta(days=draw(st.integers(0, 2)), minutes=draw(st.integers(1, 300)))
            entries.append(Entry(at=on, step=f"e/g/{step.id}", minutes=5, done=True))
        found.append(
            replace(
                step,
                done=done,
                hands=draw(st.sampled_from((1, 1, 2))),
                no_way_back=draw(st.booleans()),
                not_before=draw(st.sampled_from((None, None, date(2027, 5, 4)))),
                optional=draw(st.booleans()),
            )
        )
    # what the diary tells needs no mark of its own
    told = {entry.step for entry in entries}
    steps = [replace(s, done=s.done and f"e/g/{s.id}" not in told) for s in found]
    of = one_garment(draw(workrooms()), steps)
    return replace(of, diary=Diary(entries=tuple(entries)))


CHOICES = st.builds(
    Choices,
    minutes=st.integers(1, 200),
    place=st.sampled_from(list(Place)),
    tired=st.booleans(),
    helper=st.booleans(),
)


def ids(answer: Answer) -> set[str]:
    """What can be done."""
    return {one.step for one in answer.doable}


@settings(max_examples=60, deadline=None)
@given(projects(), CHOICES)
def test_what_can_be_done_waits_for_nothing(of: Project, choices: Choices) -> None:
    """All it follows is done and its wait over, its day has come, and the choices allow it."""
    steps = {f"e/g/{one.id}": one for one in of.ensembles[0].garments[0].steps}
    ended = {entry.step: entry.at for entry in of.diary.entries}
    answer, _ = found_in(of, choices, NOW)
    for one in answer.doable:
        step = steps[one.step]
        assert not step.done and one.step not in ended
        for name in step.after:
            before = steps[f"e/g/{name}"]
            at = ended.get(f"e/g/{name}")
            assert before.done or at is not None
            if at is not None and before.wait is not None and before.wait.nights:
                over = datetime.combine(at.date() + timedelta(days=before.wait.nights), time())
                assert over <= NOW
        assert step.not_before is None
        assert step.hands == 1 or choices.helper
        assert one.left == step.hours and one.minutes == min(one.left, choices.minutes)
        assert not step.one_sitting or one.ends
        risky = step.no_way_back or step.work is Work.CUTTING
        assert not (choices.tired and risky)
        serving = {Place.WORKROOM: list(Place), Place.SOFA: [Place.SOFA, Place.TAKE_ALONG]}
        assert step.place in serving.get(choices.place, [Place.TAKE_ALONG])


@settings(max_examples=60, deadline=None)
@given(projects(), CHOICES, st.integers(0, 200))
def test_more_to_give_never_loses_a_step(of: Project, choices: Choices, more: int) -> None:
    """More minutes, rest, a helper, a place that serves more: nothing that could be done goes."""
    _, candidates = asked_now(of, plan_project(of, NOW))

    def here(choices: Choices) -> set[str]:
        return ids(doable(candidates, choices, NOW))

    mine = here(choices)
    assert mine <= here(replace(choices, minutes=choices.minutes + more))
    assert mine <= here(replace(choices, helper=True))
    assert here(replace(choices, tired=True)) <= mine
    order = (Place.TAKE_ALONG, Place.SOFA, Place.WORKROOM)
    way, sofa, workroom = (here(replace(choices, place=place)) for place in order)
    assert way <= sofa <= workroom


@settings(max_examples=60, deadline=None)
@given(projects(), CHOICES)
def test_every_step_is_told_once(of: Project, choices: Choices) -> None:
    """What can be done, what is left out and what is nearly possible are apart, and in order."""
    answer, by_name = found_in(of, choices, NOW)
    able_here = ids(answer)
    left_out = {one.step for one in answer.left_out}
    nearly = {one.step for one in answer.nearly}
    elsewhere = {one.step for one in answer.elsewhere}
    for a, b in product((able_here, left_out, nearly), repeat=2):
        assert a is b or not a & b
    assert not able_here & elsewhere
    rested, _ = found_in(of, replace(choices, tired=False), NOW)
    assert ids(rested) == able_here | left_out
    assert all(by.keeps in TIRING for one in answer.left_out for by in one.by)
    keys = [
        rank(by_name[n].use, by_name[n].left, choices.minutes)
        for n in (one.step.rsplit("/", 1)[1] for one in answer.doable)
    ]
    assert keys == sorted(keys)


def check_begun(of: Project, now: datetime) -> int:
    """What the plan of a moment begins at that very moment can be done, but for want of stock;
    how many steps that are."""
    plan = plan_project(of, now, thorough=False)
    ground, candidates = asked_now(of, plan)
    lacking = {c.id for c in candidates if any(h.keeps is Keeps.LACKING for h in c.held)}
    begun = {
        s.step
        for s in plan.sittings
        if s.start == now and s.where is not Where.OCCASION and s.step not in lacking
    }
    assert begun <= ids(doable(candidates, usual_choices(ground), now))
    return len(begun)


@settings(max_examples=60, deadline=None)
@given(projects(), st.integers(17, 20), st.integers(0, 59))
def test_what_the_plan_begins_now_can_be_done_now(of: Project, hour: int, minute: int) -> None:
    """The plan and the answer agree: what it begins this minute is among what can be done."""
    check_begun(of, datetime(2027, 5, 3, hour, minute))


@pytest.mark.parametrize("sample", ["copper_wood_masque", "oldmere_regatta"])
def test_samples_begin_what_can_be_done(sample: str) -> None:
    """So it is in whole workrooms: in the first workroom hours, on the sofa, on the way."""
    of = read_project(Path("sample_projects") / sample)
    first = {"copper_wood_masque": datetime(2027, 3, 6), "oldmere_regatta": datetime(2027, 6, 7)}
    moments = [first[sample] + timedelta(hours=h) for h in (11, 20.75, 44.75, 55.9)]
    assert sum(check_begun(of, now) for now in moments)
