"""Joining a split garment into an ensemble: its id, place, stock, and who waits for whom."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.catalogue.order import Material
from planner.model import Coming, Ensemble, Garment, Stock, Use
from planner.network import order_problems
from planner.quantity import COUNT, LENGTH, Quantity
from planner.splitting.joining import Joined, Link, join, joined_all
from planner.splitting.split import Split
from tests.planner.little_orders import (
    FIRST,
    FITTING,
    NOW,
    by_hand,
    cut_of,
    ensemble,
    occasion,
    order,
    part,
    planned,
    step_of,
    task,
)

METRE = Quantity(value=1.0, dimension=LENGTH)

SHIFT = order(
    "shift",
    part("sew", stage="fittable"),
    part("neck", "sew", over=(("bodice", "fittable"),)),
    part("hem", "neck", stage="wearable"),
    layer=1,
)
STAYS = order(
    "stays",
    part("bone", stage="fittable"),
    part("fit", "bone", over=(("shift", "fittable"),)),
    part("bind", "fit", stage="wearable"),
    layer=2,
    pack=("lacing cord",),
)
BODICE = order(
    "fitted-bodice",
    part("mock-up", over=(("stays", "fittable"), ("shift", "fittable"))),
    part("seams", "mock-up", stage="fittable"),
    part("edge", "seams", stage="wearable"),
    roles=("bodice",),
    pack=("hat pins", "lacing cord"),
)
WHOLE = order("whole-ensemble", part("wear", over=(("*", "wearable"),)), layer=20)
ORDERS = {o.id: o for o in (SHIFT, STAYS, BODICE, WHOLE)}


def joined(start: Ensemble, *splits: Split, **keys: object) -> Joined:
    """Several splits joined one after the other; ``keys`` go to the last."""
    found = None
    for index, split in enumerate(splits):
        more = keys if index == len(splits) - 1 else {}
        found = join(start, split, orders=ORDERS, now=NOW, **more)  # type: ignore[arg-type]
        start = found.ensemble
    assert found is not None
    return found


def links(found: Joined) -> set[tuple[str, str]]:
    """The links made, as pairs."""
    return {(link.step, link.to) for link in found.links}


def test_it_stands_among_its_layer() -> None:
    """A new garment stands behind those worn under it, in dressing order, whenever it came."""
    found = joined(ensemble(), cut_of(BODICE), cut_of(SHIFT), cut_of(STAYS)).ensemble
    assert [g.id for g in found.garments] == ["shift", "stays", "fitted-bodice"]
    assert [g.layer for g in found.garments] == [1, 2, 5]


def test_its_own_layer_and_name() -> None:
    """Layer, name, wearer and id can be given."""
    found = joined(
        ensemble(), cut_of(BODICE), cut_of(SHIFT), layer=9, name="Ana's", wearer="Ana", id="slip"
    )
    last = found.ensemble.garments[-1]
    assert (last.id, last.name, last.layer, last.wearer) == ("slip", "Ana's", 9, "Ana")
    assert found.garment == "slip"


def test_two_of_a_kind() -> None:
    """A second one has a number in its id and its name."""
    found = joined(ensemble(), cut_of(SHIFT), cut_of(SHIFT), cut_of(SHIFT)).ensemble
    assert [g.id for g in found.garments] == ["shift", "shift-2", "shift-3"]
    assert [g.name for g in found.garments] == ["shift", "shift 2", "shift 3"]


def test_an_id_that_would_mean_two_things() -> None:
    """It isn't called as an occasion, nor as a step that others name without more words."""
    garment = by_hand("veil", task("shift"), task("b", "shift"))
    start = ensemble(garment, occasions=(occasion("stays", FITTING, 3),))
    found = joined(start, cut_of(SHIFT), cut_of(STAYS)).ensemble
    assert {g.id for g in found.garments} == {"veil", "shift-2", "stays-2"}
    assert order_problems([found]) == ()


def test_steps_called_as_a_garment() -> None:
    """A new garment's steps are named in full where a garment or an occasion has their name."""
    start = ensemble(by_hand("bone", task("a")), occasions=(occasion("fit", FITTING, 3),))
    found = joined(start, cut_of(STAYS)).ensemble
    assert step_of(found, "stays/fit").after == ("stays/bone",)
    assert step_of(found, "stays/bind").after == ("stays/fit",)
    planned(found)


def test_links_both_ways() -> None:
    """Bodice over shift and stays, and the shift's neck by the bodice, whichever comes first."""
    for splits in ((SHIFT, STAYS, BODICE), (BODICE, STAYS, SHIFT), (STAYS, BODICE, SHIFT)):
        found = joined(ensemble(), *map(cut_of, splits)).ensemble
        over = set(step_of(found, "fitted-bodice/mock-up").after)
        assert over == {"shift:fittable", "stays:fittable"}
        assert "fitted-bodice:fittable" in step_of(found, "shift/neck").after
        assert "shift:fittable" in step_of(found, "stays/fit").after
        planned(found)


def test_links_say_why() -> None:
    """A link carries the reason of the order it is from."""
    found = joined(ensemble(), cut_of(SHIFT), cut_of(STAYS))
    assert found.links == (Link(step="stays/fit", to="shift:fittable", why="over the shift"),)
    assert found.left_out == ()


def test_links_not_wanted() -> None:
    """What the maker takes out isn't made."""
    found = joined(
        ensemble(),
        cut_of(SHIFT),
        cut_of(STAYS),
        without=frozenset({("stays/fit", "shift:fittable")}),
    )
    assert found.links == ()
    assert step_of(found.ensemble, "stays/fit").after == ("bone",)


def test_only_the_new_garments_links() -> None:
    """A link that was taken out earlier doesn't come back with the next garment."""
    first = joined(
        ensemble(),
        cut_of(SHIFT),
        cut_of(STAYS),
        without=frozenset({("stays/fit", "shift:fittable")}),
    )
    found = joined(first.ensemble, cut_of(BODICE))
    assert step_of(found.ensemble, "stays/fit").after == ("bone",)


@pytest.mark.parametrize(
    "garment",
    [
        by_hand("stays", task("lace"), layer=2),
        by_hand("mine", task("lace"), kind="stays", layer=2),
    ],
)
def test_roles_of_garments_made_up_by_hand(garment: Garment) -> None:
    """A garment without an order is taken by its id or its kind."""
    found = joined(ensemble(garment), cut_of(BODICE))
    assert links(found) == {("fitted-bodice/mock-up", f"{garment.id}:fittable")}


def test_steps_made_up_by_hand_wait_for_nothing() -> None:
    """Steps that aren't their kind's order's get no links, nor do those that are done."""
    shift = cut_of(SHIFT).garment
    done = replace(shift, steps=tuple(replace(s, done=True) for s in shift.steps))
    mine = replace(shift, steps=(task("own-neck"),))
    for garment in (done, mine):
        found = joined(ensemble(garment), cut_of(BODICE))
        assert links(found) == {("fitted-bodice/mock-up", "shift:fittable")}


def test_wearers() -> None:
    """Garments of two wearers don't wait for each other; one nobody is named for does."""
    start = joined(ensemble(), cut_of(SHIFT), wearer="Ana").ensemble
    assert links(joined(start, cut_of(STAYS), wearer="Ida")) == set()
    assert links(joined(start, cut_of(STAYS), wearer="Ana")) == {("stays/fit", "shift:fittable")}
    assert links(joined(start, cut_of(STAYS))) == {("stays/fit", "shift:fittable")}


def test_every_other_garment() -> None:
    """A trial of the whole waits for all to be wearable, also for what comes later."""
    veil = by_hand("veil", task("hem"))
    for splits in ((SHIFT, STAYS, WHOLE), (WHOLE, SHIFT, STAYS)):
        found = joined(ensemble(veil), *map(cut_of, splits)).ensemble
        after = step_of(found, "whole-ensemble/wear").after
        assert set(after) == {"veil:wearable", "shift:wearable", "stays:wearable"}


def test_two_trials_of_the_whole() -> None:
    """A trial of the whole doesn't wait for another."""
    found = joined(ensemble(), cut_of(SHIFT), cut_of(WHOLE), cut_of(WHOLE)).ensemble
    assert step_of(found, "whole-ensemble-2/wear").after == ("shift:wearable",)
    assert step_of(found, "whole-ensemble/wear").after == ("shift:wearable",)


def test_a_link_that_would_make_a_circle() -> None:
    """It is left out and told: the shift's neck by the bodice that the maker has after the stays.

    The stays would be fitted over that shift.
    """
    bodice = by_hand("bodice", task("a", "stays:wearable"), kind="bodice")
    stays = replace(cut_of(STAYS).garment, kind=None)
    start = ensemble(stays, bodice)
    shift = order("shift", part("neck", over=(("bodice", "wearable"),), stage="fittable"))
    first = join(start, cut_of(shift), orders={"shift": shift}, now=NOW)
    assert links(first) == {("shift/neck", "bodice:wearable")}
    mine = replace(start, garments=(replace(stays, kind="stays"), bodice))
    found = join(mine, cut_of(shift), orders={"shift": shift, "stays": STAYS}, now=NOW)
    assert links(found) == {("shift/neck", "bodice:wearable")}
    assert [(link.step, link.to) for link in found.left_out] == [("stays/fit", "shift:fittable")]
    planned(found.ensemble)


def test_a_circle_through_an_occasion() -> None:
    """Nor is one made through an occasion and what is held there."""
    a = by_hand("stays", task("x", during="first-fitting"))
    after_it = task("sew", "first-fitting", stage="fittable")
    b = by_hand("shift", after_it)
    kinds = {
        "stays": order("stays", part("x", over=(("shift", "fittable"),))),
        "veil": order("veil", part("hem", over=(("shift", "fittable"),), stage="wearable")),
    }
    start = ensemble(replace(a, kind="stays"), b, occasions=(FIRST,))
    over_veil = {**kinds, "stays": order("stays", part("x", over=(("veil", "wearable"),)))}
    found = join(start, cut_of(kinds["veil"]), orders=over_veil, now=NOW)
    assert links(found) == {("veil/hem", "shift:fittable")}
    assert [link.step for link in found.left_out] == ["stays/x"]
    planned(found.ensemble)


def test_a_circle_through_what_an_occasion_wants() -> None:
    """Nothing an occasion wants is made to follow it."""
    start = ensemble(
        by_hand("shift", task("sew", FIRST.id, stage="fittable")),
        by_hand("veil", task("hem"), kind="veil"),
        occasions=(replace(FIRST, wants=("veil",)),),
    )
    kinds = {
        "veil": order("veil", part("hem", over=(("cap", "fittable"),))),
        "cap": order("cap", part("brim", over=(("shift", "fittable"),), stage="fittable")),
    }
    found = join(start, cut_of(kinds["cap"]), orders=kinds, now=NOW)
    assert len(found.left_out) == 1
    planned(found.ensemble)


def test_what_is_packed_with_it() -> None:
    """What must be there with the garments is listed once."""
    found = joined(replace(ensemble(), pack=("shoes",)), cut_of(STAYS), cut_of(BODICE))
    assert found.ensemble.pack == ("shoes", "lacing cord", "hat pins")


CLOTH = Material(id="cloth", name="cotton", dimension=LENGTH, lead=7)
THREAD = Material(id="thread", name="sewing thread", dimension=LENGTH, shared=True)
SLIP = order(
    "slip", part("cut", uses=("cloth", "thread"), stage="wearable"), materials=(CLOTH, THREAD)
)


def test_stock_of_its_own_and_shared() -> None:
    """Cloth is the garment's own, thread one for all; nothing of either is there yet."""
    found = joined(ensemble(), cut_of(SLIP), cut_of(SLIP)).ensemble
    nothing = Quantity(value=0.0, dimension=LENGTH)
    assert found.stock == (
        Stock(id="slip-cloth", name="cotton, slip", have=nothing, lead=7),
        Stock(id="thread", name="sewing thread", have=nothing),
        Stock(id="slip-2-cloth", name="cotton, slip 2", have=nothing, lead=7),
    )
    assert [use.stock for use in step_of(found, "slip-2/cut").uses] == ["slip-2-cloth", "thread"]
    planned(found)


@pytest.mark.parametrize(
    ("there", "shared"),
    [
        (Stock(id="thread", have=METRE), True),
        (Stock(id="thread", coming=(Coming(amount=METRE),)), True),
        (Stock(id="thread"), True),
        (Stock(id="thread", have=Quantity(value=3.0)), False),
    ],
)
def test_shared_stock_that_is_there(there: Stock, shared: bool) -> None:
    """It is taken from the maker's own stock of that id, unless that is kept by the piece."""
    found = joined(replace(ensemble(), stock=(there,)), cut_of(SLIP)).ensemble
    thread = step_of(found, "slip/cut").uses[1].stock
    assert thread == ("thread" if shared else "slip-thread")
    assert found.stock[0] == there
    planned(found)


def test_dimension_said_by_a_use() -> None:
    """Of a stock with nothing there its uses say what it is kept by."""
    spools = task("a", uses=(Use(stock="thread", amount=(Quantity(value=2.0),)),))
    start = replace(ensemble(by_hand("veil", spools)), stock=(Stock(id="thread"),))
    found = joined(start, cut_of(SLIP)).ensemble
    assert step_of(found, "slip/cut").uses[1].stock == "slip-thread"
    assert found.stock[-1].have.dimension == LENGTH != COUNT


def test_several_at_once() -> None:
    """Joined together they are linked as one after the other, whatever their order."""
    several = joined_all(
        ensemble(), [cut_of(BODICE), cut_of(STAYS), cut_of(SHIFT)], orders=ORDERS, now=NOW
    )
    one_by_one = joined(ensemble(), cut_of(SHIFT), cut_of(STAYS), cut_of(BODICE)).ensemble
    assert [g.id for g in several.ensemble.garments] == [g.id for g in one_by_one.garments]
    for garment in one_by_one.garments:
        for step in garment.steps:
            name = f"{garment.id}/{step.id}"
            assert set(step_of(several.ensemble, name).after) == set(step.after)


def test_joining_changes_nothing_else() -> None:
    """Other garments keep every word but what now waits for the new one."""
    veil = by_hand("veil", task("hem", caution="mind", missed=1))
    start = joined(ensemble(veil), cut_of(SHIFT)).ensemble
    found = joined(start, cut_of(BODICE)).ensemble
    assert found.garments[-1] == veil or veil in found.garments
    assert found.occasions == start.occasions
