"""The maker's own pace: what teaches it, how it is weighed, and what it does to estimates."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import exp, log
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import planner.estimate
import planner.pace_heard
import planner.pace_observed
import planner.pacing
from planner.catalogue import techniques
from planner.catalogue.shelf import orders
from planner.editing.pace import forget_pace, learn_pace, set_pace
from planner.estimate import Operation, at_pace, operations
from planner.files.reading import read_project
from planner.ground import all_operations
from planner.model import Diary, Entry, PaceChoices, Project, Work
from planner.other_ways import other_ways
from planner.pace import UNKNOWN, Level, Pace, far_off, learn, pace_table
from planner.pace_heard import STEP, explained
from planner.pace_model import fit
from planner.pace_observed import Observed
from planner.pacing import pace_of
from planner.planning import plan_project
from planner.splitting.answers import Answers
from planner.splitting.split import alone, hours, split
from tests.bench.pace import milliseconds
from tests.bench.pace_makers import Maker, Truth, estimated, wardrobe
from tests.planner.little import NOW, ensemble, garment, project

MACHINE, BY_HAND, OTHER = "straight-seam", "hem-by-hand", "backstitch-seam"
AT = datetime(2027, 4, 1, 20)
SEAMS = [f's{k} - technique="{MACHINE}", amount=["8 m"]' for k in range(12)]
HEMS = [f'h{k} - technique="{BY_HAND}", amount=["3.2 m"]' for k in range(12)]
OTHERS = [f'o{k} - technique="{OTHER}", amount=["0.6 m"]' for k in range(6)]
CUT = ['c0 - technique="cut-outer-panel", amount=[4]']
OWN = ['own 60 work="machine"']


@pytest.fixture
def room(tmp_path: Path) -> Project:
    """Seams, hems, other hand seams, a cutting step and one with the maker's own hours."""
    text = ensemble(garment(*SEAMS, *HEMS, *OTHERS, *CUT, *OWN, id="g"))
    return project(tmp_path, text)


def unpaced(room: Project) -> dict[str, Operation]:
    """Its steps at the catalogue's pace."""
    return {op.id: op for one in room.ensembles for op in operations(one, techniques())}


def logged(room: Project, ratios: Mapping[str, float]) -> Project:
    """Each step done in so many times its estimate."""
    ops = unpaced(room)
    entries = [
        Entry(
            at=AT + timedelta(hours=k),
            step=f"e/g/{step}",
            minutes=round(ops[f"e/g/{step}"].by_catalogue.typical * ratio),
            done=True,
        )
        for k, (step, ratio) in enumerate(ratios.items())
    ]
    return with_diary(room, entries)


def with_diary(room: Project, entries: Sequence[Entry]) -> Project:
    """With that diary."""
    return replace(room, diary=Diary(entries=tuple(entries)))


def with_choices(room: Project, learn: bool = True, **by_hand: float) -> Project:
    """With paces set by hand."""
    ratios = {key.replace("_", "-"): ratio for key, ratio in by_hand.items()}
    choices = PaceChoices(learn=learn, by_hand=ratios)
    return replace(room, workroom=replace(room.workroom, pace=choices))


def ratio(room: Project, work: Work, technique: str) -> float:
    """What is applied."""
    return pace_of(room).factor(work, technique)[0]


# what teaches


def test_without_a_diary_every_estimate_is_the_catalogues(room: Project) -> None:
    """The ratio is exactly 1, and every operation is as it is without a pace."""
    pace = pace_of(room)
    assert pace.changes_nothing
    assert pace.factor(Work.HAND, BY_HAND)[0] == 1.0
    assert all_operations(room) == unpaced(room)
    assert [row.level for row in pace_table(pace)] == [Level.ALL]


def test_who_takes_exactly_the_estimates_changes_none(room: Project) -> None:
    """Low, typical and high stay the catalogue's, however many steps are logged so."""
    steps = [op.step.id for op in unpaced(room).values() if op.technique]
    done = logged(room, dict.fromkeys(steps, 1.0))
    assert len(pace_of(done).steps) == len(steps)
    assert all_operations(done) == unpaced(done)


@pytest.mark.parametrize(
    "entries",
    [
        [(90, None)],
        [(0, "done")],
        [(60, None), (0, "done")],
        [(90, "done"), (0, 30)],
        [(90, "done"), (30, 20), (20, "done")],
        [(300, None)],
        [(30, None), (0, 20), (60, "done")],
    ],
    ids=[
        "not done", "done without minutes", "ticked without minutes in the end", "opened again",
        "redone", "open and beyond its estimate", "a guess of what is left without minutes",
    ],
)  # fmt: skip
def test_what_teaches_nothing(room: Project, entries: list[tuple[int, str | int | None]]) -> None:
    """Only a step done once, with all its minutes, says how long it takes."""
    made = [
        Entry(
            at=AT,
            step="e/g/h0",
            minutes=minutes,
            done=said == "done",
            left=said if isinstance(said, int) else None,
        )
        for minutes, said in entries
    ]
    assert pace_of(with_diary(room, made)).steps == ()


def test_what_teaches(room: Project) -> None:
    """Sittings are added up, also with what was left in between; a note without minutes says
    nothing, and so does what was added after it was done."""
    made = [
        Entry(at=AT, step="e/g/h0", minutes=40, left=60),
        Entry(at=AT, step="e/g/h0", note="the thread frays"),
        Entry(at=AT, step="e/g/h0", minutes=50, done=True),
        Entry(at=AT + timedelta(days=1), step="e/g/h0", minutes=5),
    ]
    (seen,) = pace_of(with_diary(room, made)).steps
    assert (seen.took, seen.technique, seen.work) == (95, BY_HAND, Work.HAND)
    assert seen.estimate == unpaced(room)["e/g/h0"].minutes.typical


def test_own_hours_neither_teach_nor_change(room: Project) -> None:
    """They are the maker's word."""
    done = with_diary(room, [Entry(at=AT, step="e/g/own", minutes=180, done=True)])
    assert pace_of(done).steps == ()
    slow = with_choices(logged(room, {f"s{k}": 2.0 for k in range(8)}), machine=3.0)
    assert all_operations(slow)["e/g/own"].minutes == unpaced(room)["e/g/own"].minutes


def test_done_in_the_file_teaches_nothing(tmp_path: Path) -> None:
    """It was finished before the diary began, whatever else is logged."""
    text = ensemble(garment(f'a - technique="{BY_HAND}", amount=["1 m"], done=true'))
    done = with_diary(
        project(tmp_path, text), [Entry(at=AT, step="e/g/a", minutes=600, done=True)]
    )
    assert pace_of(done).steps == ()


# how it is weighed


def test_it_is_shared_out_between_technique_kind_and_maker(room: Project) -> None:
    """Slow hems make hems slow, other hand sewing somewhat slow, machine sewing a little."""
    slow = logged(room, {f"h{k}": 1.6 for k in range(8)})
    hems, seams = ratio(slow, Work.HAND, BY_HAND), ratio(slow, Work.HAND, OTHER)
    machine = ratio(slow, Work.MACHINE, MACHINE)
    assert 1.45 <= hems <= 1.6
    assert 1.0 < machine < seams < hems


def test_what_is_applied_is_in_steps_of_five_percent(room: Project) -> None:
    """So that plans stay calm."""
    pace = pace_of(logged(room, {"h0": 1.37, "h1": 1.22, "s0": 0.83, "o0": 1.09}))
    for row in pace_table(pace):
        assert row.ratio == round(round(row.ratio / STEP) * STEP, 2)


def test_quick_and_slow_meet_in_the_middle(room: Project) -> None:
    """Half as long again and two thirds as long cancel out."""
    even = logged(room, {f"h{k}": 1.5 if k % 2 else 1 / 1.5 for k in range(8)})
    assert ratio(even, Work.HAND, BY_HAND) == 1.0


def test_more_steps_teach_more_and_narrow_the_range(room: Project) -> None:
    """Five steps are believed in part; a dozen almost wholly."""
    rows = []
    for number in (5, 7, 12):
        mixed = {f"h{k}": 1.9 if k % 2 else 1.6 for k in range(number)}
        table = pace_table(pace_of(logged(room, mixed)))
        rows.append(next(row for row in table if row.key == BY_HAND))
    assert rows[0].ratio < rows[1].ratio <= rows[2].ratio
    wide = [row.high / row.low for row in rows]
    assert wide[0] > wide[1] > wide[2] > 1


def test_a_short_step_teaches_less() -> None:
    """A clock is read to the minute: of three minutes that is much."""
    short, long = (fit([0.4], [minutes], [0], [0]).maker.mean for minutes in (3, 90))
    assert 0 < short < 0.9 * long


def test_a_few_that_agree_are_believed_however_far_off(room: Project) -> None:
    """Who really takes three times as long is told so after some steps."""
    slow = logged(room, {f"h{k}": 3.0 for k in range(11)})
    assert ratio(slow, Work.HAND, BY_HAND) >= 2.2


@pytest.mark.parametrize("usual", [0.8, 1.0, 1.3, 1.6])
@pytest.mark.parametrize("wild", [10, 0.1])
@pytest.mark.parametrize("others", [0, 1, 2, 5, 20, 100])
@pytest.mark.parametrize("elsewhere", [0, 3, 30])
def test_one_wild_step_moves_no_pace_by_more_than_a_third(
    usual: float, wild: float, others: int, elsewhere: int
) -> None:
    """Ten times as long, or as short, beside any number of others, in the technique or not:
    technique, kind of work and all work move by at most 30 %."""
    paces = [_paces(usual, others, elsewhere, seed, None) for seed in range(3)]
    after = [_paces(usual, others, elsewhere, seed, wild) for seed in range(3)]
    for before, then in zip(paces, after, strict=True):
        for was, becomes in zip(before, then, strict=True):
            assert max(becomes / was, was / becomes) <= 1.3


def _paces(
    usual: float, others: int, elsewhere: int, seed: int, wild: float | None
) -> tuple[float, float, float]:
    """Ratios for the technique, its kind and all work, after steps with some noise."""
    rng = random.Random(seed)
    logs, technique_of, kind_of = [], [], []
    for technique, kind in ((1, 0), (2, 1)) if elsewhere else ():
        kind_of.append(kind)
        logs += [log(usual) + rng.gauss(0, 0.3) for _ in range(elsewhere)]
        technique_of += [technique - 1] * elsewhere
    mine = [log(usual) + rng.gauss(0, 0.3) for _ in range(others)]
    mine += [log(usual * wild)] if wild is not None else []
    if mine:
        technique_of += [len(kind_of)] * len(mine)
        kind_of.append(0)
        logs += mine
    if not logs:
        return 1.0, 1.0, 1.0
    found = fit(logs, [60.0] * len(logs), technique_of, kind_of)
    of_kind = found.kinds[0].mean
    own = found.techniques[-1].mean if mine else of_kind
    return exp(own), exp(of_kind), exp(found.maker.mean)


@pytest.mark.parametrize("usual", [0.8, 1.0, 1.3, 1.6])
@pytest.mark.parametrize("wild", [10, 0.1])
@pytest.mark.parametrize("mine", [1, 2, 3, 5, 20, 100])
@pytest.mark.parametrize("elsewhere", [0, 1, 3, 30])
def test_one_step_typed_wrong_tenfold_moves_its_technique_by_less_than_a_third(
    monkeypatch: pytest.MonkeyPatch, usual: float, wild: float, mine: int, elsewhere: int
) -> None:
    """A nought too many or too few in place of the right entry, the first or the last: what is
    applied moves by at most 30 %, of the technique and of its kind."""
    for seed in range(3):
        rng = random.Random(f"{seed} {usual} {mine} {elsewhere}")
        others = [(OTHER, k % 3, usual * exp(rng.gauss(0, 0.3))) for k in range(3 * elsewhere)]
        own = [(MACHINE, 9, usual * exp(rng.gauss(0, 0.3))) for _ in range(mine)]
        for right, place in (([*own, *others], 0), ([*others, *own], -1)):
            slip = list(right)
            slip[place] = (*slip[place][:2], slip[place][2] * wild)
            was, becomes = (_learnt(monkeypatch, these) for these in (right, slip))
            for technique in (f"{MACHINE}9", "another"):
                a, b = (one.ratio(Work.MACHINE, technique) for one in (was, becomes))
                assert max(a / b, b / a) <= 1.3001


def _learnt(
    monkeypatch: pytest.MonkeyPatch, steps: Sequence[tuple[str, int, float]]
) -> Pace:
    """What steps of an hour teach: technique, which of its like, how many times as long."""
    there = [
        Observed(
            step=str(k),
            work=Work.MACHINE if name == MACHINE or which == 0 else Work.HAND,
            technique=f"{name}{which}",
            estimate=60,
            took=max(1, round(60 * times)),
            at=AT,
        )
        for k, (name, which, times) in enumerate(steps)
    ]
    monkeypatch.setattr(planner.pace_observed, "observed", lambda entries, ops: there)
    return learn(Diary(entries=(Entry(at=AT, step="e/g/h0"),)), {}, PaceChoices())


# calm


def test_nothing_is_applied_before_there_is_enough(room: Project) -> None:
    """Four long steps change nothing, the fifth does; nor do five of a few minutes each; and a
    wild one doesn't make up for hours that never were."""
    four = logged(room, {f"h{k}": 1.6 for k in range(4)})
    assert len(pace_of(four).steps) == 4
    assert all_operations(four) == unpaced(room)
    assert ratio(logged(room, {f"h{k}": 1.6 for k in range(5)}), Work.HAND, BY_HAND) > 1.1
    short = {f"o{k}": 1.6 if k else 30.0 for k in range(6)}
    assert all_operations(logged(room, short)) == unpaced(room)


def test_the_first_paces_come_little_by_little(room: Project) -> None:
    """However slow: with each step from the fifth on they may leave the catalogue's by more."""
    ratios = [
        ratio(logged(room, {f"h{k}": 6.0 for k in range(number)}), Work.HAND, BY_HAND)
        for number in (4, 5, 6, 12)
    ]
    assert ratios[0] == 1.0 < ratios[1] <= 1.15 < ratios[2] <= 1.3 < ratios[3]


def test_the_least_left_is_one() -> None:
    """What is planned at the least once a step is begun is so for who explains a step, too."""
    assert planner.pace_heard.LEAST_LEFT == planner.estimate.LEAST_LEFT


@pytest.mark.parametrize("minutes", [(27, 5), (30,), (10, 10, 10), (28, 5), (29, 5), (31,), (29,)])
def test_worked_as_planned_is_explained(minutes: tuple[int, ...]) -> None:
    """Also beyond the estimate, where a step that is begun is planned with five minutes more."""
    assert explained(_sat(minutes), 1.0)


@pytest.mark.parametrize("minutes", [(33,), (28, 6), (24, 10), (31, 5), (20, 7), (30, 5, 5, 5)])
def test_worked_otherwise_is_not(minutes: tuple[int, ...]) -> None:
    """Longer than what was left of it, shorter, or ever on."""
    assert not explained(_sat(minutes), 1.0)


def _sat(minutes: tuple[int, ...]) -> Observed:
    return Observed(
        step="s", work=Work.HAND, technique=OTHER, estimate=30, took=sum(minutes), at=AT,
        sittings=minutes,
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("number", [7, 30, 150])
def test_who_takes_what_the_pace_says_sees_no_estimate_change(seed: int, number: int) -> None:
    """A maker who has learnt a pace from so many steps makes another ensemble, each step in just
    the minutes it is estimated at: no low, typical or high of any step changes by a minute."""
    past, coming = (estimated([one]) for one in wardrobe(seed, 2))
    ops = {**past, **coming}
    entries = list(Maker(Truth(unticked=0), seed).works(past).entries)[:number]
    names = [name for name, op in coming.items() if op.technique is not None]
    pace = learn(Diary(entries=tuple(entries)), ops, PaceChoices())
    before = {name: at_pace(ops[name], pace).minutes for name in names}
    if number == 150:
        assert before != {name: ops[name].minutes for name in names}
    for name in names:
        minutes = int(before[name].typical)
        entries.append(Entry(at=AT, step=name, minutes=minutes, done=True))
        pace = learn(Diary(entries=tuple(entries)), ops, PaceChoices())
        assert {name: at_pace(ops[name], pace).minutes for name in names} == before


def test_what_was_held_back_counts_with_the_next_that_is_off(room: Project) -> None:
    """Steps that a pace explains are no less believed for it: with the first that it doesn't
    explain, all count."""
    seams = {f"s{k}": 1.4 for k in range(12)}
    known = pace_of(logged(room, {**seams, "h0": 1.9}))
    assert known.weights[5] < 1 or len(known.weights) == 13
    assert known.techniques[(Work.MACHINE, MACHINE)].variance < 0.01


def test_a_step_far_from_the_others_is_named(room: Project) -> None:
    """So that a slip of the pen is found."""
    off = logged(room, {**{f"h{k}": 1.2 for k in range(6)}, "h6": 12.0})
    assert [one.step for one in far_off(pace_of(off))] == ["e/g/h6"]


RATIOS = st.lists(st.floats(min_value=0.1, max_value=10), min_size=1, max_size=30)


@settings(max_examples=60, deadline=None)
@given(RATIOS, st.data())
def test_laws_of_the_model(ratios: list[float], data: st.DataObject) -> None:
    """A pace lies between the catalogue's and the most extreme step; the order of steps is
    nothing; and who takes longer for all of it isn't thought quicker."""
    of = [data.draw(st.integers(0, 4)) for _ in ratios]
    there = sorted(set(of))
    technique_of = [there.index(one) for one in of]
    kind_of = [0 if one < 3 else 1 for one in there]
    kind_of = [one - min(kind_of) for one in kind_of]
    logs, minutes = [log(one) for one in ratios], [45.0] * len(ratios)
    found = fit(logs, minutes, technique_of, kind_of)
    everywhere = [found.maker, *found.kinds, *found.techniques]
    for guess in everywhere:
        assert min(0, *logs) - 1e-9 <= guess.mean <= max(0, *logs) + 1e-9
        assert guess.variance > 0
    turned = fit(logs[::-1], minutes, technique_of[::-1], kind_of)
    for one, other in zip(found.techniques, turned.techniques, strict=True):
        assert one.mean == pytest.approx(other.mean, abs=1e-9)
    assert all(0 < weight <= 1 for weight in found.weights)


# what it does to estimates


def test_estimates_follow_with_set_up_in_whole_minutes(room: Project) -> None:
    """Typical minutes are the catalogue's times the ratio, set-up and all; low to high is what
    this maker's next step would take."""
    slow = logged(room, {f"h{k}": 1.5 for k in range(8)})
    before, after = unpaced(room), all_operations(slow)
    factor, low, high = pace_of(slow).factor(Work.HAND, BY_HAND)
    for step in ("h0", "h9"):
        was, now = before[f"e/g/{step}"].minutes, after[f"e/g/{step}"].minutes
        assert now.typical == int(was.typical * factor + 0.5)
        assert now.low < now.typical < now.high
        assert now.low == pytest.approx(was.typical * low, abs=2)
        assert now.high == pytest.approx(was.typical * high, abs=2)
        assert after[f"e/g/{step}"].by_catalogue == was


def test_minutes_left_are_of_the_paced_estimate(room: Project) -> None:
    """What is logged is taken off the estimate at the maker's pace."""
    slow = with_choices(room, hand=2.0)
    begun = with_diary(slow, [Entry(at=AT, step="e/g/h0", minutes=30)])
    plan = plan_project(begun, NOW)
    (step,) = (one for one in plan.steps if one.id == "e/g/h0")
    assert step.minutes == 2 * step.by_catalogue
    assert step.left == step.minutes - 30


def test_splits_and_other_ways_agree_with_the_plan(room: Project) -> None:
    """What a garment would take before it is there is what it takes when it is."""
    slow = logged(room, {f"h{k}": 1.5 for k in range(8)})
    pace = pace_of(slow)
    found = split(orders()["petticoat"], Answers())
    there = replace(slow, ensembles=(*slow.ensembles, alone(found)))
    made = [op for op in all_operations(there).values() if op.ensemble == found.order.id]
    assert hours(found, techniques(), pace).typical == sum(op.minutes.typical for op in made)
    plain = hours(found, techniques()).typical
    assert hours(found, techniques(), pace).typical > plain
    ways = other_ways(slow, {"e/g/h0"}, pace, usual=True)["e/g/h0"]
    plainly = other_ways(slow, {"e/g/h0"}, UNKNOWN, usual=True)["e/g/h0"]
    factor = pace.factor(Work.MACHINE, ways[0].technique)[0]
    assert factor > 1
    assert ways[0].minutes == int(plainly[0].minutes * factor + 0.5)


def test_a_plan_learns_once(room: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    """However much is asked of it."""
    calls = []

    def counted(diary: Diary, ops: Mapping[str, Operation], choices: PaceChoices) -> Pace:
        calls.append(1)
        return learn(diary, ops, choices)

    monkeypatch.setattr(planner.pacing, "learn", counted)
    plan_project(logged(room, {"h0": 1.5}), NOW)
    assert len(calls) == 1


def test_learning_is_quick() -> None:
    """Planning stands behind every key: 3 ms for 500 entries, twice that on a busy machine."""
    assert milliseconds(500) < 6


QUICK, SLOW = 0.6, 1.7


def test_two_makers_get_different_plans(tmp_path: Path) -> None:
    """One quick by machine and slow by hand, one the other way: the same work, other hours on
    other days, and one of them doesn't fit."""
    seams = [f's{k} - technique="{MACHINE}", amount=["8 m"]' for k in range(8)]
    hems = [f'h{k} - technique="{BY_HAND}", amount=["1.2 m"]' for k in range(4)]
    before = garment(*SEAMS[:8], *HEMS[:8], id="past")
    texts = {
        "e": ensemble(garment(*seams, *hems, id="g")),
        "old": ensemble(before, occasions='{ id = "b", kind = "event", at = 2026-05-08 }'),
    }
    room = project(tmp_path, texts["e"], old=texts["old"])
    ops = unpaced(room)

    def maker(machine: float, hand: float) -> Project:
        entries = [
            Entry(
                at=datetime(2026, 4, 1, 20),
                step=name,
                minutes=round(
                    op.by_catalogue.typical * (machine if op.work is Work.MACHINE else hand)
                ),
                done=True,
            )
            for name, op in ops.items()
            if name.startswith("old/")
        ]
        return with_diary(room, entries)

    one = plan_project(maker(QUICK, SLOW), NOW)
    other = plan_project(maker(SLOW, QUICK), NOW)
    by_work = [
        {
            work: sum(step.left for step in plan.steps if step.work is work and step.wanted)
            for work in (Work.MACHINE, Work.HAND)
        }
        for plan in (one, other)
    ]
    assert by_work[0][Work.MACHINE] < by_work[1][Work.MACHINE]
    assert by_work[0][Work.HAND] > by_work[1][Work.HAND]
    assert [(s.step, s.date, s.minutes) for s in one.sittings] != [
        (s.step, s.date, s.minutes) for s in other.sittings
    ]
    assert one.peak_load != other.peak_load


# set by hand


def test_by_hand_the_most_particular_wins(room: Project) -> None:
    """The technique's before its kind's before that of all; all before what was learnt."""
    slow = logged(room, {f"h{k}": 2.0 for k in range(8)} | {f"s{k}": 2.0 for k in range(8)})
    there = with_choices(slow, all=1.1, hand=0.9, hem_by_hand=1.25)
    assert ratio(there, Work.HAND, BY_HAND) == 1.25
    assert ratio(there, Work.HAND, OTHER) == 0.9
    assert ratio(there, Work.MACHINE, MACHINE) == 1.1
    assert ratio(with_choices(slow, hand=0.9), Work.MACHINE, MACHINE) > 1.5


def test_by_hand_the_catalogues_low_and_high_are_scaled(room: Project) -> None:
    """Nothing is known of how this maker's steps differ."""
    there = all_operations(with_choices(room, hand=1.5))["e/g/h3"]
    assert there.minutes.low == int(there.by_catalogue.low * 1.5 + 0.5)
    assert there.minutes.high == int(there.by_catalogue.high * 1.5 + 0.5)


def test_without_learning_only_what_is_set_counts(room: Project) -> None:
    """The diary says nothing then."""
    slow = logged(room, {f"h{k}": 2.0 for k in range(8)})
    there = with_choices(slow, learn=False, machine=1.2)
    assert ratio(there, Work.HAND, BY_HAND) == 1.0
    assert ratio(there, Work.MACHINE, MACHINE) == 1.2
    assert pace_of(there).steps == ()


def test_the_table_tells_what_is_learnt_beside_what_is_set(room: Project) -> None:
    """And by which key a technique is ruled."""
    slow = logged(room, {f"h{k}": 1.5 for k in range(8)})
    rows = {row.key: row for row in pace_table(pace_of(with_choices(slow, hand=1.1)))}
    assert rows["hand"].by_hand and rows["hand"].ratio == 1.1
    assert rows["hand"].learnt is not None and rows["hand"].learnt > 1.1
    assert rows[BY_HAND].set_by == "hand" and not rows[BY_HAND].by_hand
    assert rows[BY_HAND].ratio == 1.1 and rows[BY_HAND].entries == 8
    assert rows["all"].set_by is None


def test_an_unknown_key_is_warned_about_with_the_nearest(room: Project) -> None:
    """And changes nothing."""
    there = with_choices(room, machin=1.2, hem_by_hadn=1.1, hand=1.3)
    told = [one for one in plan_project(there, NOW).warnings if one.place.startswith("pace.")]
    assert [one.place for one in told] == ["pace.machin", "pace.hem-by-hadn"]
    assert 'Is "machine" meant?' in told[0].text
    assert f'Is "{BY_HAND}" meant?' in told[1].text


def test_edits(room: Project) -> None:
    """A pace is set, changed and forgotten; a technique also by its name; nonsense is refused."""
    there = set_pace(set_pace(room, "hand", 1.2), techniques()[BY_HAND].name, 0.9)
    assert there.workroom.pace.by_hand == {"hand": 1.2, BY_HAND: 0.9}
    assert set_pace(there, "hand", 1.3).workroom.pace.by_hand["hand"] == 1.3
    assert forget_pace(there, techniques()[BY_HAND].name).workroom.pace.by_hand == {"hand": 1.2}
    assert not learn_pace(there, False).workroom.pace.learn
    with pytest.raises(ValueError, match='Is "machine" meant'):
        set_pace(room, "machin", 1.2)
    with pytest.raises(ValueError, match="lies between"):
        set_pace(room, "hand", 30)
    with pytest.raises(ValueError, match="set are hand"):
        forget_pace(set_pace(room, "hand", 1.2), "machine")


def test_a_sample_learns_from_its_diary() -> None:
    """The regatta's coat: eighteen steps of its nineteen entries teach."""
    pace = pace_of(read_project(Path("sample_projects/oldmere_regatta")))
    assert len(pace.steps) == 18
    assert pace_table(pace)[0].ratio == 1.1

