"""Splitting: which steps there are, their order, hours and stock, from a few answers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.shelf import source_orders
from planner.estimate import operations
from planner.model import Minutes, OccasionKind, Source
from planner.network import build_network
from planner.problems import InputError
from planner.quantity import COUNT, LENGTH, Quantity
from planner.splitting.answers import Answers, asked, understood, usual
from planner.splitting.figures import rounded_up
from planner.splitting.split import Split, alone, hours, materials, split
from tests.planner.test_order_reading import order_of

PALL = """
format = 1
name = "pall"
group = "outer wear"
layer = 9
sources = ["make", "own"]

[[measurement]]
id = "panels"
ask = "Panels"
how = "Count them."
default = 3
most = 20

[[measurement]]
id = "length"
ask = "Length"
how = "Shoulder to floor."
default = "1.205 m"

[[measurement]]
id = "rows"
ask = "Rows of braid"
how = "0 for none."
default = 0
most = 6

[[measurement]]
id = "fringe"
ask = "Fringe"
how = "Along the lower edge."
default = "2 m"
when = { edge = ["fringed"] }

[[choice]]
id = "sewn"
ask = "Sewn"
options = [{ id = "machine" }, { id = "hand" }]

[[choice]]
id = "stitch"
ask = "Stitches"
options = [{ id = "plain" }, { id = "fine", effort = 1.5, works = ["hand"] }]
when = { sewn = ["hand"] }

[[choice]]
id = "edge"
ask = "Lower edge"
options = [{ id = "plain" }, { id = "fringed" }]

[[figure]]
id = "seam"
product = ["length", 2]
when = { sewn = ["machine"] }

[[figure]]
id = "seam"
product = ["length", 3]

[[figure]]
id = "cloth"
rule = "cut_lengths"
given = { pieces = "panels", length = "length", allowance = "3 cm" }

[[figure]]
id = "fullness"
by = "edge"
values = { plain = 0, fringed = 2.5 }

[[figure]]
id = "gathered"
product = ["fringe", "fullness"]

[[figure]]
id = "halves"
product = ["panels", 0.5]

[[stock]]
id = "wool"
name = "wool"

[[stock]]
id = "braid"
name = "braid"

[[stock]]
id = "hooks"
name = "hooks"
per = "count"
lead = "7 days"

[[step]]
id = "mock-up"
technique = "mock-up-seam"
amount = ["length"]
spared = ["cloth"]

[[step]]
id = "cut"
technique = "cut-outer-panel"
amount = ["panels"]
after = ["mock-up"]
uses = [{ stock = "wool", amount = ["cloth"], extra = "10%" }]

[[step]]
id = "seam"
technique = "straight-seam"
amount = ["seam"]
after = ["cut"]
when = { sewn = ["machine"] }

[[step]]
id = "backstitch"
technique = "backstitch-seam"
amount = ["seam"]
after = ["cut"]
when = { sewn = ["hand"] }

[[step]]
id = "braid"
technique = "braid-by-hand"
amount = ["rows", "length"]
after = ["seam", "backstitch"]
uses = [{ stock = "braid" }]
optional = true
missed = 2

[[step]]
id = "fringe"
technique = "braid-by-hand"
amount = ["gathered"]
after = ["braid"]
uses = [{ stock = "braid", extra = "5%" }]

[[step]]
id = "hooks"
technique = "sew-on-button"
amount = ["halves"]
after = ["braid", "fringe"]
stage = "wearable"
uses = [{ stock = "hooks" }, { stock = "braid", amount = ["rows", "10 cm"] }]

[[step]]
id = "fit"
technique = "fitting-garment"
after = ["hooks"]
at = "trial wear"
"""

ORDER = order_of(PALL, "pall")


def made(**pairs: str) -> Split:
    """The pall with these answers."""
    return split(ORDER, understood(ORDER, pairs))


def step_ids(found: Split) -> list[str]:
    return [step.id for step in found.garment.steps]


def after(found: Split, step: str) -> tuple[str, ...]:
    return next(s.after for s in found.garment.steps if s.id == step)


def minutes(found: Split) -> dict[str, Minutes]:
    """Minutes by step."""
    return {o.step.id: o.minutes for o in operations(alone(found), techniques())}


def wanted(found: Split) -> dict[str, float]:
    return {w.material.id: w.amount.value for w in found.wanted}


def test_a_garment_of_its_kind() -> None:
    """The garment has the order's id as id and kind, its layer, and nothing of any occasion."""
    found = made()
    garment = found.garment
    assert (garment.id, garment.kind, garment.layer) == ("pall", "pall", 9)
    assert garment.source is Source.MAKE
    assert all(step.during is None and step.where == "" for step in garment.steps)
    assert found.parts["fit"].at is OccasionKind.TRIAL_WEAR
    assert set(found.parts) == set(step_ids(found))


def test_what_is_not_asked_for_is_not_there() -> None:
    """Steps whose choices don't hold, and steps of an amount of 0, are left out."""
    assert step_ids(made()) == ["mock-up", "cut", "seam", "hooks", "fit"]
    assert step_ids(made(sewn="hand", rows="2")) == [
        "mock-up", "cut", "backstitch", "braid", "hooks", "fit"
    ]  # fmt: skip
    assert "fringe" in step_ids(made(edge="fringed"))


def test_what_is_not_there_is_looked_through() -> None:
    """A step follows what stands before the steps that aren't there, the nearest alone."""
    assert after(made(), "hooks") == ("seam",)
    assert after(made(sewn="hand"), "hooks") == ("backstitch",)
    assert after(made(rows="1"), "hooks") == ("braid",)
    assert after(made(edge="fringed"), "fringe") == ("seam",)
    assert after(made(edge="fringed"), "hooks") == ("fringe",)


def test_figures() -> None:
    """The first figure whose conditions hold counts; lengths go up to the cm, pieces up."""
    assert made().garment.measurements["seam"] == Quantity(value=2.41, dimension=LENGTH)
    assert made(sewn="hand").garment.measurements["seam"] == Quantity(
        value=3.62, dimension=LENGTH
    )  # 3 x 1.205 = 3.615
    # 3 x (1.205 + 0.03) = 3.705
    assert made().garment.measurements["cloth"].value == 3.71
    assert made().garment.measurements["halves"] == Quantity(value=2, dimension=COUNT)
    fringed = made(edge="fringed").garment.measurements
    assert fringed["gathered"] == Quantity(value=5.0, dimension=LENGTH)  # 2.5 isn't rounded


def test_the_garment_keeps_answers_and_the_figures_it_uses() -> None:
    """Measurements are those that apply, as asked, then the figures that its steps name."""
    assert list(made().garment.measurements) == [
        "panels", "length", "rows", "cloth", "seam", "halves"
    ]  # fmt: skip
    assert list(made(edge="fringed", rows="1").garment.measurements) == [
        "panels", "length", "rows", "fringe", "cloth", "seam", "gathered", "halves"
    ]  # fmt: skip


def test_the_garment_keeps_the_choices_that_apply() -> None:
    """A choice that isn't asked isn't kept, and what hangs on it doesn't count."""
    assert made().garment.choices == {
        "sewn": "machine", "edge": "plain", "cloth": "ordinary", "first": "no"
    }  # fmt: skip
    found = split(ORDER, Answers(choices={"sewn": "machine", "stitch": "fine"}))
    assert "stitch" not in found.garment.choices
    assert all(step.effort == 1 for step in found.garment.steps)


def test_stock_is_summed_over_the_steps() -> None:
    """What is on top for waste is included, and the sum goes up to the cm."""
    assert wanted(made()) == {"wool": 4.09, "hooks": 2.0}  # 3.71 x 1.1 = 4.081
    # 2 rows of 1.205 m, 2 x 10 cm at the hooks, and 5 m of fringe with 5 % on top
    assert wanted(made(rows="2", edge="fringed"))["braid"] == pytest.approx(2.41 + 0.2 + 5.25)
    assert [w.material.id for w in made(rows="2").wanted] == ["wool", "braid", "hooks"]


def test_a_use_of_nothing_is_not_there() -> None:
    """A step that takes 0 of something doesn't name it; its stock isn't asked for."""
    hooks = made().garment.steps[3]
    assert [use.stock for use in hooks.uses] == ["hooks"]
    assert [material.id for material in materials(made())] == ["wool", "hooks"]
    assert [stock.lead for stock in alone(made()).stock] == [None, 7]


def test_difficult_cloth_multiplies_what_it_touches() -> None:
    """A slippery cloth takes 1.6 times the minutes of its rates, not of set-up, mock-up, stock."""
    plain, slippery = made(), made(cloth="slippery")
    efforts = {step.id: step.effort for step in slippery.garment.steps}
    assert efforts == {"mock-up": 1.0, "cut": 1.6, "seam": 1.6, "hooks": 1.6, "fit": 1.0}
    seam = techniques()["straight-seam"]
    once = seam.set_up + 1.6 * (seam.rate.typical * 2.41 + (seam.each.typical if seam.each else 0))
    assert minutes(slippery)["seam"].typical == round(once)
    assert wanted(slippery) == wanted(plain)
    heavy = {step.id: step.effort for step in made(cloth="heavy", sewn="hand").garment.steps}
    assert heavy == {"mock-up": 1.0, "cut": 1.0, "backstitch": 1.5, "hooks": 1.5, "fit": 1.0}


def test_efforts_multiply() -> None:
    """Fine stitches in heavy cloth for the first time multiply where all of them touch."""
    found = made(sewn="hand", stitch="fine", cloth="heavy", first="yes")
    efforts = {step.id: step.effort for step in found.garment.steps}
    assert efforts["backstitch"] == pytest.approx(1.5 * 1.5 * 1.7)
    assert efforts["cut"] == 1.7
    assert efforts["fit"] == 1.0


def test_hours_are_the_sum_of_the_steps() -> None:
    """Low, typical and high are each summed."""
    each = minutes(made())
    total = hours(made(), techniques())
    assert total.typical == sum(m.typical for m in each.values())
    assert total.low == sum(m.low for m in each.values())
    assert total.low < total.typical < total.high


def test_the_garment_alone_can_be_planned() -> None:
    """As an ensemble of its own it has an order of work and all its stock."""
    ensemble = alone(made(edge="fringed", rows="3"))
    found = operations(ensemble, techniques())
    network = build_network([ensemble], {operation.id: operation for operation in found})
    assert network.order[-1] == "pall/pall/fit"


def test_answers_beside_the_point_are_passed_over() -> None:
    """An answer of another sort, or an option there isn't, counts as not answered."""
    odd = Answers(
        measurements={"panels": Quantity(value=3, dimension=LENGTH)}, choices={"sewn": "glued"}
    )
    assert split(ORDER, odd).garment == made().garment


def test_a_rule_that_cannot_be_applied() -> None:
    """What a rule refuses is said with its figure, not thrown about."""
    order = order_of(
        PALL.replace(
            'rule = "cut_lengths"\ngiven = { pieces = "panels", length = "length", '
            'allowance = "3 cm" }',
            'rule = "cloth_for_widths"\n'
            'given = { hem = "length", length = "length", width = "length" }',
        ),
        "pall",
    )
    with pytest.raises(InputError) as caught:
        split(order, Answers(measurements={"length": Quantity(value=0.01, dimension=LENGTH)}))
    assert caught.value.problems[0].place == "cloth"


def test_questions_that_apply() -> None:
    """Measurements come first, then choices; what hangs on a choice only where it is made."""
    ids = [question.id for question in asked(ORDER, usual(ORDER))]
    assert ids == ["panels", "length", "rows", "sewn", "edge", "cloth", "first"]
    answers = understood(ORDER, {"sewn": "hand", "edge": "fringed"})
    ids = [question.id for question in asked(ORDER, answers)]
    assert ids == [
        "panels", "length", "rows", "fringe", "sewn", "stitch", "edge", "cloth", "first"
    ]  # fmt: skip


def test_texts_are_understood() -> None:
    """Lengths in any unit, counts, options by id or name, and where it comes from."""
    found = understood(
        ORDER,
        {
            "length": "48 in",
            "panels": " 4 ",
            "cloth": "slippery or with a pile (velvet, satin, fur)",
        },
    )
    assert found.measurements["length"].value == pytest.approx(1.2192)
    assert found.measurements["panels"].value == 4
    assert found.measurements["rows"].value == 0
    assert found.choices["cloth"] == "slippery"
    assert found.source is Source.MAKE
    assert understood(ORDER, {"source": "own"}).source is Source.OWN


def test_texts_that_are_not_understood_are_all_told() -> None:
    """Every wrong text is a problem that names its question and says what to write."""
    pairs = {
        "length": "1.2",
        "panels": "3 m",
        "rows": "7",
        "fringe": "10 cm",
        "sewn": "hnad",
        "edges": "plain",
        "source": "borrow",
    }
    with pytest.raises(InputError) as caught:
        understood(ORDER, pairs, file="here")
    found = {problem.place: problem.text for problem in caught.value.problems}
    assert set(found) == set(pairs)
    assert "with its unit" in found["length"]
    assert "write a whole number" in found["panels"]
    assert "more than can be meant (6)" in found["rows"]
    assert "less than can be meant (40 cm)" in found["fringe"]
    assert '"hand"' in found["sewn"]
    assert '"edge"' in found["edges"]
    assert "make or own" in found["source"]
    assert {problem.file for problem in caught.value.problems} == {"here"}


def test_nonsense_texts_are_refused() -> None:
    """Nothing, words and huge or negative numbers are problems, never a traceback."""
    for text in ("", "much", "-3", "1e9", "9" * 30, "nan", "\u202e3", "🧵"):
        with pytest.raises(InputError):
            understood(ORDER, {"panels": text})


def test_rounding_up_forgives_noise() -> None:
    """0.1 + 0.2 m is 30 cm, and 3.0000000001 hooks are three."""
    assert rounded_up(Quantity(value=0.1 + 0.2, dimension=LENGTH)).value == 0.3
    assert rounded_up(Quantity(value=3.0000000001)).value == 3
    assert rounded_up(Quantity(value=2.5), whole=False).value == 2.5
    assert rounded_up(Quantity(value=0.00011, dimension=2)).value == 0.0002


def test_a_garment_that_is_not_made_has_a_short_order() -> None:
    """It keeps kind, layer and roles; questions, steps and stock are the short order's."""
    for source, short in source_orders().items():
        order = replace(ORDER, sources=(source,))
        found = split(order, usual(order))
        assert found.order is order and found.working is short
        assert (found.garment.kind, found.garment.layer) == ("pall", 9)
        assert found.garment.source is source
        assert set(step_ids(found)) <= {part.step.id for part in short.steps}
        assert hours(found, techniques()).typical < hours(made(), techniques()).typical * 3


def test_a_short_order_may_ask_what_the_garment_is() -> None:
    """Steps of a short order can hang on the garment's roles by "is"."""
    text = PALL.replace('id = "fit"\n', 'id = "fit"\nwhen = { is = ["stays"] }\n')
    order: Order = order_of(text, "pall")
    assert "fit" not in step_ids(split(order, usual(order)))
    stays = replace(order, roles=frozenset({"stays"}))
    assert "fit" in step_ids(split(stays, usual(stays)))
