"""Cloth arrives before it is washed, steamed or pressed, not only before it is cut."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from planner.catalogue import techniques
from planner.catalogue.order import Order
from planner.catalogue.shelf import orders, source_orders
from planner.estimate import operations
from planner.model import Step
from planner.quantity import COUNT
from planner.splitting.answers import Answers, understood
from planner.splitting.split import Split, alone, split, split_by

HANDLING = frozenset(
    {
        "pre-wash-cloth",
        "steam-shrink-wool",
        "press-cloth",
        "mordant-cloth",
        "dye-cold",
        "dye-hot",
        "rinse-dyed-cloth",
    }
)
"""Techniques that want the cloth at hand before any of it is cut."""

NAMES = (*orders(), *(f"{source} (short)" for source in source_orders()))


def order_of(name: str) -> Order:
    """An order by its name for the test."""
    shorts = {f"{source} (short)": order for source, order in source_orders().items()}
    return orders()[name] if name in orders() else shorts[name]


def splits(order: Order) -> Iterator[Split]:
    """The order with its defaults, and with each option of each choice and what that needs."""
    yield split_by(order, order, Answers())
    for choice in order.choices:
        for option in choice.options:
            needed = {name: sorted(options)[0] for name, options in choice.when.items()}
            yield split_by(order, order, Answers(choices=needed | {choice.id: option.id}))


def before(found: Split, step: str) -> set[str]:
    """Every step that must be done before one."""
    after = {s.id: s.after for s in found.garment.steps}
    seen: set[str] = set()
    todo = list(after[step])
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += after[name]
    return seen


def taken(step: Step) -> set[str]:
    """Materials that the step takes."""
    return {use.stock for use in step.uses}


def handled(found: Split) -> dict[str, set[str]]:
    """What each washing, shrinking, pressing or dyeing step works on.

    That is what it takes, or what was taken by such a step that it follows.
    """
    steps = {s.id: s for s in found.garment.steps if s.technique in HANDLING}
    return {
        name: taken(step).union(*(taken(steps[b]) for b in before(found, name) if b in steps))
        for name, step in steps.items()
    }


@pytest.mark.parametrize("name", NAMES)
def test_cloth_is_taken_where_it_is_first_handled(name: str) -> None:
    """What washes, shrinks, presses or dyes cloth takes it, and nothing after it takes it again.

    With the defaults and with every option; such a step may also work on another material than
    the one that a later step takes.
    """
    for found in splits(order_of(name)):
        works_on = handled(found)
        answers = dict(found.answers.choices)
        assert all(works_on.values()), (answers, works_on)
        lengths = {m.id for m in found.working.materials if m.dimension != COUNT}
        for taker in found.garment.steps:
            earlier = before(found, taker.id) & works_on.keys()
            late = taken(taker) & lengths & set().union(*(works_on[e] for e in earlier))
            assert not late, f"{taker.id} takes {late} after {earlier} with {answers}"


def wanted(kind: str, **choices: str) -> dict[str, float]:
    """Metres and pieces of each material of a kind with these choices."""
    order = orders()[kind]
    pairs = {name.replace("_", "-"): text for name, text in choices.items()}
    found = split(order, understood(order, {"source": "make"} | pairs))
    return {w.material.id: w.amount.value for w in found.wanted}


@pytest.mark.parametrize("trimmed", ["braid", "gathered"])
def test_a_skirt_takes_the_same_cloth_however_it_is_made_ready(trimmed: str) -> None:
    """Wool is taken by the steaming, cotton by the washing, silk by the pressing: each once."""
    wool, cotton, silk = (
        wanted("gored-skirt", stuff=stuff, trimmed=trimmed)["cloth"]
        for stuff in ("wool", "washable", "silk")
    )
    assert wool == cotton == silk


def test_a_flounce_takes_its_cloth_on_either_hoop() -> None:
    """On a hoop of tapes no cloth is washed, and the flounce takes its own where it is cut."""
    skirt = wanted("hoop", built="cloth")["cloth"]
    both = wanted("hoop", built="cloth", flounce="yes")["cloth"]
    alone = wanted("hoop", built="tapes", flounce="yes")["cloth"]
    assert "cloth" not in wanted("hoop", built="tapes")
    assert both == pytest.approx(skirt + alone)


def test_layers_are_all_taken_by_their_shrinking() -> None:
    """Stays with straps and a bias binding: the outer layer with 5 %, and what else is cut of it.

    The step names it three times and asks for it once.
    """
    order = orders()["stays"]
    pairs = {"source": "make", "straps": "yes", "binding": "bias"}
    found = split(order, understood(order, pairs))
    assert handled(found)["shrink-cloth"] == {"outer", "strength"}
    amount = found.garment.measurements
    outer = amount["layer-cloth"].value * 1.05 + amount["binding-cloth"].value + 0.15
    assert wanted("stays", straps="yes", binding="bias")["outer"] == pytest.approx(outer, abs=0.01)
    (shrinks,) = (o for o in operations(alone(found), techniques()) if o.step.id == "shrink-cloth")
    asks = [(name.rpartition("/")[2], metres.value) for name, metres in shrinks.uses]
    assert [name for name, _ in asks] == ["outer", "strength"]
    assert dict(asks)["outer"] == pytest.approx(outer)
