"""A garment saved as an order of construction: it reads back and splits to the same steps."""

from __future__ import annotations

import os
import random
import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from planner.catalogue import techniques
from planner.catalogue.order import Order, Over
from planner.catalogue.order_reading import parse_order
from planner.catalogue.shelf import orders
from planner.files.reading import read_project
from planner.model import Ensemble, Garment, Source, Step, Stock, Use, Way
from planner.problems import InputError
from planner.quantity import AREA, LENGTH, Quantity
from planner.splitting.answers import usual, working_order
from planner.splitting.joining import join
from planner.splitting.own import order_text, save_order
from planner.splitting.split import Split, hours, split
from tests.planner.little_orders import (
    FIRST,
    FITTING,
    NOW,
    by_hand,
    ensemble,
    order,
    part,
    planned,
    task,
)


def metres(value: float) -> Quantity:
    """A length."""
    return Quantity(value=value, dimension=LENGTH)


def read(text: str, stem: str = "mine") -> Order:
    """The order a text says."""
    found, problems, warnings = parse_order(
        tomllib.loads(text), f"orders/{stem}.toml", stem, techniques()
    )
    assert found is not None, problems
    assert all("wearable" in warned.text for warned in warnings)
    return found


def saved(garment: Garment, found: Ensemble, known: dict[str, Order] | None = None) -> Order:
    """The garment saved and read back."""
    text = order_text(garment, found, techniques(), name="Mine", group="my own", orders=known or {})
    return read(text)


def once_more(found: Order) -> Split:
    """Split as usual."""
    return split(found, usual(found))


def parts(found: Order) -> dict[str, Step]:
    """The order's steps by id."""
    return {part.step.id: part.step for part in found.steps}


@pytest.mark.parametrize("kind", sorted(orders()))
@pytest.mark.parametrize("known", [True, False], ids=["with its order", "alone"])
def test_every_kind_splits_to_the_same_steps(kind: str, known: bool) -> None:
    """Whatever was chosen: the saved order has the same steps, minutes and stock."""
    built_in = orders()[kind]
    chance = random.Random(kind)
    for source in built_in.sources:
        answers = usual(built_in, source)
        for choices in (
            answers.choices,
            {
                choice.id: chance.choice(choice.options).id
                for choice in working_order(built_in, source).choices
            },
        ):
            first = split(built_in, replace(answers, choices=choices))
            joined = join(Ensemble(id="e"), first, orders=orders(), now=NOW)
            (garment,) = joined.ensemble.garments
            text = order_text(
                garment,
                joined.ensemble,
                techniques(),
                name="Mine",
                group="own",
                orders=orders() if known else {},
            )
            again = once_more(read(text))
            assert [s.id for s in again.garment.steps] == [s.id for s in first.garment.steps]
            assert [s.after for s in again.garment.steps] == [s.after for s in first.garment.steps]
            assert hours(again, techniques()) == hours(first, techniques())
            assert [w.amount for w in again.wanted] == [w.amount for w in first.wanted]


def test_questions_and_figures_are_kept() -> None:
    """With its order at hand a saved petticoat asks what the catalogue's does, its own values
    as defaults, and works its figures out anew."""
    petticoat = orders()["petticoat"]
    answers = usual(petticoat)
    longer = {**answers.measurements, "length": metres(0.83)}
    joined = join(
        Ensemble(id="e"), split(petticoat, replace(answers, measurements=longer)),
        orders=orders(), now=NOW,
    )  # fmt: skip
    text = order_text(
        joined.ensemble.garments[0], joined.ensemble, techniques(),
        name="Mine", group="own", orders=orders(),
    )  # fmt: skip
    found = read(text)
    asked = {m.id: m for m in found.measurements}
    known = {m.id: m for m in petticoat.measurements}
    assert asked["length"].default == metres(0.83)
    assert asked["length"].ask == known["length"].ask
    assert asked["length"].most == known["length"].most
    assert found.figures
    assert found.roles == petticoat.roles | {"mine"}


def test_a_figure_changed_by_hand() -> None:
    """It is a measurement then, which is not asked at once."""
    petticoat = orders()["petticoat"]
    joined = join(Ensemble(id="e"), once_more(petticoat), orders=orders(), now=NOW).ensemble
    figures = {f.id for f in petticoat.figures}
    (garment,) = joined.garments
    name = next(name for name in garment.measurements if name in figures)
    odd = replace(garment.measurements[name], value=garment.measurements[name].value + 1.25)
    mine = replace(garment, measurements={**garment.measurements, name: odd})
    found = saved(mine, joined, dict(orders()))
    (measurement,) = (m for m in found.measurements if m.id == name)
    assert measurement.default == odd
    assert not measurement.asked


def test_a_garment_made_up_by_hand() -> None:
    """Any garment can be saved: names with spaces, measurements by the dozen, a zero, an area."""
    many = {f"edge {k}": metres(0.1 + k) for k in range(12)}
    garment = by_hand(
        "cap",
        Step(id="cut", technique="cut-outer-panel", amount=("pieces",)),
        Step(
            id="hem", technique="hem-by-hand", amount=("edge 3", Quantity(value=2.0)),
            after=("cut",),
        ),
        Step(id="bead", technique="bead-singly", amount=("beads",), after=("hem",), optional=True),
        measurements={"pieces": Quantity(value=4.0), "beads": Quantity(value=250.0), **many,
                      "none": metres(0), "patch": Quantity(value=0.02, dimension=AREA)},
    )  # fmt: skip
    found = saved(garment, ensemble(garment))
    assert sum(m.asked for m in found.measurements) == 8
    assert parts(found)["hem"].amount == ("edge-3", Quantity(value=2.0))
    assert "patch" not in {m.id for m in found.measurements}
    assert {m.id: m.most for m in found.measurements}["none"].dimension == LENGTH


@pytest.mark.parametrize("name", ["cloth", "first", "source", 'a "b"', "a=b", "  x  "])
def test_names_that_an_order_cant_have(name: str) -> None:
    """Measurements named as every order's choices, or with marks, get other names."""
    garment = by_hand(
        "cap",
        Step(id="hem", technique="hem-by-hand", amount=(name,)),
        measurements={name: metres(1.5)},
    )
    found = once_more(saved(garment, ensemble(garment)))
    (amount,) = found.garment.steps[0].amount
    assert isinstance(amount, str)
    assert found.garment.measurements[amount] == metres(1.5)


def test_dates_and_done_are_left_out() -> None:
    """What was done or dated is not; a step left off is optional; steps in order follow on."""
    garment = by_hand(
        "cap",
        task("cut", done=True, on=date(2027, 5, 9)),
        task("bows", left_off=True, missed=1),
        task("hem", not_before=date(2027, 5, 9), stage="wearable"),
        in_order=True,
    )
    found = parts(saved(garment, ensemble(garment)))
    assert [s.after for s in found.values()] == [(), ("cut",), ("bows",)]
    assert not any(s.done or s.left_off or s.on or s.not_before for s in found.values())
    assert found["bows"].optional


def test_every_key_of_a_step() -> None:
    """Keys the maker filled in are all there again."""
    step = Step(
        id="glue",
        name='Glue "the" brim, 🧵',
        hours=50,
        low=40,
        high=90,
        work=task("x").work,
        one_sitting=True,
        effort=1.3,
        hands=2,
        no_way_back=True,
        caution="Open the window; mind the product's label.",
        missed=2,
        optional=True,
        instead=(Way(technique="hem-by-hand", amount=(metres(1),), missed=4, chosen=True),),
    )
    garment = by_hand("cap", step)
    found = parts(saved(garment, ensemble(garment)))["glue"]
    assert replace(found, where="") == step


def test_what_it_waits_for() -> None:
    """References to other garments become roles: their kinds, or ids of those made up by hand.

    Another garment's step counts for the stage it carries, and not where it carries none.
    """
    bodice = by_hand(
        "bodice",
        task("cut", "first-fitting"),
        task(
            "fit",
            *("cut", "stays:fittable", "belt", "e/skirt:fittable", "skirt/hem", "skirt/pin"),
            during="first-fitting",
        ),
    )
    others = (
        by_hand("stays", task("a"), kind="corset"),
        by_hand("belt", task("a")),
        by_hand("skirt", task("pin"), task("hem", stage="wearable")),
    )
    found = saved(bodice, ensemble(bodice, *others))
    (fit,) = (p for p in found.steps if p.step.id == "fit")
    assert fit.step.after == ("cut",)
    assert {(o.roles, o.stage) for o in fit.over} == {
        (("corset",), "fittable"),
        (("belt",), "finished"),
        (("skirt",), "fittable"),
        (("skirt",), "wearable"),
    }
    assert fit.at is FITTING
    assert parts(found)["cut"].after == ()


def test_what_its_order_said_of_others() -> None:
    """Roles no garment here has are kept from the order; a link taken out stays out."""
    kind = order(
        "bodice",
        part(
            "fit",
            at=FITTING,
            over=(("stays", "fittable"), ("wig", "wearable"), ("belt", "fittable")),
        ),
    )
    stays, belt = by_hand("stays", task("a")), by_hand("belt", task("a"))
    known = {"bodice": kind}
    first = join(
        ensemble(stays, belt), once_more(kind), orders=known, now=NOW,
        without=frozenset({("bodice/fit", "belt:fittable")}),
    ).ensemble  # fmt: skip
    garment = next(g for g in first.garments if g.id == "bodice")
    (fit,) = saved(garment, first, known).steps
    assert set(fit.over) == {
        Over(roles=("stays",), stage="fittable", why="over the stays"),
        Over(roles=("wig",), stage="wearable", why="over the wig"),
    }
    assert fit.at is FITTING


def test_stock() -> None:
    """Its own stock loses the garment's name; what others take of, too, is shared."""
    use = (Use(stock="cap-felt", amount=(metres(0.4),), extra=0.05), Use(stock="thread"))
    cap = by_hand(
        "cap", Step(id="a", technique="hem-by-hand", amount=(metres(2),), uses=use), name="Cap"
    )
    veil = by_hand("veil", Step(id="a", technique="hem-by-hand", amount=(metres(2),), uses=use[1:]))
    found = replace(
        ensemble(cap, veil),
        stock=(Stock(id="cap-felt", name="felt, Cap", lead=9), Stock(id="thread", have=metres(3))),
    )
    felt, thread = saved(cap, found).materials
    assert (felt.id, felt.name, felt.dimension, felt.shared, felt.lead) == (
        "felt",
        "felt",
        LENGTH,
        False,
        9,
    )
    assert (thread.id, thread.shared) == ("thread", True)


def test_it_can_be_joined_again() -> None:
    """A saved order makes a garment of its own in another ensemble."""
    petticoat = orders()["petticoat"]
    first = join(ensemble(), once_more(petticoat), orders=orders(), now=NOW).ensemble
    mine = saved(first.garments[0], first, dict(orders()))
    known = {**orders(), "mine": mine}
    found = join(first, once_more(mine), orders=known, now=NOW)
    assert found.garment == "mine"
    planned(found.ensemble)


def test_saving(tmp_path: Path) -> None:
    """It is saved in the workroom's folder of orders, and read with the workroom."""
    garment = by_hand("cap", task("hem", stage="wearable"))
    text = order_text(garment, ensemble(garment), techniques(), name="Felt cap", group="head")
    (tmp_path / "workroom.toml").write_text("format = 1\n", encoding="utf-8")
    (tmp_path / "e.toml").write_text("format = 1\n", encoding="utf-8")
    path = save_order(tmp_path, "felt-cap", text)
    assert path == tmp_path / "orders" / "felt-cap.toml"
    (found,) = read_project(tmp_path).orders
    assert (found.id, found.name, found.group) == ("felt-cap", "Felt cap", "head")


def test_saving_over_another(tmp_path: Path) -> None:
    """Never over an order that is there, unless that is meant."""
    garment = by_hand("cap", task("hem"))
    text = order_text(garment, ensemble(garment), techniques(), name="Cap", group="head")
    save_order(tmp_path, "cap", text)
    with pytest.raises(InputError, match="already"):
        save_order(tmp_path, "cap", text)
    assert save_order(tmp_path, "cap", text.replace("Cap", "Hat"), over=True).exists()


@pytest.mark.parametrize("stem", ["", "a/b", " a", ".hidden", "..", "a:b", "a\\b"])
def test_names_that_no_file_can_have(tmp_path: Path, stem: str) -> None:
    """The file's name is the order's id: nothing outside the folder, nothing hidden."""
    garment = by_hand("cap", task("hem"))
    text = order_text(garment, ensemble(garment), techniques(), name="Cap", group="head")
    with pytest.raises(InputError):
        save_order(tmp_path, stem, text)
    assert not (tmp_path / "orders").exists()


def test_a_step_called_as_the_order(tmp_path: Path) -> None:
    """A stem that would make the order wrong is refused, and nothing is saved."""
    garment = by_hand("cap", task("hem"))
    text = order_text(garment, ensemble(garment), techniques(), name="Cap", group="head")
    with pytest.raises(InputError, match="called as its garment"):
        save_order(tmp_path, "hem", text)
    assert not (tmp_path / "orders").exists()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cant_be_written(tmp_path: Path) -> None:
    """It is told, with the reason."""
    garment = by_hand("cap", task("hem"))
    text = order_text(garment, ensemble(garment), techniques(), name="Cap", group="head")
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(InputError, match="Nothing was saved"):
            save_order(tmp_path, "cap", text)
    finally:
        tmp_path.chmod(0o700)


def test_a_technique_that_is_gone() -> None:
    """A garment that names no technique there is can't be saved, with the reason."""
    garment = by_hand("cap", Step(id="a", technique="nothing-such"))
    with pytest.raises(InputError, match="technique"):
        order_text(garment, ensemble(garment), techniques(), name="Cap", group="head")


def test_a_garment_from_elsewhere() -> None:
    """Saved from a bought one, the order's steps are what is done with it."""
    petticoat = orders()["petticoat"]
    bought = split(petticoat, usual(petticoat, Source.BUY))
    found = join(ensemble(), bought, orders=orders(), now=NOW).ensemble
    mine = saved(found.garments[0], found, dict(orders()))
    assert mine.sources[0] is Source.MAKE
    assert [s.id for s in once_more(mine).garment.steps] == [s.id for s in bought.garment.steps]


def test_an_occasion_is_no_part_of_an_order() -> None:
    """`after` an occasion is left out: the next ensemble has others."""
    garment = by_hand("cap", task("hem", FIRST.id))
    assert parts(saved(garment, ensemble(garment)))["hem"].after == ()
