"""Splitting a garment again: what its maker changed by hand stays, the rest follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from planner.catalogue.order import Choice, Figure, Material, Option, Order
from planner.model import Ensemble, Source, Step, Stock, Way
from planner.network import order_problems
from planner.quantity import LENGTH, Quantity
from planner.splitting.again import answers_of, split_again
from planner.splitting.answers import Answers, usual
from planner.splitting.joining import join
from planner.splitting.split import split
from tests.planner.little_orders import (
    BALL,
    FIRST,
    FITTING,
    NOW,
    SECOND,
    by_hand,
    ensemble,
    order,
    part,
    planned,
    step_of,
    task,
)

SEWN = Choice(
    id="sewn",
    ask="Sewn",
    options=(Option(id="machine", name="by machine"), Option(id="hand", name="by hand")),
    default="machine",
    works=frozenset(),
)
MOCK_UP = Choice(
    id="mock-up",
    ask="Mock-up",
    options=(Option(id="none", name="none"), Option(id="one", name="one")),
    default="none",
    works=frozenset(),
)
LINED = Choice(
    id="lined",
    ask="Lined",
    options=(Option(id="no", name="no"), Option(id="yes", name="yes")),
    default="no",
    works=frozenset(),
)
SKIRT = replace(
    order(
        "skirt",
        part("fit-mock-up", at=FITTING, when={"mock-up": "one"}, over=(("stays", "fittable"),)),
        part("cut", "fit-mock-up", technique="cut-outer-panel", uses=("cloth",)),
        part("join", "cut", when={"sewn": "machine"}, technique="straight-seam", amount=("seams",)),
        part(
            "join-by-hand", "cut",
            when={"sewn": "hand"}, technique="backstitch-seam", amount=("seams",),
        ),
        part("fit", "join", "join-by-hand", at=FITTING, stage="fittable"),
        part(
            "line", "fit",
            when={"lined": "yes"}, technique="fell-lining", uses=("lining",), amount=("length",),
        ),
        part("hem", "fit", "line", stage="wearable", technique="hem-by-hand", amount=("length",)),
        choices=(SEWN, MOCK_UP, LINED),
        materials=(
            Material(id="cloth", name="wool", dimension=LENGTH, lead=5),
            Material(id="lining", name="silk", dimension=LENGTH),
        ),
        pack=("belt",),
    ),
    figures=(Figure(id="seams", product=("length", Quantity(value=2.0)), dimension=LENGTH),),
)  # fmt: skip
STAYS = order("stays", part("bone", stage="fittable"), layer=2)
ORDERS = {o.id: o for o in (SKIRT, STAYS)}


def start(*others: Order) -> Ensemble:
    """An ensemble with a skirt as usual, and others."""
    found = ensemble()
    for kind in (SKIRT, *others):
        found = join(found, split(kind, usual(kind)), orders=ORDERS, now=NOW).ensemble
    return found


def again(found: Ensemble, length: str | None = None, **choices: str) -> Ensemble:
    """The skirt split again with a few answers changed."""
    skirt = next(g for g in found.garments if g.id == "skirt")
    answers = answers_of(skirt, ORDERS)
    measurements: Mapping[str, Quantity] = answers.measurements
    if length is not None:
        measurements = {"length": Quantity(value=float(length), dimension=LENGTH)}
    named = {name.replace("_", "-"): option for name, option in choices.items()}
    new = Answers(
        measurements=measurements, choices={**answers.choices, **named}, source=answers.source
    )
    split_anew = split_again(found, "skirt", new, orders=ORDERS, now=NOW)
    planned(split_anew)
    return split_anew


def changed(found: Ensemble, step: str, **keys: object) -> Ensemble:
    """The ensemble with a step of the skirt changed by hand."""
    skirt = next(g for g in found.garments if g.id == "skirt")
    steps = tuple(replace(s, **keys) if s.id == step else s for s in skirt.steps)  # type: ignore[arg-type]
    return with_steps(found, *steps)


def with_steps(found: Ensemble, *steps: Step) -> Ensemble:
    """The ensemble with other steps in the skirt."""
    return replace(
        found,
        garments=tuple(replace(g, steps=steps) if g.id == "skirt" else g for g in found.garments),
    )


def ids(found: Ensemble) -> list[str]:
    """The skirt's steps."""
    return [s.id for g in found.garments if g.id == "skirt" for s in g.steps]


def test_the_same_answers_change_nothing() -> None:
    """Splitting with the answers it has leaves everything as it is, whatever was changed."""
    found = changed(
        start(STAYS),
        "hem",
        name="My hem",
        missed=1,
        amount=(Quantity(value=9.0, dimension=LENGTH),),
    )
    assert again(found) == found


def test_own_steps_named_in_full() -> None:
    """References written out stay so, also where a bare name could mean two things."""
    first = changed(start(), "hem", after=("skirt/fit",))
    assert again(first) == first
    assert step_of(again(first, lined="yes"), "skirt/hem").after == ("skirt/fit", "line")
    twin = replace(first, garments=(*first.garments, by_hand("join", task("a"))))
    twin = changed(twin, "fit", after=("skirt/join",))
    assert again(twin) == twin
    assert step_of(again(twin, sewn="hand"), "skirt/fit").after == ("join-by-hand",)
    assert again(again(twin, sewn="hand"), sewn="machine") == twin


def test_answers_as_they_stand() -> None:
    """Answers are read back from measurements and choices, with defaults for what is gone."""
    skirt = start().garments[0]
    assert answers_of(skirt, ORDERS) == usual(SKIRT)
    odd = replace(skirt, measurements={"length": Quantity(value=3.0)}, choices={"sewn": "glue"})
    assert answers_of(odd, ORDERS) == usual(SKIRT)
    with pytest.raises(KeyError):
        answers_of(replace(skirt, kind="unknown"), ORDERS)


def test_a_measurement() -> None:
    """Another measurement changes it and the figures that hang on it."""
    found = again(start(), "1.5")
    assert dict(found.garments[0].measurements) == {
        "length": Quantity(value=1.5, dimension=LENGTH),
        "seams": Quantity(value=3.0, dimension=LENGTH),
    }
    assert found.garments[0].steps == start().garments[0].steps


def test_a_figure_changed_by_hand() -> None:
    """A figure the maker corrected stays when another measurement changes."""
    first = start()
    skirt = first.garments[0]
    mine = Quantity(value=2.2, dimension=LENGTH)
    own = {**skirt.measurements, "seams": mine, "train": mine}
    found = again(replace(first, garments=(replace(skirt, measurements=own),)), "1.5")
    assert found.garments[0].measurements["seams"] == mine
    assert found.garments[0].measurements["train"] == mine


def test_a_choice_exchanges_steps() -> None:
    """What isn't asked for any more goes, what is new stands in its place."""
    found = again(start(), sewn="hand")
    assert ids(found) == ["cut", "join-by-hand", "fit", "hem"]
    assert step_of(found, "skirt/fit").after == ("join-by-hand",)
    assert step_of(found, "skirt/join-by-hand").after == ("cut",)
    assert again(found, sewn="machine") == start()


def test_what_was_changed_by_hand_stays() -> None:
    """Key by key: names, dates, notes, reasons to leave off; the rest follows."""
    found = again(
        changed(start(), "hem", name="My hem", left_off=True, optional=True),
        lined="yes",
        cloth="heavy",
    )
    hem = step_of(found, "skirt/hem")
    assert (hem.name, hem.left_off, hem.optional) == ("My hem", True, True)
    assert hem.effort == 1.5
    assert hem.after == ("fit", "line")


def test_an_effort_of_the_makers_own() -> None:
    """An effort given by hand isn't overruled by a choice."""
    found = again(changed(start(), "hem", effort=3.0), cloth="heavy")
    assert step_of(found, "skirt/hem").effort == 3.0


def test_steps_added_by_hand() -> None:
    """They keep their place and what they wait for; what they followed may be exchanged."""
    first = start()
    steps = list(first.garments[0].steps)
    own = task("overcast", "join", "stays:fittable")
    mine = with_steps(
        replace(first, garments=(*first.garments, by_hand("stays", task("lace")))),
        *steps[:2],
        own,
        *(replace(s, after=(*s.after, "overcast")) if s.id == "fit" else s for s in steps[2:]),
    )
    found = again(mine, sewn="hand")
    assert ids(found) == ["cut", "join-by-hand", "overcast", "fit", "hem"]
    assert step_of(found, "skirt/overcast").after == ("cut", "stays:fittable")
    assert set(step_of(found, "skirt/fit").after) == {"overcast", "join-by-hand"}


def test_steps_taken_out_by_hand() -> None:
    """A step the maker took out doesn't come back, and what followed it isn't cut loose."""
    first = start()
    steps = [s for s in first.garments[0].steps if s.id != "fit"]
    mine = with_steps(first, *(replace(s, after=("join",)) if s.id == "hem" else s for s in steps))
    found = again(mine, lined="yes")
    assert ids(found) == ["cut", "join", "line", "hem"]
    assert step_of(found, "skirt/line").after == ("join",)
    assert set(step_of(found, "skirt/hem").after) == {"join", "line"}


def test_another_order_of_the_steps() -> None:
    """Steps moved by hand stay where they are; new ones stand behind what they stand behind."""
    first = start()
    mine = with_steps(first, *reversed(first.garments[0].steps))
    assert ids(again(mine, lined="yes")) == ["hem", "fit", "line", "join", "cut"]


def test_links_taken_out_by_hand() -> None:
    """What the maker took out of an `after` stays out; what was added stays in."""
    mine = changed(start(STAYS), "hem", after=("cut",))
    found = again(mine, lined="yes")
    assert step_of(found, "skirt/hem").after == ("cut", "line")


def test_done_steps_stay() -> None:
    """A step that is done isn't dropped with its choice; nothing waits for it any more."""
    found = again(changed(start(), "join", done=True), sewn="hand")
    assert ids(found) == ["cut", "join-by-hand", "join", "fit", "hem"]
    assert step_of(found, "skirt/join").done
    assert step_of(found, "skirt/fit").after == ("join-by-hand",)
    assert "seams" in found.garments[0].measurements


def test_steps_with_entries_in_the_diary_stay() -> None:
    """Nor is one at which the maker has worked already."""
    first = start()
    new = replace(usual(SKIRT), choices={**usual(SKIRT).choices, "sewn": "hand"})
    found = split_again(first, "skirt", new, orders=ORDERS, now=NOW, begun={"e/skirt/join"})
    assert "join" in ids(found)


def test_steps_of_a_past_fitting_stay() -> None:
    """What was held at a fitting that is over counts as done."""
    mine = again(start(), mock_up="one")
    assert step_of(mine, "skirt/fit-mock-up").during == FIRST.id
    answers = usual(SKIRT)
    later = split_again(mine, "skirt", answers, orders=ORDERS, now=SECOND.at)
    assert "fit-mock-up" in ids(later)
    earlier = split_again(mine, "skirt", answers, orders=ORDERS, now=NOW)
    assert "fit-mock-up" not in ids(earlier)


def test_a_new_body_step_takes_a_fitting() -> None:
    """A mock-up's fitting takes the first fitting, and the cloth's moves to the second."""
    first = start()
    assert step_of(first, "skirt/fit").during == FIRST.id
    found = again(first, mock_up="one")
    assert step_of(found, "skirt/fit-mock-up").during == FIRST.id
    assert step_of(found, "skirt/fit").during == SECOND.id


def test_new_steps_are_linked() -> None:
    """A new step waits for other garments as when joining; links taken out stay out."""
    found = again(start(STAYS), mock_up="one")
    assert step_of(found, "skirt/fit-mock-up").after == ("stays:fittable",)


def test_references_of_others() -> None:
    """Another garment that waited for a step that is gone waits for what came before it."""
    veil = by_hand("veil", task("pin", "skirt/join", "e/skirt/join", "skirt:wearable"))
    first = start()
    wanting = replace(BALL, wants=("skirt/join", "veil"))
    mine = replace(first, garments=(*first.garments, veil), occasions=(FIRST, wanting))
    found = again(mine, sewn="hand")
    assert step_of(found, "veil/pin").after == ("skirt/cut", "e/skirt/cut", "skirt:wearable")
    assert found.occasions[1].wants == ("veil",)


def test_stock_is_kept() -> None:
    """What there is of a stock stays; new material gets a stock, idle one goes if untouched."""
    first = start()
    mine = replace(first, stock=tuple(
        replace(s, have=Quantity(value=4.0, dimension=LENGTH)) for s in first.stock
    ))  # fmt: skip
    lined = again(mine, lined="yes")
    assert [s.id for s in lined.stock] == ["skirt-cloth", "skirt-lining"]
    assert lined.stock[0] == mine.stock[0]
    assert again(lined, lined="no") == mine
    bought = replace(
        lined,
        stock=tuple(replace(s, have=Quantity(value=2.0, dimension=LENGTH)) for s in lined.stock),
    )
    assert [s.id for s in again(bought, lined="no").stock] == ["skirt-cloth", "skirt-lining"]


def test_stock_of_another_name() -> None:
    """A step that takes of a stock the maker chose goes on taking of it."""
    first = start()
    mine = changed(
        first, "cut", uses=(replace(step_of(first, "skirt/cut").uses[0], stock="remnant"),)
    )
    mine = replace(mine, stock=(Stock(id="remnant", have=Quantity(value=9.0, dimension=LENGTH)),))
    found = again(mine, "2.0")
    assert [use.stock for use in step_of(found, "skirt/cut").uses] == ["remnant"]
    assert [s.id for s in found.stock] == ["remnant"]


def test_a_way_that_was_chosen() -> None:
    """A quicker way stays chosen where the ways are otherwise as they were."""
    ways = (Way(technique="straight-seam", missed=2), Way(hours=10, name="glue"))
    steps = [
        replace(p, step=replace(p.step, instead=ways)) if p.step.id == "hem" else p
        for p in SKIRT.steps
    ]
    kind = replace(SKIRT, steps=tuple(steps))
    found = join(ensemble(), split(kind, usual(kind)), orders={"skirt": kind}, now=NOW).ensemble
    chosen = changed(found, "hem", instead=(replace(ways[0], chosen=True), ways[1]))
    new = replace(usual(kind), choices={**usual(kind).choices, "lined": "yes"})
    after = split_again(chosen, "skirt", new, orders={"skirt": kind}, now=NOW)
    assert [way.chosen for way in step_of(after, "skirt/hem").instead] == [True, False]
    own = changed(found, "hem", instead=(Way(hours=3),))
    kept = split_again(own, "skirt", new, orders={"skirt": kind}, now=NOW)
    assert step_of(kept, "skirt/hem").instead == (Way(hours=3),)


def test_no_circle_with_what_is_the_makers() -> None:
    """A new reference that would make a circle with the maker's own is left out."""
    mine = changed(start(), "fit", after=("hem",))
    mine = changed(mine, "hem", after=())
    found = again(mine, lined="yes")
    assert order_problems([found]) == ()
    assert step_of(found, "skirt/fit").after == ("hem",)


def test_where_it_comes_from() -> None:
    """Bought instead of made it has the short order's steps; what is done stays."""
    from planner.catalogue.shelf import source_orders

    assert Source.BUY in source_orders()
    found = split_again(
        changed(start(), "cut", done=True),
        "skirt",
        usual(SKIRT, Source.BUY),
        orders=ORDERS,
        now=NOW,
    )
    skirt = found.garments[0]
    assert skirt.source is Source.BUY
    assert "cut" in ids(found) and "hem" not in ids(found)
    assert len(ids(found)) > 1
    planned(found)
    back = split_again(found, "skirt", usual(SKIRT), orders=ORDERS, now=NOW)
    assert ids(back) == ids(start())


def test_what_to_pack() -> None:
    """What the maker took off the list stays off, unless another order brings it anew."""
    mine = replace(start(), pack=("lamp",))
    assert again(mine, lined="yes").pack == ("lamp",)


def test_no_such_garment() -> None:
    """A garment that isn't there is the program's error."""
    with pytest.raises(KeyError):
        split_again(ensemble(), "skirt", usual(SKIRT), orders=ORDERS, now=NOW)
