"""Steps into operations: minutes, stock and what the technique brings; minutes left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from planner.catalogue import techniques, techniques_with
from planner.estimate import Operation, is_done_by_diary, minutes_left, operations, whole_minutes
from planner.model import (
    Coming,
    Ensemble,
    Entry,
    Garment,
    Minutes,
    Per,
    Place,
    Step,
    Stock,
    Technique,
    Use,
    Wait,
    Way,
    Work,
)
from planner.problems import InputError
from planner.quantity import AREA, LENGTH, Quantity, parse_quantity

MEASUREMENTS = {"hem": parse_quantity("1.6 m"), "panels": parse_quantity("8")}


def amount(*factors: str) -> tuple[str | Quantity, ...]:
    """Names of measurements as they are, everything else as a quantity."""
    return tuple(f if f.isalpha() else parse_quantity(f) for f in factors)


def ensemble(*garments: Garment, stock: Sequence[Stock] = ()) -> Ensemble:
    """The garments as an ensemble."""
    file = "ferrywoman.toml"
    return Ensemble(id="ferrywoman", file=file, garments=garments, stock=tuple(stock))


def bodice(*steps: Step) -> Garment:
    """A bodice with its measurements."""
    return Garment(id="bodice", measurements=MEASUREMENTS, steps=steps)


def work_out(
    *steps: Step, stock: Sequence[Stock] = (), own: Sequence[Technique] = ()
) -> tuple[Operation, ...]:
    """The operations of a bodice of these steps."""
    return operations(ensemble(bodice(*steps), stock=stock), techniques_with(own))


def one(step: Step, stock: Sequence[Stock] = (), own: Sequence[Technique] = ()) -> Operation:
    """The operation of a bodice of one step."""
    (operation,) = work_out(step, stock=stock, own=own)
    return operation


def problems(*steps: Step, stock: Sequence[Stock] = ()) -> list[tuple[str, str]]:
    """Places and texts of what is wrong with the steps, which are placed as in a file."""
    placed = [replace(step, where=f"garment[0].step[{i}]") for i, step in enumerate(steps)]
    with pytest.raises(InputError) as raised:
        work_out(*placed, stock=stock)
    assert all(problem.file == "ferrywoman.toml" for problem in raised.value.problems)
    return [(problem.place, problem.text) for problem in raised.value.problems]


def step(technique: str, *factors: str) -> Step:
    """A step of this technique and amount."""
    return Step(id="it", technique=technique, amount=amount(*factors))


def piece(minutes: float, **keys: object) -> Technique:
    """A technique that takes so many minutes a piece."""
    rate = Minutes(low=minutes, typical=minutes, high=minutes)
    plain = Technique(
        id="knot",
        name="tie knots",
        work=Work.HAND,
        place=Place.SOFA,
        per=Per.COUNT,
        rate=rate,
    )
    return replace(plain, **keys)  # type: ignore[arg-type]  # keys are those of Technique


BRAID = Stock(id="braid", have=parse_quantity("4.5 m"))


# ---------------------------------------------------------------- minutes


@pytest.mark.parametrize(
    ("given", "low", "typical", "high"),
    [
        # 10 + 4.2 m of 2, 3.5 and 7 minutes
        (step("mock-up-seam", "4.2 m"), 18, 25, 39),
        # 5 + 8 panels of 2.5, 5 and 10 minutes
        (step("cut-outer-panel", "panels"), 25, 45, 85),
        # 3 + 1.6 m of 8, 15 and 30 minutes
        (step("hem-by-hand", "hem"), 16, 27, 51),
        # 3 + two rows of 1.6 m of 12, 22 and 38 minutes
        (step("braid-by-hand", "hem", "2"), 41, 73, 125),
        # 3 + 0.9144 m of 8, 15 and 30 minutes
        (step("hem-by-hand", "36 in"), 10, 17, 30),
        # 3 + 1.8288 m
        (step("hem-by-hand", "2 yd"), 18, 30, 58),
        # 15 + 1 fitting of 30, 60 and 120 minutes
        (step("fitting-mock-up"), 45, 75, 135),
        # 10 + 2.5 hundreds of 30, 55 and 110 minutes; 147.5 goes up
        (step("bead-singly", "250"), 85, 148, 285),
        # 10 + 4 tens of square centimetres of 80, 150 and 300 minutes
        (step("embroider-filled", "40 cm2"), 330, 610, 1210),
        # the same 40 cm2 as 5 by 8 cm, and twice
        (step("embroider-filled", "5 cm", "8 cm"), 330, 610, 1210),
        (step("embroider-filled", "5 cm", "8 cm", "2"), 650, 1210, 2410),
        # 3 + two seams of 12 cm: 0.24 m of 2.5, 4 and 8, and twice 1, 1.5 and 3 minutes
        (step("straight-seam", "12 cm", "2"), 6, 7, 11),
        # 5 + four seams of 40 cm: 1.6 m of 5, 8 and 16, and four times 3, 6 and 12 minutes
        (step("curved-seam", "4", "40 cm"), 25, 42, 79),
        # one seam where no count is given: 3 + 4 x 2 + 1.5
        (step("straight-seam", "2 m"), 9, 13, 22),
    ],
)
def test_worked_examples(given: Step, low: int, typical: int, high: int) -> None:
    """Minutes are set-up + rate x amount + the part for every seam, worked out by hand."""
    assert one(given).minutes == Minutes(low=low, typical=typical, high=high)


@pytest.mark.parametrize(
    ("minutes", "whole"),
    [(0.0, 1), (0.4, 1), (1.49, 1), (1.5, 2), (2.5, 3), (3.4999999999, 4), (24.7, 25)],
)
def test_halves_go_up_and_nothing_is_less_than_a_minute(minutes: float, whole: int) -> None:
    """A half goes up, also one that arithmetic left a hair short; the least is 1."""
    assert whole_minutes(minutes) == whole


def test_set_up_counts_once_a_garment() -> None:
    """The first step of a technique carries its set-up, in each garment anew."""
    braid = step("hem-by-hand", "2 m")
    both = ensemble(
        bodice(replace(braid, id="a"), replace(braid, id="b")),
        Garment(id="skirt", steps=(replace(braid, id="c"),)),
    )
    minutes = [operation.minutes.typical for operation in operations(both, techniques())]
    assert minutes == [33, 30, 33]


def test_set_up_goes_by_what_is_not_left_off() -> None:
    """A step left off leaves its set-up to the next, one with hours doesn't use any."""
    hem = step("hem-by-hand", "2 m")
    off = replace(hem, id="off", left_off=True)
    hours = replace(hem, id="hours", hours=50)
    found = work_out(off, hours, replace(hem, id="third"), replace(hem, id="fourth"))
    assert [operation.minutes.typical for operation in found[1:]] == [50, 33, 30]


def test_effort_multiplies_minutes_and_not_set_up() -> None:
    """Set-up + effort x (rate x amount + each x seams); stock and set-up stay as they are."""
    rated = piece(10, per=Per.LENGTH, set_up=7, each=Minutes(low=1, typical=2, high=3))
    given = replace(
        step("knot", "2 m", "3"), effort=1.5, uses=(Use(stock="cord", amount=amount("3 m")),)
    )
    cord = Stock(id="cord", have=parse_quantity("9 m"))
    plain, heavy = (one(g, stock=[cord], own=[rated]) for g in (replace(given, effort=1.0), given))
    assert (plain.minutes.low, plain.minutes.typical, plain.minutes.high) == (70, 73, 76)
    assert (heavy.minutes.low, heavy.minutes.typical, heavy.minutes.high) == (102, 106, 111)
    assert heavy.uses == plain.uses and heavy.quantity == plain.quantity


def test_effort_multiplies_hours_and_the_chosen_way() -> None:
    """The maker's own hours and their bounds are multiplied too, whichever way is chosen."""
    given = Step(id="it", hours=60, high=80, work=Work.HAND, effort=1.25)
    minutes = one(given).minutes
    assert (minutes.low, minutes.typical, minutes.high) == (53, 75, 100)
    way = replace(given, instead=(Way(hours=20, chosen=True),))
    assert one(way).minutes.typical == 25


def test_hours_in_place_of_a_technique() -> None:
    """Hours are taken as they are; their bounds are the maker's, else 70 % and 150 %."""
    plain = Step(id="it", hours=45, work=Work.HAND)
    assert one(plain).minutes == Minutes(low=32, typical=45, high=68)
    bounded = replace(plain, low=40, high=50)
    assert one(bounded).minutes == Minutes(low=40, typical=45, high=50)


def test_hours_beside_a_technique() -> None:
    """Hours win over the technique's rate; the technique still says what work it is."""
    found = one(replace(step("hem-by-hand", "hem"), hours=200))
    assert (found.minutes.typical, found.technique) == (200, None)
    assert (found.work, found.place) == (Work.HAND, Place.SOFA)


def test_the_makers_own_technique_wins() -> None:
    """A technique of the maker's own is used in place of the built-in one."""
    own = piece(7, id="cut-outer-panel")
    assert one(step("cut-outer-panel", "3"), own=[own]).minutes.typical == 21


# ---------------------------------------------------------------- what else an operation is


def test_ids_and_order() -> None:
    """Operations come in file order under full ids, and keep the maker's step."""
    first, second = step("hem-by-hand", "hem"), Step(id="sew", hours=5, work=Work.MACHINE)
    found = work_out(first, second)
    assert [operation.id for operation in found] == [
        "ferrywoman/bodice/it",
        "ferrywoman/bodice/sew",
    ]
    assert (found[0].ensemble, found[0].garment) == ("ferrywoman", "bodice")
    assert found[0].step is first and found[1].step is second


def test_names() -> None:
    """A step is called what the maker calls it, else its technique, else its id."""
    hem = step("hem-by-hand", "hem")
    assert one(replace(hem, name="Hem it")).name == "Hem it"
    assert one(hem).name == techniques()["hem-by-hand"].name
    assert one(Step(id="it", hours=5, work=Work.HAND)).name == "it"


def test_the_technique_fills_in_what_the_maker_left_out() -> None:
    """Work, place, hands, one sitting, wait, no way back and caution come from the technique."""
    found = one(
        step("knot", "3"),
        own=[
            piece(
                4,
                hands=2,
                one_sitting=True,
                wait=Wait(nights=1),
                no_way_back=True,
                caution="Mind it.",
            )
        ],
    )
    assert (found.work, found.place, found.hands) == (Work.HAND, Place.SOFA, 2)
    assert (found.one_sitting, found.wait) == (True, Wait(nights=1))
    assert (found.no_way_back, found.caution) == (True, "Mind it.")
    assert (found.technique, found.quantity) == ("knot", Quantity(value=3))


def test_the_makers_word_wins_over_the_technique() -> None:
    """What the step says wins, also where it says no or nothing."""
    own = piece(4, hands=2, wait=Wait(nights=1), no_way_back=True, caution="Mind it.")
    said = replace(
        step("knot"),
        work=Work.BENCH,
        place=Place.WORKROOM,
        hands=1,
        one_sitting=True,
        wait=Wait(),
        no_way_back=False,
        caution="",
    )
    found = one(said, own=[own])
    assert (found.work, found.place, found.hands) == (Work.BENCH, Place.WORKROOM, 1)
    assert (found.one_sitting, found.wait) == (True, Wait())
    assert (found.no_way_back, found.caution) == (False, "")


def test_without_a_technique_a_step_is_plain() -> None:
    """Hours alone are workroom work of one pair of hands without a wait."""
    found = one(Step(id="it", hours=5, work=Work.BENCH))
    assert (found.place, found.hands, found.one_sitting) == (Place.WORKROOM, 1, False)
    assert (found.wait, found.no_way_back, found.caution) == (Wait(), False, "")
    assert (found.technique, found.quantity, found.uses) == (None, None, ())


# ---------------------------------------------------------------- another way


def test_a_way_that_is_not_chosen_changes_nothing() -> None:
    """Only `chosen` uses a way."""
    hem = step("hem-by-hand", "hem")
    way = Way(technique="machine-hem")
    assert one(replace(hem, instead=(way,))).minutes == one(hem).minutes


def test_a_chosen_technique_takes_the_place_of_the_technique() -> None:
    """Minutes, work, place and id are those of the way's technique: 3 + 3.5 x 1.6 m."""
    way = Way(technique="machine-hem", chosen=True)
    found = one(replace(step("hem-by-hand", "hem"), instead=(Way(hours=1), way)))
    assert (found.minutes.typical, found.technique) == (9, "machine-hem")
    assert (found.work, found.place) == (Work.MACHINE, Place.WORKROOM)


def test_a_chosen_technique_takes_the_place_of_hours() -> None:
    """Hours go, with the bounds, the work and the place that were said of them."""
    hand = Step(
        id="it",
        hours=200,
        low=100,
        high=300,
        work=Work.HAND,
        place=Place.SOFA,
        amount=amount("hem"),
        instead=(Way(technique="machine-hem", chosen=True),),
    )
    found = one(hand)
    assert found.minutes == Minutes(low=6, typical=9, high=14)
    assert (found.work, found.place) == (Work.MACHINE, Place.WORKROOM)


def test_chosen_hours_take_the_place_of_a_technique() -> None:
    """The way's hours count, without set-up; the rest stays as the step was."""
    pressed = replace(step("pre-wash-cloth"), instead=(Way(hours=5, chosen=True),))
    found = work_out(pressed, replace(step("pre-wash-cloth"), id="next"))
    assert (found[0].minutes.typical, found[0].technique) == (5, None)
    assert (found[0].work, found[0].wait) == (Work.PRESSING, Wait(nights=1))
    assert found[1].minutes.typical == 17


def test_a_chosen_way_replaces_what_it_names_and_no_more() -> None:
    """Name, amount, wait, hands and the like are the way's where it names them."""
    way = Way(
        name="Quick hem",
        amount=amount("1 m"),
        wait=Wait(minutes=20),
        one_sitting=False,
        caution="",
        chosen=True,
    )
    own = replace(
        step("hem-by-hand", "hem"), name="Hem", wait=Wait(nights=1), one_sitting=True, hands=2
    )
    found = one(replace(own, instead=(way,)))
    assert (found.name, found.minutes.typical, found.wait) == ("Quick hem", 18, Wait(minutes=20))
    assert (found.one_sitting, found.caution, found.hands) == (False, "", 2)
    assert found.step.name == "Hem"


def test_two_chosen_ways_are_an_error() -> None:
    """Only one way can be chosen."""
    ways = (Way(technique="machine-hem", chosen=True), Way(hours=5, chosen=True))
    ((place, text),) = problems(replace(step("hem-by-hand", "hem"), instead=ways))
    assert place == "garment[0].step[0].instead"
    assert "More than one" in text


def test_ways_that_are_not_chosen_are_looked_at_too() -> None:
    """What would fail once chosen is told before, under the way's own path."""
    ways = (Way(technique="machine-hem"), Way(technique="machin-hem"), Way(technique="sew-dart"))
    found = problems(replace(step("hem-by-hand", "hem"), instead=ways))
    assert [place for place, _ in found] == [
        "garment[0].step[0].instead[1].technique",
        "garment[0].step[0].amount",
    ]
    assert 'Is "machine-hem" meant?' in found[0][1]
    assert "`sew-dart` is counted by pieces" in found[1][1]


# ---------------------------------------------------------------- stock


def uses_of(use: Use, *factors: str, stock: Stock = BRAID) -> tuple[tuple[str, Quantity], ...]:
    """What a step of two metres of braid, or of these factors, takes."""
    given = step("braid-by-hand", *(factors or ("1 m", "2")))
    return one(replace(given, uses=(use,)), stock=[stock]).uses


def test_a_step_uses_its_own_amount_and_the_extra() -> None:
    """Two rows round a hem of 1.6 m and 5 % are 3.36 m, under the stock's full id."""
    ((stock, quantity),) = uses_of(Use(stock="braid", extra=0.05), "hem", "2")
    assert stock == "ferrywoman/braid"
    assert quantity.value == pytest.approx(3.36)
    assert quantity.dimension == LENGTH


def test_a_use_may_have_its_own_amount() -> None:
    """The amount of the use counts in place of the step's; extra is on top of it."""
    ((_, quantity),) = uses_of(Use(stock="braid", amount=amount("hem", "3"), extra=0.1))
    assert quantity.value == pytest.approx(5.28)


def test_a_step_without_amount_uses_what_the_use_names() -> None:
    """Without an amount of its own a step takes nothing but what `uses` says."""
    thread = Stock(id="thread", have=parse_quantity("3"))
    plain = Step(id="it", hours=10, work=Work.HAND)
    silent = replace(plain, uses=(Use(stock="thread"),))
    assert one(silent, stock=[thread]).uses == ()
    named = replace(plain, uses=(Use(stock="thread", amount=amount("2")),))
    assert one(named, stock=[thread]).uses == (("ferrywoman/thread", Quantity(value=2)),)


def test_what_is_left_off_uses_nothing() -> None:
    """A step left off takes no stock, and what is wrong with its use is told all the same."""
    off = replace(step("braid-by-hand", "hem"), uses=(Use(stock="braid"),), left_off=True)
    assert one(off, stock=[BRAID]).uses == ()
    assert [place for place, _ in problems(off)] == ["garment[0].step[0].uses[0].stock"]


def test_a_chosen_way_uses_its_own_stock() -> None:
    """The way's uses count in place of the step's."""
    ribbon = Stock(id="ribbon", have=parse_quantity("9 m"))
    way = Way(uses=(Use(stock="ribbon"),), chosen=True)
    given = replace(step("braid-by-hand", "hem"), uses=(Use(stock="braid"),), instead=(way,))
    (found,) = one(given, stock=[BRAID, ribbon]).uses
    assert found == ("ferrywoman/ribbon", parse_quantity("1.6 m"))


def test_stock_of_another_dimension() -> None:
    """A length of something counted by pieces is an error that says both."""
    hooks = Stock(id="hooks", have=parse_quantity("12"))
    given = replace(step("braid-by-hand", "hem"), uses=(Use(stock="hooks"),))
    ((place, text),) = problems(given, stock=[hooks])
    assert place == "garment[0].step[0].uses[0]"
    assert "a length" in text and "a count" in text


def test_stock_of_which_there_is_none_yet() -> None:
    """A bare 0 says nothing of lengths or pieces: the delivery does, else the first use."""
    lace = Stock(id="lace")
    given = replace(step("braid-by-hand", "hem"), uses=(Use(stock="lace"),))
    assert len(one(given, stock=[lace]).uses) == 1
    by_piece = replace(
        step("make-bow", "2"), id="bows", uses=(Use(stock="lace"),), where="garment[0].step[1]"
    )
    assert [place for place, _ in problems(given, by_piece, stock=[lace])] == [
        "garment[0].step[1].uses[0]"
    ]
    pieces = replace(lace, coming=(Coming(amount=parse_quantity("3")),))
    assert [place for place, _ in problems(given, stock=[pieces])] == ["garment[0].step[0].uses[0]"]


def test_a_delivery_of_another_dimension() -> None:
    """Metres that come of what is kept by pieces are an error at the delivery."""
    hooks = Stock(
        id="hooks",
        have=parse_quantity("12"),
        coming=(Coming(amount=parse_quantity("1 m")),),
        where="stock[0]",
    )
    found = problems(step("hem-by-hand", "hem"), stock=[hooks])
    assert [place for place, _ in found] == ["stock[0].coming[0].amount"]


# ---------------------------------------------------------------- what is wrong


@pytest.mark.parametrize(
    ("given", "key", "words"),
    [
        (step("hem-by-hnd", "hem"), ".technique", 'Is "hem-by-hand" meant?'),
        (step("hem-by-hand", "hems"), ".amount", 'Is "hem" meant?'),
        (step("hem-by-hand", "panels"), ".amount", "counted by length"),
        (step("hem-by-hand", "hem", "2 m"), ".amount", "counted by length"),
        (step("hem-by-hand"), ".amount", "counted by length"),
        (step("cut-outer-panel", "hem"), ".amount", "counted by pieces"),
        (step("embroider-filled", "hem"), ".amount", "counted by area"),
        (step("embroider-filled", "4 cm2", "hem"), ".amount", "More than two lengths"),
        (Step(id="it"), "", "a technique, or `hours`"),
        (Step(id="it", hours=5), ".work", "kind of work"),
        (
            Step(id="it", hours=5, work=Work.HAND, amount=amount("hem", "hem", "hem")),
            ".amount",
            "More than two lengths",
        ),
        (
            replace(step("braid-by-hand", "hem"), uses=(Use(stock="brade"),)),
            ".uses[0].stock",
            'Is "braid" meant?',
        ),
        (
            replace(step("braid-by-hand", "hem"), uses=(Use(stock="braid", amount=("hme",)),)),
            ".uses",
            'Is "hem" meant?',
        ),
    ],
)
def test_one_thing_wrong_is_told_once(given: Step, key: str, words: str) -> None:
    """Each mistake is one problem, at its key path, with what may be meant."""
    ((place, text),) = problems(given, stock=[BRAID])
    assert place == f"garment[0].step[0]{key}"
    assert words in text


def test_all_problems_come_together() -> None:
    """Every step's problems are told at once, in file order."""
    found = problems(step("hem-by-hnd", "hems"), Step(id="b"), step("hem-by-hand", "3"))
    assert [place for place, _ in found] == [
        "garment[0].step[0].technique",
        "garment[0].step[0].amount",
        "garment[0].step[1]",
        "garment[0].step[2].amount",
    ]


def test_an_area_is_a_quantity_too() -> None:
    """The operation carries the product, here 1.6 m by 0.5 m."""
    found = one(Step(id="it", hours=5, work=Work.HAND, amount=amount("hem", "50 cm")))
    assert found.quantity is not None
    assert found.quantity.dimension == AREA
    assert found.quantity.value == pytest.approx(0.8)


# ---------------------------------------------------------------- the diary


def log(*lines: tuple[int, int | str | None]) -> list[Entry]:
    """Entries of an hour apart: minutes, and what is left, "done" or nothing."""
    begun = datetime(2027, 5, 3, 19)
    return [
        Entry(
            at=begun + timedelta(hours=i),
            step="ferrywoman/bodice/it",
            minutes=minutes,
            done=said == "done",
            left=said if isinstance(said, int) else None,
        )
        for i, (minutes, said) in enumerate(lines)
    ]


@pytest.mark.parametrize(
    ("entries", "left"),
    [
        (log(), 60),
        (log((0, None)), 60),
        (log((20, None)), 40),
        (log((20, None), (15, None)), 25),
        (log((70, None)), 5),
        (log((20, 50)), 50),
        (log((20, 50), (15, None)), 35),
        (log((20, 50), (15, 90)), 90),
        (log((20, 10), (30, None)), 5),
        (log((20, 0)), 5),
        (log((20, "done")), 0),
        (log((20, "done"), (10, None)), 0),
        (log((20, "done"), (0, 15)), 15),
        (log((20, 50), (10, "done")), 0),
    ],
)
def test_minutes_left(entries: list[Entry], left: int) -> None:
    """Of an hour: the last `left` less what was logged since, at least 5, 0 when done."""
    hour = one(Step(id="it", hours=60, work=Work.HAND))
    assert minutes_left(hour, entries) == left


def test_a_short_step_keeps_no_more_than_its_estimate() -> None:
    """A step of 3 minutes, once begun, still takes 3 and not 5."""
    short = one(Step(id="it", hours=3, work=Work.HAND))
    assert minutes_left(short, log((10, None))) == 3


def test_done_before_the_diary() -> None:
    """`done = true` leaves nothing, whatever the diary says."""
    done = one(Step(id="it", hours=60, work=Work.HAND, done=True))
    assert minutes_left(done, log()) == 0


def test_done_by_the_diary() -> None:
    """The last entry that says `done` or `left` decides."""
    assert not is_done_by_diary(log())
    assert not is_done_by_diary(log((20, None)))
    assert is_done_by_diary(log((20, "done"), (5, None)))
    assert not is_done_by_diary(log((20, "done"), (5, 10)))
